/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* What a widget tells a screen reader beyond its name. */

/* Where something of a role with a value stands. text: the value in words. GTK 4.8 puts a value on
 * the bus only for its own sliders: here the words are the description, which it does put there. */
void rb_access_set_value(GtkWidget *widget, double least, double most, double now,
                         const char *text);
/* The same where nothing is chosen. */
void rb_access_set_no_value(GtkWidget *widget, const char *text);

/* Gives a label of role status its words, and has them spoken wherever the focus is. A status whose
 * name changes tells the bus so; from GTK 4.14 on the screen reader is told to speak as well. */
void rb_access_announce(GtkLabel *status, const char *words);
