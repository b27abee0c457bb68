/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/agreement.h"

#include <glib.h>

bool rb_kappa(const int *counts, int n, const double *weights, double *kappa)
{
    g_autofree double *rows = g_new0(double, n);
    g_autofree double *columns = g_new0(double, n);
    double total = 0.0;
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            rows[i] += counts[i * n + j];
            columns[j] += counts[i * n + j];
            total += counts[i * n + j];
        }
    }
    double observed = 0.0;
    double expected = 0.0;
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            const double weight = weights != NULL ? weights[i * n + j] : i != j;
            observed += weight * counts[i * n + j];
            expected += weight * rows[i] * columns[j];
        }
    }
    if (!(expected > 0.0)) {
        return false;
    }
    *kappa = 1.0 - observed * total / expected;
    return true;
}

/* Squared distance of two values. totals: how often each value occurs in pairs. */
static double distance(RbScale scale, const double *totals, int a, int b)
{
    switch (scale) {
    case RB_SCALE_NOMINAL:
        return a != b;
    case RB_SCALE_INTERVAL:
        return (double)(a - b) * (a - b);
    case RB_SCALE_ORDINAL:
        break;
    }
    double between = -(totals[a] + totals[b]) / 2.0;
    for (int value = MIN(a, b); value <= MAX(a, b); value++) {
        between += totals[value];
    }
    return a != b ? between * between : 0.0;
}

/* Adds the pairs of one unit; a unit with one value or none has no pairs. */
static void add_unit(const int *values, int people, int units, int unit, int n_values,
                     double *pairs)
{
    int told = 0;
    for (int i = 0; i < people; i++) {
        told += values[i * units + unit] != RB_MISSING;
    }
    for (int i = 0; i < people && told > 1; i++) {
        for (int j = 0; j < people; j++) {
            const int a = values[i * units + unit];
            const int b = values[j * units + unit];
            if (i != j && a != RB_MISSING && b != RB_MISSING) {
                g_assert(a >= 0 && a < n_values && b >= 0 && b < n_values);
                pairs[a * n_values + b] += 1.0 / (told - 1);
            }
        }
    }
}

bool rb_alpha(const int *values, int people, int units, int n_values, RbScale scale,
              double *alpha)
{
    g_autofree double *pairs = g_new0(double, (gsize)n_values *(gsize)n_values);
    g_autofree double *totals = g_new0(double, n_values);
    for (int unit = 0; unit < units; unit++) {
        add_unit(values, people, units, unit, n_values, pairs);
    }
    double n = 0.0;
    for (int a = 0; a < n_values; a++) {
        for (int b = 0; b < n_values; b++) {
            totals[a] += pairs[a * n_values + b];
        }
        n += totals[a];
    }
    double observed = 0.0;
    double expected = 0.0;
    for (int a = 0; a < n_values; a++) {
        for (int b = 0; b < n_values; b++) {
            const double apart = distance(scale, totals, a, b);
            observed += pairs[a * n_values + b] * apart;
            expected += totals[a] * totals[b] * apart;
        }
    }
    if (!(expected > 0.0)) {
        return false;
    }
    *alpha = 1.0 - (n - 1.0) * observed / expected;
    return true;
}
