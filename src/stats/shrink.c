/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/shrink.h"

#include <glib.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_multimin.h>
#include <gsl/gsl_sf_gamma.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

double rb_shrink_to_mean(const double *values, int n, double variance, double *shrunk)
{
    g_assert(n > 3);
    const double mean = gsl_stats_mean(values, 1, (size_t)n);
    const double around = gsl_stats_tss_m(values, 1, (size_t)n, mean);
    const double keep = 1.0 - (n - 3) * variance / around;
    for (int i = 0; i < n; i++) {
        shrunk[i] = mean + keep * (values[i] - mean);
    }
    return keep;
}

typedef struct {
    const int *x;
    const int *n;
    int groups;
} Counts;

static double log_likelihood_of(const Counts *counts, RbBeta beta)
{
    double sum = 0.0;
    for (int i = 0; i < counts->groups; i++) {
        sum +=
            gsl_sf_lnbeta(beta.a + counts->x[i], beta.b + counts->n[i] - counts->x[i]) -
            gsl_sf_lnbeta(beta.a, beta.b);
    }
    return sum;
}

/* By the logs of a and b, so that every point of the plane is allowed; far out the likelihood
 * is that of one common rate. */
static RbBeta beta_at(const gsl_vector *point)
{
    return (RbBeta){ exp(CLAMP(gsl_vector_get(point, 0), -20.0, 20.0)),
                     exp(CLAMP(gsl_vector_get(point, 1), -20.0, 20.0)) };
}

static double minus_likelihood(const gsl_vector *point, void *data)
{
    return -log_likelihood_of(data, beta_at(point));
}

static RbBeta climb(Counts *counts, double mean)
{
    enum { STEPS_MAX = 2000 };
    static const double first_sum = 20.0;
    gsl_multimin_function function = { minus_likelihood, 2, counts };
    gsl_vector *start = gsl_vector_alloc(2);
    gsl_vector *steps = gsl_vector_alloc(2);
    gsl_vector_set(start, 0, log(first_sum * mean));
    gsl_vector_set(start, 1, log(first_sum * (1.0 - mean)));
    gsl_vector_set_all(steps, 0.5);
    gsl_multimin_fminimizer *search =
        gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, 2);
    gsl_multimin_fminimizer_set(search, &function, start, steps);
    for (int i = 0; i < STEPS_MAX && gsl_multimin_fminimizer_size(search) > 1e-9; i++) {
        gsl_multimin_fminimizer_iterate(search);
    }
    const RbBeta beta = beta_at(gsl_multimin_fminimizer_x(search));
    gsl_multimin_fminimizer_free(search);
    gsl_vector_free(steps);
    gsl_vector_free(start);
    return beta;
}

bool rb_beta_fit(const int *x, const int *n, int groups, RbBeta *beta,
                 double *log_likelihood)
{
    static const double pooled = 1e6; /* a + b beyond which nothing spreads */
    Counts counts = { x, n, groups };
    double worked = 0.0;
    double tried = 0.0;
    for (int i = 0; i < groups; i++) {
        worked += x[i];
        tried += n[i];
    }
    if (!(worked > 0.0 && worked < tried)) {
        return false;
    }
    const RbBeta fit = climb(&counts, worked / tried);
    if (fit.a + fit.b > pooled) {
        return false;
    }
    *beta = fit;
    if (log_likelihood != NULL) {
        *log_likelihood = log_likelihood_of(&counts, fit);
    }
    return true;
}

bool rb_beta_moments(const int *x, int n, int groups, RbBeta *beta)
{
    g_autofree double *rates = g_new(double, groups + 1);
    if (groups < 2 || n < 2) {
        return false;
    }
    for (int i = 0; i < groups; i++) {
        rates[i] = (double)x[i] / n;
    }
    const double mean = gsl_stats_mean(rates, 1, (size_t)groups);
    const double variance = gsl_stats_variance(rates, 1, (size_t)groups);
    const double share = (n * variance / (mean * (1.0 - mean)) - 1.0) / (n - 1.0);
    if (!(share > 0.0)) {
        return false;
    }
    const double sum = 1.0 / share - 1.0;
    *beta = (RbBeta){ mean * sum, (1.0 - mean) * sum };
    return true;
}

bool rb_beta_from_mean(double mean, double variance, RbBeta *beta)
{
    const double sum = mean * (1.0 - mean) / variance - 1.0;
    if (!(sum > 0.0 && isfinite(sum))) {
        return false;
    }
    *beta = (RbBeta){ mean * sum, (1.0 - mean) * sum };
    return true;
}

double rb_beta_mean(RbBeta beta, int x, int n)
{
    return (beta.a + x) / (beta.a + beta.b + n);
}

void rb_beta_interval(RbBeta beta, int x, int n, double level, double *low, double *high)
{
    const double tail = (1.0 - level) / 2.0;
    *low = gsl_cdf_beta_Pinv(tail, beta.a + x, beta.b + n - x);
    *high = gsl_cdf_beta_Pinv(1.0 - tail, beta.a + x, beta.b + n - x);
}
