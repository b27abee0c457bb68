/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Many comparisons at once. adjusted[i] is the smallest level at which p[i] is still rejected:
 * reject where adjusted[i] <= q. Both hold n values; order is kept. */
typedef enum {
    RB_ADJUST_DISCOVERY, /* false discovery rate: Y. Benjamini, Y. Hochberg, J. R. Statist.
                              Soc. B 57, 1995, 289-300: what the program flags by */
    RB_ADJUST_DEPENDENT, /* the same under any dependence: Y. Benjamini, D. Yekutieli, Annals
                              of Statistics 29, 2001, 1165-1188 */
    RB_ADJUST_BONFERRONI, /* this and the next two: no false alarm at all */
    RB_ADJUST_HOLM,       /* S. Holm, Scand. J. Statistics 6, 1979, 65-70 */
    RB_ADJUST_HOCHBERG,   /* Y. Hochberg, Biometrika 75, 1988, 800-802 */
} RbAdjust;

void rb_adjust(RbAdjust method, const double *p, int n, double *adjusted);

/* RB_ADJUST_DISCOVERY. */
void rb_benjamini_hochberg(const double *p, int n, double *adjusted);

/* The rate the program flags pairings at. */
#define RB_DISCOVERY_RATE 0.10
