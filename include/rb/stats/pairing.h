/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/columns.h"

/* The pairing table: each concept against each coverage. */
typedef struct {
    RbConceptId concept;
    RbTermId coverage;
    int dropbacks;
    int successes;
    int pointed;   /* how many of them have points */
    double points; /* sum */
    double points_squared;
    int yards;
    double yards_squared;
    int completions;
    int attempts;
    int explosive; /* gains of 16 yards or more */
    int sacks;
    int interceptions;
    int pressured;
    int right;  /* on-read and sound */
    int judged; /* verdict other than ungraded and spoiled */
} RbTally;

typedef struct {
    RbTally *cells; /* owned: sorted by concept's then coverage's total, most first */
    int n_cells;
    RbTally *concepts; /* owned: margins, coverage 0 */
    int n_concepts;
    RbTally *coverages; /* owned: margins, concept 0 */
    int n_coverages;
    RbTally all;
    int untagged; /* dropbacks left out: concept or coverage not tagged */
} RbPairings;

#define RB_PAIRING_MIN 5 /* under this a pairing is shown but never ranked or coloured */

/* All rows in one, those that are not tagged too. Only rows with in_ladder count. */
void rb_tally_rows(const RbDropback *rows, int n, RbTally *tally);

/* Only rows with in_ladder count. */
void rb_pairings_build(const RbDropback *rows, int n, RbPairings *pairings);
void rb_pairings_clear(RbPairings *pairings);
/* Returns: (transfer none) (nullable). */
const RbTally *rb_pairings_find(const RbPairings *pairings, RbConceptId concept,
                                RbTermId coverage);
