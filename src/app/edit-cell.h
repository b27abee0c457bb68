/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

/* One cell of a table that can be changed in place: a label, and a field over it while it is
 * edited. Enter or leaving keeps what was typed, Escape does not. Signal: "edited" with the text.
 *
 * Not GtkEditableLabel: that of GTK 4.8 looks whether to stop a tenth of a second after it lost the
 * focus, also when it is gone by then, as a row is whose change was stored. */
#define RB_TYPE_EDIT_CELL (rb_edit_cell_get_type())
G_DECLARE_FINAL_TYPE(RbEditCell, rb_edit_cell, RB, EDIT_CELL, GtkWidget)

/* letters: so many of its text are always seen. */
GtkWidget *rb_edit_cell_new(int letters);
/* What is stored. name: for screen readers, without the text. */
void rb_edit_cell_set(RbEditCell *cell, const char *name, const char *text);
void rb_edit_cell_edit(RbEditCell *cell);
bool rb_edit_cell_is_edited(RbEditCell *cell);
