/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* Starts GTK in the forked test; fails the test when there is no display. */
void rb_display_start(void);
/* A window of that size that shows the widget, drawn once. Returns: (transfer none). */
GtkWidget *rb_display_show(GtkWidget *child, int width, int height);
/* Runs the main loop until `done` says so or some seconds have passed; false then. */
bool rb_display_run_until(bool (*done)(void *data), void *data);
/* Runs what is due. */
void rb_display_settle(void);
/* The widget as drawn. Returns: (transfer full): RGBA bytes of width x height. */
guchar *rb_display_pixels(GtkWidget *widget, int *width, int *height);
