/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The views that other programs read, against the program's own figures. */
#include <sqlite3.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/work/open-data.h"
#include "rb/work/snapshot.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_open_data(void);

static void refresh(RbLibrary *library)
{
    GError *error = NULL;
    ck_assert(rb_library_refresh_open_data(library, NULL, &error));
    rb_assert_no_error(error);
}

/* Another program: its own connection, which can only read. */
static sqlite3 *open_outside(void)
{
    sqlite3 *db = NULL;
    g_autofree char *path = sample_library_path();
    ck_assert_int_eq(sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY, NULL), SQLITE_OK);
    return db;
}

static sqlite3_stmt *ask(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *query = NULL;
    ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &query, NULL) == SQLITE_OK, "%s",
                  sqlite3_errmsg(db));
    return query;
}

static int64_t number(sqlite3 *db, const char *sql)
{
    sqlite3_stmt *query = ask(db, sql);
    ck_assert_int_eq(sqlite3_step(query), SQLITE_ROW);
    const int64_t value = sqlite3_column_int64(query, 0);
    sqlite3_finalize(query);
    return value;
}

static RbSelection *select_all(RbLibrary *library)
{
    GError *error = NULL;
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    return rb_selection_new(snapshot, NULL);
}

static const RbTally *find_cell(const RbNames *names, const RbPairings *pairings,
                                const char *concept, const char *coverage)
{
    for (int i = 0; i < pairings->n_cells; i++) {
        const RbTally *cell = &pairings->cells[i];
        if (strcmp(rb_names_concept_token(names, cell->concept), concept) == 0 &&
            strcmp(rb_names_term_token(names, cell->coverage), coverage) == 0) {
            return cell;
        }
    }
    return NULL;
}

static void assert_cell(sqlite3_stmt *query, const RbTally *cell)
{
    const int wanted[] = { cell->dropbacks, cell->successes, cell->pointed,
                           cell->yards,     cell->attempts,  cell->completions,
                           cell->explosive, cell->sacks,     cell->interceptions,
                           cell->pressured, cell->right,     cell->judged };
    for (int i = 0; i < (int)G_N_ELEMENTS(wanted); i++) {
        ck_assert_msg(sqlite3_column_int(query, i + 3) == wanted[i], "%s: %d for %d",
                      sqlite3_column_name(query, i + 3), sqlite3_column_int(query, i + 3),
                      wanted[i]);
    }
    ck_assert_double_eq_tol(sqlite3_column_double(query, 2), cell->points, 1e-9);
}

static void assert_pairings(RbLibrary *library, sqlite3 *db)
{
    g_autoptr(RbSelection) selection = select_all(library);
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    RbPairings pairings;
    rb_selection_pairings(selection, &pairings);
    sqlite3_stmt *query =
        ask(db, "SELECT concept, coverage, points, dropbacks, successes, pointed, yards,"
                " attempts, completions, explosive, sacks, interceptions, pressured,"
                " right, judged FROM pairings");
    int n = 0;
    while (sqlite3_step(query) == SQLITE_ROW) {
        const RbTally *cell =
            find_cell(names, &pairings, (const char *)sqlite3_column_text(query, 0),
                      (const char *)sqlite3_column_text(query, 1));
        ck_assert_ptr_nonnull(cell);
        assert_cell(query, cell);
        n++;
    }
    sqlite3_finalize(query);
    ck_assert_int_eq(n, pairings.n_cells);
    ck_assert_int_gt(n, 3);
    rb_pairings_clear(&pairings);
}

START_TEST(test_open_data__the_pairings_are_the_programs_own)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(5));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    sqlite3 *db = open_outside();
    ck_assert_int_eq(number(db, "SELECT count(*) FROM pairings"), 0);
    refresh(library);
    assert_pairings(library, db);
    /* The ladder is a partition of the same dropbacks. */
    ck_assert_int_eq(
        number(db, "SELECT count(*) FROM pairings p JOIN (SELECT concept, coverage,"
                   " sum(dropbacks) AS n, sum(points) AS x FROM ladder GROUP BY 1, 2) l"
                   " USING (concept, coverage)"
                   " WHERE l.n = p.dropbacks AND abs(l.x - p.points) < 1e-9"),
        number(db, "SELECT count(*) FROM pairings"));
    sqlite3_close(db);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_open_data__says_how_far_it_is_behind)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(6));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    sqlite3 *db = open_outside();
    const int64_t actions = number(db, "SELECT count(*) FROM action WHERE changes > 0");
    ck_assert_int_eq(number(db, "SELECT judged_at IS NULL FROM freshness"), 1);
    ck_assert_int_eq(number(db, "SELECT actions_since FROM freshness"), actions);
    refresh(library);
    ck_assert_int_eq(number(db, "SELECT judged_at IS NULL FROM freshness"), 0);
    ck_assert_int_eq(number(db, "SELECT actions_since FROM freshness"), 0);
    const RbSnapId snap = { number(db, "SELECT snap FROM verdicts WHERE counts = 1"
                                       " AND result IS NOT 'sack' LIMIT 1") };
    ck_assert_int_gt(snap.value, 0);
    sample_tag(library, snap, "result", "sack");
    ck_assert_int_eq(number(db, "SELECT actions_since FROM freshness"), 1);
    /* What is tagged is seen at once, what is judged when it is written. */
    g_autofree char *tagged = g_strdup_printf(
        "SELECT result IS 'sack' FROM snaps WHERE snap = %" G_GINT64_FORMAT, snap.value);
    g_autofree char *judged = g_strdup_printf(
        "SELECT result IS 'sack' FROM verdicts WHERE snap = %" G_GINT64_FORMAT,
        snap.value);
    ck_assert_int_eq(number(db, tagged), 1);
    ck_assert_int_eq(number(db, judged), 0);
    refresh(library);
    ck_assert_int_eq(number(db, judged), 1);
    ck_assert_int_eq(number(db, "SELECT actions_since FROM freshness"), 0);
    assert_pairings(library, db);
    sqlite3_close(db);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_open_data__what_is_fresh_is_left_alone)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(7));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    refresh(library);
    sqlite3 *db = open_outside();
    const int64_t version = number(db, "PRAGMA data_version");
    const int64_t at = number(db, "SELECT at FROM judged_note");
    refresh(library);
    ck_assert_int_eq(number(db, "PRAGMA data_version"), version);
    ck_assert_int_eq(number(db, "SELECT at FROM judged_note"), at);
    sqlite3_close(db);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_open_data__each_view_is_listed_and_counted)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(8));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    sqlite3 *db = open_outside();
    int n = 0;
    const RbOpenView *views = rb_open_views(&n);
    ck_assert_int_eq(number(db, "SELECT count(*) FROM sqlite_schema WHERE type = 'view'"),
                     n);
    for (int i = 0; i < n; i++) {
        GError *error = NULL;
        g_autofree char *sql = g_strdup_printf("SELECT count(*) FROM %s", views[i].name);
        ck_assert_int_eq(rb_library_count_view(library, &views[i], &error),
                         number(db, sql));
        rb_assert_no_error(error);
    }
    sqlite3_close(db);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_open_data__is_refused_where_nothing_can_be_written)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(9));
    RbLibrary *library = sample_library_new(&random, &season);
    rb_library_close(library);
    GError *error = NULL;
    g_autofree char *path = sample_library_path();
    g_autoptr(RbLibrary) reader = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    ck_assert(!rb_library_refresh_open_data(reader, NULL, &error));
    ck_assert_ptr_nonnull(error);
    g_clear_error(&error);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_open_data(void)
{
    TCase *tcase = rb_case_new("open data");
    tcase_add_test(tcase, test_open_data__the_pairings_are_the_programs_own);
    tcase_add_test(tcase, test_open_data__says_how_far_it_is_behind);
    tcase_add_test(tcase, test_open_data__what_is_fresh_is_left_alone);
    tcase_add_test(tcase, test_open_data__each_view_is_listed_and_counted);
    tcase_add_test(tcase, test_open_data__is_refused_where_nothing_can_be_written);
    return tcase;
}
