/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/report.h"

#include "drawing-private.h"

/* The pairing table as drawings: a head and a row at a time, so that pages can be broken. */

/* One block of columns: `from` up to, not including, `to`; the last is "All". */
typedef struct {
    int from;
    int to;
    double column_width;
} RbTableBlock;

double rb_table_names_width(void);
/* row: concepts, then n_concepts for "All". height: (out). Each returns: (transfer full). */
RbDrawing *rb_table_draw_head(const RbReport *report, const RbTableBlock *block,
                              double *height);
RbDrawing *rb_table_draw_row(const RbReport *report, const RbTableBlock *block, int row,
                             double *height);
