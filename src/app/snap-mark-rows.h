/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/snap-marks.h"

#include "still-view.h"

/* The snap marks that are proposed, and what a person says of them. */
typedef struct RbSnapRows RbSnapRows;

#define RB_SNAP_SURE 0.9 /* taken without being asked */

/* search: (transfer full): looked at. */
RbSnapRows *rb_snap_rows_new(RbSnapSearch *search);
void rb_snap_rows_free(RbSnapRows *rows);

/* Makes the rows of the list; the first that is to be judged is chosen. */
void rb_snap_rows_fill(RbSnapRows *rows, GtkListBox *list);
/* One key for the chosen row: Y takes the mark, N leaves it out, both go on to the next that is
 * to be judged; Left and Right move it by a frame, with Shift (far) by ten. False: it means
 * nothing here. */
bool rb_snap_rows_judge(RbSnapRows *rows, GtkListBox *list, guint key, bool far);
void rb_snap_rows_show_still(const RbSnapRows *rows, GtkListBox *list,
                             RbStillView *still);

/* How many marks are taken. */
int rb_snap_rows_count(const RbSnapRows *rows);
/* How it stands, for people. Returns: (transfer full). */
char *rb_snap_rows_text(const RbSnapRows *rows);
/* What is taken. Returns: (transfer full). */
RbSnapSearch *rb_snap_rows_dup_taken(const RbSnapRows *rows);
