/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/intervals.h"

#include "suite.h"

TCase *rb_case_intervals(void);

/* Ends by R 4.2.2, prop.test(correct = FALSE); the first four rows also agree with the four
 * decimals printed by R. G. Newcombe, Statistics in Medicine 17, 1998, 857-872, Table I. */
START_TEST(test_intervals__wilson_at_95)
{
    static const struct {
        int x;
        int n;
        double low;
        double high;
    } rows[] = {
        { 81, 263, 0.25528852, 0.36620958 },
        { 15, 148, 0.06238640, 0.16048724 },
        { 0, 20, 0, 0.16112516 },
        { 1, 29, 0.00611321, 0.17175522 },
        { 20, 20, 0.83887484, 1 },
        { 5, 10, 0.23659309, 0.76340691 },
        { 7, 10, 0.39677815, 0.89220873 },
        { 3, 8, 0.13684429, 0.69425761 },
        { 12, 17, 0.46866890, 0.86720010 },
        { 45, 100, 0.35614538, 0.54755397 },
        { 600, 1000, 0.56930943, 0.62992522 },
        { 0, 1, 0, 0.79345069 },
        { 1, 1, 0.20654931, 1 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double low = -1;
        double high = -1;
        rb_interval_wilson(rows[i].x, rows[i].n, 0.95, &low, &high);
        ck_assert_double_eq_tol(low, rows[i].low, 5.1e-9);
        ck_assert_double_eq_tol(high, rows[i].high, 5.1e-9);
    }
}
END_TEST

/* R 4.2.2, prop.test(7, 10, conf.level = ..., correct = FALSE). */
START_TEST(test_intervals__wilson_at_other_levels)
{
    static const struct {
        double level;
        double low;
        double high;
    } rows[] = {
        { 0.5, 0.59530925, 0.78728514 },
        { 0.8, 0.49737171, 0.84620082 },
        { 0.9, 0.44169980, 0.87312342 },
        { 0.99, 0.32002468, 0.92043368 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double low = -1;
        double high = -1;
        rb_interval_wilson(7, 10, rows[i].level, &low, &high);
        ck_assert_double_eq_tol(low, rows[i].low, 5.1e-9);
        ck_assert_double_eq_tol(high, rows[i].high, 5.1e-9);
    }
}
END_TEST

/* E. B. Wilson, JASA 22, 1927: the ends solve (p - x/n)^2 = z^2 p (1 - p) / n. */
START_TEST(test_intervals__wilson_ends_solve_the_equation)
{
    const double z = 1.959963984540054;
    for (int n = 1; n <= 60; n++) {
        for (int x = 0; x <= n; x++) {
            double ends[2] = { 0 };
            rb_interval_wilson(x, n, 0.95, &ends[0], &ends[1]);
            ck_assert(0.0 <= ends[0] && ends[0] <= (double)x / n);
            ck_assert((double)x / n <= ends[1] && ends[1] <= 1.0);
            for (int e = 0; e < 2; e++) {
                const double p = ends[e];
                const double gap = p - (double)x / n;
                ck_assert_double_eq_tol(gap * gap, z * z * p * (1.0 - p) / n, 1e-12);
            }
        }
    }
}
END_TEST

/* R. G. Newcombe, Statistics in Medicine 17, 1998, 873-890, method 10. Values by R 4.2.2 from
 * that formula; the first four agree with statsmodels 0.13.5
 * confint_proportions_2indep(method = "newcomb"). */
START_TEST(test_intervals__newcombe_at_95)
{
    static const struct {
        int x1;
        int n1;
        int x2;
        int n2;
        double low;
        double high;
    } rows[] = {
        { 56, 70, 48, 80, 0.05243147, 0.33387265 },
        { 9, 10, 3, 10, 0.17052272, 0.80901797 },
        { 6, 7, 2, 7, 0.05822793, 0.80624964 },
        { 5, 56, 0, 29, -0.03813715, 0.19256001 },
        { 0, 10, 0, 20, -0.16112516, 0.27753280 },
        { 0, 10, 0, 10, -0.27753280, 0.27753280 },
        { 10, 10, 0, 20, 0.67908604, 1 },
        { 10, 10, 0, 10, 0.60750935, 1 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double low = -9;
        double high = -9;
        rb_interval_newcombe(rows[i].x1, rows[i].n1, rows[i].x2, rows[i].n2, 0.95, &low,
                             &high);
        ck_assert_double_eq_tol(low, rows[i].low, 5.1e-9);
        ck_assert_double_eq_tol(high, rows[i].high, 5.1e-9);
        /* The other way round it is the same interval mirrored. */
        double low2 = -9;
        double high2 = -9;
        rb_interval_newcombe(rows[i].x2, rows[i].n2, rows[i].x1, rows[i].n1, 0.95, &low2,
                             &high2);
        ck_assert_double_eq_tol(low2, -high, 1e-15);
        ck_assert_double_eq_tol(high2, -low, 1e-15);
    }
}
END_TEST

TCase *rb_case_intervals(void)
{
    TCase *tcase = rb_case_new("intervals");
    tcase_add_test(tcase, test_intervals__wilson_at_95);
    tcase_add_test(tcase, test_intervals__wilson_at_other_levels);
    tcase_add_test(tcase, test_intervals__wilson_ends_solve_the_equation);
    tcase_add_test(tcase, test_intervals__newcombe_at_95);
    return tcase;
}
