/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "application.h"

/* The one window: five desks, the switcher, and the line in which the program says what it
 * did. Single keys are window shortcuts in the bubble phase, so a field with the focus gets
 * its letters first. */
#define RB_TYPE_WINDOW (rb_window_get_type())
G_DECLARE_FINAL_TYPE(RbWindow, rb_window, RB, WINDOW, GtkApplicationWindow)

RbWindow *rb_window_new(RbApplication *application);

/* desk: "chart", "playbook", "pairings", "quarterback" or "cut-ups". */
void rb_window_show_desk(RbWindow *window, const char *desk);
const char *rb_window_get_desk(RbWindow *window);

/* Says one sentence in the line at the foot of the window. */
void rb_window_say(RbWindow *window, const char *sentence);
