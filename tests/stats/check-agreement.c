/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stddef.h>

#include "rb/base/random.h"
#include "rb/stats/agreement.h"

#include "suite.h"

TCase *rb_case_agreement(void);

/* J. Cohen, Psychological Bulletin 70, 1968, 213-220, Table 1: two judges, 200 cases, three
 * diagnoses; printed .492 and, with the weights beside it, .348. Digits by statsmodels
 * 0.13.5 and scikit-learn 1.2.1. */
START_TEST(test_agreement__cohens_example)
{
    static const int counts[9] = { 88, 14, 18, 10, 40, 10, 2, 6, 12 };
    static const double weights[9] = { 0, 1, 3, 1, 0, 6, 3, 6, 0 };
    static const double line[9] = { 0, 1, 2, 1, 0, 1, 2, 1, 0 };
    static const double square[9] = { 0, 1, 4, 1, 0, 1, 4, 1, 0 };
    double kappa = 0;
    ck_assert(rb_kappa(counts, 3, NULL, &kappa));
    ck_assert_double_eq_tol(kappa, 0.491525423729, 1e-12);
    ck_assert(rb_kappa(counts, 3, weights, &kappa));
    ck_assert_double_eq_tol(kappa, 0.347826086957, 1e-12);
    ck_assert(rb_kappa(counts, 3, line, &kappa));
    ck_assert_double_eq_tol(kappa, 0.473684210526, 1e-12);
    ck_assert(rb_kappa(counts, 3, square, &kappa));
    ck_assert_double_eq_tol(kappa, 0.454545454545, 1e-12);
}
END_TEST

/* The same table: agreement 0.70 against 0.41 by chance, weighted disagreement 0.90 against
 * 1.38; standard errors by statsmodels 0.13.5, cohens_kappa(). */
START_TEST(test_agreement__errors_of_cohens_example)
{
    static const int counts[9] = { 88, 14, 18, 10, 40, 10, 2, 6, 12 };
    static const double weights[9] = { 0, 1, 3, 1, 0, 6, 3, 6, 0 };
    RbKappa kappa;
    ck_assert(rb_kappa_find(counts, 3, NULL, &kappa));
    ck_assert_double_eq_tol(1.0 - kappa.observed, 0.70, 1e-12);
    ck_assert_double_eq_tol(1.0 - kappa.expected, 0.41, 1e-12);
    ck_assert_double_eq_tol(kappa.error, 0.0510, 5.1e-5);
    ck_assert_double_eq_tol(kappa.error_by_chance, 0.0520, 5.1e-5);
    ck_assert_double_eq_tol(kappa.kappa / kappa.error_by_chance, 9.456, 5.1e-4);
    ck_assert(rb_kappa_find(counts, 3, weights, &kappa));
    ck_assert_double_eq_tol(kappa.observed, 0.90, 1e-12);
    ck_assert_double_eq_tol(kappa.expected, 1.38, 1e-12);
    ck_assert_double_eq_tol(kappa.error, 0.0755, 5.1e-5);
    ck_assert_double_eq_tol(kappa.kappa - 1.959963984540054 * kappa.error, 0.1998,
                            5.1e-5);
    ck_assert_double_eq_tol(kappa.kappa + 1.959963984540054 * kappa.error, 0.4958,
                            5.1e-5);
}
END_TEST

/* J. L. Fleiss' often reprinted table: fourteen raters, ten subjects, five categories; printed
 * 0.210; digits by statsmodels 0.13.5, fleiss_kappa(). */
START_TEST(test_agreement__fleiss_example)
{
    static const int counts[10 * 5] = {
        0, 0, 0, 0, 14, 0, 2, 6, 4, 2, 0, 0, 3, 5, 6, 0, 3, 9, 2, 0, 2, 2, 8, 1, 1,
        7, 7, 0, 0, 0,  3, 2, 6, 3, 0, 2, 5, 3, 2, 2, 6, 5, 2, 1, 0, 0, 2, 2, 3, 7,
    };
    static const int same[2 * 2] = { 3, 0, 3, 0 };
    double kappa = 42;
    ck_assert(rb_kappa_of_many(counts, 10, 5, &kappa));
    ck_assert_double_eq_tol(kappa, 0.209930704, 5.1e-10);
    ck_assert(!rb_kappa_of_many(same, 2, 2, &kappa));
    ck_assert(!rb_kappa_of_many(NULL, 0, 2, &kappa));
    ck_assert_double_eq_tol(kappa, 0.209930704, 5.1e-10);
}
END_TEST

/* The standard error by drawing tables again and again from the same shares. */
START_TEST(test_agreement__error_equals_a_simulation)
{
    enum { TABLES = 4000, N = 200 };
    static const int counts[9] = { 88, 14, 18, 10, 40, 10, 2, 6, 12 };
    double shares[9];
    double sum = 0.0;
    double squares = 0.0;
    RbKappa whole;
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(16));
    ck_assert(rb_kappa_find(counts, 3, NULL, &whole));
    for (int i = 0; i < 9; i++) {
        shares[i] = counts[i];
    }
    for (int table = 0; table < TABLES; table++) {
        int drawn[9] = { 0 };
        double kappa = 0;
        for (int i = 0; i < N; i++) {
            drawn[rb_random_pick(&random, shares, 9)]++;
        }
        ck_assert(rb_kappa(drawn, 3, NULL, &kappa));
        sum += kappa;
        squares += kappa * kappa;
    }
    const double mean = sum / TABLES;
    ck_assert_double_eq_tol(sqrt(squares / TABLES - mean * mean), whole.error, 0.004);
}
END_TEST

/* Common textbook tables; digits by statsmodels 0.13.5. The last three by hand. */
START_TEST(test_agreement__small_tables)
{
    static const struct {
        int counts[4];
        double kappa;
        double agreed;
        double by_chance;
    } rows[] = {
        { { 20, 5, 10, 15 }, 0.4, 0.70, 0.50 },
        { { 45, 15, 25, 15 }, 0.130434783, 0.60, 0.54 },
        { { 25, 35, 5, 35 }, 0.259259259, 0.60, 0.46 },
        { { 10, 0, 0, 10 }, 1, 1, 0.5 },
        { { 5, 5, 5, 5 }, 0, 0.5, 0.5 },
        { { 0, 5, 5, 0 }, -1, 0, 0.5 },
    };
    double kappa = 0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert(rb_kappa(rows[i].counts, 2, NULL, &kappa));
        ck_assert_double_eq_tol(kappa, rows[i].kappa, 1e-9);
        RbKappa found;
        ck_assert(rb_kappa_find(rows[i].counts, 2, NULL, &found));
        ck_assert_double_eq_tol(1.0 - found.observed, rows[i].agreed, 1e-12);
        ck_assert_double_eq_tol(1.0 - found.expected, rows[i].by_chance, 1e-12);
    }
    static const int one_cell[4] = { 7, 0, 0, 0 };
    static const int nothing[4] = { 0 };
    ck_assert(!rb_kappa(one_cell, 2, NULL, &kappa));
    ck_assert(!rb_kappa(nothing, 2, NULL, &kappa));
}
END_TEST

#define X RB_MISSING

/* K. Krippendorff, "Computing Krippendorff's Alpha-Reliability", 2011, section C: four
 * observers, twelve units; printed 0.743 nominal, 0.815 ordinal, 0.849 interval. */
START_TEST(test_agreement__krippendorffs_four_observers)
{
    static const int values[4 * 12] = {
        1, 2, 3, 3, 2, 1, 4, 1, 2, X, X, X, /**/
        1, 2, 3, 3, 2, 2, 4, 1, 2, 5, X, 3, /**/
        X, 3, 3, 3, 2, 3, 4, 2, 2, 5, 1, X, /**/
        1, 2, 3, 3, 2, 4, 4, 1, 2, 5, 1, X,
    };
    double alpha = 0;
    ck_assert(rb_alpha(values, 4, 12, 6, RB_SCALE_NOMINAL, &alpha));
    ck_assert_double_eq_tol(alpha, 0.7434210526, 1e-10);
    ck_assert(rb_alpha(values, 4, 12, 6, RB_SCALE_ORDINAL, &alpha));
    ck_assert_double_eq_tol(alpha, 0.8153875038, 1e-10);
    ck_assert(rb_alpha(values, 4, 12, 6, RB_SCALE_INTERVAL, &alpha));
    ck_assert_double_eq_tol(alpha, 0.8491071429, 1e-10);
}
END_TEST

/* The same paper's sections A and B (0.095 and 0.692), and the example of three coders of
 * an encyclopaedia (0.691). */
START_TEST(test_agreement__krippendorffs_other_examples)
{
    static const int binary[2 * 10] = {
        0, 1, 0, 0, 0, 0, 0, 0, 1, 0, /**/
        1, 1, 1, 0, 0, 1, 0, 0, 0, 0,
    };
    enum { A, B, C, D, E };
    static const int letters[2 * 12] = {
        A, A, B, B, D, C, C, C, E, D, D, A, /**/
        B, A, B, B, B, C, C, C, E, D, D, D,
    };
    static const int coders[3 * 15] = {
        X, X, X, X, X, 3, 4, 1, 2, 1, 1, 3, 3, X, 3, /**/
        1, X, 2, 1, 3, 3, 4, 3, X, X, X, X, X, X, X, /**/
        X, X, 2, 1, 3, 4, 4, X, 2, 1, 1, 3, 3, X, 4,
    };
    double alpha = 0;
    ck_assert(rb_alpha(binary, 2, 10, 2, RB_SCALE_NOMINAL, &alpha));
    ck_assert_double_eq_tol(alpha, 0.0952380952, 1e-10);
    ck_assert(rb_alpha(letters, 2, 12, 5, RB_SCALE_NOMINAL, &alpha));
    ck_assert_double_eq_tol(alpha, 0.6919642857, 1e-10);
    ck_assert(rb_alpha(coders, 3, 15, 5, RB_SCALE_NOMINAL, &alpha));
    ck_assert_double_eq_tol(alpha, 0.6913580247, 1e-10);
}
END_TEST

START_TEST(test_agreement__nothing_to_compare)
{
    static const int alone[2 * 3] = { 0, 1, X, X, X, 1 };
    static const int same[2 * 3] = { 1, 1, 1, 1, 1, 1 };
    double alpha = 42;
    ck_assert(!rb_alpha(alone, 2, 3, 2, RB_SCALE_NOMINAL, &alpha));
    ck_assert(!rb_alpha(same, 2, 3, 2, RB_SCALE_NOMINAL, &alpha));
    ck_assert(!rb_alpha(NULL, 0, 0, 2, RB_SCALE_NOMINAL, &alpha));
    ck_assert_double_eq(alpha, 42);
}
END_TEST

/* Two people who tag at random agree no more than chance; one's copy agrees wholly; the order
 * of people and of units does not matter. */
START_TEST(test_agreement__chance_copy_and_order)
{
    enum { N = 4000 };
    static int values[2 * N];
    static int turned[2 * N];
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(15));
    for (int i = 0; i < 2 * N; i++) {
        values[i] = rb_random_int(&random, 0, 3);
    }
    double alpha = 0;
    ck_assert(rb_alpha(values, 2, N, 4, RB_SCALE_NOMINAL, &alpha));
    ck_assert_double_eq_tol(alpha, 0.0, 0.06);
    for (int i = 0; i < N; i++) {
        turned[N + N - 1 - i] = values[i];
        turned[N - 1 - i] = values[N + i];
    }
    double again = 0;
    ck_assert(rb_alpha(turned, 2, N, 4, RB_SCALE_NOMINAL, &again));
    ck_assert_double_eq_tol(again, alpha, 1e-12);
    for (int i = 0; i < N; i++) {
        values[N + i] = values[i];
    }
    ck_assert(rb_alpha(values, 2, N, 4, RB_SCALE_ORDINAL, &alpha));
    ck_assert_double_eq_tol(alpha, 1.0, 1e-12);
}
END_TEST

TCase *rb_case_agreement(void)
{
    TCase *tcase = rb_case_new("agreement");
    tcase_add_test(tcase, test_agreement__cohens_example);
    tcase_add_test(tcase, test_agreement__errors_of_cohens_example);
    tcase_add_test(tcase, test_agreement__fleiss_example);
    tcase_add_test(tcase, test_agreement__error_equals_a_simulation);
    tcase_add_test(tcase, test_agreement__small_tables);
    tcase_add_test(tcase, test_agreement__krippendorffs_four_observers);
    tcase_add_test(tcase, test_agreement__krippendorffs_other_examples);
    tcase_add_test(tcase, test_agreement__nothing_to_compare);
    tcase_add_test(tcase, test_agreement__chance_copy_and_order);
    return tcase;
}
