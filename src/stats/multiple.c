/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/multiple.h"

#include <glib.h>
#include <gsl/gsl_sort.h>

/* What the p-value of a rank (from 1, the smallest) is multiplied by. */
static double factor_of(RbAdjust method, int n, int rank)
{
    double harmonic = 1.0;
    switch (method) {
    case RB_ADJUST_DISCOVERY:
        return (double)n / rank;
    case RB_ADJUST_DEPENDENT:
        for (int i = 2; i <= n; i++) {
            harmonic += 1.0 / i;
        }
        return harmonic * n / rank;
    case RB_ADJUST_BONFERRONI:
        return n;
    case RB_ADJUST_HOLM:
    case RB_ADJUST_HOCHBERG:
        break;
    }
    return n - rank + 1;
}

/* From the smallest up, what is rejected later never before what is rejected earlier. */
static void step_down(RbAdjust method, const double *p, int n, const size_t *order,
                      double *adjusted)
{
    double most = 0.0;
    for (int rank = 1; rank <= n; rank++) {
        const size_t i = order[rank - 1];
        most = MAX(most, MIN(1.0, p[i] * factor_of(method, n, rank)));
        adjusted[i] = most;
    }
}

static void step_up(RbAdjust method, const double *p, int n, const size_t *order,
                    double *adjusted)
{
    double least = 1.0;
    for (int rank = n; rank >= 1; rank--) {
        const size_t i = order[rank - 1];
        least = MIN(least, p[i] * factor_of(method, n, rank));
        adjusted[i] = least;
    }
}

void rb_adjust(RbAdjust method, const double *p, int n, double *adjusted)
{
    if (n <= 0) {
        return;
    }
    for (int i = 0; i < n; i++) {
        g_assert(p[i] >= 0.0 && p[i] <= 1.0);
    }
    g_autofree size_t *order = g_new(size_t, n);
    gsl_sort_index(order, p, 1, (size_t)n);
    if (method == RB_ADJUST_BONFERRONI || method == RB_ADJUST_HOLM) {
        step_down(method, p, n, order, adjusted);
    } else {
        step_up(method, p, n, order, adjusted);
    }
}

void rb_benjamini_hochberg(const double *p, int n, double *adjusted)
{
    rb_adjust(RB_ADJUST_DISCOVERY, p, n, adjusted);
}
