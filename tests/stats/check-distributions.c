/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>

#include "suite.h"

TCase *rb_case_distributions(void);

/* The library that every interval rests on, held against R 4.2.2 (pbeta, qbeta, qnorm, lgamma),
 * whose digits were checked with mpmath at 30 and more. */

static void check_close(double got, double want)
{
    ck_assert_double_eq_tol(got, want, 1e-12 + 1e-10 * fabs(want));
}

START_TEST(test_distributions__incomplete_beta)
{
    static const struct {
        double x, a, b, below, above;
    } rows[] = {
        { 0.5, 2, 3, 0.6875, 0.3125 },
        { 0.3, 0.5, 0.5, 0.36901011956554538, 0.63098988043445462 },
        { 0.1, 5, 1, 1.0e-5, 0.99999 },
        { 0.9, 0.5, 8.5, 0.99999999936801941, 6.3198059006005178e-10 },
        { 0.25, 10, 30, 0.52436918173840278, 0.47563081826159722 },
        { 0.999, 200, 1, 0.81864882947863571, 0.18135117052136429 },
        { 0.2, 81.5, 182.5, 1.6210075900349366e-5, 0.99998378992409965 },
        { 0.01, 1, 1000, 0.99995682875258934, 4.3171247410658251e-5 },
        { 0.02, 0.1, 0.1, 0.34358278663548377, 0.65641721336451623 },
        { 0.75, 30.2, 11.8, 0.6568793928624, 0.3431206071376 },
        { 1e-6, 0.5, 20.5, 0.0050778666564687969, 0.9949221333435312 },
        { 0.5, 1000, 1000, 0.5, 0.5 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        check_close(gsl_cdf_beta_P(rows[i].x, rows[i].a, rows[i].b), rows[i].below);
        check_close(gsl_cdf_beta_Q(rows[i].x, rows[i].a, rows[i].b), rows[i].above);
        check_close(gsl_sf_beta_inc(rows[i].a, rows[i].b, rows[i].x), rows[i].below);
    }
}
END_TEST

START_TEST(test_distributions__beta_quantiles)
{
    static const struct {
        double p, a, b, quantile;
    } rows[] = {
        { 0.025, 2, 3, 0.067585986488542955 },
        { 0.5, 2, 3, 0.38572756813238955 },
        { 0.975, 2, 3, 0.80587955031675664 },
        { 0.025, 0.5, 20.5, 2.4246478459242744e-5 },
        { 0.975, 0.5, 20.5, 0.11663898290487543 },
        { 0.025, 7.5, 3.5, 0.3941816818513287 },
        { 0.975, 7.5, 3.5, 0.90730540606184684 },
        { 0.05, 81, 183, 0.26105574600911189 },
        { 0.95, 82, 182, 0.35817849557578413 },
        { 0.1, 0.5, 0.5, 0.024471741852423214 },
        { 0.001, 12, 5, 0.34101096377886764 },
        /* The raw ends of Jeffreys' interval, which are set to 0 and 1. */
        { 0.025, 0.5, 20.5, 0.0000242465 },
        { 0.975, 20.5, 0.5, 0.9999757535 },
        { 0.025, 0.5, 1.5, 0.00038558 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        /* Three rows are printed to fewer digits. */
        const double allowed = i < 11 ? 1e-12 : 5.1e-9;
        ck_assert_double_eq_tol(gsl_cdf_beta_Pinv(rows[i].p, rows[i].a, rows[i].b),
                                rows[i].quantile, allowed);
    }
}
END_TEST

START_TEST(test_distributions__normal_and_gamma)
{
    static const double normal[][2] = {
        { 0.8, 0.841621233572914 },  { 0.9, 1.2815515655446 },
        { 0.95, 1.64485362695147 },  { 0.975, 1.95996398454005 },
        { 0.99, 2.32634787404084 },  { 0.995, 2.5758293035489 },
        { 0.999, 3.09023230616781 },
    };
    static const double gamma[][2] = {
        { 0.5, 0.5723649429247 },   { 1.5, -0.120782237635245 },
        { 10.5, 13.9406252194038 }, { 100, 359.134205369575 },
        { 263.5, 1203.3952905677 },
    };
    for (size_t i = 0; i < sizeof normal / sizeof normal[0]; i++) {
        check_close(gsl_cdf_ugaussian_Pinv(normal[i][0]), normal[i][1]);
    }
    for (size_t i = 0; i < sizeof gamma / sizeof gamma[0]; i++) {
        check_close(gsl_sf_lngamma(gamma[i][0]), gamma[i][1]);
    }
}
END_TEST

TCase *rb_case_distributions(void)
{
    TCase *tcase = rb_case_new("distributions");
    tcase_add_test(tcase, test_distributions__incomplete_beta);
    tcase_add_test(tcase, test_distributions__beta_quantiles);
    tcase_add_test(tcase, test_distributions__normal_and_gamma);
    return tcase;
}
