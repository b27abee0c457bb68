/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/estimate.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_min.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>
#include <string.h>

/* Grid of the spreads: so many values each, in the middle of equal shares of the prior. */
enum { SPREADS = 6, GRID = SPREADS * SPREADS * SPREADS };
static const double spread_scale = 0.6;
static const double spread_power = 1.6;
/* What Laplace's approximation and the coarse grid leave out of the width. */
static const double widening = 1.04;
static const double overall_scale = 2.5;

/* Newton's steps: the target is concave, so few are needed from a neighbour's solution. */
enum { STEPS_MAX = 100, HALVINGS_MAX = 30 };
static const double step_done = 1e-9;

/* One problem and the state of its fit. The cells' own effects are eliminated: given the shared
 * ones (overall, rows, columns) they are independent, so that only a small matrix is left. */
typedef struct {
    const RbCrossedCell *cells; /* borrowed */
    int n_cells;
    int n_rows;
    int n_columns;
    int n_shared;
    double known; /* part of the overall level that is not estimated */
    double overall_precision;
    double row_precision;
    double column_precision;
    double cell_precision;
    double *own;          /* owned: effect of each cell */
    gsl_vector *shared;   /* owned: overall, rows, columns */
    gsl_vector *gradient; /* owned */
    gsl_vector *step;     /* owned */
    gsl_vector *tried;    /* owned */
    double *own_tried;    /* owned */
    gsl_matrix
        *curvature; /* owned: of the shared effects, its Cholesky factor after use */
} Fit;

static double logistic(double x)
{
    return 1.0 / (1.0 + exp(-x));
}

/* log(1 + exp(x)) without overflow. */
static double log1p_exp(double x)
{
    return x > 0.0 ? x + log1p(exp(-x)) : log1p(exp(x));
}

static size_t row_index(const Fit *fit, int cell)
{
    return 1 + (size_t)fit->cells[cell].row;
}

static size_t column_index(const Fit *fit, int cell)
{
    return 1 + (size_t)fit->n_rows + (size_t)fit->cells[cell].column;
}

static double linear(const Fit *fit, const gsl_vector *shared, const double *own,
                     int cell)
{
    return fit->known + gsl_vector_get(shared, 0) +
           gsl_vector_get(shared, row_index(fit, cell)) +
           gsl_vector_get(shared, column_index(fit, cell)) + own[cell];
}

static double precision_of(const Fit *fit, int index)
{
    if (index == 0) {
        return fit->overall_precision;
    }
    return index <= fit->n_rows ? fit->row_precision : fit->column_precision;
}

static void fit_init(Fit *fit, const RbCrossedCell *cells, int n_cells)
{
    *fit = (Fit){ .cells = cells, .n_cells = n_cells };
    for (int k = 0; k < n_cells; k++) {
        g_assert(cells[k].n > 0 && cells[k].x >= 0 && cells[k].x <= cells[k].n);
        g_assert(cells[k].row >= 0 && cells[k].column >= 0);
        fit->n_rows = MAX(fit->n_rows, cells[k].row + 1);
        fit->n_columns = MAX(fit->n_columns, cells[k].column + 1);
    }
    fit->n_shared = 1 + fit->n_rows + fit->n_columns;
    const size_t n = (size_t)fit->n_shared;
    fit->own = g_new0(double, n_cells);
    fit->own_tried = g_new0(double, n_cells);
    fit->shared = gsl_vector_calloc(n);
    fit->gradient = gsl_vector_alloc(n);
    fit->step = gsl_vector_alloc(n);
    fit->tried = gsl_vector_alloc(n);
    fit->curvature = gsl_matrix_alloc(n, n);
}

static void fit_clear(Fit *fit)
{
    g_free(fit->own);
    g_free(fit->own_tried);
    gsl_vector_free(fit->shared);
    gsl_vector_free(fit->gradient);
    gsl_vector_free(fit->step);
    gsl_vector_free(fit->tried);
    gsl_matrix_free(fit->curvature);
}

/* Log-likelihood (without the binomial coefficients) and log prior, up to constants. */
static double target(const Fit *fit, const gsl_vector *shared, const double *own)
{
    double sum = 0.0;
    for (int k = 0; k < fit->n_cells; k++) {
        const double eta = linear(fit, shared, own, k);
        sum += fit->cells[k].x * eta - fit->cells[k].n * log1p_exp(eta);
        sum -= 0.5 * fit->cell_precision * own[k] * own[k];
    }
    for (int i = 0; i < fit->n_shared; i++) {
        const double value = gsl_vector_get(shared, (size_t)i);
        sum -= 0.5 * precision_of(fit, i) * value * value;
    }
    return sum;
}

/* Weight of a cell: the curvature of its likelihood at the present effects. */
static double weight_of(const Fit *fit, int cell)
{
    const double p = logistic(linear(fit, fit->shared, fit->own, cell));
    return fit->cells[cell].n * p * (1.0 - p);
}

static void add_to(gsl_matrix *matrix, size_t i, size_t j, double value)
{
    *gsl_matrix_ptr(matrix, i, j) += value;
}

/* Curvature of the shared effects with the cells' own integrated out. */
static void set_curvature(Fit *fit)
{
    gsl_matrix_set_zero(fit->curvature);
    for (int i = 0; i < fit->n_shared; i++) {
        gsl_matrix_set(fit->curvature, (size_t)i, (size_t)i, precision_of(fit, i));
    }
    for (int k = 0; k < fit->n_cells; k++) {
        const double weight = weight_of(fit, k);
        const double left = weight * fit->cell_precision / (weight + fit->cell_precision);
        const size_t at[3] = { 0, row_index(fit, k), column_index(fit, k) };
        for (int a = 0; a < 3; a++) {
            for (int b = 0; b < 3; b++) {
                add_to(fit->curvature, at[a], at[b], left);
            }
        }
    }
}

/* Newton's direction: fit->step for the shared effects, own_tried for the cells'. */
static void find_step(Fit *fit)
{
    for (int i = 0; i < fit->n_shared; i++) {
        gsl_vector_set(fit->gradient, (size_t)i,
                       -precision_of(fit, i) * gsl_vector_get(fit->shared, (size_t)i));
    }
    for (int k = 0; k < fit->n_cells; k++) {
        const double p = logistic(linear(fit, fit->shared, fit->own, k));
        const double residual = fit->cells[k].x - fit->cells[k].n * p;
        const double weight = fit->cells[k].n * p * (1.0 - p);
        const double own = residual - fit->cell_precision * fit->own[k];
        const double passed = residual - weight / (weight + fit->cell_precision) * own;
        *gsl_vector_ptr(fit->gradient, 0) += passed;
        *gsl_vector_ptr(fit->gradient, row_index(fit, k)) += passed;
        *gsl_vector_ptr(fit->gradient, column_index(fit, k)) += passed;
    }
    set_curvature(fit);
    gsl_linalg_cholesky_decomp1(fit->curvature);
    gsl_linalg_cholesky_solve(fit->curvature, fit->gradient, fit->step);
    for (int k = 0; k < fit->n_cells; k++) {
        const double p = logistic(linear(fit, fit->shared, fit->own, k));
        const double weight = fit->cells[k].n * p * (1.0 - p);
        const double own =
            fit->cells[k].x - fit->cells[k].n * p - fit->cell_precision * fit->own[k];
        const double moved = gsl_vector_get(fit->step, 0) +
                             gsl_vector_get(fit->step, row_index(fit, k)) +
                             gsl_vector_get(fit->step, column_index(fit, k));
        fit->own_tried[k] = (own - weight * moved) / (weight + fit->cell_precision);
    }
}

/* Goes `length` of the step; true if the target did not fall. */
static bool try_step(Fit *fit, const double *own_step, double length, double before)
{
    gsl_vector_memcpy(fit->tried, fit->shared);
    gsl_blas_daxpy(length, fit->step, fit->tried);
    for (int k = 0; k < fit->n_cells; k++) {
        fit->own_tried[k] = fit->own[k] + length * own_step[k];
    }
    return target(fit, fit->tried, fit->own_tried) >= before - 1e-12;
}

/* Finds the mode from the present effects; leaves the Cholesky factor of the curvature there. */
static void find_mode(Fit *fit)
{
    g_autofree double *own_step = g_new(double, fit->n_cells);
    double before = target(fit, fit->shared, fit->own);
    for (int step = 0; step < STEPS_MAX; step++) {
        find_step(fit);
        memcpy(own_step, fit->own_tried, (size_t)fit->n_cells * sizeof *own_step);
        double length = 1.0;
        for (int i = 0; i < HALVINGS_MAX && !try_step(fit, own_step, length, before);
             i++) {
            length /= 2.0;
        }
        gsl_vector_memcpy(fit->shared, fit->tried);
        memcpy(fit->own, fit->own_tried, (size_t)fit->n_cells * sizeof *own_step);
        const double after = target(fit, fit->shared, fit->own);
        if (after - before < step_done) {
            break;
        }
        before = after;
    }
    set_curvature(fit);
    gsl_linalg_cholesky_decomp1(fit->curvature);
}

static void set_spreads(Fit *fit, RbCrossedSpreads spreads)
{
    fit->row_precision = 1.0 / (spreads.rows * spreads.rows);
    fit->column_precision = 1.0 / (spreads.columns * spreads.columns);
    fit->cell_precision = 1.0 / (spreads.cells * spreads.cells);
}

/* Half the log determinant of the curvature of all effects, from the factor of the shared ones'
 * and the cells' own. */
static double half_log_determinant(const Fit *fit)
{
    double sum = 0.0;
    for (int i = 0; i < fit->n_shared; i++) {
        sum += log(gsl_matrix_get(fit->curvature, (size_t)i, (size_t)i));
    }
    for (int k = 0; k < fit->n_cells; k++) {
        sum += 0.5 * log(weight_of(fit, k) + fit->cell_precision);
    }
    return sum;
}

/* Log density of the data given the spreads, up to what no spread changes. */
static double log_marginal(const Fit *fit)
{
    return target(fit, fit->shared, fit->own) - half_log_determinant(fit) +
           0.5 * (fit->n_rows * log(fit->row_precision) +
                  fit->n_columns * log(fit->column_precision) +
                  fit->n_cells * log(fit->cell_precision));
}

/* Minus Laplace's log-likelihood at a known overall level. A precision that holds the
 * estimated part of it at zero takes it out of the determinant too. */
static double minus_likelihood(double overall, void *data)
{
    static const double held = 1e10;
    Fit *fit = data;
    fit->known = overall;
    fit->overall_precision = held;
    find_mode(fit);
    return -(log_marginal(fit) + 0.5 * log(held));
}

/* The overall level that is likeliest, near that of the joint mode. */
static double find_overall(Fit *fit)
{
    static const double reach = 1.0;
    find_mode(fit);
    const double start = gsl_vector_get(fit->shared, 0);
    gsl_vector_set(fit->shared, 0, 0.0);
    gsl_function function = { minus_likelihood, fit };
    gsl_min_fminimizer *search = gsl_min_fminimizer_alloc(gsl_min_fminimizer_brent);
    gsl_min_fminimizer_set(search, &function, start, start - reach, start + reach);
    for (int i = 0; i < STEPS_MAX; i++) {
        gsl_min_fminimizer_iterate(search);
        const double width =
            gsl_min_fminimizer_x_upper(search) - gsl_min_fminimizer_x_lower(search);
        if (width < 1e-6) {
            break;
        }
    }
    const double overall = gsl_min_fminimizer_x_minimum(search);
    gsl_min_fminimizer_free(search);
    return overall;
}

double rb_crossed_fit(const RbCrossedCell *cells, int n_cells, RbCrossedSpreads spreads,
                      double *effects)
{
    Fit fit;
    fit_init(&fit, cells, n_cells);
    set_spreads(&fit, spreads);
    const double overall = find_overall(&fit);
    double log_likelihood = -minus_likelihood(overall, &fit);
    for (int i = 1; i < fit.n_shared; i++) {
        effects[i] = gsl_vector_get(fit.shared, (size_t)i);
    }
    effects[0] = overall;
    memcpy(effects + fit.n_shared, fit.own, (size_t)n_cells * sizeof *effects);
    for (int k = 0; k < n_cells; k++) {
        log_likelihood += gsl_sf_lnchoose((unsigned)cells[k].n, (unsigned)cells[k].x);
    }
    fit_clear(&fit);
    return log_likelihood;
}

/* What the grid says about one cell's logit: a mixture of normals. */
typedef struct {
    double weight;
    double *means; /* owned: one a cell */
    double *sds;   /* owned: one a cell */
} Node;

/* Mean and spread of each cell's logit at the present mode. */
static void describe(Fit *fit, Node *node)
{
    gsl_linalg_cholesky_invert(fit->curvature);
    for (int k = 0; k < fit->n_cells; k++) {
        const size_t at[3] = { 0, row_index(fit, k), column_index(fit, k) };
        double shared = 0.0;
        for (int a = 0; a < 3; a++) {
            for (int b = 0; b < 3; b++) {
                shared += gsl_matrix_get(fit->curvature, at[a], at[b]);
            }
        }
        const double total = weight_of(fit, k) + fit->cell_precision;
        const double passed = fit->cell_precision / total;
        node->means[k] = linear(fit, fit->shared, fit->own, k);
        node->sds[k] = widening * sqrt(passed * passed * shared + 1.0 / total);
    }
}

/* Fits every node of the grid; their weights sum to 1. */
static void fit_grid(Fit *fit, Node nodes[GRID])
{
    double spreads[SPREADS];
    for (int i = 0; i < SPREADS; i++) {
        const double normal = gsl_cdf_ugaussian_Pinv(0.5 + (i + 0.5) / SPREADS / 2.0);
        spreads[i] = spread_scale * pow(normal, spread_power);
    }
    double most = -HUGE_VAL;
    for (int g = 0; g < GRID; g++) {
        const RbCrossedSpreads at = { spreads[g / (SPREADS * SPREADS)],
                                      spreads[g / SPREADS % SPREADS],
                                      spreads[g % SPREADS] };
        set_spreads(fit, at);
        find_mode(fit);
        nodes[g] = (Node){ log_marginal(fit), g_new(double, fit->n_cells),
                           g_new(double, fit->n_cells) };
        describe(fit, &nodes[g]);
        most = fmax(most, nodes[g].weight);
    }
    double sum = 0.0;
    for (int g = 0; g < GRID; g++) {
        nodes[g].weight = exp(nodes[g].weight - most);
        sum += nodes[g].weight;
    }
    for (int g = 0; g < GRID; g++) {
        nodes[g].weight /= sum;
    }
}

/* Probability that the cell's logit is below `x`. */
static double probability_below(const Node nodes[GRID], int cell, double x)
{
    double sum = 0.0;
    for (int g = 0; g < GRID; g++) {
        if (nodes[g].weight > 1e-5) {
            sum += nodes[g].weight *
                   gsl_cdf_ugaussian_P((x - nodes[g].means[cell]) / nodes[g].sds[cell]);
        }
    }
    return sum;
}

static double quantile(const Node nodes[GRID], int cell, double probability)
{
    double low = -30.0;
    double high = 30.0;
    while (high - low > 1e-5) {
        const double middle = (low + high) / 2.0;
        if (probability_below(nodes, cell, middle) < probability) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return (low + high) / 2.0;
}

/* Mean of the rate: Gauss and Hermite's rule with five nodes in each normal of the mixture
 * (M. Abramowitz, I. Stegun, "Handbook of Mathematical Functions", 1964, table 25.10). */
static double mean_rate(const Node nodes[GRID], int cell)
{
    static const double points[5] = { -2.02018287045609, -0.958572464613819, 0.0,
                                      0.958572464613819, 2.02018287045609 };
    static const double weights[5] = { 0.0199532420590459, 0.393619323152241,
                                       0.945308720482942, 0.393619323152241,
                                       0.0199532420590459 };
    double sum = 0.0;
    for (int g = 0; g < GRID; g++) {
        double mean = 0.0;
        for (int i = 0; i < 5; i++) {
            mean += weights[i] * logistic(nodes[g].means[cell] +
                                          G_SQRT2 * nodes[g].sds[cell] * points[i]);
        }
        sum += nodes[g].weight * mean / sqrt(G_PI);
    }
    return sum;
}

void rb_crossed_estimate(const RbCrossedCell *cells, int n_cells, RbEstimate *estimates)
{
    if (n_cells == 0) {
        return;
    }
    Fit fit;
    Node nodes[GRID];
    fit_init(&fit, cells, n_cells);
    fit.overall_precision = 1.0 / (overall_scale * overall_scale);
    fit_grid(&fit, nodes);
    double x = 0.0;
    double n = 0.0;
    for (int k = 0; k < n_cells; k++) {
        x += cells[k].x;
        n += cells[k].n;
    }
    for (int k = 0; k < n_cells; k++) {
        estimates[k].mean = mean_rate(nodes, k);
        estimates[k].low = logistic(quantile(nodes, k, 0.1));
        estimates[k].high = logistic(quantile(nodes, k, 0.9));
        /* log(0) and log of infinity at the ends are what the rate there means. */
        estimates[k].below = probability_below(nodes, k, log(x) - log(n - x));
    }
    for (int g = 0; g < GRID; g++) {
        g_free(nodes[g].means);
        g_free(nodes[g].sds);
    }
    fit_clear(&fit);
}

static int position_of(const RbTally *margins, int n, const RbTally *cell,
                       bool of_concepts)
{
    for (int i = 0; i < n; i++) {
        if (of_concepts ? margins[i].concept.value == cell->concept.value
                        : margins[i].coverage.value == cell->coverage.value) {
            return i;
        }
    }
    g_assert_not_reached();
}

void rb_pairings_estimate(const RbPairings *pairings, RbEstimate *estimates)
{
    g_autofree RbCrossedCell *cells = g_new(RbCrossedCell, pairings->n_cells + 1);
    for (int k = 0; k < pairings->n_cells; k++) {
        const RbTally *cell = &pairings->cells[k];
        cells[k] = (RbCrossedCell){
            position_of(pairings->concepts, pairings->n_concepts, cell, true),
            position_of(pairings->coverages, pairings->n_coverages, cell, false),
            cell->successes,
            cell->dropbacks,
        };
    }
    rb_crossed_estimate(cells, pairings->n_cells, estimates);
}
