/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/intake.h"

/* The table of what was read: a row for each snap and each clip of none, with a picture of
 * each clip's middle. */

/* What stands over the rows. */
GtkWidget *rb_film_rows_head_new(void);
void rb_film_rows_choose(GtkListBox *list, int place);
/* Fills the list anew. chosen: the row to choose, as a place in intake->rows, or the last before. */
void rb_film_rows_show(GtkListBox *list, const RbIntake *intake, int chosen);
/* The row that is chosen, as a place in intake->rows; -1: none. */
int rb_film_rows_get_chosen(GtkListBox *list);
/* Mends by one key: x takes out or puts back, w and t move the wide or tight clips from here
 * on down, W and T up. False if the key means nothing here. */
bool rb_film_rows_mend(RbIntake *intake, int row, guint key);
