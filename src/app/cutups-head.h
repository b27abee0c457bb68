/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "errands-cutups.h"

/* Which cut-up is shown: its name, note and kind, and what is in it. Signals:
 *   "chosen" (guint)  another cut-up, by its place in the answer
 *   "changed"         name or note: rb_cutups_head_dup_cutup()
 *   "kind" (gboolean) it is to follow its filter, or to keep its snaps
 *   "remove"
 *   "left"            name and note are done with */
#define RB_TYPE_CUTUPS_HEAD (rb_cutups_head_get_type())
G_DECLARE_FINAL_TYPE(RbCutupsHead, rb_cutups_head, RB, CUTUPS_HEAD, GtkBox)

/* answer: with a plan; borrowed for the call. */
void rb_cutups_head_set(RbCutupsHead *head, const RbCutupsAnswer *answer);
/* Name and note as they are in the fields. Returns: (transfer full) (nullable): NULL when there is
 * nothing that differs. */
RbCutup *rb_cutups_head_dup_cutup(RbCutupsHead *head);
/* Opens the fields of name and note. */
void rb_cutups_head_rename(RbCutupsHead *head);
