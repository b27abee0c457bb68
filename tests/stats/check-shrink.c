/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/stats/shrink.h"

#include "suite.h"

TCase *rb_case_shrink(void);

enum { BATTERS = 18, AT_BATS = 45, WILLIAMS = 11, RATS = 71 };

/* B. Efron, C. Morris, JASA 70, 1975, 311-319, and "Stein's Paradox in Statistics", Scientific
 * American 236(5), 1977, 119-127: hits in 45 at bats, what the average was for the rest of the
 * season, and the printed estimate. */
static const int hits[BATTERS] = { 18, 17, 16, 15, 14, 14, 13, 12, 11,
                                   11, 10, 10, 10, 10, 10, 9,  8,  7 };
static const double averages[BATTERS] = { .400, .378, .356, .333, .311, .311,
                                          .289, .267, .244, .244, .222, .222,
                                          .222, .222, .222, .200, .178, .156 };
static const double rest[BATTERS] = { .346, .298, .276, .222, .273, .270,
                                      .263, .210, .269, .230, .264, .256,
                                      .303, .264, .226, .285, .316, .200 };
static const double printed[BATTERS] = { .294, .289, .285, .280, .275, .275,
                                         .270, .266, .261, .261, .256, .256,
                                         .256, .256, .256, .252, .247, .242 };
/* NumPy 1.24.2, from the paper's formula. */
static const double exact[BATTERS] = { 0.293914, 0.289210, 0.284507, 0.279804, 0.275100,
                                       0.275100, 0.270397, 0.265693, 0.260990, 0.260990,
                                       0.256287, 0.256287, 0.256287, 0.256287, 0.256287,
                                       0.251583, 0.246880, 0.242176 };

static double squared_error(const double *a, const double *b, int n)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        sum += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return sum;
}

START_TEST(test_shrink__eighteen_batters)
{
    double raw[BATTERS];
    double shrunk[BATTERS];
    double mean = 0.0;
    for (int i = 0; i < BATTERS; i++) {
        raw[i] = (double)hits[i] / AT_BATS;
        mean += raw[i] / BATTERS;
    }
    ck_assert_double_eq_tol(mean, 0.26543210, 5.1e-9);
    ck_assert_double_eq_tol(mean, .265, 5.1e-4); /* printed */
    const double variance = mean * (1.0 - mean) / AT_BATS;
    ck_assert_double_eq_tol(variance, 0.0043328422, 5.1e-11);
    const double keep = rb_shrink_to_mean(raw, BATTERS, variance, shrunk);
    ck_assert_double_eq_tol(keep, 0.21165342, 5.1e-9);
    ck_assert_double_eq_tol(keep, .212, 5.1e-4); /* printed */
    /* The factor is 1 - (18 - 3) variance / sum of squares about the mean. */
    ck_assert_double_eq_tol((BATTERS - 3) * variance / (1.0 - keep), 0.08244170, 5.1e-9);
    for (int i = 0; i < BATTERS; i++) {
        ck_assert_double_eq_tol(raw[i], averages[i], 5.1e-4);
        ck_assert_double_eq_tol(shrunk[i], exact[i], 5.1e-7);
        ck_assert_double_eq_tol(shrunk[i], printed[i], 5.1e-4);
    }
    ck_assert_double_eq_tol(squared_error(raw, rest, BATTERS), 0.075317, 5.1e-7);
    ck_assert_double_eq_tol(squared_error(shrunk, rest, BATTERS), 0.021307, 5.1e-7);
    /* The 1977 article prints .077 and .022, which averages of three decimals do not give. */
    ck_assert_double_eq_tol(squared_error(raw, rest, BATTERS), .077, 0.002);
    ck_assert_double_eq_tol(squared_error(shrunk, rest, BATTERS), .022, 0.001);
}
END_TEST

/* From averages rounded to three decimals the factor is 0.21239054: the printed .212. */
START_TEST(test_shrink__eighteen_batters_rounded)
{
    double raw[BATTERS];
    double shrunk[BATTERS];
    double mean = 0.0;
    for (int i = 0; i < BATTERS; i++) {
        raw[i] = round(1000.0 * hits[i] / AT_BATS) / 1000.0;
        mean += raw[i] / BATTERS;
    }
    const double variance = mean * (1.0 - mean) / AT_BATS;
    ck_assert_double_eq_tol(rb_shrink_to_mean(raw, BATTERS, variance, shrunk), 0.21239054,
                            5.1e-9);
}
END_TEST

/* The 1975 paper's own scale, sqrt(45) arcsin(2 y - 1), on which the variance is 1: errors
 * 17.571 and 4.999, ratio 3.51 (NumPy 1.24.2; printed 17.56, 5.01 and 3.50, from memory). */
START_TEST(test_shrink__eighteen_batters_on_the_arcsine_scale)
{
    double raw[BATTERS];
    double truth[BATTERS];
    double shrunk[BATTERS];
    for (int i = 0; i < BATTERS; i++) {
        raw[i] = sqrt(AT_BATS) * asin(2.0 * hits[i] / AT_BATS - 1.0);
        truth[i] = sqrt(AT_BATS) * asin(2.0 * rest[i] - 1.0);
    }
    rb_shrink_to_mean(raw, BATTERS, 1.0, shrunk);
    const double error = squared_error(raw, truth, BATTERS);
    const double error_shrunk = squared_error(shrunk, truth, BATTERS);
    ck_assert_double_eq_tol(error, 17.571, 5.1e-4);
    ck_assert_double_eq_tol(error_shrunk, 4.999, 5.1e-4);
    ck_assert_double_eq_tol(error / error_shrunk, 3.51, 5.1e-3);
    ck_assert_double_eq_tol(error, 17.56, 0.02);
    ck_assert_double_eq_tol(error_shrunk, 5.01, 0.02);
    ck_assert_double_eq_tol(error / error_shrunk, 3.50, 0.02);
    /* Some copies of the data have .3299 for Williams, which gives 19.93 and 6.26: not theirs. */
    truth[WILLIAMS] = sqrt(AT_BATS) * asin(2.0 * .330 - 1.0);
    ck_assert_double_eq_tol(squared_error(raw, truth, BATTERS), 19.93, 5.1e-3);
    ck_assert_double_eq_tol(squared_error(shrunk, truth, BATTERS), 6.26, 5.1e-3);
}
END_TEST

/* SciPy 1.10.1. The likelihood is flat in a + b: the means are held tightly, a + b loosely. */
START_TEST(test_shrink__beta_of_eighteen_batters)
{
    int tries[BATTERS];
    RbBeta beta;
    for (int i = 0; i < BATTERS; i++) {
        tries[i] = AT_BATS;
    }
    ck_assert(rb_beta_fit(hits, tries, BATTERS, &beta, NULL));
    ck_assert_double_eq_tol(beta.a / (beta.a + beta.b), 0.265432, 5.1e-6);
    ck_assert_double_eq_tol(beta.a + beta.b, 793.240, 80.0);
    ck_assert_double_eq_tol(beta.a, 210.5518, 22.0);
    ck_assert_double_eq_tol(beta.b, 582.6886, 60.0);
    ck_assert_double_eq_tol(rb_beta_mean(beta, 18, 45), 0.272657, 1e-4);
    ck_assert_double_eq_tol(rb_beta_mean(beta, 7, 45), 0.259534, 1e-4);
    ck_assert(rb_beta_moments(hits, AT_BATS, BATTERS, &beta));
    ck_assert_double_eq_tol(beta.a, 97.675916, 5.1e-7);
    ck_assert_double_eq_tol(beta.b, 270.312419, 5.1e-7);
    ck_assert_double_eq_tol(beta.a + beta.b, 367.988335, 5.1e-7);
    ck_assert_double_eq_tol(rb_beta_mean(beta, 18, 45), 0.280095, 5.1e-7);
    ck_assert_double_eq_tol(rb_beta_mean(beta, 7, 45), 0.253460, 5.1e-7);
}
END_TEST

/* R. Tarone, Biometrics 38, 1982, as in A. Gelman and others, "Bayesian Data Analysis", section
 * 5.1: tumours in groups of rats; the last is the new group, 4 of 14. */
static const int tumours[RATS] = {
    0, 0, 0, 0,  0, 0, 0, 0, 0,  0,  0, 0, 0, 0, 1, 1, 1, 1, 1,  1,  1,  1, 2, 2,
    2, 2, 2, 2,  2, 2, 2, 1, 5,  2,  5, 3, 2, 7, 7, 3, 3, 2, 9,  10, 4,  4, 4, 4,
    4, 4, 4, 10, 4, 4, 4, 5, 11, 12, 5, 5, 6, 5, 6, 6, 6, 6, 16, 15, 15, 9, 4,
};
static const int rats[RATS] = {
    20, 20, 20, 20, 20, 20, 20, 19, 19, 19, 19, 18, 18, 17, 20, 20, 20, 20,
    19, 19, 18, 18, 25, 24, 23, 20, 20, 20, 20, 20, 20, 10, 49, 19, 46, 27,
    17, 49, 47, 20, 20, 13, 48, 50, 20, 20, 20, 20, 20, 20, 20, 48, 19, 19,
    19, 22, 46, 49, 20, 20, 23, 19, 22, 20, 20, 20, 52, 46, 47, 24, 14,
};

START_TEST(test_shrink__rats_by_moments)
{
    double mean = 0.0;
    double squares = 0.0;
    int sick = 0;
    int all = 0;
    RbBeta beta;
    for (int i = 0; i < RATS; i++) {
        sick += tumours[i];
        all += rats[i];
    }
    ck_assert_int_eq(sick, 267);
    ck_assert_int_eq(all, 1739);
    for (int i = 0; i < RATS - 1; i++) {
        mean += (double)tumours[i] / rats[i] / (RATS - 1);
    }
    for (int i = 0; i < RATS - 1; i++) {
        const double away = (double)tumours[i] / rats[i] - mean;
        squares += away * away;
    }
    ck_assert_double_eq_tol(mean, 0.13600654, 5.1e-9);
    ck_assert_double_eq_tol(mean, 0.136, 5.1e-4); /* printed, with sd 0.103 */
    ck_assert_double_eq_tol(sqrt(squares / (RATS - 2)), 0.103, 5.1e-4);
    ck_assert_double_eq_tol(sqrt(squares / (RATS - 2)), 0.10349227, 5.1e-9);
    ck_assert_double_eq_tol(sqrt(squares / (RATS - 1)), 0.10275038, 5.1e-9);
    /* Printed (1.4, 8.6). */
    ck_assert(rb_beta_from_mean(mean, squares / (RATS - 2), &beta));
    ck_assert_double_eq_tol(beta.a, 1.356149, 5.1e-7);
    ck_assert_double_eq_tol(beta.b, 8.615058, 5.1e-7);
    ck_assert_double_eq_tol(beta.a, 1.4, 0.051);
    ck_assert_double_eq_tol(beta.b, 8.6, 0.051);
    /* The book's 0.223 for 4 of 14 comes from these, unrounded: (1.356 + 4) / (9.971 + 14). */
    ck_assert_double_eq_tol(beta.a + beta.b, 9.971, 5.1e-4);
    ck_assert_double_eq_tol(rb_beta_mean(beta, 4, 14), 0.2234, 5.1e-5);
    ck_assert_double_eq_tol(rb_beta_mean(beta, 4, 14), 0.223, 5.1e-4);
}
END_TEST

/* Beta(5.4, 18.6): mean 0.225, sd 0.083516; quantiles by R 4.2.2, qbeta(). */
START_TEST(test_shrink__posterior_of_the_new_group)
{
    const RbBeta prior = { 1.4, 8.6 };
    double low = 0;
    double high = 0;
    ck_assert_double_eq_tol(rb_beta_mean(prior, 4, 14), 0.225, 1e-12);
    rb_beta_interval(prior, 4, 14, 0.95, &low, &high);
    ck_assert_double_eq_tol(low, 0.08539618, 5.1e-9);
    ck_assert_double_eq_tol(high, 0.40778987, 5.1e-9);
    rb_beta_interval(prior, 4, 14, 1e-9, &low, &high);
    ck_assert_double_eq_tol(low, 0.21727414, 1e-8);
    const double a = 5.4;
    const double b = 18.6;
    const double deviation = sqrt(a * b / ((a + b) * (a + b) * (a + b + 1.0)));
    ck_assert_double_eq_tol(deviation, 0.083516, 5.1e-7);
    ck_assert_double_eq_tol(deviation, 0.083, 6e-4); /* printed, from memory */
}
END_TEST

START_TEST(test_shrink__rats_by_likelihood)
{
    static const struct {
        int x;
        int n;
        double mean;
    } rates[] = {
        { 0, 20, 0.064231 },  { 0, 17, 0.069990 }, { 2, 25, 0.104727 },
        { 1, 10, 0.126306 },  { 5, 49, 0.112160 }, { 10, 50, 0.185710 },
        { 16, 52, 0.267931 }, { 9, 24, 0.280342 }, { 4, 14, 0.208219 },
    };
    RbBeta beta;
    double log_likelihood = 0;
    double low = 0;
    double high = 0;
    ck_assert(rb_beta_fit(tumours, rats, RATS - 1, &beta, &log_likelihood));
    ck_assert_double_eq_tol(beta.a, 2.304783, 0.02);
    ck_assert_double_eq_tol(beta.b, 14.079808, 0.12);
    ck_assert_double_eq_tol(-log_likelihood, 721.00101953, 1e-6);
    ck_assert(rb_beta_fit(tumours, rats, RATS, &beta, &log_likelihood));
    ck_assert_double_eq_tol(beta.a, 2.341614, 0.02);
    ck_assert_double_eq_tol(beta.b, 14.114801, 0.12);
    ck_assert_double_eq_tol(beta.a / (beta.a + beta.b), 0.142292, 1e-5);
    ck_assert_double_eq_tol(-log_likelihood, 730.33845452, 1e-6);
    for (size_t i = 0; i < sizeof rates / sizeof rates[0]; i++) {
        ck_assert_double_eq_tol(rb_beta_mean(beta, rates[i].x, rates[i].n), rates[i].mean,
                                1e-5);
    }
    rb_beta_interval(beta, 4, 14, 0.95, &low, &high);
    ck_assert_double_eq_tol(low, 0.08621635, 1e-5);
    ck_assert_double_eq_tol(high, 0.36635202, 1e-5);
}
END_TEST

/* Rates that spread less than chance are one rate; so are seasons without any success. */
START_TEST(test_shrink__no_spread_is_pooled)
{
    static const int even[4] = { 10, 10, 10, 10 };
    static const int none[4] = { 0, 0, 0, 0 };
    static const int tries[4] = { 20, 20, 20, 20 };
    RbBeta beta = { 42, 42 };
    ck_assert(!rb_beta_moments(even, 20, 4, &beta));
    ck_assert(!rb_beta_moments(none, 20, 4, &beta));
    ck_assert(!rb_beta_moments(even, 20, 1, &beta));
    ck_assert(!rb_beta_fit(even, tries, 4, &beta, NULL));
    ck_assert(!rb_beta_fit(none, tries, 4, &beta, NULL));
    ck_assert(!rb_beta_fit(NULL, NULL, 0, &beta, NULL));
    ck_assert(!rb_beta_from_mean(0.5, 0.25, &beta));
    ck_assert(!rb_beta_from_mean(0.5, 0.0, &beta));
    ck_assert_double_eq(beta.a, 42);
}
END_TEST

TCase *rb_case_shrink(void)
{
    TCase *tcase = rb_case_new("shrink");
    tcase_add_test(tcase, test_shrink__eighteen_batters);
    tcase_add_test(tcase, test_shrink__eighteen_batters_rounded);
    tcase_add_test(tcase, test_shrink__eighteen_batters_on_the_arcsine_scale);
    tcase_add_test(tcase, test_shrink__beta_of_eighteen_batters);
    tcase_add_test(tcase, test_shrink__rats_by_moments);
    tcase_add_test(tcase, test_shrink__posterior_of_the_new_group);
    tcase_add_test(tcase, test_shrink__rats_by_likelihood);
    tcase_add_test(tcase, test_shrink__no_spread_is_pooled);
    return tcase;
}
