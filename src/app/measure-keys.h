/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/fieldwork.h"

/* The keys that choose what is measured, or another mark of the field than the one proposed. False
 * when the key is none of them. */
bool rb_measure_key(RbFieldwork *work, guint keyval);
