/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/words.h"
#include "rb/stats/measure.h"

#include "drawing-private.h"

/* The pairing table by place: row i is concept i, or "all" past the last; column j likewise. */

/* Returns: (transfer none) (nullable): NULL where nothing was played. */
const RbTally *rb_table_tally(const RbPairings *pairings, int row, int column);
const char *rb_table_row_name(const RbPairings *pairings, const RbReportNames *names,
                              int row);
const char *rb_table_column_name(const RbPairings *pairings, const RbReportNames *names,
                                 int column);

/* The estimate of a cell; NULL for a margin, a cell without dropbacks or too few of them, and
 * without figures. Returns: (transfer none) (nullable). tally: (nullable). */
const RbMeasured *rb_table_figure(const RbPairings *pairings, const RbMeasured *figures,
                                  const RbTally *tally);

/* The three texts of a cell: the estimate with its 80 % interval, or where there is none the plain
 * rate with its 95 % interval. */
typedef struct {
    char *rate;     /* owned: "29 %", "1 of 3"; "▾ 29 %": flagged */
    char *interval; /* owned, nullable: "12 to 55 %" */
    char *points;   /* owned, nullable: "−0.31", a dropback */
} RbCellText;

/* tally: (nullable): all three then NULL. figure: (nullable). */
void rb_cell_text_init(RbCellText *text, const RbTally *tally, const RbMeasured *figure);
void rb_cell_text_clear(RbCellText *text);

/* How a cell is coloured: an estimate the deeper, the further it is from the team's own rate, as
 * on the desk; a plain rate the deeper, the less its distance looks like chance; not at all under
 * RB_PAIRING_MIN. figure: (nullable). tint: (out): of paper. */
RbToken rb_table_tint(const RbTally *tally, const RbMeasured *figure, const RbTally *all,
                      double *tint);

/* The interval as a line from 0 to 100 %, the rate on it, the team's rate as a tick: of the text
 * of the cell. Only for cells with at least RB_PAIRING_MIN dropbacks. figure: (nullable). */
void rb_table_draw_whisker(RbDrawing *drawing, const RbTally *tally,
                           const RbMeasured *figure, const RbTally *all,
                           const cairo_rectangle_t *box);

/* "Success: a gain of at least 40 / 60 / 100 / 100 % of the distance …". Returns: (transfer full). */
char *rb_success_profile_text(const int percent[4]);
