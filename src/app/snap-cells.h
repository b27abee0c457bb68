/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/snap-rows.h"

#include "snap-stills.h"

/* The columns of the table of snaps (items: table-items.h): the number, with a still of the snap, and
 * the fields, which are changed in place. */
#define RB_SNAP_CELL_NUMBER (-1)

/* A cell was changed to this text. */
typedef void (*RbSnapCellEdited)(void *data, RbSnapId snap, int column, const char *text);

typedef struct {
    RbSnapStills *stills; /* borrowed: outlives the view */
    RbSnapCellEdited edited;
    void *data;
} RbSnapCells;

/* RB_SNAP_CELL_NUMBER or one of rb_snap_columns, for people. */
const char *rb_snap_cells_label(int column);
/* cells: borrowed: outlives the view. */
void rb_snap_cells_add_columns(GtkColumnView *view, const RbSnapCells *cells);

/* The list item that a field's cell is of, and its column. Returns: (transfer none) (nullable). */
GtkListItem *rb_snap_cell_get_item(GtkWidget *cell);
int rb_snap_cell_get_column(GtkWidget *cell);
