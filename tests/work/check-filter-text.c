/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/filter-text.h"

#include "sample.h"
#include "suite.h"

TCase *rb_case_filter_text(void);

static void add(RbFilter *filter, const RbNames *names, RbField field, const char *text)
{
    GError *error = NULL;
    const bool ok = rb_filter_add_text(filter, names, field, text, &error);
    rb_assert_no_error(error);
    ck_assert(ok);
}

START_TEST(test_filter_text__options_become_clauses)
{
    g_autoptr(RbNames) names = sample_names_new();
    g_autoptr(RbFilter) filter = rb_filter_new();
    add(filter, names, RB_FIELD_CONCEPT, "curl-flat, smash");
    add(filter, names, RB_FIELD_COVERAGE, "Cover 3");
    add(filter, names, RB_FIELD_DOWN, "3");
    add(filter, names, RB_FIELD_DOWN, "4");
    add(filter, names, RB_FIELD_DISTANCE, "7-10");
    add(filter, names, RB_FIELD_GAME, "1");
    add(filter, names, RB_FIELD_DATE, "2026-09-01..2026-09-30");
    add(filter, names, RB_FIELD_QUARTERBACK, "12");
    add(filter, names, RB_FIELD_OPPONENT, "harbor city");
    add(filter, names, RB_FIELD_VERDICT, "passed-up");
    g_autofree char *text = rb_filter_text(names, filter);
    ck_assert_str_eq(text, "Concept: Curl-flat, Smash; Coverage: Cover 3; Down: 3, 4; "
                           "Distance: 7 to 10; Game: Week 1 Harbor City; "
                           "Date: 2026-09-01 to 2026-09-30; Quarterback: 12; "
                           "Opponent: Harbor City; Verdict: Passed up");
    const RbClause *date = rb_filter_find(filter, RB_FIELD_DATE);
    ck_assert_int_eq(date->low, 20260901);
    ck_assert_int_eq(date->high, 20260930);
    const RbClause *quarterback = rb_filter_find(filter, RB_FIELD_QUARTERBACK);
    ck_assert_int_eq(g_array_index(quarterback->values, int64_t, 0), sample_twelve.value);
}
END_TEST

START_TEST(test_filter_text__open_ends_and_single_values)
{
    g_autoptr(RbNames) names = sample_names_new();
    g_autoptr(RbFilter) filter = rb_filter_new();
    g_autofree char *nothing = rb_filter_text(names, filter);
    ck_assert_str_eq(nothing, "All dropbacks");
    add(filter, names, RB_FIELD_DISTANCE, "11+");
    add(filter, names, RB_FIELD_RUSHERS, "5");
    add(filter, names, RB_FIELD_READ, "0");
    g_autofree char *text = rb_filter_text(names, filter);
    ck_assert_str_eq(text, "Distance: 11 or more; Rushers: 5; Read: none");
}
END_TEST

START_TEST(test_filter_text__bad_values_are_refused_whole)
{
    static const struct {
        RbField field;
        const char *text;
        const char *says;
    } rows[] = {
        { RB_FIELD_DOWN, "5", "from 1 to 4" },
        { RB_FIELD_DOWN, "third", "from 1 to 4" },
        { RB_FIELD_DOWN, "3,", "from 1 to 4" },
        { RB_FIELD_DISTANCE, "10-7", "10-7" },
        { RB_FIELD_DATE, "2026-02-30", "2026-02-30" },
        { RB_FIELD_DATE, "yesterday", "yesterday" },
        { RB_FIELD_DATE, "2026-09-30..2026-09-01", "2026-09-30..2026-09-01" },
        { RB_FIELD_HASH, "centre", "middle" },
        { RB_FIELD_VERDICT, "bad", "passed-up" },
        { RB_FIELD_COVERAGE, "cover-3,cover-9", "cover-9" },
        { RB_FIELD_CONCEPT, "", "Concept needs a value." },
    };
    g_autoptr(RbNames) names = sample_names_new();
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(RbFilter) filter = rb_filter_new();
        g_autoptr(GError) error = NULL;
        ck_assert_msg(
            !rb_filter_add_text(filter, names, rows[i].field, rows[i].text, &error),
            "\"%s\" was taken", rows[i].text);
        ck_assert_ptr_nonnull(error);
        ck_assert_msg(strstr(error->message, rows[i].says) != NULL, "%s", error->message);
        ck_assert_uint_eq(filter->clauses->len, 0);
    }
}
END_TEST

START_TEST(test_filter_text__every_choice_of_every_field_reads_back)
{
    g_autoptr(RbNames) names = sample_names_new();
    for (int field = 0; field < RB_FIELDS; field++) {
        g_autoptr(GArray) choices = rb_filter_choices(names, (RbField)field);
        ck_assert_int_eq(choices->len == 0, rb_field_is_range((RbField)field));
        for (guint i = 0; i < choices->len; i++) {
            const int64_t value = g_array_index(choices, int64_t, i);
            g_autofree char *text =
                field == RB_FIELD_READ || field == RB_FIELD_QUARTERBACK
                    ? g_strdup_printf("%" G_GINT64_FORMAT, value)
                    : rb_filter_value_text(names, (RbField)field, value);
            g_autoptr(RbFilter) filter = rb_filter_new();
            if (strchr(text, ',') != NULL) {
                continue; /* a comma parts values */
            }
            add(filter, names, (RbField)field, text);
            const RbClause *clause = rb_filter_find(filter, (RbField)field);
            ck_assert_uint_eq(clause->values->len, 1);
            ck_assert_msg(g_array_index(clause->values, int64_t, 0) == value,
                          "field %d: \"%s\" read back as another value", field, text);
        }
    }
}
END_TEST

TCase *rb_case_filter_text(void)
{
    TCase *tcase = rb_case_new("filter-text");
    tcase_add_test(tcase, test_filter_text__options_become_clauses);
    tcase_add_test(tcase, test_filter_text__open_ends_and_single_values);
    tcase_add_test(tcase, test_filter_text__bad_values_are_refused_whole);
    tcase_add_test(tcase, test_filter_text__every_choice_of_every_field_reads_back);
    return tcase;
}
