/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <math.h>

#include "rb/base/random.h"
#include "rb/stats/exact.h"

#include "suite.h"

TCase *rb_case_exact(void);

/* R 4.2.2, fisher.test(matrix(c(a, b, c, d), 2, byrow = TRUE), alternative = ...). The tea
 * table and its 0.2429 stand in R's own help, after R. A. Fisher, "The Design of Experiments",
 * 1935; the convictions of twins are his too, "Statistical Methods for Research Workers". */
START_TEST(test_exact__equals_r)
{
    static const struct {
        RbFourfold table;
        double greater;
        double less;
        double two_sided;
        double odds;
    } rows[] = {
        { { 3, 1, 1, 3 }, 0.242857142857, 0.985714285714, 0.485714285714, 6.40830886701 },
        { { 4, 0, 0, 4 }, 0.014285714286, 1, 0.028571428571, INFINITY },
        { { 2, 15, 10, 3 },
          0.999984519019,
          0.000465180943,
          0.000536724119,
          0.0469366088277 },
        { { 0, 7, 5, 4 }, 1, 0.028846153846, 0.033653846154, 0 },
        { { 12, 9, 5, 14 },
          0.048785938330,
          0.989732335227,
          0.062355169407,
          3.60524981108 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        RbExact exact;
        rb_exact_test(rows[i].table, &exact);
        ck_assert_double_eq_tol(exact.greater, rows[i].greater, 1e-12);
        ck_assert_double_eq_tol(exact.less, rows[i].less, 1e-12);
        ck_assert_double_eq_tol(exact.two_sided, rows[i].two_sided, 1e-12);
        if (isinf(rows[i].odds)) {
            ck_assert(isinf(exact.odds));
        } else {
            /* R's own search stops at about 1e-5 of the ratio. */
            ck_assert_double_eq_tol(exact.odds, rows[i].odds,
                                    3e-5 * rows[i].odds + 1e-12);
        }
    }
}
END_TEST

/* conf.int of the same calls. */
START_TEST(test_exact__interval_of_the_odds)
{
    RbExact exact;
    rb_exact_test((RbFourfold){ 3, 1, 1, 3 }, &exact);
    ck_assert_double_eq_tol(exact.low, 0.211732915306, 3e-5 * 0.21);
    /* R looks for the inverse between 0 and 1 with uniroot()'s tolerance of 1.2e-4, so its
     * digits go beyond what it knows; by hand 16/x + 36/x^2 + 16/x^3 + 1/x^4 = 0.025/0.975. */
    ck_assert_double_eq_tol(1.0 / exact.high, 1.0 / 621.933750545, 1.2e-4);
    const double x = exact.high;
    ck_assert_double_eq_tol(16 / x + 36 / (x * x) + 16 / (x * x * x) +
                                1 / (x * x * x * x),
                            0.025 / 0.975, 1e-12);
    rb_exact_test((RbFourfold){ 2, 15, 10, 3 }, &exact);
    ck_assert_double_eq_tol(exact.low, 0.00332576403386, 1.2e-4);
    ck_assert_double_eq_tol(exact.high, 0.363182271475, 3e-5 * 0.36);
}
END_TEST

/* The hypergeometric probabilities by multiplying out whole numbers. */
static double ways(int n, int k)
{
    double product = 1.0;
    for (int i = 1; i <= k; i++) {
        product = product * (n - k + i) / i;
    }
    return product;
}

START_TEST(test_exact__equals_counting)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(17));
    for (int round = 0; round < 400; round++) {
        const RbFourfold table = { rb_random_int(&random, 0, 9),
                                   rb_random_int(&random, 0, 9),
                                   rb_random_int(&random, 0, 9),
                                   rb_random_int(&random, 0, 9) };
        const int row = table.a + table.b;
        const int other = table.c + table.d;
        const int column = table.a + table.c;
        const double all = ways(row + other, column);
        const double own = ways(row, table.a) * ways(other, table.c);
        double up_to = 0.0;
        double from = 0.0;
        double extreme = 0.0;
        for (int k = MAX(0, column - other); k <= MIN(row, column); k++) {
            const double here = ways(row, k) * ways(other, column - k);
            up_to += k <= table.a ? here : 0.0;
            from += k >= table.a ? here : 0.0;
            extreme += here <= own * (1.0 + 1e-7) ? here : 0.0;
        }
        RbExact exact;
        rb_exact_test(table, &exact);
        ck_assert_double_eq_tol(exact.less, up_to / all, 1e-10);
        ck_assert_double_eq_tol(exact.greater, from / all, 1e-10);
        ck_assert_double_eq_tol(exact.two_sided, extreme / all, 1e-10);
        ck_assert(exact.low <= exact.odds && exact.odds <= exact.high);
    }
}
END_TEST

START_TEST(test_exact__nothing_counted_says_nothing)
{
    RbExact exact;
    rb_exact_test((RbFourfold){ 0, 0, 0, 0 }, &exact);
    ck_assert_double_eq(exact.greater, 1);
    ck_assert_double_eq(exact.less, 1);
    ck_assert_double_eq(exact.two_sided, 1);
    ck_assert_double_eq(exact.odds, 1);
    ck_assert_double_eq(exact.low, 0);
    ck_assert(isinf(exact.high));
}
END_TEST

TCase *rb_case_exact(void)
{
    TCase *tcase = rb_case_new("exact");
    tcase_add_test(tcase, test_exact__equals_r);
    tcase_add_test(tcase, test_exact__interval_of_the_odds);
    tcase_add_test(tcase, test_exact__equals_counting);
    tcase_add_test(tcase, test_exact__nothing_counted_says_nothing);
    return tcase;
}
