/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/cutups.h"

/* The clips of a cut-up in their order. Signals:
 *   "selected"                  another clip is chosen, by the user
 *   "opened"                    Enter or a press twice
 *   "move" (gint from, gint to) Alt with the arrows, or dragged
 *   "take-out"                  Delete */
#define RB_TYPE_CUTUPS_CLIPS (rb_cutups_clips_get_type())
G_DECLARE_FINAL_TYPE(RbCutupsClips, rb_cutups_clips, RB, CUTUPS_CLIPS, GtkWidget)

/* plan: borrowed for the call. The same place stays chosen, or what rb_cutups_clips_want() said. */
void rb_cutups_clips_set(RbCutupsClips *clips, const RbCutupPlan *plan);
/* The clip to be chosen when the list is there again: an answer is on its way. */
void rb_cutups_clips_want(RbCutupsClips *clips, int clip);
/* -1: none. */
int rb_cutups_clips_get_chosen(RbCutupsClips *clips);
/* Says nothing by itself. */
void rb_cutups_clips_choose(RbCutupsClips *clips, int clip, bool focus);
/* The keyboard goes to the chosen clip, now and when the list is filled next. */
void rb_cutups_clips_focus(RbCutupsClips *clips);
