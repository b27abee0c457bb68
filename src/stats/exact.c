/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/exact.h"

#include <glib.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>
#include <stdbool.h>

/* Equally likely tables differ by rounding: as R's fisher.test has it. */
static const double same = 1.0 + 1e-7;

/* Tables with the margins of one: the first count runs from `least` to `most`. */
typedef struct {
    int least;
    int most;
    int at;       /* the table's own */
    double *logs; /* owned: log of the ways to get each, up to a constant */
} Margins;

static double log_choose(int n, int k)
{
    return gsl_sf_lnchoose((unsigned)n, (unsigned)k);
}

static Margins margins_of(RbFourfold table)
{
    const int row = table.a + table.b;
    const int other = table.c + table.d;
    const int column = table.a + table.c;
    Margins margins = { .least = MAX(0, column - other),
                        .most = MIN(row, column),
                        .at = table.a };
    margins.logs = g_new(double, margins.most - margins.least + 1);
    for (int k = margins.least; k <= margins.most; k++) {
        margins.logs[k - margins.least] =
            log_choose(row, k) + log_choose(other, column - k);
    }
    return margins;
}

/* What the counts are worth at an odds ratio: probabilities of up to `at`, from `at`, and the
 * mean count. */
typedef struct {
    double up_to;
    double from;
    double mean;
} Weighed;

static double weight_at(const Margins *margins, int k, double log_odds, double most)
{
    return exp(margins->logs[k - margins->least] + k * log_odds - most);
}

static Weighed weigh(const Margins *margins, double log_odds)
{
    Weighed weighed = { 0 };
    double most = -HUGE_VAL;
    double sum = 0.0;
    for (int k = margins->least; k <= margins->most; k++) {
        most = fmax(most, margins->logs[k - margins->least] + k * log_odds);
    }
    for (int k = margins->least; k <= margins->most; k++) {
        const double weight = weight_at(margins, k, log_odds, most);
        sum += weight;
        weighed.mean += k * weight;
        weighed.up_to += k <= margins->at ? weight : 0.0;
        weighed.from += k >= margins->at ? weight : 0.0;
    }
    return (Weighed){ weighed.up_to / sum, weighed.from / sum, weighed.mean / sum };
}

static double two_sided(const Margins *margins)
{
    double most = -HUGE_VAL;
    double sum = 0.0;
    double extreme = 0.0;
    for (int k = margins->least; k <= margins->most; k++) {
        most = fmax(most, margins->logs[k - margins->least]);
    }
    const double own = weight_at(margins, margins->at, 0.0, most);
    for (int k = margins->least; k <= margins->most; k++) {
        const double weight = weight_at(margins, k, 0.0, most);
        sum += weight;
        extreme += weight <= own * same ? weight : 0.0;
    }
    return extreme / sum;
}

typedef double (*Rising)(const Margins *margins, double log_odds);

static double mean_at(const Margins *margins, double log_odds)
{
    return weigh(margins, log_odds).mean;
}

static double from_at(const Margins *margins, double log_odds)
{
    return weigh(margins, log_odds).from;
}

static double minus_up_to_at(const Margins *margins, double log_odds)
{
    return -weigh(margins, log_odds).up_to;
}

/* The odds ratio at which a function that rises with it has a value. */
static double solve(const Margins *margins, Rising function, double wanted)
{
    double low = -60.0;
    double high = 60.0;
    while (high - low > 1e-13) {
        const double middle = (low + high) / 2.0;
        if (function(margins, middle) < wanted) {
            low = middle;
        } else {
            high = middle;
        }
        if (middle == low && middle == high) {
            break;
        }
    }
    return exp((low + high) / 2.0);
}

void rb_exact_test(RbFourfold table, RbExact *exact)
{
    static const double tail = 0.025;
    g_assert(table.a >= 0 && table.b >= 0 && table.c >= 0 && table.d >= 0);
    const Margins margins = margins_of(table);
    const Weighed even = weigh(&margins, 0.0);
    const bool lowest = margins.at == margins.least;
    const bool highest = margins.at == margins.most;
    exact->greater = fmin(1.0, even.from);
    exact->less = fmin(1.0, even.up_to);
    exact->two_sided = fmin(1.0, two_sided(&margins));
    exact->low = lowest ? 0.0 : solve(&margins, from_at, tail);
    exact->high = highest ? INFINITY : solve(&margins, minus_up_to_at, -tail);
    if (lowest && highest) {
        exact->odds = 1.0;
    } else if (lowest || highest) {
        exact->odds = lowest ? 0.0 : INFINITY;
    } else {
        exact->odds = solve(&margins, mean_at, margins.at);
    }
    g_free(margins.logs);
}
