/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/field/homography.h"

/* Refuses layouts of marks that cannot fix a map, with the sentence that says why. */
bool rb_layout_check(const RbMatch *matches, int n, GError **error);
