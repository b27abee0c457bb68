/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/ids.h"
#include "rb/base/random.h"
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

/* Any filter is read back as it was, whether or not what it names is there. */
START_TEST(test_filter_text__one_line_and_back)
{
    RbRandom random;
    g_autoptr(RbNames) names = sample_names_new();
    rb_random_seed(&random, rb_test_seed(61));
    const int cases = rb_test_some(300);
    for (int round = 0; round < cases; round++) {
        g_autoptr(RbFilter) filter = rb_filter_new();
        for (RbField field = 0; field < RB_FIELDS; field++) {
            g_autoptr(GArray) choices = rb_filter_choices(names, field);
            if (rb_random_chance(&random, 0.6)) {
                continue;
            }
            if (field == RB_FIELD_DATE) {
                rb_filter_set_range(filter, field, 20260901, 20261231);
            } else if (rb_field_is_range(field)) {
                const int low = rb_random_int(&random, 0, 20);
                rb_filter_set_range(filter, field, low,
                                    rb_random_chance(&random, 0.3) ? INT64_MAX : low + 5);
            }
            for (guint i = 0; i < choices->len; i++) {
                if (rb_random_chance(&random, 0.3)) {
                    rb_filter_add_value(filter, field,
                                        g_array_index(choices, int64_t, i));
                }
            }
        }
        if (rb_random_chance(&random, 0.5)) {
            rb_filter_add_value(filter, RB_FIELD_CONCEPT, 1 + rb_id_random() / 2);
        }
        GError *error = NULL;
        g_autofree char *line = rb_filter_print(filter);
        g_autoptr(RbFilter) again = rb_filter_parse_text(names, line, &error);
        rb_assert_no_error(error);
        ck_assert_msg(rb_filter_equal(filter, again), "%s", line);
    }
}
END_TEST

START_TEST(test_filter_text__lines_by_hand)
{
    GError *error = NULL;
    g_autoptr(RbNames) names = sample_names_new();
    g_autoptr(RbFilter) filter = rb_filter_parse_text(
        names, " down = 3,4 ; concept=Curl-flat;; distance=7-10;", &error);
    rb_assert_no_error(error);
    g_autofree char *text = rb_filter_text(names, filter);
    ck_assert_str_eq(text, "Down: 3, 4; Concept: Curl-flat; Distance: 7 to 10");
    static const struct {
        const char *line;
        const char *says;
    } bad[] = {
        { "down", "\"down\" is no part of a filter" },
        { "colour=red", "no field \"colour\"" },
        { "down=7", "Down \"7\" is not a number" },
        { "concept=#x", "#x" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        g_autoptr(GError) sentence = NULL;
        ck_assert_ptr_null(rb_filter_parse_text(names, bad[i].line, &sentence));
        ck_assert_ptr_nonnull(strstr(sentence->message, bad[i].says));
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
    tcase_add_test(tcase, test_filter_text__one_line_and_back);
    tcase_add_test(tcase, test_filter_text__lines_by_hand);
    return tcase;
}
