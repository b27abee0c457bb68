/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* A place on the disk to be typed, or chosen in the system's own window. Signal "chosen": Enter
 * was pressed, or a file or folder chosen. */
#define RB_TYPE_PATH_ROW (rb_path_row_get_type())
G_DECLARE_FINAL_TYPE(RbPathRow, rb_path_row, RB, PATH_ROW, GtkBox)

/* name: of the entry, for those who cannot see it. title: of the window to choose in. */
GtkWidget *rb_path_row_new(const char *name, const char *placeholder, const char *title,
                           GtkFileChooserAction action);
const char *rb_path_row_get_path(RbPathRow *row); /* never NULL */
/* Shows it only; "chosen" is not sent. */
void rb_path_row_show(RbPathRow *row, const char *path);
