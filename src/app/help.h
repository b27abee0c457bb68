/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* Which page of the help says what a widget is. A topic is a page and the id of a heading on it:
 * "figures.html#success". Whatever shows a figure is marked with the heading that defines it: F1
 * opens it for what has the keyboard, and a press on a figure that takes no keyboard does. */

/* The pages in the order of the contents, NULL at the end. */
extern const char *const rb_help_pages[];

/* topic: kept for ever: a literal. */
void rb_help_mark(GtkWidget *widget, const char *topic);
/* That of the widget or of what it is in; "index.html" where nothing is marked. widget: (nullable).
 * Borrowed. */
const char *rb_help_topic_of(GtkWidget *widget);

/* The topic of one measure of the pairing table. Borrowed for ever. */
const char *rb_help_measure_topic(int measure);

/* The text of a page in the language of the user, else in English. Returns: (transfer full)
 * (nullable): NULL when there is no such page. */
GBytes *rb_help_load(const char *page);
