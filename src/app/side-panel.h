/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* What the panels beside the film have in common: a column with margins that scrolls when large letters
 * need more than a screen, and texts as wide as the panel. */

/* Makes the panel's only child, to be unparented when it is disposed of. name: of the panel for screen
 * readers. Returns: (transfer none): the child; `box`: (out) (transfer none): the column. */
GtkWidget *rb_side_panel_fill(GtkWidget *panel, const char *name, int spacing,
                              GtkWidget **box);
/* Rolls that child by Page up and Page down. Returns whether the key was one of them. */
bool rb_side_panel_roll(GtkWidget *scrolled, guint keyval);
/* A text that wraps at the panel's width. style: (nullable): a class. Returns: (transfer floating). */
GtkWidget *rb_side_label_new(const char *text, const char *style);
