/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/work/json.h"

#include "random-season.h"
#include "suite.h"

TCase *rb_case_json(void);

/* The contract that programs outside rely on: the keys and kinds of each document. */

static RbSelection *select_all(RandomSeason *season)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(31));
    *season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_build(
        season->names, season->snaps, season->charts, season->clips, NULL, NULL, NULL);
    return rb_selection_new(snapshot, NULL);
}

static const char *text(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    ck_assert_msg(json_is_string(value), "%s is no string", key);
    return json_string_value(value);
}

static int64_t whole(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    ck_assert_msg(json_is_integer(value), "%s is no whole number", key);
    return json_integer_value(value);
}

static double number(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    ck_assert_msg(json_is_real(value), "%s is no number", key);
    return json_real_value(value);
}

START_TEST(test_json__pairings)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_all(&season);
    json_t *root = rb_json_pairings(selection);
    const json_t *array = json_object_get(root, "pairings");
    ck_assert_uint_gt(json_array_size(array), 3);
    int64_t dropbacks = 0;
    double points = 0.0;
    size_t i = 0;
    const json_t *cell = NULL;
    json_array_foreach(array, i, cell)
    {
        ck_assert_ptr_nonnull(
            rb_names_parse_concept(season.names, text(cell, "concept"), NULL));
        ck_assert_ptr_nonnull(rb_names_parse_term(season.names, RB_TERM_COVERAGE,
                                                  text(cell, "coverage"), NULL));
        ck_assert_int_le(whole(cell, "successes"), whole(cell, "dropbacks"));
        dropbacks += whole(cell, "dropbacks");
        points += number(cell, "points");
    }
    const json_t *all = json_object_get(root, "all");
    ck_assert_int_eq(whole(all, "dropbacks"), dropbacks);
    ck_assert_double_eq_tol(number(all, "points"), points, 1e-9);
    json_decref(root);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_json__ladder)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_all(&season);
    json_t *root = rb_json_ladder(selection);
    int64_t dropbacks = 0;
    double points = 0.0;
    size_t i = 0;
    const json_t *cell = NULL;
    json_array_foreach(json_object_get(root, "cells"), i, cell)
    {
        int stage = 0;
        ck_assert(rb_words_parse(&rb_stage_words, text(cell, "stage"), &stage));
        ck_assert_int_ge(whole(cell, "read"), 0);
        ck_assert_int_le(whole(cell, "read"), RB_READS_MAX);
        dropbacks += whole(cell, "dropbacks");
        points += number(cell, "points");
    }
    ck_assert_int_eq(whole(root, "dropbacks"), dropbacks);
    ck_assert_double_eq_tol(number(root, "points"), points, 1e-9);
    const json_t *found = json_object_get(root, "break");
    int certainty = 0;
    ck_assert(rb_words_parse(&rb_certainty_words, text(found, "certainty"), &certainty));
    ck_assert_ptr_nonnull(text(found, "stage"));
    ck_assert_int_ge(whole(found, "read"), 0);
    ck_assert(isfinite(number(found, "points")));
    ck_assert_double_gt(number(found, "excess"), -1000.0);
    json_decref(root);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_json__ladder_of_nothing_has_no_break)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_all(&season);
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_GAME, 999);
    g_autoptr(RbSelection) none =
        rb_selection_new(rb_selection_get_snapshot(selection), filter);
    json_t *root = rb_json_ladder(none);
    ck_assert_int_eq(whole(root, "dropbacks"), 0);
    ck_assert(json_is_null(json_object_get(root, "break")));
    ck_assert_uint_eq(json_array_size(json_object_get(root, "cells")), 0);
    json_decref(root);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_json__verdicts)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_all(&season);
    json_t *root = rb_json_verdicts(selection);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    const json_t *array = json_object_get(root, "verdicts");
    ck_assert_int_eq((int)json_array_size(array), n);
    int asked = 0;
    size_t i = 0;
    const json_t *one = NULL;
    json_array_foreach(array, i, one)
    {
        int value = 0;
        int64_t id = 0;
        ck_assert(rb_id_parse(text(one, "snap"), &id));
        ck_assert_int_eq(id, rows[i].snap.value);
        ck_assert(rb_words_parse(&rb_verdict_words, text(one, "verdict"), &value));
        ck_assert_int_eq(value, rows[i].verdict);
        ck_assert(rb_words_parse(&rb_stage_words, text(one, "stage"), &value));
        ck_assert_int_eq(whole(one, "right_read"), rows[i].right_read);
        ck_assert_ptr_nonnull(json_object_get(one, "ball"));
        ck_assert(json_is_array(json_object_get(one, "reasons")));
        const json_t *settle = json_object_get(one, "settle");
        ck_assert(json_is_array(settle));
        if (json_array_size(settle) > 0) {
            asked++;
            const char *token = json_string_value(json_array_get(settle, 0));
            ck_assert_ptr_nonnull(rb_taggable_parse(token, NULL));
        }
    }
    ck_assert_int_gt(asked, 5);
    json_decref(root);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_json__snap_leaves_out_what_is_unknown)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_all(&season);
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 77 }, random_games[0], 5);
    snap->situation.down = 3;
    snap->note = g_strdup("bad \xff bytes");
    json_t *root = rb_json_snap(season.names, snap, NULL);
    ck_assert_str_eq(text(root, "snap"), "77");
    ck_assert_int_eq(whole(root, "number"), 5);
    const json_t *tags = json_object_get(root, "tags");
    ck_assert_str_eq(text(tags, "down"), "3");
    ck_assert_ptr_nonnull(text(tags, "snap-note"));
    ck_assert_ptr_null(json_object_get(tags, "distance"));
    ck_assert_ptr_null(json_object_get(tags, "coverage"));
    json_decref(root);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_json(void)
{
    TCase *tcase = rb_case_new("json");
    tcase_add_test(tcase, test_json__pairings);
    tcase_add_test(tcase, test_json__ladder);
    tcase_add_test(tcase, test_json__ladder_of_nothing_has_no_break);
    tcase_add_test(tcase, test_json__verdicts);
    tcase_add_test(tcase, test_json__snap_leaves_out_what_is_unknown);
    return tcase;
}
