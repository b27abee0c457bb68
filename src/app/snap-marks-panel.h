/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* Snap marks found in the film of the chosen game, in a window of their own: each with the frame
 * and how sure the finder is. Those it is sure of are taken beforehand; the others are judged by
 * one key each. Nothing is written before it is accepted, and then as one action. */
#define RB_TYPE_SNAP_MARKS_PANEL (rb_snap_marks_panel_get_type())
G_DECLARE_FINAL_TYPE(RbSnapMarksPanel, rb_snap_marks_panel, RB, SNAP_MARKS_PANEL,
                     GtkWindow)

void rb_snap_marks_panel_open(GtkWindow *parent, RbSession *session);
