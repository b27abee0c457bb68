/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <jansson.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/checks.h"
#include "rb/work/demo.h"
#include "rb/work/error.h"
#include "rb/work/snapshot.h"

#include "season-rows.h"
#include "suite.h"

TCase *rb_case_demo(void);

/* The film itself is made by the tests of the command line, once. */

static void make(const char *path, uint64_t seed)
{
    GError *error = NULL;
    const RbDemoOptions options = { .seed = seed, .film_snaps = 0 };
    rb_demo_make(path, &options, NULL, NULL, &error);
    rb_assert_no_error(error);
}

static int count_files(void)
{
    g_autoptr(GDir) dir = g_dir_open(rb_test_folder(), 0, NULL);
    int n = 0;
    while (g_dir_read_name(dir) != NULL) {
        n++;
    }
    return n;
}

START_TEST(test_demo__holds_the_season_of_its_seed)
{
    g_autofree char *path = rb_test_path("demo.readbreak");
    GError *error = NULL;
    make(path, 5);
    ck_assert_int_eq(count_files(), 2);
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSeason) season = rb_season_new(5);
    g_autoptr(GArray) expected = season_rows(season);
    int n = 0;
    int next = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    for (int i = 0; i < n; i++) {
        if (!rows[i].in_ladder) {
            continue;
        }
        while (!g_array_index(expected, RbDropback, next).in_ladder) {
            next++;
        }
        const RbDropback *row = &g_array_index(expected, RbDropback, next++);
        ck_assert_int_eq(rows[i].snap.value, row->snap.value);
        ck_assert_int_eq(rows[i].verdict, row->verdict);
        ck_assert_int_eq(rows[i].stage, row->stage);
        ck_assert_int_eq(rows[i].stage_read, row->stage_read);
        ck_assert_int_eq(rows[i].success, row->success);
        ck_assert_double_eq_tol(rows[i].points, row->points, 1e-12);
    }
    ck_assert_int_gt(next, 150);
}
END_TEST

/* Invented seasons succeed about as often as real ones: 41.6 % of all plays (Bill Connelly's college
 * columns of about 2011, seasons 2005 to 2010). Ours are dropbacks alone, with planted breaks: six
 * points of leeway, common practice, no source. */
START_TEST(test_demo__succeeds_about_as_often_as_real_seasons)
{
    enum { SEASONS = 16 };
    int successes = 0;
    int dropbacks = 0;
    for (int seed = 1; seed <= SEASONS; seed++) {
        g_autoptr(RbSeason) season = rb_season_new((uint64_t)seed);
        g_autoptr(GArray) rows = season_rows(season);
        for (guint i = 0; i < rows->len; i++) {
            const RbDropback *row = &g_array_index(rows, RbDropback, i);
            dropbacks += row->in_ladder;
            successes += row->in_ladder && row->success;
        }
    }
    const double rate = 100.0 * successes / dropbacks;
    ck_assert_msg(rate > 41.6 - 6.0 && rate < 41.6 + 6.0, "%.1f %%", rate);
}
END_TEST

START_TEST(test_demo__truth_names_what_was_planted)
{
    g_autofree char *path = rb_test_path("demo.readbreak");
    make(path, 6);
    g_autofree char *truth = rb_demo_truth_path(path);
    json_error_t failure;
    json_t *root = json_load_file(truth, 0, &failure);
    ck_assert_msg(root != NULL, "%s", failure.text);
    g_autoptr(RbSeason) season = rb_season_new(6);
    const json_t *planted = json_object_get(root, "planted");
    ck_assert_uint_eq(json_array_size(planted), RB_SEASON_PLANTED);
    for (size_t i = 0; i < RB_SEASON_PLANTED; i++) {
        const json_t *one = json_array_get(planted, i);
        const RbConcept *concept =
            rb_season_find_concept(season, season->planted[i].concept);
        ck_assert_str_eq(json_string_value(json_object_get(one, "concept")),
                         concept->token);
        ck_assert_int_eq(json_integer_value(json_object_get(one, "read")),
                         season->planted[i].read);
        int stage = 0;
        ck_assert(rb_words_parse(
            &rb_stage_words, json_string_value(json_object_get(one, "stage")), &stage));
        ck_assert_int_eq(stage, season->planted[i].stage);
    }
    ck_assert_uint_gt(json_array_size(json_object_get(root, "snaps")), 150);
    json_decref(root);
}
END_TEST

START_TEST(test_demo__games_are_sound_and_history_is_short)
{
    g_autofree char *path = rb_test_path("demo.readbreak");
    GError *error = NULL;
    make(path, 7);
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(rb_names_games(names)->len, RB_SEASON_GAMES);
    for (guint i = 0; i < rb_names_games(names)->len; i++) {
        const RbGame *game = rb_names_games(names)->pdata[i];
        g_autoptr(GPtrArray) checks = rb_library_check_game(library, game->id, &error);
        rb_assert_no_error(error);
        ck_assert_msg(checks->len == 0, "%s: %s", game->title,
                      checks->len > 0 ? ((RbCheck *)checks->pdata[0])->sentence : "");
    }
    g_autoptr(GPtrArray) lines = rb_library_load_history(library, 0, &error);
    ck_assert_uint_le(lines->len, 10);
}
END_TEST

START_TEST(test_demo__replaces_nothing)
{
    static const char *const taken[] = { "demo.readbreak", "truth.json", "demo film" };
    g_autofree char *path = rb_test_path("demo.readbreak");
    for (size_t i = 0; i < G_N_ELEMENTS(taken); i++) {
        g_autofree char *way = rb_test_path(taken[i]);
        ck_assert(g_file_set_contents(way, "mine", -1, NULL));
        g_autoptr(GError) error = NULL;
        const RbDemoOptions options = rb_demo_options_default();
        ck_assert(!rb_demo_make(path, &options, NULL, NULL, &error));
        ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_EXISTS));
        ck_assert_ptr_nonnull(strstr(error->message, taken[i]));
        ck_assert_int_eq(count_files(), 1);
        g_unlink(way);
    }
}
END_TEST

START_TEST(test_demo__cancelled_leaves_nothing)
{
    g_autofree char *path = rb_test_path("demo.readbreak");
    for (int snaps = 0; snaps < 2; snaps++) {
        g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
        g_autoptr(GError) error = NULL;
        const RbDemoOptions options = { .seed = 1, .film_snaps = snaps };
        rb_cancel_cancel(cancel);
        ck_assert(!rb_demo_make(path, &options, cancel, NULL, &error));
        ck_assert_msg(rb_error_is_cancelled(error), "%s", error->message);
        ck_assert_int_eq(count_files(), 0);
    }
}
END_TEST

/* Somebody else makes that library once the season is invented. */
static void make_another(double fraction, const char *what, void *data)
{
    (void)what;
    if (fraction > 0.9) {
        ck_assert(g_file_set_contents(data, "theirs", -1, NULL));
    }
}

START_TEST(test_demo__what_another_made_meanwhile_stays)
{
    g_autofree char *path = rb_test_path("demo.readbreak");
    g_autoptr(RbProgress) progress = rb_progress_new(make_another, path);
    g_autoptr(GError) error = NULL;
    const RbDemoOptions options = { .seed = 1, .film_snaps = 0 };
    ck_assert(!rb_demo_make(path, &options, NULL, progress, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "is there already"));
    g_autofree char *kept = NULL;
    ck_assert(g_file_get_contents(path, &kept, NULL, NULL));
    ck_assert_str_eq(kept, "theirs");
    ck_assert_int_eq(count_files(), 1);
}
END_TEST

static void note_progress(double fraction, const char *what, void *data)
{
    double *last = data;
    (void)what;
    ck_assert_double_ge(fraction, *last);
    ck_assert_double_le(fraction, 1.0);
    *last = fraction;
}

START_TEST(test_demo__progress_runs_to_the_end)
{
    g_autofree char *path = rb_test_path("demo.readbreak");
    double last = 0.0;
    g_autoptr(RbProgress) progress = rb_progress_new(note_progress, &last);
    const RbDemoOptions options = { .seed = 2, .film_snaps = 0 };
    ck_assert(rb_demo_make(path, &options, NULL, progress, NULL));
    ck_assert_double_eq_tol(last, 1.0, 1e-12);
}
END_TEST

TCase *rb_case_demo(void)
{
    TCase *tcase = rb_case_new("demo");
    tcase_add_test(tcase, test_demo__holds_the_season_of_its_seed);
    tcase_add_test(tcase, test_demo__succeeds_about_as_often_as_real_seasons);
    tcase_add_test(tcase, test_demo__truth_names_what_was_planted);
    tcase_add_test(tcase, test_demo__games_are_sound_and_history_is_short);
    tcase_add_test(tcase, test_demo__replaces_nothing);
    tcase_add_test(tcase, test_demo__cancelled_leaves_nothing);
    tcase_add_test(tcase, test_demo__what_another_made_meanwhile_stays);
    tcase_add_test(tcase, test_demo__progress_runs_to_the_end);
    return tcase;
}
