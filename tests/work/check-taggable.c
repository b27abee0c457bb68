/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/error.h"
#include "rb/work/tagging.h"

#include "sample.h"
#include "suite.h"

TCase *rb_case_taggable(void);

typedef struct {
    RbNames *names;
    RbSnap *snap;
    RbChart *chart;
} Sheet;

static Sheet sheet_new(void)
{
    const RbSnapId snap = { 51 };
    return (Sheet){ sample_names_new(), rb_snap_new(snap, sample_early, 34),
                    rb_chart_new(snap, (RbPersonId){ 41 }) };
}

static void sheet_clear(Sheet *sheet)
{
    rb_names_unref(sheet->names);
    rb_snap_free(sheet->snap);
    rb_chart_free(sheet->chart);
}

static void set(Sheet *sheet, const char *token, const char *text)
{
    GError *error = NULL;
    const RbTaggable *field = rb_taggable_parse(token, &error);
    rb_assert_no_error(error);
    rb_taggable_set(field, sheet->names, sheet->snap, sheet->chart, text, &error);
    rb_assert_no_error(error);
}

static char *get(const Sheet *sheet, const char *token)
{
    const RbTaggable *field = rb_taggable_parse(token, NULL);
    return rb_taggable_get(field, sheet->names, sheet->snap, sheet->chart);
}

static void assert_get(const Sheet *sheet, const char *token, const char *text)
{
    g_autofree char *have = get(sheet, token);
    ck_assert_msg(strcmp(have, text) == 0, "%s is \"%s\", not \"%s\"", token, have, text);
}

/* Texts to try on a field: its answers, or both ends and a middle of its range. */
static GPtrArray *texts_for(const RbTaggable *field, const Sheet *sheet)
{
    GPtrArray *texts = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GPtrArray) answers = rb_taggable_answers(field, sheet->names, sheet->snap);
    for (guint i = 0; i < answers->len; i++) {
        const RbAnswer *answer = answers->pdata[i];
        g_ptr_array_add(texts, g_strdup(answer->token));
    }
    const int ends[] = { field->low, field->high, (field->low + field->high) / 2 };
    for (size_t i = 0; i < G_N_ELEMENTS(ends); i++) {
        if (field->kind == RB_VALUE_NUMBER || field->kind == RB_VALUE_GAIN) {
            g_ptr_array_add(texts, g_strdup_printf("%d", ends[i]));
        } else if (field->kind == RB_VALUE_CLOCK) {
            g_ptr_array_add(texts,
                            g_strdup_printf("%d:%02d", ends[i] / 60, ends[i] % 60));
        }
    }
    static const char *const tenths[] = { "0", "7.5", "25", NULL };
    static const char *const seconds[] = { "0", "2.35", "1.007", "5", NULL };
    static const char *const spots[] = { "own 1", "own 25", "50", "opp 1", NULL };
    static const char *const notes[] = { "late on the curl", "a, \"b\"", NULL };
    static const char *const tags[] = { "trick-play", "trick-play, two-minute", NULL };
    static const char *const none[] = { NULL };
    const char *const *more = field->kind == RB_VALUE_TENTHS     ? tenths
                              : field->kind == RB_VALUE_SECONDS  ? seconds
                              : field->kind == RB_VALUE_YARDLINE ? spots
                              : field->kind == RB_VALUE_TEXT     ? notes
                              : field->kind == RB_VALUE_OWN_TAGS ? tags
                                                                 : none;
    for (; *more != NULL; more++) {
        g_ptr_array_add(texts, g_strdup(*more));
    }
    return texts;
}

START_TEST(test_taggable__every_field_gives_back_what_was_set)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    ck_assert_int_gt(n, 60);
    for (int i = 0; i < n; i++) {
        Sheet sheet = sheet_new();
        g_autoptr(GPtrArray) texts = texts_for(&fields[i], &sheet);
        ck_assert_msg(texts->len > 0, "%s takes no value", fields[i].token);
        for (guint j = 0; j < texts->len; j++) {
            if (g_str_has_suffix(fields[i].token, "-error") &&
                strcmp(texts->pdata[j], "0") == 0) {
                continue; /* exact, which is also what an untagged one holds */
            }
            set(&sheet, fields[i].token, texts->pdata[j]);
            assert_get(&sheet, fields[i].token, texts->pdata[j]);
            g_autofree char *shown =
                rb_taggable_show(&fields[i], sheet.names, sheet.snap, sheet.chart);
            ck_assert_str_ne(shown, "");
            ck_assert_str_ne(shown, "unknown");
            g_autofree char *typed =
                rb_taggable_typed(&fields[i], sheet.names, sheet.snap, sheet.chart);
            set(&sheet, fields[i].token, typed);
            assert_get(&sheet, fields[i].token, texts->pdata[j]);
        }
        sheet_clear(&sheet);
    }
}
END_TEST

START_TEST(test_taggable__a_cushion_that_is_said_is_no_measure)
{
    Sheet sheet = sheet_new();
    set(&sheet, "left-cushion", "6.2");
    set(&sheet, "left-cushion-error", "0.4");
    set(&sheet, "right-cushion", "3");
    assert_get(&sheet, "left-cushion-error", "0.4");
    set(&sheet, "left-cushion", "6.2"); /* the same, but now a person says so */
    assert_get(&sheet, "left-cushion-error", "");
    assert_get(&sheet, "left-cushion", "6.2");
    sheet_clear(&sheet);
}
END_TEST

START_TEST(test_taggable__every_field_can_be_made_unknown_again)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        Sheet sheet = sheet_new();
        g_autofree char *fresh = get(&sheet, fields[i].token);
        g_autoptr(GPtrArray) texts = texts_for(&fields[i], &sheet);
        set(&sheet, fields[i].token, texts->pdata[texts->len - 1]);
        g_autoptr(GError) error = NULL;
        const bool cleared = rb_taggable_set(&fields[i], sheet.names, sheet.snap,
                                             sheet.chart, "-", &error);
        ck_assert_int_eq(cleared, !fields[i].always);
        if (cleared) {
            ck_assert_str_eq(fresh, "");
            assert_get(&sheet, fields[i].token, "");
            g_autofree char *typed =
                rb_taggable_typed(&fields[i], sheet.names, sheet.snap, sheet.chart);
            ck_assert_str_eq(typed, "");
            g_autofree char *shown =
                rb_taggable_show(&fields[i], sheet.names, sheet.snap, sheet.chart);
            ck_assert_str_eq(shown, "unknown");
        }
        sheet_clear(&sheet);
    }
}
END_TEST

START_TEST(test_taggable__fields_do_not_share_a_place)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        for (int j = i + 1; j < n; j++) {
            ck_assert_str_ne(fields[i].token, fields[j].token);
            ck_assert_msg(fields[i].is_fact != fields[j].is_fact ||
                              fields[i].offset != fields[j].offset,
                          "%s and %s are one value", fields[i].token, fields[j].token);
        }
    }
}
END_TEST

START_TEST(test_taggable__bad_values_change_nothing)
{
    static const struct {
        const char *token;
        const char *text;
        const char *says;
    } rows[] = {
        { "coverage", "cover-9", "There is no coverage \"cover-9\"" },
        { "concept", "nothing", "curl-flat or smash" },
        { "quarterback", "99", "There is no player \"99\"" },
        { "offense", "Nowhere", "There is no team" },
        { "down", "5", "Down cannot be \"5\": give a whole number from 1 to 4." },
        { "down", "2.0", "from 1 to 4" },
        { "distance", "0", "from 1 to 99" },
        { "gain", "-100", "from -99 to 99" },
        { "gain", "--1", "from -99 to 99" },
        { "left-cushion", "7.55", "yards from 0 to 25 with at most 1 decimal." },
        { "release", "2.3.5", "seconds from 0 to 30 with at most 3 decimals" },
        { "release", "99999999999999999999", "seconds from 0 to 30" },
        { "clock", "7:60", "such as 7:42" },
        { "clock", "742", "such as 7:42" },
        { "clock", "15:01", "such as 7:42" },
        { "spot", "25", "25" },
        { "ball", "read-9", "read-1 to read-8" },
        { "ball", "left", "scramble" },
        { "shell", "two", "two-high" },
        { "phase", "", "scrimmage" },
        { "note", "\xff\xfe", "UTF-8" },
    };
    Sheet sheet = sheet_new();
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        const RbTaggable *field = rb_taggable_parse(rows[i].token, NULL);
        g_autofree char *before = get(&sheet, rows[i].token);
        g_autoptr(GError) error = NULL;
        ck_assert_msg(!rb_taggable_set(field, sheet.names, sheet.snap, sheet.chart,
                                       rows[i].text, &error),
                      "%s took \"%s\"", rows[i].token, rows[i].text);
        ck_assert_msg(strstr(error->message, rows[i].says) != NULL, "%s", error->message);
        assert_get(&sheet, rows[i].token, before);
    }
    sheet_clear(&sheet);
}
END_TEST

START_TEST(test_taggable__values_of_more_than_one_writing)
{
    Sheet sheet = sheet_new();
    set(&sheet, "ball", "2");
    assert_get(&sheet, "ball", "read-2");
    set(&sheet, "ball", "read 3");
    assert_get(&sheet, "ball", "read-3");
    set(&sheet, "coverage", " Cover 3 ");
    assert_get(&sheet, "coverage", "cover-3");
    set(&sheet, "shell", "Two HIGH");
    assert_get(&sheet, "shell", "two-high");
    set(&sheet, "gain", "+12");
    assert_get(&sheet, "gain", "12");
    set(&sheet, "release", "2.40");
    assert_get(&sheet, "release", "2.4");
    ck_assert_int_eq(sheet.chart->release_ms, 2400);
    set(&sheet, "left-cushion", "7");
    ck_assert_int_eq(sheet.chart->shown.left.cushion_tenths, 70);
    sheet_clear(&sheet);
}
END_TEST

START_TEST(test_taggable__fields_keep_step)
{
    Sheet sheet = sheet_new();
    set(&sheet, "concept", "curl-flat");
    assert_get(&sheet, "call", "single");
    set(&sheet, "concept-2", "smash");
    set(&sheet, "call", "split");
    assert_get(&sheet, "concept-2", "smash");
    set(&sheet, "call", "mirrored");
    assert_get(&sheet, "concept-2", "");
    set(&sheet, "concept", "");
    assert_get(&sheet, "call", "");
    set(&sheet, "adjustment", "route-signal");
    assert_get(&sheet, "adjusted", "yes");
    set(&sheet, "adjusted", "no");
    assert_get(&sheet, "adjustment", "");
    set(&sheet, "pressure", "came");
    set(&sheet, "pressure-time", "2.1");
    set(&sheet, "pressure", "none");
    assert_get(&sheet, "pressure-time", "");
    set(&sheet, "fault", "slip");
    set(&sheet, "fault-read", "2");
    set(&sheet, "fault", "none");
    assert_get(&sheet, "fault-read", "");
    set(&sheet, "unblocked", "yes");
    set(&sheet, "unblocked-side", "left");
    set(&sheet, "unblocked", "no");
    assert_get(&sheet, "unblocked-side", "");
    sheet_clear(&sheet);
}
END_TEST

START_TEST(test_taggable__the_quarterback_is_of_the_team_with_the_ball)
{
    Sheet sheet = sheet_new();
    set(&sheet, "quarterback", "12");
    ck_assert_int_eq(sheet.snap->quarterback.value, sample_twelve.value);
    set(&sheet, "offense", "Harbor City");
    set(&sheet, "quarterback", "12");
    ck_assert_int_eq(sheet.snap->quarterback.value, sample_their_twelve.value);
    sheet_clear(&sheet);
}
END_TEST

START_TEST(test_taggable__every_tag_a_verdict_asks_for_can_be_set)
{
    for (int kind = RB_TAG_CONCEPT; kind < rb_tag_words.n; kind++) {
        for (int side = RB_SIDE_LEFT; side <= RB_SIDE_RIGHT; side++) {
            const RbTag tag = { (RbTagKind)kind, 2, (RbSide)side };
            ck_assert_ptr_nonnull(rb_taggable_for(&tag));
        }
    }
    const RbTag look = { RB_TAG_LOOK, 2, RB_SIDE_UNKNOWN };
    ck_assert_str_eq(rb_taggable_for(&look)->token, "read-2");
    ck_assert_int_eq(rb_taggable_for(&look)->slot, 2);
    const RbTag corner = { RB_TAG_TECHNIQUE_SHOWN, 0, RB_SIDE_RIGHT };
    ck_assert_str_eq(rb_taggable_for(&corner)->token, "right-technique");
    const RbTag nothing = { RB_TAG_NONE, 0, RB_SIDE_UNKNOWN };
    ck_assert_ptr_null(rb_taggable_for(&nothing));
}
END_TEST

START_TEST(test_taggable__no_such_tag_names_them_all)
{
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_taggable_parse("colour", &error));
    ck_assert_ptr_nonnull(strstr(error->message, "A snap has no tag \"colour\""));
    ck_assert_ptr_nonnull(strstr(error->message, "left-technique"));
}
END_TEST

TCase *rb_case_taggable(void)
{
    TCase *tcase = rb_case_new("taggable");
    tcase_add_test(tcase, test_taggable__every_field_gives_back_what_was_set);
    tcase_add_test(tcase, test_taggable__a_cushion_that_is_said_is_no_measure);
    tcase_add_test(tcase, test_taggable__every_field_can_be_made_unknown_again);
    tcase_add_test(tcase, test_taggable__fields_do_not_share_a_place);
    tcase_add_test(tcase, test_taggable__bad_values_change_nothing);
    tcase_add_test(tcase, test_taggable__values_of_more_than_one_writing);
    tcase_add_test(tcase, test_taggable__fields_keep_step);
    tcase_add_test(tcase, test_taggable__the_quarterback_is_of_the_team_with_the_ball);
    tcase_add_test(tcase, test_taggable__every_tag_a_verdict_asks_for_can_be_set);
    tcase_add_test(tcase, test_taggable__no_such_tag_names_them_all);
    return tcase;
}
