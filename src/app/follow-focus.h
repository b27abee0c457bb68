/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* Rolls a page so that what has the focus is seen, and as much of the card around it (CSS class
 * "card") as has room: in place of what the viewport does, which is wrong for fields that get the
 * focus as they are shown, before they have a place. */
void rb_follow_focus(GtkScrolledWindow *window);

/* Rolls a table sideways so that the cell with the focus is seen: GTK 4.8 brings only the row of it
 * into sight. */
void rb_follow_focus_across(GtkScrolledWindow *window);
