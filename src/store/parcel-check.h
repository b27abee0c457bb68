/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "parcel.h"

/* Whether what a parcel says can stand in this schema: every field exists, every value is one
 * that the column could hold, every row to be forgotten is a player's or a person's. False
 * with DAMAGED. */
bool rb_parcel_check(const RbParcel *parcel, const char *name, GError **error);
