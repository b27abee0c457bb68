/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "choice.h"

/* Labelled fields for the forms of a desk. Each is named for screen readers by its label, whose
 * mnemonic leads to it. */

/* A row of fields that wraps; to be filled with rb_form_add(). */
GtkWidget *rb_form_new(void);
/* label: with a mnemonic. Returns the field, in its cell. */
GtkWidget *rb_form_add(GtkWidget *form, const char *label, GtkWidget *field);
/* Shows or hides a field together with its label. */
void rb_form_show(GtkWidget *field, gboolean visible);

/* A list of words whose button may be narrower than the longest of them, down to so many letters,
 * and asks for no more than most (-1: for the longest); what is chosen is cut then, what there is to
 * choose is not. */
void rb_drop_down_may_shrink(GtkDropDown *list, int least, int most);

/* How much larger than usual the desktop wants text: 1, or more. */
double rb_text_growth(void);
/* How many letters a column of a table of labels gets that has `letters` at the usual size of text:
 * fewer where text is larger, so that the table is no wider than a screen; numbers keep theirs. */
int rb_column_letters(int letters);

/* A button whose label has a mnemonic, spoken once and without its underscore: what GTK 4.8 makes of
 * such a label is "_Stop Stop". */
GtkWidget *rb_button_new(const char *label);
/* A box to tick, likewise. */
GtkWidget *rb_check_new(const char *label);

/* Undo in these fields is the library's: a field with an undo of its own would swallow Ctrl+Z and
 * bring back what it was filled with. */

/* A number from low to high. */
GtkWidget *rb_number_new(double low, double high, double step, int digits);
void rb_number_set(GtkWidget *number, double value);
/* One line of text of at most 50 letters. changed: when the user has entered another text, on
 * Enter or on leaving. */
GtkWidget *rb_text_new(const char *placeholder, GCallback changed, gpointer data);
/* The text without blanks around. Returns: (transfer full) (nullable): NULL when empty. */
char *rb_text_dup(GtkWidget *text);
/* Sets what counts as unchanged, too. What a person is typing stays unless the value is another. */
void rb_text_set(GtkWidget *text, const char *value);

/* True when the widget or something in it has the focus. */
bool rb_focus_is_inside(GtkWidget *widget);
