/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "pairing-table.h"

/* The table in two files: pairing-table.c is the widget, pairing-table-draw.c what it shows. */
struct _RbPairingTable {
    GtkWidget parent_instance;
    RbPairingView *view; /* owned, nullable */
    int row;             /* chosen; -1 is the margin */
    int column;
    RbPairingSort sort;
    int sorted_by;                 /* column */
    GtkAdjustment *adjustments[2]; /* owned, nullable: horizontal, vertical */
};

/* Where things are, in pixels. The name column with its margin cell and the head with its
 * margin row stay while the cells scroll under them. */
typedef struct {
    double name_width;
    double cell_width;
    double head_height;
    double cell_height;
    double left; /* of the scrolled part */
    double top;
    double dx; /* scrolled by */
    double dy;
} RbTableGeometry;

/* A width of 0: the least that the table takes. */
RbTableGeometry rb_pairing_table_geometry(RbPairingTable *table, int width);
void rb_pairing_table_draw(RbPairingTable *table, GtkSnapshot *snapshot);
