/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/measure.h"

/* The pairing table as it is shown: names beside the figures. */
typedef struct {
    int n_rows;            /* concepts */
    int n_columns;         /* coverages */
    RbConceptId *concepts; /* owned, n_rows */
    RbTermId *coverages;   /* owned, n_columns */
    char **row_names;      /* owned, NULL-terminated */
    char **column_names;   /* owned, NULL-terminated */
    RbTally *cells;        /* owned: rows x columns; dropbacks 0: never seen together */
    RbTally *rows;         /* owned: margins */
    RbTally *columns;      /* owned: margins */
    RbTally all;
    RbMeasure measure;          /* what is shown of them: */
    RbMeasured *figures;        /* owned: rows x columns */
    RbMeasured *row_figures;    /* owned */
    RbMeasured *column_figures; /* owned */
    RbMeasured all_figure;
} RbPairingView;

typedef const char *(*RbConceptName)(const void *names, RbConceptId id);
typedef const char *(*RbTermName)(const void *names, RbTermId id);

/* The plain success rates. Returns: (transfer full). names: handed to the two functions. */
RbPairingView *rb_pairing_view_new(const RbPairings *pairings, const void *names,
                                   RbConceptName concept_name, RbTermName term_name);
void rb_pairing_view_free(RbPairingView *view); /* NULL is allowed */
/* Shows another measure. figures: of pairings->cells, as rb_pairings_measure() made them. */
void rb_pairing_view_set_measure(RbPairingView *view, const RbPairings *pairings,
                                 RbMeasure measure, const RbMeasured *figures);
/* What the rows are sorted by. */
typedef enum {
    RB_SORT_DROPBACKS, /* of the margin, most first */
    RB_SORT_NAME,
    RB_SORT_WORST, /* the measure in one column, worst first; under RB_PAIRING_MIN last */
    RB_SORT_BEST,
} RbPairingSort;
/* column: for the last two; -1 the margin. */
void rb_pairing_view_sort(RbPairingView *view, RbPairingSort sort, int column);
/* row, column: -1 for the margin. */
const RbTally *rb_pairing_view_get(const RbPairingView *view, int row, int column);
const RbMeasured *rb_pairing_view_figure(const RbPairingView *view, int row, int column);
/* The figure as the cell shows it: "41 %", "+0.32", "4.6". Returns: (transfer full). */
char *rb_figure_text(RbMeasure measure, const RbMeasured *figure);
/* Where a value lies on the whisker's scale, 0 to 1. */
double rb_figure_place(RbMeasure measure, double value);
/* How far it is better (1) or worse (-1) than the team's own. */
double rb_figure_shade(RbMeasure measure, const RbMeasured *figure,
                       const RbMeasured *own);
/* "Smash against Cover 2: success 41 %, 17 dropbacks, 80 % interval 27 to 57 %, −0.3 points a
 * dropback." Returns: (transfer full). */
char *rb_pairing_view_text(const RbPairingView *view, int row, int column);
