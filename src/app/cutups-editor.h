/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/cutups.h"

/* How one clip of a cut-up is shown, and its note. Signals:
 *   "edited"              the user set something: rb_cutups_editor_dup_entry()
 *   "all"                 all clips are to be shown like this one
 *   "looking" (gboolean)  what the card says is being chosen */
#define RB_TYPE_CUTUPS_EDITOR (rb_cutups_editor_get_type())
G_DECLARE_FINAL_TYPE(RbCutupsEditor, rb_cutups_editor, RB, CUTUPS_EDITOR, GtkGrid)

/* clip: (nullable), borrowed for the call. */
void rb_cutups_editor_set(RbCutupsEditor *editor, const RbCutupClip *clip);
/* The clip's entry as the fields say now. Returns: (transfer full) (nullable): NULL when there
 * is no clip, or nothing that differs. */
RbCutupEntry *rb_cutups_editor_dup_entry(RbCutupsEditor *editor);
/* Returns: (transfer none) (nullable): as it is kept. */
const RbCutupEntry *rb_cutups_editor_get_entry(RbCutupsEditor *editor);
