/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/spacing.h"

#include "suite.h"

TCase *rb_case_spacing(void);

/* The intervals and eases that the rule of P. A. Wozniak, "Optimization of learning" (1990),
 * section 3.2, gives: I(1) = 1, I(2) = 6, I(n) = I(n - 1) * EF rounded up, and
 * EF' = EF + (0.1 - (5 - q) * (0.08 + (5 - q) * 0.02)), not under 1.3; its changes of the ease by
 * quality are +0.10, 0.00, -0.14 for 5, 4, 3. Worked by hand from the text. */
START_TEST(test_spacing__worked_example)
{
    static const struct {
        int quality;
        int days;
        double ease;
    } steps[] = {
        { 4, 1, 2.50 },  { 4, 6, 2.50 },   { 5, 16, 2.60 },
        { 4, 42, 2.60 }, { 3, 104, 2.46 }, { 2, 1, 2.46 },
        { 5, 1, 2.56 },  { 5, 6, 2.66 },   { 3, 16, 2.52 },
    };
    RbSpacing spacing = rb_spacing_new();
    for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
        spacing = rb_spacing_next(spacing, steps[i].quality);
        ck_assert_int_eq(spacing.days, steps[i].days);
        ck_assert_double_eq_tol(spacing.ease, steps[i].ease, 1e-9);
    }
}
END_TEST

START_TEST(test_spacing__never_under_its_least_nor_back)
{
    RbSpacing spacing = rb_spacing_new();
    int days = 0;
    for (int i = 0; i < 60; i++) {
        spacing = rb_spacing_next(spacing, 3);
        ck_assert_double_ge(spacing.ease, 1.3);
        ck_assert_int_ge(spacing.days, days); /* right answers never shorten it */
        days = spacing.days;
    }
    ck_assert_double_eq_tol(spacing.ease, 1.3, 1e-9);
    ck_assert_int_le(days, 36500);
    for (int quality = 0; quality < 3; quality++) {
        const RbSpacing again = rb_spacing_next(spacing, quality);
        ck_assert_int_eq(again.days, 1);
        ck_assert_int_eq(again.repetitions, 0);
        ck_assert_double_eq(again.ease, spacing.ease);
    }
}
END_TEST

TCase *rb_case_spacing(void)
{
    TCase *tcase = rb_case_new("spacing");
    tcase_add_test(tcase, test_spacing__worked_example);
    tcase_add_test(tcase, test_spacing__never_under_its_least_nor_back);
    return tcase;
}
