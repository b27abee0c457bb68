/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/random.h"
#include "rb/stats/multiple.h"

#include "suite.h"

TCase *rb_case_multiple(void);

/* Y. Benjamini, Y. Hochberg, J. R. Statist. Soc. B 57, 1995, section 4: fifteen p-values of a
 * thrombolysis trial; four are rejected at 0.05, nine at 0.10. Adjusted values: R 4.2.2,
 * p.adjust(p, "BH"). */
START_TEST(test_multiple__the_authors_example)
{
    static const double p[15] = { 0.0001, 0.0004, 0.0019, 0.0095, 0.0201,
                                  0.0278, 0.0298, 0.0344, 0.0459, 0.3240,
                                  0.4262, 0.5719, 0.6528, 0.7590, 1.0000 };
    static const double want[15] = { 0.00150000, 0.00300000, 0.00950000, 0.03562500,
                                     0.06030000, 0.06385714, 0.06385714, 0.06450000,
                                     0.07650000, 0.48600000, 0.58118182, 0.71487500,
                                     0.75323077, 0.81321429, 1 };
    double adjusted[15] = { 0 };
    int rejected_05 = 0;
    int rejected_10 = 0;
    rb_benjamini_hochberg(p, 15, adjusted);
    for (int i = 0; i < 15; i++) {
        ck_assert_double_eq_tol(adjusted[i], want[i], 5.1e-9);
        rejected_05 += adjusted[i] <= 0.05;
        rejected_10 += adjusted[i] <= RB_DISCOVERY_RATE;
    }
    ck_assert_int_eq(rejected_05, 4);
    ck_assert_int_eq(rejected_10, 9);
}
END_TEST

/* The same trial: Holm's values by R 4.2.2, p.adjust(p, "holm"); Bonferroni, Holm, Hochberg and
 * Benjamini-Yekutieli reject three each at 0.05; the limits i q / n as printed in the paper. */
START_TEST(test_multiple__other_methods_on_the_example)
{
    static const double p[15] = { 0.0001, 0.0004, 0.0019, 0.0095, 0.0201,
                                  0.0278, 0.0298, 0.0344, 0.0459, 0.3240,
                                  0.4262, 0.5719, 0.6528, 0.7590, 1.0000 };
    static const double holm[15] = { 0.0015, 0.0056, 0.0247, 0.1140, 0.2211,
                                     0.2780, 0.2780, 0.2780, 0.3213, 1,
                                     1,      1,      1,      1,      1 };
    static const double limits[15] = { 0.003333, 0.006667, 0.010000, 0.013333, 0.016667,
                                       0.020000, 0.023333, 0.026667, 0.030000, 0.033333,
                                       0.036667, 0.040000, 0.043333, 0.046667, 0.050000 };
    static const RbAdjust methods[] = { RB_ADJUST_BONFERRONI, RB_ADJUST_HOLM,
                                        RB_ADJUST_HOCHBERG, RB_ADJUST_DEPENDENT };
    double adjusted[15] = { 0 };
    rb_adjust(RB_ADJUST_HOLM, p, 15, adjusted);
    for (int i = 0; i < 15; i++) {
        ck_assert_double_eq_tol(adjusted[i], holm[i], 5.1e-5);
    }
    for (size_t m = 0; m < sizeof methods / sizeof methods[0]; m++) {
        int rejected = 0;
        rb_adjust(methods[m], p, 15, adjusted);
        for (int i = 0; i < 15; i++) {
            rejected += adjusted[i] <= 0.05;
        }
        ck_assert_int_eq(rejected, 3);
    }
    /* A p-value at its limit is just adjusted to the rate itself. */
    rb_adjust(RB_ADJUST_DISCOVERY, limits, 15, adjusted);
    for (int i = 0; i < 15; i++) {
        ck_assert_double_eq_tol(adjusted[i], 0.05, 6e-6);
    }
}
END_TEST

/* No method is kinder than the next: discovery, Hochberg, Holm, Bonferroni. */
START_TEST(test_multiple__methods_keep_their_order)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(12));
    for (int round = 0; round < 300; round++) {
        double p[16];
        double adjusted[5][16];
        const int n = rb_random_int(&random, 1, 16);
        for (int i = 0; i < n; i++) {
            p[i] = rb_random_unit(&random);
        }
        for (int m = 0; m < 5; m++) {
            rb_adjust((RbAdjust)m, p, n, adjusted[m]);
        }
        for (int i = 0; i < n; i++) {
            ck_assert_double_le(p[i], adjusted[RB_ADJUST_DISCOVERY][i] + 1e-12);
            ck_assert_double_le(adjusted[RB_ADJUST_DISCOVERY][i],
                                adjusted[RB_ADJUST_HOCHBERG][i] + 1e-12);
            ck_assert_double_le(adjusted[RB_ADJUST_HOCHBERG][i],
                                adjusted[RB_ADJUST_HOLM][i] + 1e-12);
            ck_assert_double_le(adjusted[RB_ADJUST_HOLM][i],
                                adjusted[RB_ADJUST_BONFERRONI][i] + 1e-12);
            ck_assert_double_le(adjusted[RB_ADJUST_DISCOVERY][i],
                                adjusted[RB_ADJUST_DEPENDENT][i] + 1e-12);
            ck_assert_double_le(adjusted[RB_ADJUST_BONFERRONI][i], 1.0);
        }
    }
}
END_TEST

/* The paper's own step-up rule, written out: reject the k smallest, k the largest rank with
 * p(k) <= k q / n. */
START_TEST(test_multiple__agrees_with_the_step_up_rule)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(11));
    for (int round = 0; round < 500; round++) {
        double p[20];
        double adjusted[20];
        const int n = rb_random_int(&random, 1, 20);
        for (int i = 0; i < n; i++) {
            p[i] = rb_random_unit(&random) * rb_random_unit(&random);
        }
        rb_benjamini_hochberg(p, n, adjusted);
        double limit = -1.0;
        for (int i = 0; i < n; i++) {
            int rank = 0;
            for (int j = 0; j < n; j++) {
                rank += p[j] <= p[i];
            }
            if (p[i] <= rank * 0.1 / n && p[i] > limit) {
                limit = p[i];
            }
        }
        for (int i = 0; i < n; i++) {
            ck_assert_int_eq(adjusted[i] <= 0.1, p[i] <= limit);
        }
    }
}
END_TEST

START_TEST(test_multiple__none_is_nothing)
{
    rb_benjamini_hochberg(NULL, 0, NULL);
    const double one = 0.04;
    double adjusted = 0;
    rb_benjamini_hochberg(&one, 1, &adjusted);
    ck_assert_double_eq(adjusted, 0.04);
}
END_TEST

TCase *rb_case_multiple(void)
{
    TCase *tcase = rb_case_new("multiple");
    tcase_add_test(tcase, test_multiple__the_authors_example);
    tcase_add_test(tcase, test_multiple__other_methods_on_the_example);
    tcase_add_test(tcase, test_multiple__methods_keep_their_order);
    tcase_add_test(tcase, test_multiple__agrees_with_the_step_up_rule);
    tcase_add_test(tcase, test_multiple__none_is_nothing);
    return tcase;
}
