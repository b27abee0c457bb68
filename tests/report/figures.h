/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/report.h"

/* Books `n` dropbacks with `points` together at a cell. */
void rb_book_cell(RbLadder *ladder, int read, RbStage stage, int n, double points);

/* The pairing the tests and pictures show: 20 dropbacks, breaks at read 2, eyes. */
RbLadder rb_example_ladder(void);
RbBreak rb_example_break(void);

/* A season of 8 concepts against 7 coverages, about 250 dropbacks, from a seed.
 * Returns: (transfer full): clear with rb_dropbacks_clear(). */
RbDropbacks rb_example_season(uint64_t seed);
/* Names by id, 1 and up; any other id is "?". */
RbReportNames rb_example_names(void);

/* A report with its parts: the season's table and two ladders. */
typedef struct {
    RbDropbacks season;
    RbPairings pairings;
    RbMeasured *figures; /* owned: success of each cell */
    RbLadder ladders[2];
    RbBreak breaks[2];
    RbReportPairing looked[2];
    RbReport report;
} RbExampleReport;

void rb_example_report_init(RbExampleReport *example);
void rb_example_report_clear(RbExampleReport *example);
