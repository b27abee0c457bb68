/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* The help, in a window of our own: a bare machine has no browser. */
#define RB_TYPE_HELP_WINDOW (rb_help_window_get_type())
G_DECLARE_FINAL_TYPE(RbHelpWindow, rb_help_window, RB, HELP_WINDOW, GtkWindow)

/* Opens a topic: see rb_help_topic_of(). Each window has one help. */
void rb_help_window_open(GtkWindow *parent, const char *topic);
/* Borrowed: the page and heading shown. */
const char *rb_help_window_get_topic(RbHelpWindow *window);
