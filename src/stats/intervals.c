/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/intervals.h"

#include <glib.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

void rb_interval_wilson(int x, int n, double level, double *low, double *high)
{
    g_assert(n > 0 && x >= 0 && x <= n);
    g_assert(level > 0.0 && level < 1.0);
    const double z = gsl_cdf_ugaussian_Pinv(0.5 + level / 2.0);
    const double p = (double)x / n;
    const double scale = 1.0 + z * z / n;
    const double middle = (p + z * z / (2.0 * n)) / scale;
    const double half = z / scale * sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
    /* Exactly 0 and 1 at the ends, where rounding would leave a crumb. */
    *low = x == 0 ? 0.0 : middle - half;
    *high = x == n ? 1.0 : middle + half;
}

void rb_interval_newcombe(int x1, int n1, int x2, int n2, double level, double *low,
                          double *high)
{
    double low1 = 0.0;
    double high1 = 0.0;
    double low2 = 0.0;
    double high2 = 0.0;
    rb_interval_wilson(x1, n1, level, &low1, &high1);
    rb_interval_wilson(x2, n2, level, &low2, &high2);
    const double p1 = (double)x1 / n1;
    const double p2 = (double)x2 / n2;
    *low = p1 - p2 - hypot(p1 - low1, high2 - p2);
    *high = p1 - p2 + hypot(high1 - p1, p2 - low2);
}
