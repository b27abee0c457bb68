/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/multiple.h"

#include <glib.h>
#include <gsl/gsl_sort.h>

void rb_benjamini_hochberg(const double *p, int n, double *adjusted)
{
    if (n <= 0) {
        return;
    }
    g_autofree size_t *order = g_new(size_t, n);
    gsl_sort_index(order, p, 1, (size_t)n);
    double least = 1.0;
    for (int rank = n; rank >= 1; rank--) {
        const size_t i = order[rank - 1];
        g_assert(p[i] >= 0.0 && p[i] <= 1.0);
        least = MIN(least, p[i] * n / rank);
        adjusted[i] = least;
    }
}
