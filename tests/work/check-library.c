/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <sqlite3.h>
#include <string.h>

#include "rb/store/error.h"
#include "rb/work/error.h"
#include "rb/work/library.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_library(void);

static const RbSnapId some_snap = { 201010 };

START_TEST(test_library__a_new_one_knows_the_words_of_the_trade)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("new.readbreak");
    g_autoptr(RbLibrary) library = rb_library_create(path, "Dana Ruiz", &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(rb_library_get_path(library), path);
    ck_assert_str_eq(rb_library_get_person_name(library), "Dana Ruiz");
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(rb_names_parse_term(names, RB_TERM_COVERAGE, "cover-3", NULL));
    ck_assert_ptr_nonnull(rb_names_parse_concept(names, "curl-flat", NULL));
    ck_assert_uint_eq(rb_names_games(names)->len, 0);
    ck_assert(!rb_library_undo(library, NULL, &error));
    ck_assert_str_eq(error->message, "There is nothing to undo.");
    g_clear_error(&error);
    ck_assert_ptr_null(rb_library_create(path, NULL, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_EXISTS));
    g_clear_error(&error);
}
END_TEST

static int connections;
static int full_connection;

/* The engine's page limit stands in for the end of the disk: of what one connection writes. */
static int limit_pages(sqlite3 *db, char **message, const void *api)
{
    (void)message;
    (void)api;
    return ++connections == full_connection
               ? sqlite3_exec(db, "PRAGMA max_page_count = 1", NULL, NULL, NULL)
               : SQLITE_OK;
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

/* Wherever the room ends, there is a whole library or nothing: one without the words of the trade
 * would be taken for the staff's own. */
START_TEST(test_library__without_room_for_a_new_one_nothing_is_left)
{
    g_autofree char *path = rb_test_path("new.readbreak");
    ck_assert_int_eq(sqlite3_auto_extension((void (*)(void))limit_pages), SQLITE_OK);
    RbLibrary *library = NULL;
    int refused = 0;
    for (full_connection = 1; library == NULL; full_connection++) {
        g_autoptr(GError) error = NULL;
        connections = 0;
        library = rb_library_create(path, "Dana Ruiz", &error);
        ck_assert((library == NULL) == (error != NULL));
        ck_assert_msg(library != NULL || count_files() == 0, "%d: %d files left",
                      full_connection, count_files());
        refused += library == NULL;
        ck_assert_int_le(full_connection, 20);
    }
    ck_assert_int_ge(refused, 2); /* while it is made, and while the words are written */
    sqlite3_cancel_auto_extension((void (*)(void))limit_pages);
    g_autoptr(RbNames) names = rb_library_load_names(library, NULL);
    ck_assert_ptr_nonnull(rb_names_parse_concept(names, "curl-flat", NULL));
    rb_library_close(library);
}
END_TEST

START_TEST(test_library__gives_back_what_it_was_given)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(41));
    GError *error = NULL;
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) stored = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnapshot) memory = rb_snapshot_build(
        season.names, season.snaps, season.charts, season.clips, NULL, NULL, &error);
    int n = 0;
    int n_memory = 0;
    g_autofree RbDropback *a = rb_snapshot_dup_rows(stored, &n);
    g_autofree RbDropback *b = rb_snapshot_dup_rows(memory, &n_memory);
    ck_assert_int_eq(n, n_memory);
    for (int i = 0; i < n; i++) {
        ck_assert_int_eq(a[i].snap.value, b[i].snap.value);
        ck_assert_int_eq(a[i].verdict, b[i].verdict);
        ck_assert_int_eq(a[i].stage, b[i].stage);
        ck_assert_int_eq(a[i].stage_read, b[i].stage_read);
        ck_assert_int_eq(a[i].concept.value, b[i].concept.value);
        ck_assert_int_eq(a[i].coverage.value, b[i].coverage.value);
        ck_assert_int_eq(a[i].release_ms, b[i].release_ms);
        ck_assert_int_eq(a[i].success, b[i].success);
        ck_assert_double_eq_tol(a[i].points, b[i].points, 1e-12);
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_library__finds_snaps_by_number_and_says_what_there_is)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(42));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnap) snap =
        rb_library_load_snap_numbered(library, random_games[0], 10, NULL);
    ck_assert_int_eq(snap->id.value, some_snap.value);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(
        rb_library_load_snap_numbered(library, random_games[0], 99, &error));
    ck_assert_str_eq(error->message, "Game 1 has no snap 99: its last is 60.");
    g_clear_error(&error);
    ck_assert_ptr_null(rb_library_load_snap(library, (RbSnapId){ 5 }, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND));
    random_season_clear(&season);
}
END_TEST

START_TEST(test_library__notices_its_own_changes_and_those_of_others)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(43));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbLibrary) other = sample_library_open("Second coach");
    rb_library_has_changed(library);
    rb_library_has_changed(other);
    ck_assert(!rb_library_has_changed(library));
    sample_tag(other, some_snap, "down", "1");
    sample_tag(other, some_snap, "down", "2");
    ck_assert(rb_library_has_changed(library));
    ck_assert(!rb_library_has_changed(library));
    ck_assert(rb_library_has_changed(other));
    ck_assert(!rb_library_has_changed(other));
    random_season_clear(&season);
}
END_TEST

START_TEST(test_library__read_only_refuses_to_change)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(44));
    rb_library_close(sample_library_new(&random, &season));
    g_autofree char *path = sample_library_path();
    GError *error = NULL;
    g_autoptr(RbLibrary) library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    const RbTagChange change = { "down", "1" };
    ck_assert(!rb_library_tag(library, some_snap, &change, 1, NULL, &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY));
    g_clear_error(&error);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_library__history_undo_and_redo_speak)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(45));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    sample_tag(library, some_snap, "coverage", "cover-2");
    sample_tag(library, some_snap, "coverage", "quarters");
    GError *error = NULL;
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(library, &undone, &error));
    rb_assert_no_error(error);
    ck_assert_str_eq(
        undone, "Undone: coverage of snap 10 changed from Cover 2 to Quarters (Game 1)");
    g_autoptr(GPtrArray) lines = rb_library_load_history(library, 3, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(lines->len, 3);
    const RbHistoryLine *newest = lines->pdata[0];
    ck_assert_str_eq(newest->who, "Coach");
    ck_assert_ptr_nonnull(strstr(newest->words, "Undone: coverage of snap 10"));
    ck_assert(((const RbHistoryLine *)lines->pdata[1])->undone);
    g_autofree char *redone = NULL;
    ck_assert(rb_library_redo(library, &redone, &error));
    ck_assert_ptr_nonnull(strstr(redone, "Redone: coverage of snap 10"));
    ck_assert(!rb_library_redo(library, NULL, &error));
    ck_assert_str_eq(error->message, "There is nothing to redo.");
    g_clear_error(&error);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_library__backs_up)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(46));
    RbLibrary *library = sample_library_new(&random, &season);
    sample_tag(library, some_snap, "down", "1");
    GError *error = NULL;
    g_autofree char *path = NULL;
    ck_assert(rb_library_backup(library, &path, &error));
    rb_assert_no_error(error);
    rb_library_close(library);
    g_autoptr(RbLibrary) copy = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnap) snap = rb_library_load_snap(copy, some_snap, &error);
    ck_assert_int_eq(snap->situation.down, 1);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_library__the_leads_chart_counts_then_the_newest)
{
    g_autoptr(GPtrArray) charts = g_ptr_array_new();
    RbChart old = { .author = { 1 }, .stamp_us = 100 };
    RbChart new = { .author = { 2 }, .stamp_us = 200 };
    ck_assert_ptr_null(rb_chart_that_counts(charts, (RbPersonId){ 0 }));
    g_ptr_array_add(charts, &old);
    g_ptr_array_add(charts, &new);
    ck_assert_ptr_eq(rb_chart_that_counts(charts, (RbPersonId){ 0 }), &new);
    ck_assert_ptr_eq(rb_chart_that_counts(charts, (RbPersonId){ 1 }), &old);
    ck_assert_ptr_eq(rb_chart_that_counts(charts, (RbPersonId){ 3 }), &new);
}
END_TEST

TCase *rb_case_library(void)
{
    TCase *tcase = rb_case_new("library");
    tcase_add_test(tcase, test_library__a_new_one_knows_the_words_of_the_trade);
    tcase_add_test(tcase, test_library__without_room_for_a_new_one_nothing_is_left);
    tcase_add_test(tcase, test_library__gives_back_what_it_was_given);
    tcase_add_test(tcase, test_library__finds_snaps_by_number_and_says_what_there_is);
    tcase_add_test(tcase, test_library__notices_its_own_changes_and_those_of_others);
    tcase_add_test(tcase, test_library__read_only_refuses_to_change);
    tcase_add_test(tcase, test_library__history_undo_and_redo_speak);
    tcase_add_test(tcase, test_library__backs_up);
    tcase_add_test(tcase, test_library__the_leads_chart_counts_then_the_newest);
    return tcase;
}
