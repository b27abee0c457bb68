/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/filter.h"

#include "suite.h"

TCase *rb_case_filter(void);

/* A row of a test: fields hold themselves; below 0 is not known. */
static bool value_of(const void *row, RbField field, int index, int64_t *value)
{
    const int64_t *fields = row;
    *value = fields[field];
    return index == 0 && fields[field] >= 0;
}

START_TEST(test_filter__empty_accepts_everything)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    const int64_t row[RB_FIELDS] = { [RB_FIELD_DOWN] = -1 };
    ck_assert(rb_filter_matches(filter, row, value_of));
}
END_TEST

START_TEST(test_filter__clauses_must_all_hold)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DOWN, 2);
    rb_filter_add_value(filter, RB_FIELD_DOWN, 3);
    rb_filter_set_range(filter, RB_FIELD_DISTANCE, 7, 10);
    int64_t row[RB_FIELDS] = { 0 };
    for (int64_t down = -1; down <= 4; down++) {
        for (int64_t distance = -1; distance <= 12; distance++) {
            row[RB_FIELD_DOWN] = down;
            row[RB_FIELD_DISTANCE] = distance;
            const bool expected =
                (down == 2 || down == 3) && distance >= 7 && distance <= 10;
            ck_assert_int_eq(rb_filter_matches(filter, row, value_of), expected);
        }
    }
}
END_TEST

/* Two tags on one dropback: either finds it. */
static bool tag_of(const void *row, RbField field, int index, int64_t *value)
{
    const int64_t *tags = row;
    *value = field == RB_FIELD_OWN_TAG && index < 2 ? tags[index] : 0;
    return *value != 0;
}

START_TEST(test_filter__one_of_several_values_is_enough)
{
    static const int64_t row[2] = { 5, 9 };
    static const int64_t bare[2] = { 0, 0 };
    for (int64_t value = 4; value <= 10; value++) {
        g_autoptr(RbFilter) filter = rb_filter_new();
        rb_filter_add_value(filter, RB_FIELD_OWN_TAG, value);
        ck_assert_int_eq(rb_filter_matches(filter, row, tag_of),
                         value == 5 || value == 9);
        ck_assert(!rb_filter_matches(filter, bare, tag_of));
        rb_filter_set_range(filter, RB_FIELD_OWN_TAG, value, value + 1);
        ck_assert_int_eq(rb_filter_matches(filter, row, tag_of),
                         value != 6 && value != 7 && value != 10);
    }
}
END_TEST

START_TEST(test_filter__range_and_values_replace_one_another)
{
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DISTANCE, 3);
    rb_filter_set_range(filter, RB_FIELD_DISTANCE, 7, 10);
    const RbClause *clause = rb_filter_find(filter, RB_FIELD_DISTANCE);
    ck_assert(clause->is_range);
    ck_assert_uint_eq(clause->values->len, 0);
    rb_filter_add_value(filter, RB_FIELD_DISTANCE, 4);
    rb_filter_add_value(filter, RB_FIELD_DISTANCE, 4);
    ck_assert(!clause->is_range);
    ck_assert_uint_eq(clause->values->len, 1);
    ck_assert_uint_eq(filter->clauses->len, 1);
    rb_filter_remove(filter, RB_FIELD_DISTANCE);
    rb_filter_remove(filter, RB_FIELD_DISTANCE);
    ck_assert_ptr_null(rb_filter_find(filter, RB_FIELD_DISTANCE));
}
END_TEST

START_TEST(test_filter__equal_whatever_the_order)
{
    g_autoptr(RbFilter) a = rb_filter_new();
    g_autoptr(RbFilter) b = rb_filter_new();
    rb_filter_add_value(a, RB_FIELD_DOWN, 2);
    rb_filter_add_value(a, RB_FIELD_DOWN, 3);
    rb_filter_set_range(a, RB_FIELD_DISTANCE, 1, 3);
    rb_filter_set_range(b, RB_FIELD_DISTANCE, 1, 3);
    ck_assert(!rb_filter_equal(a, b));
    ck_assert(!rb_filter_equal(b, a));
    rb_filter_add_value(b, RB_FIELD_DOWN, 3);
    rb_filter_add_value(b, RB_FIELD_DOWN, 2);
    ck_assert(rb_filter_equal(a, b));
    g_autoptr(RbFilter) copy = rb_filter_copy(a);
    ck_assert(rb_filter_equal(a, copy));
    rb_filter_add_value(copy, RB_FIELD_DOWN, 4);
    ck_assert(!rb_filter_equal(a, copy));
    ck_assert(!rb_filter_equal(copy, a));
    rb_filter_set_range(b, RB_FIELD_DISTANCE, 1, 4);
    ck_assert(!rb_filter_equal(a, b));
    rb_filter_add_value(b, RB_FIELD_DISTANCE, 1);
    ck_assert(!rb_filter_equal(a, b));
}
END_TEST

START_TEST(test_filter__reads_ranges)
{
    static const struct {
        const char *text;
        int64_t low;
        int64_t high;
    } rows[] = {
        { "7-10", 7, 10 },
        { "3", 3, 3 },
        { "11+", 11, INT64_MAX },
        { "0-0", 0, 0 },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        int64_t low = -1;
        int64_t high = -1;
        ck_assert(rb_filter_parse_range(rows[i].text, &low, &high, NULL));
        ck_assert_int_eq(low, rows[i].low);
        ck_assert_int_eq(high, rows[i].high);
    }
}
END_TEST

START_TEST(test_filter__refuses_ranges_with_a_sentence)
{
    static const char *const rows[] = { "",    "-",     "-3",          "3-",
                                        "+",   "3++",   "a",           "3 - 4",
                                        "4-3", "3-4-5", "99999999999", "\xff" };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        int64_t low = -1;
        int64_t high = -1;
        g_autoptr(GError) error = NULL;
        ck_assert_msg(!rb_filter_parse_range(rows[i], &low, &high, &error), "%s",
                      rows[i]);
        ck_assert_ptr_nonnull(error);
        ck_assert(g_str_has_suffix(error->message, "."));
        ck_assert_int_eq(low, -1);
    }
    g_autoptr(GError) error = NULL;
    int64_t low = 0;
    int64_t high = 0;
    ck_assert(!rb_filter_parse_range("4-3", &low, &high, &error));
    ck_assert_str_eq(error->message,
                     "The range \"4-3\" runs backwards; write the smaller number first.");
}
END_TEST

TCase *rb_case_filter(void)
{
    TCase *tcase = rb_case_new("filter");
    tcase_add_test(tcase, test_filter__empty_accepts_everything);
    tcase_add_test(tcase, test_filter__clauses_must_all_hold);
    tcase_add_test(tcase, test_filter__one_of_several_values_is_enough);
    tcase_add_test(tcase, test_filter__range_and_values_replace_one_another);
    tcase_add_test(tcase, test_filter__equal_whatever_the_order);
    tcase_add_test(tcase, test_filter__reads_ranges);
    tcase_add_test(tcase, test_filter__refuses_ranges_with_a_sentence);
    return tcase;
}
