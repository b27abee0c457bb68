/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

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

/* Method 10 written out about the printed difference d, from Wilson ends l and u:
 * d - sqrt((p1 - l1)^2 + (u2 - p2)^2) and d + sqrt((u1 - p1)^2 + (p2 - l2)^2). */
START_TEST(test_intervals__newcombe_is_about_the_printed_difference)
{
    static const struct {
        int x[2];
        int n[2];
        double d;
    } rows[] = {
        { { 56, 48 }, { 70, 80 }, 0.20000000 },
        { { 9, 3 }, { 10, 10 }, 0.60000000 },
        { { 6, 2 }, { 7, 7 }, 0.57142857 },
        { { 5, 0 }, { 56, 29 }, 0.08928571 },
        { { 0, 0 }, { 10, 20 }, 0 },
        { { 0, 0 }, { 10, 10 }, 0 },
        { { 10, 0 }, { 10, 20 }, 1 },
        { { 10, 0 }, { 10, 10 }, 1 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double below[2];
        double above[2];
        double low = -9;
        double high = -9;
        for (int g = 0; g < 2; g++) {
            const double p = (double)rows[i].x[g] / rows[i].n[g];
            double l = 0;
            double u = 0;
            rb_interval_wilson(rows[i].x[g], rows[i].n[g], 0.95, &l, &u);
            below[g] = p - l;
            above[g] = u - p;
        }
        rb_interval_newcombe(rows[i].x[0], rows[i].n[0], rows[i].x[1], rows[i].n[1], 0.95,
                             &low, &high);
        ck_assert_double_eq_tol(low + hypot(below[0], above[1]), rows[i].d, 5.1e-9);
        ck_assert_double_eq_tol(high - hypot(above[0], below[1]), rows[i].d, 5.1e-9);
    }
}
END_TEST

/* The other methods, to the same eight digits. R 4.2.2: prop.test(correct = TRUE),
 * binom.test(), uniroot() of the mid-P equation, qbeta(x + .5, n - x + .5) with its ends set to 0
 * and 1. Exact values of the first four rows agree with Newcombe's printed four decimals. */
START_TEST(test_intervals__other_methods_at_95)
{
    static const RbIntervalMethod methods[4] = { RB_INTERVAL_WILSON_CORRECTED,
                                                 RB_INTERVAL_EXACT, RB_INTERVAL_MID_P,
                                                 RB_INTERVAL_JEFFREYS };
    static const struct {
        int x;
        int n;
        double ends[4][2];
    } rows[] = {
        { 81,
          263,
          { { 0.25350868, 0.36817620 },
            { 0.25273675, 0.36762192 },
            { 0.25440210, 0.36577347 },
            { 0.25452193, 0.36564750 } } },
        { 15,
          148,
          { { 0.05977821, 0.16444978 },
            { 0.05784401, 0.16165049 },
            { 0.06006360, 0.15812173 },
            { 0.06044852, 0.15764314 } } },
        { 0,
          20,
          { { 0, 0.20045335 },
            { 0, 0.16843347 },
            { 0, 0.13910834 },
            { 0, 0.11663898 } } },
        { 1,
          29,
          { { 0.00180264, 0.19628175 },
            { 0.00087265, 0.17764430 },
            { 0.00172477, 0.15853738 },
            { 0.00374617, 0.15007769 } } },
        { 20,
          20,
          { { 0.79954665, 1 },
            { 0.83156653, 1 },
            { 0.86089166, 1 },
            { 0.88336102, 1 } } },
        { 5,
          10,
          { { 0.20142297, 0.79857703 },
            { 0.18708603, 0.81291397 },
            { 0.21200851, 0.78799149 },
            { 0.22352867, 0.77647133 } } },
        { 7,
          10,
          { { 0.35367072, 0.91905218 },
            { 0.34754715, 0.93326049 },
            { 0.38008143, 0.91739978 },
            { 0.39418168, 0.90730541 } } },
        { 3,
          8,
          { { 0.10240800, 0.74105231 },
            { 0.08523341, 0.75513678 },
            { 0.10559970, 0.72203261 },
            { 0.11903918, 0.70517655 } } },
        { 12,
          17,
          { { 0.44048008, 0.88623402 },
            { 0.44041728, 0.89686449 },
            { 0.46318669, 0.88337272 },
            { 0.47024883, 0.87783356 } } },
        { 45,
          100,
          { { 0.35142811, 0.55245737 },
            { 0.35032023, 0.55271981 },
            { 0.35460335, 0.54825408 },
            { 0.35507694, 0.54777101 } } },
        { 600,
          1000,
          { { 0.56880507, 0.63041700 },
            { 0.56887845, 0.63053101 },
            { 0.56936743, 0.63005445 },
            { 0.56938329, 0.63003878 } } },
        { 0,
          1,
          { { 0, 0.94537924 },
            { 0, 0.97500000 },
            { 0, 0.95000000 },
            { 0, 0.85325368 } } },
        { 1,
          1,
          { { 0.05462076, 1 },
            { 0.02500000, 1 },
            { 0.05000000, 1 },
            { 0.14674632, 1 } } },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        for (int m = 0; m < 4; m++) {
            double low = -1;
            double high = -1;
            rb_interval(methods[m], rows[i].x, rows[i].n, 0.95, &low, &high);
            ck_assert_double_eq_tol(low, rows[i].ends[m][0], 5.1e-9);
            ck_assert_double_eq_tol(high, rows[i].ends[m][1], 5.1e-9);
        }
    }
}
END_TEST

/* R 4.2.2, from the formulas; binom.test(7, 10, conf.level = ...) for the exact ones. */
START_TEST(test_intervals__for_contrast)
{
    static const struct {
        RbIntervalMethod method;
        int x;
        int n;
        double level;
        double low;
        double high;
    } rows[] = {
        { RB_INTERVAL_WALD, 81, 263, 0.95, 0.25219013, 0.36377946 },
        { RB_INTERVAL_WALD, 1, 29, 0.95, -0.03192673, 0.10089224 },
        { RB_INTERVAL_WALD, 0, 20, 0.95, 0, 0 },
        { RB_INTERVAL_AGRESTI_COULL, 81, 263, 0.95, 0.25522067, 0.36627743 },
        { RB_INTERVAL_AGRESTI_COULL, 1, 29, 0.95, -0.00841808, 0.18628651 },
        { RB_INTERVAL_EXACT, 7, 10, 0.9, 0.39337578, 0.91273557 },
        { RB_INTERVAL_EXACT, 7, 10, 0.99, 0.26488601, 0.96299278 },
        { RB_INTERVAL_WILSON, 7, 10, 0.8, 0.49737171, 0.84620082 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double low = -9;
        double high = -9;
        rb_interval(rows[i].method, rows[i].x, rows[i].n, rows[i].level, &low, &high);
        ck_assert_double_eq_tol(low, rows[i].low, 5.1e-9);
        ck_assert_double_eq_tol(high, rows[i].high, 5.1e-9);
    }
}
END_TEST

/* The exact interval holds at least 95 % at every rate, by its construction; checked by the
 * binomial distribution added up by hand. */
START_TEST(test_intervals__exact_holds_its_level)
{
    enum { N = 12 };
    for (int step = 1; step < 100; step++) {
        const double p = step / 100.0;
        double held = 0.0;
        double probability = pow(1.0 - p, N); /* of x = 0 */
        for (int x = 0; x <= N; x++) {
            double low = 0;
            double high = 0;
            rb_interval(RB_INTERVAL_EXACT, x, N, 0.95, &low, &high);
            held += low <= p && p <= high ? probability : 0.0;
            probability *= (double)(N - x) / (x + 1) * p / (1.0 - p);
        }
        ck_assert_double_ge(held, 0.95 - 1e-12);
    }
}
END_TEST

/* Method 11 of R. G. Newcombe, Statistics in Medicine 17, 1998, 873-890, by R 4.2.2. */
START_TEST(test_intervals__newcombe_corrected_at_95)
{
    static const struct {
        int x1;
        int n1;
        int x2;
        int n2;
        double low;
        double high;
    } rows[] = {
        { 56, 70, 48, 80, 0.04276787, 0.34218628 },
        { 9, 10, 3, 10, 0.10128723, 0.83866897 },
        { 6, 7, 2, 7, -0.02902412, 0.84226663 },
        { 5, 56, 0, 29, -0.06670854, 0.20369829 },
        { 0, 10, 0, 20, -0.20045335, 0.34453722 },
        { 0, 10, 0, 10, -0.34453722, 0.34453722 },
        { 10, 10, 0, 20, 0.60139313, 1 },
        { 10, 10, 0, 10, 0.51275079, 1 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        double low = -9;
        double high = -9;
        rb_interval_newcombe_corrected(rows[i].x1, rows[i].n1, rows[i].x2, rows[i].n2,
                                       0.95, &low, &high);
        ck_assert_double_eq_tol(low, rows[i].low, 5.1e-9);
        ck_assert_double_eq_tol(high, rows[i].high, 5.1e-9);
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
    tcase_add_test(tcase, test_intervals__newcombe_is_about_the_printed_difference);
    tcase_add_test(tcase, test_intervals__other_methods_at_95);
    tcase_add_test(tcase, test_intervals__for_contrast);
    tcase_add_test(tcase, test_intervals__exact_holds_its_level);
    tcase_add_test(tcase, test_intervals__newcombe_corrected_at_95);
    return tcase;
}
