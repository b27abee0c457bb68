/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/stats/estimate.h"
#include "rb/stats/pairing.h"

/* What a pairing table can show of its cells. */
typedef enum {
    RB_MEASURE_SUCCESS,      /* of dropbacks */
    RB_MEASURE_POINTS,       /* expected points added a dropback that has points */
    RB_MEASURE_YARDS,        /* a dropback */
    RB_MEASURE_COMPLETION,   /* of attempts */
    RB_MEASURE_EXPLOSIVE,    /* of dropbacks */
    RB_MEASURE_SACK,         /* of dropbacks */
    RB_MEASURE_INTERCEPTION, /* of attempts */
    RB_MEASURE_PRESSURE,     /* of dropbacks */
    RB_MEASURE_RIGHT,        /* on-read and sound, of those judged */
    RB_MEASURES,
} RbMeasure;
extern const RbWords rb_measure_words;

/* False for points and yards, which are means. */
bool rb_measure_is_rate(RbMeasure measure);
/* False for sacks, interceptions and pressure. */
bool rb_measure_more_is_better(RbMeasure measure);
/* What the rate is of: x of n. For a mean x is 0. */
void rb_measure_count(RbMeasure measure, const RbTally *tally, int *x, int *n);
/* The plain rate or mean; false when there is nothing to divide by. */
bool rb_measure_value(RbMeasure measure, const RbTally *tally, double *value);

/* One cell under a measure. */
typedef struct {
    bool known; /* false: nothing to divide by; all below is 0 then */
    int n;      /* what the rate or mean is of */
    double raw; /* plain rate or mean */
    double
        shown;  /* rates: the estimate of rb_crossed_estimate(); means: the plain mean */
    double low; /* 80 % interval of it; has_interval false for a mean of one */
    double high;
    bool has_interval;
    double below;    /* probability that it is worse than the team's own; rates only */
    double adjusted; /* Benjamini-Hochberg; 1 where it was not tested */
    bool flagged;    /* worse than the rest of the team, at RB_DISCOVERY_RATE */
} RbMeasured;

/* A cell or margin by itself, not shrunk: rates by Wilson's interval, means by Student's t,
 * which takes two. Never flagged. */
void rb_measure_figure(RbMeasure measure, const RbTally *tally, RbMeasured *figure);

/* The interval of first less second, plain rates or means: rates by Newcombe's hybrid score
 * (method 10), means by Welch's t, which takes two values on each side. False when there is
 * none. level: 0.8, 0.95. */
bool rb_measure_difference(RbMeasure measure, const RbTally *first, const RbTally *second,
                           double level, double *low, double *high);

/* figures: one for each of pairings->cells, in their order. A cell of at least RB_PAIRING_MIN
 * dropbacks is tested against all others together: rates by Fisher's exact test, means by
 * Welch's (B. L. Welch, Biometrika 34, 1947, 28-35), one-sided. */
void rb_pairings_measure(const RbPairings *pairings, RbMeasure measure,
                         RbMeasured *figures);
