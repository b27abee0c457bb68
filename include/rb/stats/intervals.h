/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Intervals for proportions. level: 0.8, 0.95. n above 0.
 * E. B. Wilson, JASA 22, 1927, 209-212. */
void rb_interval_wilson(int x, int n, double level, double *low, double *high);

/* Difference of two independent proportions, method 10 of R. G. Newcombe, Statistics in
 * Medicine 17, 1998, 873-890 (hybrid score). */
void rb_interval_newcombe(int x1, int n1, int x2, int n2, double level, double *low,
                          double *high);
