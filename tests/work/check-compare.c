/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/work/compare.h"
#include "rb/work/json.h"

#include "random-season.h"
#include "suite.h"

TCase *rb_case_compare(void);

static RbSelection *select_down(const RbSnapshot *snapshot, int low, int high)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    for (int down = low; down <= high; down++) {
        rb_filter_add_value(filter, RB_FIELD_DOWN, down);
    }
    return rb_selection_new(snapshot, filter);
}

static RbSnapshot *build(RandomSeason *season, int64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed((uint64_t)seed));
    *season = random_season_new(&random);
    return rb_snapshot_build(season->names, season->snaps, season->charts, season->clips,
                             NULL, NULL, NULL);
}

/* Counted a second time, from the rows; the difference is the first less the second. */
START_TEST(test_compare__rates_are_those_of_the_sides)
{
    RandomSeason season;
    g_autoptr(RbSnapshot) snapshot = build(&season, 91);
    g_autoptr(RbSelection) first = select_down(snapshot, 1, 1);
    g_autoptr(RbSelection) second = select_down(snapshot, 3, 4);
    const RbSelection *const sides[] = { first, second };
    RbCompared compared;
    rb_compare(first, second, &compared);
    const RbContrast *success = &compared.contrasts[RB_MEASURE_SUCCESS];
    for (int side = 0; side < 2; side++) {
        int n = 0;
        int x = 0;
        int counted = 0;
        const RbDropback *rows = rb_selection_get_rows(sides[side], &n);
        for (int i = 0; i < n; i++) {
            counted += rows[i].in_ladder;
            x += rows[i].in_ladder && rows[i].success;
        }
        const RbMeasured *figure = side == 0 ? &success->first : &success->second;
        ck_assert_int_gt(counted, 5);
        ck_assert_int_eq(figure->n, counted);
        ck_assert_double_eq_tol(figure->raw, (double)x / counted, 1e-12);
        ck_assert_int_eq(compared.ladders[side].dropbacks, counted);
    }
    ck_assert_double_eq_tol(success->difference, success->first.raw - success->second.raw,
                            1e-12);
    ck_assert(success->low_95 <= success->low_80 &&
              success->low_80 <= success->difference);
    ck_assert(success->high_95 >= success->high_80 &&
              success->high_80 >= success->difference);
    ck_assert_int_eq(compared.shared, 0);
    random_season_clear(&season);
}
END_TEST

/* Turned round, every difference changes its sign and nothing else. */
START_TEST(test_compare__the_other_way_round)
{
    RandomSeason season;
    g_autoptr(RbSnapshot) snapshot = build(&season, 92);
    g_autoptr(RbSelection) first = select_down(snapshot, 1, 2);
    g_autoptr(RbSelection) second = select_down(snapshot, 2, 3);
    RbCompared there;
    RbCompared back;
    rb_compare(first, second, &there);
    rb_compare(second, first, &back);
    for (int measure = 0; measure < RB_MEASURES; measure++) {
        const RbContrast *a = &there.contrasts[measure];
        const RbContrast *b = &back.contrasts[measure];
        ck_assert_int_eq(a->has_interval, b->has_interval);
        ck_assert_double_eq_tol(a->difference, -b->difference, 1e-12);
        ck_assert_double_eq_tol(a->low_95, -b->high_95, 1e-9);
        ck_assert_double_eq_tol(a->high_80, -b->low_80, 1e-9);
    }
    ck_assert_int_gt(there.shared, 0);
    g_autofree char *warning = rb_compared_warning(&there);
    ck_assert_ptr_nonnull(strstr(warning, "on both sides"));
    random_season_clear(&season);
}
END_TEST

/* Nothing against something, nothing against nothing: words, and no number that is none. */
START_TEST(test_compare__empty_sides)
{
    RandomSeason season;
    g_autoptr(RbSnapshot) snapshot = build(&season, 93);
    g_autoptr(RbFilter) none = rb_filter_new();
    rb_filter_set_range(none, RB_FIELD_DISTANCE, 900, 999);
    g_autoptr(RbSelection) empty = rb_selection_new(snapshot, none);
    g_autoptr(RbSelection) some = select_down(snapshot, 1, 4);
    const RbSelection *const pairs[][2] = { { empty, some },
                                            { some, empty },
                                            { empty, empty } };
    for (size_t i = 0; i < G_N_ELEMENTS(pairs); i++) {
        RbCompared compared;
        rb_compare(pairs[i][0], pairs[i][1], &compared);
        g_autofree char *text = rb_compared_text(&compared, NULL, NULL);
        g_autofree char *warning = rb_compared_warning(&compared);
        g_autofree char *one = rb_contrast_text(&compared, RB_MEASURE_POINTS);
        ck_assert_ptr_null(strstr(text, "nan"));
        ck_assert_ptr_null(strstr(one, "nan"));
        ck_assert_ptr_nonnull(strstr(one, "none"));
        ck_assert_ptr_nonnull(warning);
        ck_assert(!compared.contrasts[RB_MEASURE_SUCCESS].has_difference);
        json_t *root = rb_json_compared(pairs[i][0], pairs[i][1]);
        ck_assert(json_is_null(json_object_get(
            json_array_get(json_object_get(root, "measures"), 0), "difference")));
        json_decref(root);
    }
    random_season_clear(&season);
}
END_TEST

/* R. G. Newcombe, Statistics in Medicine 17, 1998, 873-890, table II, contrast (a): 56/70 less
 * 48/80 by method 10 is +0.0524 to +0.3339. */
START_TEST(test_compare__newcombe_as_printed)
{
    double low = 0.0;
    double high = 0.0;
    const RbTally first = { .dropbacks = 70, .successes = 56 };
    const RbTally second = { .dropbacks = 80, .successes = 48 };
    ck_assert(
        rb_measure_difference(RB_MEASURE_SUCCESS, &first, &second, 0.95, &low, &high));
    ck_assert_double_eq_tol(low, 0.0524, 0.00005);
    ck_assert_double_eq_tol(high, 0.3339, 0.00005);
}
END_TEST

TCase *rb_case_compare(void)
{
    TCase *tcase = tcase_create("compare");
    tcase_add_test(tcase, test_compare__rates_are_those_of_the_sides);
    tcase_add_test(tcase, test_compare__the_other_way_round);
    tcase_add_test(tcase, test_compare__empty_sides);
    tcase_add_test(tcase, test_compare__newcombe_as_printed);
    return tcase;
}
