/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A play log into a game: all of it or nothing, undone as one step, beside what is tagged. */
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/work/error.h"
#include "rb/work/log-import.h"
#include "rb/work/season.h"
#include "rb/work/tagging.h"

#include "../../src/work/library-private.h"
#include "log-writer.h"
#include "suite.h"

TCase *rb_case_log_import(void);

static const RbGameId the_game = { 77 };

/* A library with one game without snaps, and the plays of a season's game. */
typedef struct {
    RbLibrary *library; /* owned */
    RbSeason *season;   /* owned */
    GPtrArray *plays;   /* owned, of RbSnap, borrowed from the season */
} Rig;

static Rig rig_new(uint64_t seed)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("log.readbreak");
    Rig rig = { rb_library_create(path, "Coach", &error), rb_season_new(seed),
                g_ptr_array_new() };
    rb_assert_no_error(error);
    const RbSeasonGame *from = rig.season->games->pdata[0];
    RbStore *store = rb_library_store(rig.library);
    g_autoptr(RbGame) game = rb_game_new(the_game, "Week 1");
    game->us = from->game->us;
    game->them = from->game->them;
    game->ours_only = true;
    game->played_on = g_strdup("2026-09-05");
    ck_assert(rb_library_begin(rig.library, "game", &error));
    for (guint i = 0; i < rig.season->teams->len; i++) {
        ck_assert(rb_store_save_team(store, rig.season->teams->pdata[i], &error));
    }
    ck_assert(rb_store_save_game(store, game, &error));
    ck_assert(rb_library_commit(rig.library, true, &error));
    for (guint i = 0; i < from->snaps->len; i++) {
        const RbSeasonSnap *one = from->snaps->pdata[i];
        g_ptr_array_add(rig.plays, one->snap);
    }
    return rig;
}

static void rig_clear(Rig *rig)
{
    rb_library_close(rig->library);
    g_ptr_array_unref(rig->plays);
    rb_season_free(rig->season);
}

/* A plain layout that is understood without a question. */
static GBytes *write_plain(const GPtrArray *plays, bool numbers)
{
    static const struct {
        RbLogField field;
        const char *head;
    } columns[] = {
        { RB_LOG_QUARTER, "Quarter" },   { RB_LOG_DOWN, "Down" },
        { RB_LOG_DISTANCE, "Distance" }, { RB_LOG_SPOT, "Yard line" },
        { RB_LOG_PLAY, "Kind of play" }, { RB_LOG_RESULT, "Result" },
        { RB_LOG_GAIN, "Gain" },         { RB_LOG_NUMBER, "Play number" },
    };
    Layout layout = { .yards = RB_YARDS_WORDS, .delimiter = ',' };
    for (size_t i = 0; i < G_N_ELEMENTS(columns) - (numbers ? 0 : 1); i++) {
        layout.fields[layout.columns] = columns[i].field;
        layout.heads[layout.columns++] = g_strdup(columns[i].head);
    }
    GBytes *bytes = layout_write(&layout, plays, (RbTeamId){ 0 });
    layout_clear(&layout);
    return bytes;
}

static RbLogPlan *plan(const Rig *rig, GBytes *bytes, const RbLogOptions *options)
{
    GError *error = NULL;
    RbLogPlan *made =
        rb_library_plan_log(rig->library, the_game, bytes, "week-1.csv", options, &error);
    rb_assert_no_error(error);
    return made;
}

static char *first_question(const RbLogPlan *made)
{
    return made->reading->questions->len == 0
               ? g_strdup("")
               : g_strdup(((const RbLogQuestion *)made->reading->questions->pdata[0])
                              ->sentence);
}

static void apply(const Rig *rig, const RbLogPlan *made)
{
    GError *error = NULL;
    g_autofree char *words = NULL;
    g_autofree char *asks = first_question(made);
    ck_assert_str_eq(asks, "");
    ck_assert(rb_library_apply_log(rig->library, made, &words, &error));
    rb_assert_no_error(error);
    ck_assert(g_str_has_prefix(words, "play log week-1.csv: "));
}

static GPtrArray *load(const Rig *rig)
{
    GError *error = NULL;
    GPtrArray *snaps = rb_library_load_snaps(rig->library, the_game, &error);
    rb_assert_no_error(error);
    return snaps;
}

static void check_equal(const RbSnap *snap, const RbSnap *play)
{
    ck_assert_int_eq(snap->situation.down, play->situation.down);
    ck_assert_int_eq(snap->situation.yards_to_goal, play->situation.yards_to_goal);
    ck_assert_int_eq(snap->situation.quarter, play->situation.quarter);
    ck_assert_int_eq(snap->result, play->result);
    ck_assert_int_eq(snap->has_gain == RB_YES, play->has_gain == RB_YES);
    ck_assert_int_eq(snap->has_gain == RB_YES ? snap->gain : 0,
                     play->has_gain == RB_YES ? play->gain : 0);
}

static char *hash(const Rig *rig)
{
    return rb_store_content_hash(rb_library_store(rig->library), NULL);
}

START_TEST(test_log_import__a_new_game_in_one_action)
{
    Rig rig = rig_new(rb_test_seed(3));
    g_autoptr(GBytes) bytes = write_plain(rig.plays, true);
    g_autofree char *before = hash(&rig);
    g_autoptr(RbLogPlan) made = plan(&rig, bytes, NULL);
    ck_assert_int_eq(made->added, (int)rig.plays->len);
    ck_assert_int_eq(made->reading->bad, 0);
    apply(&rig, made);
    g_autoptr(GPtrArray) snaps = load(&rig);
    ck_assert_uint_eq(snaps->len, rig.plays->len);
    for (guint i = 0; i < snaps->len; i++) {
        check_equal(snaps->pdata[i], rig.plays->pdata[i]);
        ck_assert_int_eq(((const RbSnap *)snaps->pdata[i])->number,
                         ((const RbSnap *)rig.plays->pdata[i])->number);
    }
    /* The same log again changes nothing. */
    g_autoptr(RbLogPlan) again = plan(&rig, bytes, NULL);
    ck_assert_int_eq(again->added + again->filled + again->replaced, 0);
    ck_assert(again->kept_source);
    ck_assert(rb_library_undo(rig.library, NULL, NULL));
    g_autofree char *after = hash(&rig);
    ck_assert_str_eq(before, after);
    rig_clear(&rig);
}
END_TEST

/* Snaps from film know nothing but their order. */
static void add_bare_snaps(const Rig *rig, const GPtrArray *plays, int know_every)
{
    GError *error = NULL;
    ck_assert(rb_library_begin(rig->library, "film", &error));
    for (guint i = 0; i < plays->len; i++) {
        const RbSnap *play = plays->pdata[i];
        g_autoptr(RbSnap) snap =
            rb_snap_new((RbSnapId){ 5000 + i }, the_game, (int)i + 1);
        if (know_every > 0 && (int)i % know_every == 0) {
            snap->situation.down = play->situation.down;
            snap->situation.distance = play->situation.distance;
            snap->situation.yards_to_goal = play->situation.yards_to_goal;
        }
        ck_assert(rb_store_save_snap(rb_library_store(rig->library), snap, &error));
    }
    ck_assert(rb_library_commit(rig->library, false, &error));
}

START_TEST(test_log_import__fills_the_snaps_of_a_film)
{
    Rig rig = rig_new(rb_test_seed(4));
    g_autoptr(GBytes) bytes = write_plain(rig.plays, false);
    add_bare_snaps(&rig, rig.plays, 0);
    g_autoptr(RbLogPlan) made = plan(&rig, bytes, NULL);
    ck_assert_int_eq(made->added, 0);
    apply(&rig, made);
    g_autoptr(GPtrArray) snaps = load(&rig);
    ck_assert_uint_eq(snaps->len, rig.plays->len);
    for (guint i = 0; i < snaps->len; i++) {
        check_equal(snaps->pdata[i], rig.plays->pdata[i]);
    }
    rig_clear(&rig);
}
END_TEST

/* Plays taken out of the log: the ones left go to their own snaps, or it is asked. */
START_TEST(test_log_import__gaps_are_found_or_asked_about)
{
    RbRandom random;
    const uint64_t seed = rb_test_seed(5);
    int found = 0;
    rb_random_seed(&random, seed);
    for (int i = 0; i < 12; i++) {
        Rig rig = rig_new(seed + (uint64_t)i);
        g_autoptr(GPtrArray) fewer = g_ptr_array_copy(rig.plays, NULL, NULL);
        for (int k = rb_random_int(&random, 1, 3); k > 0; k--) {
            g_ptr_array_remove_index(
                fewer, (guint)rb_random_int(&random, 1, (int)fewer->len - 2));
        }
        g_autoptr(GBytes) bytes = write_plain(fewer, false);
        add_bare_snaps(&rig, rig.plays, i % 3);
        g_autoptr(RbLogPlan) made = plan(&rig, bytes, NULL);
        g_autofree char *asks = first_question(made);
        if (*asks != '\0') {
            ck_assert_msg(strstr(asks, "--align") != NULL, "%s", asks);
        } else {
            apply(&rig, made);
            g_autoptr(GPtrArray) snaps = load(&rig);
            found++;
            for (guint k = 0; k < fewer->len; k++) {
                guint at = 0;
                ck_assert(g_ptr_array_find(rig.plays, fewer->pdata[k], &at));
                check_equal(snaps->pdata[at], fewer->pdata[k]);
            }
        }
        rig_clear(&rig);
        g_autofree char *path = rb_test_path("log.readbreak");
        ck_assert_int_eq(g_remove(path), 0);
    }
    printf("%d of 12 logs with gaps set beside their snaps without a question\n", found);
    ck_assert_int_ge(found, 4);
}
END_TEST

START_TEST(test_log_import__tags_are_kept_unless_told_otherwise)
{
    static const RbTagChange change = { "result", "sack" };
    Rig rig = rig_new(rb_test_seed(6));
    g_autoptr(GBytes) bytes = write_plain(rig.plays, true);
    g_autoptr(RbLogPlan) made = plan(&rig, bytes, NULL);
    apply(&rig, made);
    g_autoptr(GPtrArray) snaps = load(&rig);
    const RbSnap *one = NULL;
    for (guint i = 0; i < snaps->len && one == NULL; i++) {
        const RbSnap *snap = snaps->pdata[i];
        one = snap->result == RB_RESULT_RUN ? snap : NULL;
    }
    ck_assert(rb_library_tag(rig.library, one->id, &change, 1, NULL, NULL));
    g_autoptr(RbLogPlan) kept = plan(&rig, bytes, NULL);
    ck_assert_int_eq(kept->replaced, 1);
    ck_assert_uint_eq(kept->changed->len, 0);
    const RbLogOptions options = { .overwrite = true };
    g_autoptr(RbLogPlan) over = plan(&rig, bytes, &options);
    apply(&rig, over);
    g_autoptr(RbSnap) now = rb_library_load_snap(rig.library, one->id, NULL);
    ck_assert_int_eq(now->result, RB_RESULT_RUN);
    rig_clear(&rig);
}
END_TEST

/* A plan that asks cannot be done, and what was asked stays undone. */
START_TEST(test_log_import__what_asks_is_not_done)
{
    static const char text[] = "Down,Distance,Yard line\n1,10,25\n2,6,29\n3,2,33\n";
    Rig rig = rig_new(1);
    g_autoptr(GBytes) bytes = g_bytes_new_static(text, strlen(text));
    g_autofree char *before = hash(&rig);
    g_autoptr(RbLogPlan) made = plan(&rig, bytes, NULL);
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_library_apply_log(rig.library, made, NULL, &error));
    ck_assert(strstr(error->message, "--yard-lines") != NULL);
    g_autofree char *after = hash(&rig);
    ck_assert_str_eq(before, after);
    const RbLogOptions options = { .yards = RB_YARDS_FROM_OWN };
    g_autoptr(RbLogPlan) told = plan(&rig, bytes, &options);
    apply(&rig, told);
    g_autoptr(GPtrArray) snaps = load(&rig);
    ck_assert_int_eq(((const RbSnap *)snaps->pdata[0])->situation.yards_to_goal, 75);
    /* The answer is kept for the next file of this layout. */
    ck_assert(rb_library_undo(rig.library, NULL, NULL));
    apply(&rig, told);
    g_autoptr(RbLogPlan) next = plan(&rig, bytes, NULL);
    ck_assert_int_eq(next->reading->yards, RB_YARDS_FROM_OWN);
    rig_clear(&rig);
}
END_TEST

START_TEST(test_log_import__bad_rows_are_written_beside)
{
    static const char text[] = "Down,Distance,Result\n1,10,Run\n9,6,Run\n2,6,Run\n";
    Rig rig = rig_new(2);
    g_autoptr(GBytes) bytes = g_bytes_new_static(text, strlen(text));
    const char *const maps[] = { "Down=down", NULL };
    const RbLogOptions options = { .maps = maps };
    g_autoptr(RbLogPlan) made = plan(&rig, bytes, &options);
    apply(&rig, made);
    g_autofree char *log = rb_test_path("week-1.csv");
    GError *error = NULL;
    g_autofree char *path = rb_log_write_rejected(made, log, &error);
    rb_assert_no_error(error);
    g_autofree char *written = NULL;
    ck_assert(g_file_get_contents(path, &written, NULL, NULL));
    ck_assert_str_eq(written,
                     "\"line\",\"reason\",\"Down\",\"Distance\",\"Result\"\r\n"
                     "3,\"the down \"\"9\"\" is not 1 to 4\",\"9\",\"6\",\"Run\"\r\n");
    /* Never over a file that is there. */
    g_autofree char *second = rb_log_write_rejected(made, log, &error);
    ck_assert_str_ne(path, second);
    /* The row's place among the numbers stays free. */
    g_autoptr(GPtrArray) snaps = load(&rig);
    ck_assert_uint_eq(snaps->len, 2);
    ck_assert_int_eq(((const RbSnap *)snaps->pdata[1])->number, 3);
    rig_clear(&rig);
}
END_TEST

START_TEST(test_log_import__unknown_columns_and_files_are_refused)
{
    Rig rig = rig_new(2);
    GError *error = NULL;
    const char *const maps[] = { "Gewinn=gain", NULL };
    const RbLogOptions options = { .maps = maps };
    g_autoptr(GBytes) bytes = write_plain(rig.plays, true);
    ck_assert_ptr_null(
        rb_library_plan_log(rig.library, the_game, bytes, "x.csv", &options, &error));
    ck_assert_msg(
        strstr(error->message, "has no column \"Gewinn\"; it has \"Quarter\"") != NULL,
        "%s", error->message);
    g_clear_error(&error);
    ck_assert_ptr_null(rb_log_read_file(rb_test_folder(), &error));
    ck_assert(strstr(error->message, "is not a file") != NULL);
    g_clear_error(&error);
    rig_clear(&rig);
}
END_TEST

TCase *rb_case_log_import(void)
{
    TCase *tc = rb_case_new("log-import");
    tcase_add_test(tc, test_log_import__a_new_game_in_one_action);
    tcase_add_test(tc, test_log_import__fills_the_snaps_of_a_film);
    tcase_add_test(tc, test_log_import__gaps_are_found_or_asked_about);
    tcase_add_test(tc, test_log_import__tags_are_kept_unless_told_otherwise);
    tcase_add_test(tc, test_log_import__what_asks_is_not_done);
    tcase_add_test(tc, test_log_import__bad_rows_are_written_beside);
    tcase_add_test(tc, test_log_import__unknown_columns_and_files_are_refused);
    return tc;
}
