/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/intervals.h"

#include <glib.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <math.h>

static double normal_quantile(double level)
{
    g_assert(level > 0.0 && level < 1.0);
    return gsl_cdf_ugaussian_Pinv(0.5 + level / 2.0);
}

void rb_interval_wilson(int x, int n, double level, double *low, double *high)
{
    g_assert(n > 0 && x >= 0 && x <= n);
    const double z = normal_quantile(level);
    const double p = (double)x / n;
    const double scale = 1.0 + z * z / n;
    const double middle = (p + z * z / (2.0 * n)) / scale;
    const double half = z / scale * sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
    /* Exactly 0 and 1 at the ends, where rounding would leave a crumb. */
    *low = x == 0 ? 0.0 : middle - half;
    *high = x == n ? 1.0 : middle + half;
}

static void wilson_corrected(int x, int n, double z, double *low, double *high)
{
    const double p = (double)x / n;
    const double middle = 2.0 * x + z * z;
    const double scale = 2.0 * (n + z * z);
    const double below = z * z - 2.0 - 1.0 / n + 4.0 * p * (n * (1.0 - p) + 1.0);
    const double above = z * z + 2.0 - 1.0 / n + 4.0 * p * (n * (1.0 - p) - 1.0);
    *low = x == 0 ? 0.0 : fmax(0.0, (middle - 1.0 - z * sqrt(below)) / scale);
    *high = x == n ? 1.0 : fmin(1.0, (middle + 1.0 + z * sqrt(above)) / scale);
}

static void exact(int x, int n, double tail, double *low, double *high)
{
    *low = x == 0 ? 0.0 : gsl_cdf_beta_Pinv(tail, x, n - x + 1.0);
    *high = x == n ? 1.0 : gsl_cdf_beta_Pinv(1.0 - tail, x + 1.0, n - x);
}

/* Probability of fewer than x, and half of x itself. */
static double mid_p_below(int x, int n, double p)
{
    const double fewer =
        x > 0 ? gsl_cdf_binomial_P((unsigned)x - 1, p, (unsigned)n) : 0.0;
    return fewer + gsl_ran_binomial_pdf((unsigned)x, p, (unsigned)n) / 2.0;
}

/* The rate at which that probability is `wanted`; it falls as the rate grows. */
static double mid_p_end(int x, int n, double wanted)
{
    double low = 0.0;
    double high = 1.0;
    while (high - low > 1e-14) {
        const double middle = (low + high) / 2.0;
        if (mid_p_below(x, n, middle) > wanted) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return (low + high) / 2.0;
}

static void jeffreys(int x, int n, double tail, double *low, double *high)
{
    *low = x == 0 ? 0.0 : gsl_cdf_beta_Pinv(tail, x + 0.5, n - x + 0.5);
    *high = x == n ? 1.0 : gsl_cdf_beta_Pinv(1.0 - tail, x + 0.5, n - x + 0.5);
}

/* p plus and minus, as of `n` tries. */
static void around(double p, double n, double z, double *low, double *high)
{
    const double half = z * sqrt(p * (1.0 - p) / n);
    *low = p - half;
    *high = p + half;
}

void rb_interval(RbIntervalMethod method, int x, int n, double level, double *low,
                 double *high)
{
    g_assert(n > 0 && x >= 0 && x <= n);
    const double z = normal_quantile(level);
    const double tail = (1.0 - level) / 2.0;
    switch (method) {
    case RB_INTERVAL_WILSON:
        rb_interval_wilson(x, n, level, low, high);
        return;
    case RB_INTERVAL_WILSON_CORRECTED:
        wilson_corrected(x, n, z, low, high);
        return;
    case RB_INTERVAL_EXACT:
        exact(x, n, tail, low, high);
        return;
    case RB_INTERVAL_MID_P:
        *low = x == 0 ? 0.0 : mid_p_end(x, n, 1.0 - tail);
        *high = x == n ? 1.0 : mid_p_end(x, n, tail);
        return;
    case RB_INTERVAL_JEFFREYS:
        jeffreys(x, n, tail, low, high);
        return;
    case RB_INTERVAL_WALD:
        around((double)x / n, n, z, low, high);
        return;
    case RB_INTERVAL_AGRESTI_COULL:
        around((x + z * z / 2.0) / (n + z * z), n + z * z, z, low, high);
        return;
    }
}

static void difference(RbIntervalMethod method, const int x[2], const int n[2],
                       double level, double *low, double *high)
{
    double lows[2] = { 0 };
    double highs[2] = { 0 };
    double p[2] = { 0 };
    for (int i = 0; i < 2; i++) {
        rb_interval(method, x[i], n[i], level, &lows[i], &highs[i]);
        p[i] = (double)x[i] / n[i];
    }
    *low = p[0] - p[1] - hypot(p[0] - lows[0], highs[1] - p[1]);
    *high = p[0] - p[1] + hypot(highs[0] - p[0], p[1] - lows[1]);
}

void rb_interval_newcombe(int x1, int n1, int x2, int n2, double level, double *low,
                          double *high)
{
    difference(RB_INTERVAL_WILSON, (const int[2]){ x1, x2 }, (const int[2]){ n1, n2 },
               level, low, high);
}

void rb_interval_newcombe_corrected(int x1, int n1, int x2, int n2, double level,
                                    double *low, double *high)
{
    difference(RB_INTERVAL_WILSON_CORRECTED, (const int[2]){ x1, x2 },
               (const int[2]){ n1, n2 }, level, low, high);
}
