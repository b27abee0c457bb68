/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stddef.h>

#include "rb/stats/passer.h"

#include "suite.h"

TCase *rb_case_passer(void);

typedef struct {
    RbPassing passing;
    double rating;
    double tolerance;
} Row;

static void check_rows(const Row *rows, size_t n,
                       bool (*rate)(const RbPassing *, double *))
{
    for (size_t i = 0; i < n; i++) {
        double rating = -1e9;
        ck_assert(rate(&rows[i].passing, &rating));
        ck_assert_double_eq_tol(rating, rows[i].rating, rows[i].tolerance);
    }
}

/* Order: attempts, completions, yards, touchdowns, interceptions. */
START_TEST(test_passer__pro_rating)
{
    static const Row rows[] = {
        /* S. Young 1994: the league's own worked example, printed 112.8. */
        { { 461, 324, 3969, 35, 10 }, 112.8, 0.05 },
        { { 461, 324, 3969, 35, 10 }, 112.793745, 1e-6 },
        /* S. Young, career through 1996: R. W. Johnson, UMAP Journal 18(2), 1997, 96.2. */
        { { 3192, 2059, 25479, 174, 85 }, 96.171418, 1e-6 },
        /* T. Brady 2016, printed 112.2. */
        { { 432, 291, 3554, 28, 2 }, 112.172068, 1e-6 },
        /* The most there is: all four parts at their cap, 158.3. */
        { { 10, 10, 125, 2, 0 }, 158.333333, 1e-6 },
        /* Printed 121.1 and 122.5 (from memory; the arithmetic agrees). */
        { { 497, 336, 4557, 49, 10 }, 121.105801, 1e-6 },
        { { 502, 343, 4643, 45, 6 }, 122.460159, 1e-6 },
        /* Worked by hand: exactly at each cap; each part exactly 1; floor; nothing done; a
         * completion for a loss. */
        { { 40, 31, 500, 5, 0 }, 158.333333, 1e-6 },
        { { 200, 100, 1400, 10, 11 }, 66.666667, 1e-6 },
        { { 10, 0, 0, 0, 3 }, 0.0, 1e-12 },
        { { 10, 0, 0, 0, 0 }, 39.583333, 1e-6 },
        { { 1, 1, -5, 0, 0 }, 79.166667, 1e-6 },
    };
    check_rows(rows, sizeof rows / sizeof rows[0], rb_passer_rating_pro);
}
END_TEST

/* The parts of Young's 1994 rating. The league's text prints 2.014, 1.403, 1.518, 1.833 and 6.768,
 * because it rounds yards an attempt and percentages first: the second digit off by one. */
START_TEST(test_passer__parts_of_the_worked_example)
{
    static const RbPassing young = { 461, 324, 3969, 35, 10 };
    static const double exact[4] = { 2.014100, 1.402386, 1.518438, 1.832701 };
    static const double printed[4] = { 2.014, 1.403, 1.518, 1.833 };
    double parts[4];
    double sum = 0.0;
    ck_assert(rb_passer_parts_pro(&young, parts));
    for (int i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(parts[i], exact[i], 5.1e-7);
        ck_assert_double_eq_tol(parts[i], printed[i], 7e-4);
        sum += parts[i];
    }
    ck_assert_double_eq_tol(sum, 6.767625, 5.1e-7);
    ck_assert_double_eq_tol(sum, 6.768, 5.1e-4);
    /* 2.375 is each part's cap; where all four are 1 the rating is 66.7. */
    static const RbPassing cap = { 40, 31, 500, 5, 0 };
    static const RbPassing one = { 200, 100, 1400, 10, 11 };
    double ones[4];
    ck_assert(rb_passer_parts_pro(&cap, parts));
    ck_assert(rb_passer_parts_pro(&one, ones));
    for (int i = 0; i < 4; i++) {
        ck_assert_double_eq_tol(parts[i], 2.375, 1e-12);
        ck_assert_double_eq_tol(ones[i], 1.0, 1e-12);
    }
}
END_TEST

/* As printed: one decimal for professionals, two or one in college, Burrow's cut off. */
START_TEST(test_passer__ratings_as_printed)
{
    static const Row pro[] = {
        { { 461, 324, 3969, 35, 10 }, 112.8, 0.05 },
        { { 3192, 2059, 25479, 174, 85 }, 96.2, 0.05 },
        { { 432, 291, 3554, 28, 2 }, 112.2, 0.05 },
        { { 10, 10, 125, 2, 0 }, 158.3, 0.05 },
        { { 497, 336, 4557, 49, 10 }, 121.1, 0.05 },
        { { 502, 343, 4643, 45, 6 }, 122.5, 0.05 },
        { { 40, 31, 500, 5, 0 }, 158.3, 0.05 },
        { { 200, 100, 1400, 10, 11 }, 66.7, 0.05 },
        { { 10, 0, 0, 0, 3 }, 0.0, 0.05 },
        { { 10, 0, 0, 0, 0 }, 39.6, 0.05 },
        { { 1, 1, -5, 0, 0 }, 79.2, 0.05 },
    };
    static const Row college[] = {
        { { 402, 311, 4500, 41, 4 }, 203.06, 0.005 },
        { { 527, 402, 5671, 60, 6 },
          201.97,
          0.005 }, /* rounded, where 201.96 is printed */
        { { 402, 291, 4293, 37, 6 }, 189.5, 0.05 },
        { { 309, 225, 3175, 33, 4 }, 191.8, 0.05 },
        { { 404, 285, 4627, 43, 6 }, 198.9, 0.05 },
    };
    check_rows(pro, sizeof pro / sizeof pro[0], rb_passer_rating_pro);
    check_rows(college, sizeof college / sizeof college[0], rb_passer_rating_college);
}
END_TEST

/* R. W. Johnson's closed form, where no part is capped:
 * (25 + 10 C% + 40 T% - 50 I% + 50 Y/A) / 12. */
START_TEST(test_passer__pro_rating_equals_the_closed_form)
{
    for (int completions = 40; completions <= 70; completions += 3) {
        for (int yards = 400; yards <= 1000; yards += 37) {
            const RbPassing passing = { 100, completions, yards, 5, 3 };
            double rating = 0;
            ck_assert(rb_passer_rating_pro(&passing, &rating));
            const double closed =
                (25.0 + 10.0 * completions + 40.0 * 5 - 50.0 * 3 + 50.0 * yards / 100) /
                12.0;
            ck_assert_double_eq_tol(rating, closed, 1e-9);
        }
    }
}
END_TEST

START_TEST(test_passer__college_rating)
{
    static const Row rows[] = {
        /* M. Jones 2020, printed 203.06 (newspaper reports of line and rating). */
        { { 402, 311, 4500, 41, 4 }, 203.06, 0.01 },
        { { 402, 311, 4500, 41, 4 }, 203.059701, 1e-6 },
        /* The highest and lowest an attempt can bring: passing-efficiency FAQ, stassen.com. */
        { { 1, 1, 99, 1, 0 }, 1261.6, 1e-9 },
        { { 1, 1, -99, 0, 0 }, -731.6, 1e-9 },
        /* J. Burrow 2019: printed 201.96, cut off rather than rounded. */
        { { 527, 402, 5671, 60, 6 }, 201.96, 0.01 },
        { { 527, 402, 5671, 60, 6 }, 201.966603, 1e-6 },
        /* A dictionary's worked line: (2982 + 990 + 1800 - 200) / 20. */
        { { 20, 18, 355, 3, 1 }, 278.6, 1e-9 },
        /* Printed 189.5, 191.8 and 198.9 (from memory; the arithmetic agrees). */
        { { 402, 291, 4293, 37, 6 }, 189.480597, 1e-6 },
        { { 309, 225, 3175, 33, 4 }, 191.779935, 1e-6 },
        { { 404, 285, 4627, 43, 6 }, 198.902970, 1e-6 },
        /* Worked by hand. */
        { { 1, 0, 0, 0, 1 }, -200.0, 1e-9 },
        { { 461, 324, 3969, 35, 10 }, 163.318004, 1e-6 },
    };
    check_rows(rows, sizeof rows / sizeof rows[0], rb_passer_rating_college);
}
END_TEST

START_TEST(test_passer__no_attempt_has_no_rating)
{
    const RbPassing none = { 0 };
    double rating = 42;
    double parts[4] = { 42, 42, 42, 42 };
    ck_assert(!rb_passer_parts_pro(&none, parts));
    ck_assert_double_eq(parts[0], 42);
    ck_assert(!rb_passer_rating_pro(&none, &rating));
    ck_assert(!rb_passer_rating_college(&none, &rating));
    ck_assert_double_eq(rating, 42);
}
END_TEST

TCase *rb_case_passer(void)
{
    TCase *tcase = rb_case_new("passer");
    tcase_add_test(tcase, test_passer__pro_rating);
    tcase_add_test(tcase, test_passer__parts_of_the_worked_example);
    tcase_add_test(tcase, test_passer__ratings_as_printed);
    tcase_add_test(tcase, test_passer__pro_rating_equals_the_closed_form);
    tcase_add_test(tcase, test_passer__college_rating);
    tcase_add_test(tcase, test_passer__no_attempt_has_no_rating);
    return tcase;
}
