/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/agreement.h"

#include <glib.h>
#include <math.h>

/* A table of counts as shares, with its margins. */
typedef struct {
    int n;
    double total;
    double *cells;   /* owned */
    double *rows;    /* owned */
    double *columns; /* owned */
} Shares;

static Shares shares_of(const int *counts, int n)
{
    Shares shares = { n, 0.0, g_new0(double, n *n + 1), g_new0(double, n + 1),
                      g_new0(double, n + 1) };
    for (int i = 0; i < n * n; i++) {
        shares.total += counts[i];
    }
    for (int i = 0; i < n * n && shares.total > 0.0; i++) {
        shares.cells[i] = counts[i] / shares.total;
        shares.rows[i / n] += shares.cells[i];
        shares.columns[i % n] += shares.cells[i];
    }
    return shares;
}

static void shares_clear(Shares *shares)
{
    g_free(shares->cells);
    g_free(shares->rows);
    g_free(shares->columns);
}

static double weight_of(const double *weights, int n, int i, int j)
{
    return weights != NULL ? weights[i * n + j] : i != j;
}

static void find_kappa(const Shares *shares, const double *weights, RbKappa *kappa)
{
    const int n = shares->n;
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            const double weight = weight_of(weights, n, i, j);
            kappa->observed += weight * shares->cells[i * n + j];
            kappa->expected += weight * shares->rows[i] * shares->columns[j];
        }
    }
}

/* J. L. Fleiss, J. Cohen, B. S. Everitt, Psychological Bulletin 72, 1969, 323-327, with
 * weights of disagreement d: agreement is 1 - d, and their margins' means likewise. */
static void find_errors(const Shares *shares, const double *weights, RbKappa *kappa)
{
    const int n = shares->n;
    const double short_of = 1.0 - kappa->kappa;
    g_autofree double *by_row = g_new0(double, n);
    g_autofree double *by_column = g_new0(double, n);
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            const double weight = weight_of(weights, n, i, j);
            by_row[i] += weight * shares->columns[j];
            by_column[j] += weight * shares->rows[i];
        }
    }
    double sum = 0.0;
    double sum_by_chance = 0.0;
    for (int i = 0; i < n; i++) {
        for (int j = 0; j < n; j++) {
            const double weight = weight_of(weights, n, i, j);
            const double chance = by_row[i] + by_column[j];
            const double off = weight - chance * short_of;
            sum += shares->cells[i * n + j] * off * off;
            sum_by_chance += shares->rows[i] * shares->columns[j] * (weight - chance) *
                             (weight - chance);
        }
    }
    const double expected = kappa->expected;
    const double middle = expected * short_of; /* minus the mean of `off` */
    const double scale = expected * sqrt(shares->total);
    kappa->error = sqrt(fmax(0.0, sum - middle * middle)) / scale;
    kappa->error_by_chance = sqrt(fmax(0.0, sum_by_chance - expected * expected)) / scale;
}

bool rb_kappa_find(const int *counts, int n, const double *weights, RbKappa *kappa)
{
    RbKappa found = { 0 };
    Shares shares = shares_of(counts, n);
    find_kappa(&shares, weights, &found);
    const bool told = found.expected > 0.0;
    if (told) {
        found.kappa = 1.0 - found.observed / found.expected;
        find_errors(&shares, weights, &found);
        *kappa = found;
    }
    shares_clear(&shares);
    return told;
}

bool rb_kappa(const int *counts, int n, const double *weights, double *kappa)
{
    RbKappa found;
    if (!rb_kappa_find(counts, n, weights, &found)) {
        return false;
    }
    *kappa = found.kappa;
    return true;
}

bool rb_kappa_of_many(const int *counts, int units, int n, double *kappa)
{
    g_autofree double *totals = g_new0(double, n + 1);
    double all = 0.0;
    double agreed = 0.0;
    for (int unit = 0; unit < units; unit++) {
        double people = 0.0;
        double pairs = 0.0;
        for (int j = 0; j < n; j++) {
            const double count = counts[unit * n + j];
            people += count;
            pairs += count * (count - 1.0);
            totals[j] += count;
        }
        g_assert(people > 1.0);
        agreed += pairs / (people * (people - 1.0)) / units;
        all += people;
    }
    double expected = 0.0;
    for (int j = 0; j < n && all > 0.0; j++) {
        expected += totals[j] / all * totals[j] / all;
    }
    if (units == 0 || !(expected < 1.0)) {
        return false;
    }
    *kappa = (agreed - expected) / (1.0 - expected);
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
