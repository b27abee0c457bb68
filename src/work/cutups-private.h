/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/cutups.h"

/* cutups.c makes and reads cut-ups, cutup-change.c changes them. */

/* Returns: (transfer full) (nullable). */
RbCutup *rb_cutup_load(RbLibrary *library, RbCutupId id, GError **error);
bool rb_cutup_check_name(const char *name, GError **error);
/* In any case, by another than `but`. */
bool rb_cutup_name_is_taken(const GPtrArray *all, const char *name, RbCutupId but);
/* False with a sentence for a live list. */
bool rb_cutup_must_be_fixed(const RbCutup *cutup, GError **error);
/* Ends an action: `done` is what the last write in it said. */
bool rb_cutup_end(RbLibrary *library, bool done, GError **error);
