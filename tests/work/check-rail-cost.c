/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one answer at the rail costs is counted, not timed: statements run and steps of SQLite's
 * machine, a measure of the rows that are touched. Neither grows with the library. */
#include <sqlite3.h>
#include <stdio.h>

#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/work/rail.h"

#include "library-private.h"
#include "library-sample.h"
#include "suite.h"

TCase *rb_case_rail_cost(void);

enum { COPIES = 12 };

typedef struct {
    int64_t statements;
    int64_t steps;
} Cost;

static Cost cost;

static int count(unsigned what, void *data, void *subject, void *detail)
{
    (void)data;
    (void)detail;
    if (what == SQLITE_TRACE_STMT) {
        cost.statements++;
    } else {
        cost.steps += sqlite3_stmt_status(subject, SQLITE_STMTSTATUS_VM_STEP, 1);
    }
    return 0;
}

/* Run by SQLite for each connection that is opened (sqlite3_auto_extension). */
static int watch(sqlite3 *db, const char **error, const void *routines)
{
    (void)error;
    (void)routines;
    return sqlite3_trace_v2(db, SQLITE_TRACE_STMT | SQLITE_TRACE_PROFILE, count, NULL);
}

static void save_copy(RbStore *store, RbGameId game, const RbSnap *from,
                      const RbChart *chart)
{
    GError *error = NULL;
    g_autoptr(RbSnap) snap = rb_snap_copy(from);
    snap->id.value = rb_id_random();
    snap->game = game;
    g_array_set_size(snap->penalties, 0); /* records with ids of their own */
    ck_assert(rb_store_save_snap(store, snap, &error));
    if (chart != NULL) {
        g_autoptr(RbChart) copy = rb_chart_copy(chart);
        copy->snap = snap->id;
        copy->id = rb_chart_id(copy->snap, copy->author);
        ck_assert(rb_store_save_chart(store, copy, &error));
    }
}

/* Every game again, under other ids. */
static void grow(RbLibrary *library, const RandomSeason *season)
{
    GError *error = NULL;
    RbStore *store = rb_library_store(library);
    ck_assert(rb_store_begin(store, (RbPersonId){ 41 }, "More games", &error));
    const GPtrArray *games = rb_names_games(season->names);
    for (guint g = 0; g < games->len; g++) {
        RbGame game = *(const RbGame *)games->pdata[g];
        const RbGameId from = game.id;
        game.id.value = rb_id_random();
        ck_assert(rb_store_save_game(store, &game, &error));
        for (guint i = 0; i < season->snaps->len; i++) {
            const RbSnap *snap = season->snaps->pdata[i];
            if (snap->game.value == from.value) {
                save_copy(store, game.id, snap, random_season_chart(season, snap->id));
            }
        }
    }
    ck_assert(rb_store_commit(store, &error));
    rb_assert_no_error(error);
    rb_library_note_change(library);
}

/* What the window does for one answer: it is written, and what is shown is read again. */
static Cost cost_of(RbLibrary *library, RbGameId game, RbSnapId snap, const char *value)
{
    GError *error = NULL;
    cost = (Cost){ 0, 0 };
    const RbTagChange change = { "coverage", value };
    ck_assert(rb_library_tag(library, snap, &change, 1, NULL, &error));
    rb_library_has_changed(library);
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, game, &error);
    g_autoptr(GPtrArray) clips = rb_library_load_game_clips(library, game, &error);
    g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, snap, &error);
    rb_assert_no_error(error);
    ck_assert(snaps->len > 0 && clips != NULL && sheet != NULL);
    return cost;
}

START_TEST(test_rail_cost__a_key_costs_the_same_in_a_larger_library)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(91));
    ck_assert_int_eq(sqlite3_auto_extension((void (*)(void))watch), SQLITE_OK);
    RbLibrary *library = sample_library_new(&random, &season);
    const RbSnap *snap = season.snaps->pdata[0];
    cost_of(library, snap->game, snap->id, "cover-2"); /* joins, the day's backup */
    const Cost small = cost_of(library, snap->game, snap->id, "cover-3");
    for (int i = 0; i < COPIES; i++) {
        grow(library, &season);
    }
    cost_of(library, snap->game, snap->id, "cover-2");
    const Cost large = cost_of(library, snap->game, snap->id, "cover-3");
    printf("a key: %" G_GINT64_FORMAT " statements and %" G_GINT64_FORMAT
           " steps; with %d times the snaps %" G_GINT64_FORMAT " and %" G_GINT64_FORMAT
           "\n",
           small.statements, small.steps, COPIES + 1, large.statements, large.steps);
    ck_assert_int_gt(small.statements, 5);
    ck_assert_int_eq(large.statements, small.statements);
    ck_assert_int_le(large.steps, small.steps * 11 / 10);
    rb_library_close(library);
    sqlite3_reset_auto_extension();
    random_season_clear(&season);
}
END_TEST

/* Snaps of a game are marked as filmed in one query, however many there are. */
START_TEST(test_rail_cost__a_game_is_read_in_as_many_queries_as_another)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(92));
    ck_assert_int_eq(sqlite3_auto_extension((void (*)(void))watch), SQLITE_OK);
    RbLibrary *library = sample_library_new(&random, &season);
    int64_t first = 0;
    for (int game = 0; game < RANDOM_GAMES; game++) {
        cost = (Cost){ 0, 0 };
        g_autoptr(GPtrArray) snaps =
            rb_library_load_snaps(library, random_games[game], NULL);
        g_autoptr(GPtrArray) clips =
            rb_library_load_game_clips(library, random_games[game], NULL);
        ck_assert(snaps != NULL && clips != NULL);
        first = game == 0 ? cost.statements : first;
        ck_assert_int_eq(cost.statements, first);
    }
    ck_assert_int_gt(first, 0);
    rb_library_close(library);
    sqlite3_reset_auto_extension();
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_rail_cost(void)
{
    TCase *tcase = rb_case_new("rail-cost");
    tcase_add_test(tcase, test_rail_cost__a_key_costs_the_same_in_a_larger_library);
    tcase_add_test(tcase, test_rail_cost__a_game_is_read_in_as_many_queries_as_another);
    return tcase;
}
