/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/stats/measure.h"

#include <glib/gi18n-lib.h>
#include <gsl/gsl_cdf.h>
#include <math.h>

#include "rb/stats/exact.h"
#include "rb/stats/intervals.h"
#include "rb/stats/multiple.h"

/* clang-format off */
static const RbWord measure_words[] = {
    [RB_MEASURE_SUCCESS] = { "success", N_("Success") },
    [RB_MEASURE_POINTS] = { "points", N_("Points") },
    [RB_MEASURE_YARDS] = { "yards", N_("Yards") },
    [RB_MEASURE_COMPLETION] = { "completion", N_("Completion") },
    [RB_MEASURE_EXPLOSIVE] = { "explosive", N_("Explosive") },
    [RB_MEASURE_SACK] = { "sack", N_("Sack") },
    [RB_MEASURE_INTERCEPTION] = { "interception", N_("Interception") },
    [RB_MEASURE_PRESSURE] = { "pressure", N_("Pressure") },
    [RB_MEASURE_RIGHT] = { "right-decision", N_("Right decision") },
};
/* clang-format on */
G_STATIC_ASSERT(G_N_ELEMENTS(measure_words) == RB_MEASURES);
const RbWords rb_measure_words = { N_("measure"), measure_words, RB_MEASURES };

#define LEVEL 0.8

bool rb_measure_is_rate(RbMeasure measure)
{
    return measure != RB_MEASURE_POINTS && measure != RB_MEASURE_YARDS;
}

bool rb_measure_more_is_better(RbMeasure measure)
{
    return measure != RB_MEASURE_SACK && measure != RB_MEASURE_INTERCEPTION &&
           measure != RB_MEASURE_PRESSURE;
}

void rb_measure_count(RbMeasure measure, const RbTally *tally, int *x, int *n)
{
    const struct {
        int x;
        int n;
    } counts[RB_MEASURES] = {
        [RB_MEASURE_SUCCESS] = { tally->successes, tally->dropbacks },
        [RB_MEASURE_POINTS] = { 0, tally->pointed },
        [RB_MEASURE_YARDS] = { 0, tally->dropbacks },
        [RB_MEASURE_COMPLETION] = { tally->completions, tally->attempts },
        [RB_MEASURE_EXPLOSIVE] = { tally->explosive, tally->dropbacks },
        [RB_MEASURE_SACK] = { tally->sacks, tally->dropbacks },
        [RB_MEASURE_INTERCEPTION] = { tally->interceptions, tally->attempts },
        [RB_MEASURE_PRESSURE] = { tally->pressured, tally->dropbacks },
        [RB_MEASURE_RIGHT] = { tally->right, tally->judged },
    };
    *x = counts[measure].x;
    *n = counts[measure].n;
}

/* Sum and sum of squares of a mean's values. */
static void sums_of(RbMeasure measure, const RbTally *tally, double *sum, double *squares)
{
    const bool points = measure == RB_MEASURE_POINTS;
    *sum = points ? tally->points : tally->yards;
    *squares = points ? tally->points_squared : tally->yards_squared;
}

bool rb_measure_value(RbMeasure measure, const RbTally *tally, double *value)
{
    int x = 0;
    int n = 0;
    double sum = 0.0;
    double squares = 0.0;
    rb_measure_count(measure, tally, &x, &n);
    sums_of(measure, tally, &sum, &squares);
    *value = n > 0 ? (rb_measure_is_rate(measure) ? x : sum) / n : 0.0;
    return n > 0;
}

/* Of n values, at least two: never below 0, however the sums were rounded. */
static double variance_of(double sum, double squares, int n)
{
    return MAX(0.0, (squares - sum * sum / n) / (n - 1));
}

void rb_measure_figure(RbMeasure measure, const RbTally *tally, RbMeasured *figure)
{
    int x = 0;
    *figure = (RbMeasured){ .adjusted = 1.0 };
    rb_measure_count(measure, tally, &x, &figure->n);
    figure->known = rb_measure_value(measure, tally, &figure->raw);
    figure->shown = figure->raw;
    if (!figure->known) {
        return;
    }
    if (rb_measure_is_rate(measure)) {
        figure->has_interval = true;
        rb_interval_wilson(x, figure->n, LEVEL, &figure->low, &figure->high);
    } else if (figure->n > 1) {
        double sum = 0.0;
        double squares = 0.0;
        sums_of(measure, tally, &sum, &squares);
        const double error = sqrt(variance_of(sum, squares, figure->n) / figure->n);
        const double t = gsl_cdf_tdist_Pinv(0.5 + LEVEL / 2.0, figure->n - 1);
        figure->has_interval = true;
        figure->low = figure->raw - t * error;
        figure->high = figure->raw + t * error;
    }
}

static bool means_difference(RbMeasure measure, const RbTally *first,
                             const RbTally *second, double level, double *low,
                             double *high)
{
    const RbTally *const sides[] = { first, second };
    double means[2];
    double errors[2]; /* squared */
    double freedom = 0.0;
    for (int i = 0; i < 2; i++) {
        int x = 0;
        int n = 0;
        double sum = 0.0;
        double squares = 0.0;
        rb_measure_count(measure, sides[i], &x, &n);
        if (n < 2) {
            return false;
        }
        sums_of(measure, sides[i], &sum, &squares);
        means[i] = sum / n;
        errors[i] = variance_of(sum, squares, n) / n;
        freedom += errors[i] * errors[i] / (n - 1);
    }
    const double error = errors[0] + errors[1];
    double t = 0.0;
    if (error > 0.0) {
        t = gsl_cdf_tdist_Pinv(0.5 + level / 2.0, error * error / freedom);
    }
    *low = means[0] - means[1] - t * sqrt(error);
    *high = means[0] - means[1] + t * sqrt(error);
    return true;
}

bool rb_measure_difference(RbMeasure measure, const RbTally *first, const RbTally *second,
                           double level, double *low, double *high)
{
    *low = 0.0;
    *high = 0.0;
    if (!rb_measure_is_rate(measure)) {
        return means_difference(measure, first, second, level, low, high);
    }
    int x1 = 0;
    int n1 = 0;
    int x2 = 0;
    int n2 = 0;
    rb_measure_count(measure, first, &x1, &n1);
    rb_measure_count(measure, second, &x2, &n2);
    if (n1 == 0 || n2 == 0) {
        return false;
    }
    rb_interval_newcombe(x1, n1, x2, n2, level, low, high);
    return true;
}

/* Probability of a rate of the cell as bad as this, or worse, if it were as the rest's. */
static double test_rates(bool more_is_better, int x, int n, int rest_x, int rest_n)
{
    RbExact exact;
    rb_exact_test((RbFourfold){ x, n - x, rest_x, rest_n - rest_x }, &exact);
    return CLAMP(more_is_better ? exact.less : exact.greater, 0.0, 1.0);
}

/* The same for a mean. */
static double test_means(RbMeasure measure, const RbTally *cell, const RbTally *all)
{
    int x = 0;
    int n = 0;
    int n_all = 0;
    double sum = 0.0;
    double squares = 0.0;
    double sum_all = 0.0;
    double squares_all = 0.0;
    rb_measure_count(measure, cell, &x, &n);
    rb_measure_count(measure, all, &x, &n_all);
    sums_of(measure, cell, &sum, &squares);
    sums_of(measure, all, &sum_all, &squares_all);
    const int m = n_all - n;
    if (n < 2 || m < 2) {
        return 1.0;
    }
    const double a = variance_of(sum, squares, n) / n;
    const double b = variance_of(sum_all - sum, squares_all - squares, m) / m;
    if (!(a + b > 0.0)) {
        return 1.0; /* all values alike: nothing to tell apart */
    }
    const double t = (sum / n - (sum_all - sum) / m) / sqrt(a + b);
    const double freedom = (a + b) * (a + b) / (a * a / (n - 1) + b * b / (m - 1));
    return gsl_cdf_tdist_P(t, freedom);
}

static void flag_cells(const RbPairings *pairings, RbMeasure measure, RbMeasured *figures)
{
    const int n_cells = pairings->n_cells;
    g_autofree double *p = g_new(double, n_cells + 1);
    g_autofree double *adjusted = g_new(double, n_cells + 1);
    g_autofree int *cell_of = g_new(int, n_cells + 1);
    const bool more = rb_measure_more_is_better(measure);
    int tested = 0;
    int x_all = 0;
    int n_all = 0;
    rb_measure_count(measure, &pairings->all, &x_all, &n_all);
    for (int k = 0; k < n_cells; k++) {
        const RbTally *cell = &pairings->cells[k];
        int x = 0;
        int n = 0;
        rb_measure_count(measure, cell, &x, &n);
        if (cell->dropbacks < RB_PAIRING_MIN || n == 0) {
            continue;
        }
        p[tested] = rb_measure_is_rate(measure)
                        ? test_rates(more, x, n, x_all - x, n_all - n)
                        : test_means(measure, cell, &pairings->all);
        cell_of[tested++] = k;
    }
    rb_benjamini_hochberg(p, tested, adjusted);
    for (int i = 0; i < tested; i++) {
        figures[cell_of[i]].adjusted = adjusted[i];
        figures[cell_of[i]].flagged = adjusted[i] <= RB_DISCOVERY_RATE;
    }
}

static int row_of(const RbPairings *pairings, const RbTally *cell)
{
    int row = 0;
    while (pairings->concepts[row].concept.value != cell->concept.value) {
        row++;
    }
    return row;
}

static int column_of(const RbPairings *pairings, const RbTally *cell)
{
    int column = 0;
    while (pairings->coverages[column].coverage.value != cell->coverage.value) {
        column++;
    }
    return column;
}

/* The rates of the cells that have one, estimated together. */
static void shrink_rates(const RbPairings *pairings, RbMeasure measure,
                         RbMeasured *figures)
{
    g_autofree RbCrossedCell *cells = g_new(RbCrossedCell, pairings->n_cells + 1);
    g_autofree RbEstimate *estimates = g_new(RbEstimate, pairings->n_cells + 1);
    const bool more = rb_measure_more_is_better(measure);
    int n_cells = 0;
    for (int k = 0; k < pairings->n_cells; k++) {
        if (figures[k].known) {
            RbCrossedCell *cell = &cells[n_cells++];
            cell->row = row_of(pairings, &pairings->cells[k]);
            cell->column = column_of(pairings, &pairings->cells[k]);
            rb_measure_count(measure, &pairings->cells[k], &cell->x, &cell->n);
        }
    }
    rb_crossed_estimate(cells, n_cells, estimates);
    const RbEstimate *estimate = estimates;
    for (int k = 0; k < pairings->n_cells; k++) {
        if (figures[k].known) {
            figures[k].shown = estimate->mean;
            figures[k].low = estimate->low;
            figures[k].high = estimate->high;
            /* A mixture's weights sum to 1 only as far as doubles do. */
            const double below = CLAMP(estimate->below, 0.0, 1.0);
            figures[k].below = more ? below : 1.0 - below;
            estimate++;
        }
    }
}

void rb_pairings_measure(const RbPairings *pairings, RbMeasure measure,
                         RbMeasured *figures)
{
    for (int k = 0; k < pairings->n_cells; k++) {
        rb_measure_figure(measure, &pairings->cells[k], &figures[k]);
    }
    if (rb_measure_is_rate(measure)) {
        shrink_rates(pairings, measure, figures);
    }
    flag_cells(pairings, measure, figures);
}
