/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Intervals for proportions. level: 0.8, 0.95. n above 0.
 * E. B. Wilson, JASA 22, 1927, 209-212: the one that the program shows. */
void rb_interval_wilson(int x, int n, double level, double *low, double *high);

/* The others that R. G. Newcombe compares with it, Statistics in Medicine 17, 1998, 857-872,
 * for a staff member who asks why this one. */
typedef enum {
    RB_INTERVAL_WILSON,
    RB_INTERVAL_WILSON_CORRECTED, /* for continuity */
    RB_INTERVAL_EXACT,         /* C. Clopper, E. Pearson, Biometrika 26, 1934, 404-413 */
    RB_INTERVAL_MID_P,         /* the same with half the probability of x itself */
    RB_INTERVAL_JEFFREYS,      /* beta prior of 1/2 and 1/2; 0 at x = 0, 1 at x = n */
    RB_INTERVAL_WALD,          /* x/n plus and minus: may leave 0 to 1 */
    RB_INTERVAL_AGRESTI_COULL, /* the same about Wilson's middle: may leave it too */
} RbIntervalMethod;

void rb_interval(RbIntervalMethod method, int x, int n, double level, double *low,
                 double *high);

/* Difference of two independent proportions, method 10 of R. G. Newcombe, Statistics in
 * Medicine 17, 1998, 873-890 (hybrid score). */
void rb_interval_newcombe(int x1, int n1, int x2, int n2, double level, double *low,
                          double *high);
/* Method 11: the same from intervals corrected for continuity. */
void rb_interval_newcombe_corrected(int x1, int n1, int x2, int n2, double level,
                                    double *low, double *high);
