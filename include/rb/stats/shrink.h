/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

/* Plain ways to draw small numbers in towards the rest. The program shows none of them: they
 * are what its own model (rb/stats/estimate.h) is measured against, see
 * tests/stats/estimate-curve.c. */

/* B. Efron, C. Morris, JASA 70, 1975, 311-319: values of one variance towards their mean.
 * n above 3. Returns the factor that their distances are kept by. */
double rb_shrink_to_mean(const double *values, int n, double variance, double *shrunk);

/* A beta distribution of rates, from which counts are drawn. */
typedef struct {
    double a;
    double b;
} RbBeta;

/* Maximum likelihood from x[i] of n[i]. log_likelihood: (out) (nullable): without the binomial
 * coefficients. False when the rates spread no more than chance would, or all are 0 or 1: then
 * they are one rate. */
bool rb_beta_fit(const int *x, const int *n, int groups, RbBeta *beta,
                 double *log_likelihood);
/* From the moments of rates of `n` each; the same false. */
bool rb_beta_moments(const int *x, int n, int groups, RbBeta *beta);
/* From mean and variance of rates taken as exact (A. Gelman and others, "Bayesian Data
 * Analysis", section 5.1). */
bool rb_beta_from_mean(double mean, double variance, RbBeta *beta);

/* Posterior of x of n: mean, and the interval of that level. */
double rb_beta_mean(RbBeta beta, int x, int n);
void rb_beta_interval(RbBeta beta, int x, int n, double level, double *low, double *high);
