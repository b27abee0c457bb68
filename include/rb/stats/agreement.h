/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

/* How far two or more people agree when they tag the same snaps. 1: always; 0: no more than
 * chance would bring; below 0: less. */

/* Two people. counts: n x n, row by row: how often the first said i and the second j. weights:
 * (nullable): n x n, the weight of a disagreement, 0 on the diagonal; NULL: every one counts
 * the same. J. Cohen, Educ. Psychol. Meas. 20, 1960, 37-46, and Psychol. Bulletin 70, 1968,
 * 213-220. False when chance alone would make them agree (one value only, or none). */
bool rb_kappa(const int *counts, int n, const double *weights, double *kappa);

/* The same with what it is made of and how far it may be off. */
typedef struct {
    double kappa;
    double observed; /* disagreement seen: share, or mean weight */
    double expected; /* what chance would bring */
    double error;    /* standard error of kappa */
    double
        error_by_chance; /* its standard error if only chance agreed: kappa over it is z */
} RbKappa;

bool rb_kappa_find(const int *counts, int n, const double *weights, RbKappa *kappa);

/* More than two people who need not be the same for each snap. counts: units x n, row by row:
 * how many said each value; at least two people a unit. J. L. Fleiss, Psychological Bulletin
 * 76, 1971, 378-382. False as above. */
bool rb_kappa_of_many(const int *counts, int units, int n, double *kappa);

/* What a step between two values weighs. */
typedef enum {
    RB_SCALE_NOMINAL,  /* any two values differ alike: coverages, verdicts */
    RB_SCALE_ORDINAL,  /* by how many lie between: read numbers */
    RB_SCALE_INTERVAL, /* by their difference squared: cushions */
} RbScale;

#define RB_MISSING (-1)

/* Any number of people, snaps that some left out. values: people x units, row by row, from 0
 * up to, not including, n_values; RB_MISSING where not tagged. K. Krippendorff, "Content
 * Analysis", chapter 12. False when no unit has two values, or only one value occurs. */
bool rb_alpha(const int *values, int people, int units, int n_values, RbScale scale,
              double *alpha);
