/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* What windows for one task have in common: Escape closes them, they stand over the main window and
 * go with it, and under their table is a foot with what it comes to, how far work is, a button to
 * stop it and one to accept the table, before which nothing is changed. */

/* The rows of such a window. class: of a GtkWindow. */
void rb_task_window_class_init(GtkWidgetClass *widget_class);
/* box: taken over: what is in it. */
void rb_task_window_fill(GtkWindow *window, GtkWidget *box, const char *title, int width,
                         int height);
/* Returns: (transfer none): a window of that type, to be presented. */
GtkWindow *rb_task_window_new(GType type, GtkWindow *parent);

/* A table of rows, one of them chosen. name: for screen readers. placeholder: (nullable): what stands
 * there without rows. key: "key-pressed" of a key controller; row: the chosen one is another, called
 * with `window` alone. Returns: (transfer floating): what it is scrolled in. */
GtkWidget *rb_task_table_new(GtkListBox **list, const char *name, const char *placeholder,
                             GCallback key, GCallback row, void *window);

/* Widgets are borrowed from the window. */
typedef struct {
    GtkLabel *summary;
    GtkProgressBar *bar;
    GtkWidget *stop;
    GtkWidget *accept;
} RbTaskFoot;

/* stop: (nullable): nothing in this window takes long. The callbacks are called with `window` alone.
 * Returns: (transfer floating): the row. */
GtkWidget *rb_task_foot_new(RbTaskFoot *foot, GCallback stop, GCallback accept,
                            void *window);
/* Shows how far work is and the button that stops it, or hides both. */
void rb_task_foot_set_busy(const RbTaskFoot *foot, bool busy, bool can_accept);
