/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "rb/work/demo.h"
#include "rb/work/quarterback.h"

#include "random-season.h"
#include "suite.h"

TCase *rb_case_quarterback(void);

static RbSelection *random_selection(RbRandom *random)
{
    GError *error = NULL;
    RandomSeason season = random_season_new(random);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_build(
        season.names, season.snaps, season.charts, season.clips, NULL, NULL, &error);
    rb_assert_no_error(error);
    random_season_clear(&season);
    return rb_selection_new(snapshot, NULL);
}

/* Stays open for the selections' details until the next demo. */
static RbLibrary *demo_library;

static void close_demo(void)
{
    g_clear_pointer(&demo_library, rb_library_close);
}

/* A demo season's selection: football, and mistakes that were planted. */
static RbSelection *demo_selection(int seed)
{
    GError *error = NULL;
    g_autofree char *name = g_strdup_printf("%d", seed);
    g_autofree char *folder = rb_test_path(name);
    g_autofree char *path = g_build_filename(folder, "demo.readbreak", NULL);
    ck_assert_int_eq(g_mkdir(folder, 0700), 0);
    RbDemoOptions options = rb_demo_options_default();
    options.seed = (uint64_t)seed;
    options.film_snaps = 0;
    rb_demo_make(path, &options, NULL, NULL, &error);
    rb_assert_no_error(error);
    g_clear_pointer(&demo_library, rb_library_close);
    demo_library = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(demo_library, NULL, NULL, &error);
    rb_assert_no_error(error);
    return rb_selection_new(snapshot, NULL);
}

static int count_verdict(const RbSelection *selection, RbVerdict verdict)
{
    int n = 0;
    int found = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int i = 0; i < n; i++) {
        found += rows[i].in_ladder && rows[i].verdict == verdict ? 1 : 0;
    }
    return found;
}

static void assert_adds_up(const RbSelection *selection)
{
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
    int sum = 0;
    for (int i = 0; i < RB_VERDICTS; i++) {
        ck_assert_int_eq(quarterback->verdicts[i],
                         count_verdict(selection, (RbVerdict)i));
        sum += quarterback->verdicts[i];
        g_autoptr(GArray) snaps = rb_quarterback_snaps(selection, (RbVerdict)i);
        ck_assert_int_eq((int)snaps->len, quarterback->verdicts[i]);
    }
    ck_assert_int_eq(sum, quarterback->dropbacks);
    const RbRate *rate = &quarterback->rate;
    ck_assert_int_eq(rate->judged, sum - quarterback->verdicts[RB_VERDICT_UNGRADED] -
                                       quarterback->verdicts[RB_VERDICT_SPOILED]);
    ck_assert_int_eq(rate->right, quarterback->verdicts[RB_VERDICT_ON_READ] +
                                      quarterback->verdicts[RB_VERDICT_SOUND]);
    guint decided = 0;
    for (int i = 0; i < RB_DECISIONS; i++) {
        decided += quarterback->decisions[i]->len;
    }
    ck_assert_int_eq((int)decided,
                     rate->judged - quarterback->verdicts[RB_VERDICT_NO_TIME]);
    int judged = 0;
    int right = 0;
    for (guint i = 0; i < quarterback->games->len; i++) {
        const RbGameRate *game = quarterback->games->pdata[i];
        judged += game->rate.judged;
        right += game->rate.right;
        ck_assert(game->rate.low >= 0 && game->rate.low <= game->rate.high &&
                  game->rate.high <= 1);
    }
    ck_assert_int_eq(judged, rate->judged);
    ck_assert_int_eq(right, rate->right);
    g_autoptr(GArray) errors = rb_quarterback_errors(selection);
    ck_assert_uint_eq(errors->len,
                      quarterback->decisions[RB_DECISION_WRONG_GOOD]->len +
                          quarterback->decisions[RB_DECISION_WRONG_BAD]->len);
}

/* Groups of a field hold each judged decision at most once, and those of the right read, which
 * every decision has, exactly once. */
static void assert_groups_add_up(const RbSelection *selection)
{
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
    for (int f = 0; f < RB_QUARTERBACK_FIELDS; f++) {
        const RbField field = rb_quarterback_fields[f];
        g_autoptr(GPtrArray) groups = rb_quarterback_groups(selection, field);
        int judged = 0;
        int right = 0;
        for (guint i = 0; i < groups->len; i++) {
            const RbDecisionGroup *group = groups->pdata[i];
            ck_assert_int_eq((int)group->snaps->len, group->rate.judged);
            ck_assert_str_ne(group->label, "");
            judged += group->rate.judged;
            right += group->rate.right;
        }
        ck_assert_int_le(judged, quarterback->rate.judged);
        ck_assert_int_le(right, quarterback->rate.right);
        if (field == RB_FIELD_READ) {
            ck_assert_int_eq(judged, quarterback->rate.judged);
            ck_assert_int_eq(right, quarterback->rate.right);
        }
    }
}

START_TEST(test_quarterback__figures_add_up)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(71));
    const int cases = rb_test_some(20);
    for (int round = 0; round < cases; round++) {
        g_autoptr(RbSelection) selection = random_selection(&random);
        assert_adds_up(selection);
        assert_groups_add_up(selection);
    }
    g_autoptr(RbSelection) demo = demo_selection(3);
    assert_adds_up(demo);
    assert_groups_add_up(demo);
}
END_TEST

/* Every throw is late or not by its own clock, in order of read and time. */
START_TEST(test_quarterback__throws_against_their_clock)
{
    g_autoptr(RbSelection) selection = demo_selection(4);
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    ck_assert_uint_gt(quarterback->throws->len, 80);
    int late = 0;
    for (guint i = 0; i < quarterback->throws->len; i++) {
        const RbThrowTime *time = quarterback->throws->pdata[i];
        RbDropback row;
        ck_assert(rb_snapshot_find_row(snapshot, time->snap, &row));
        ck_assert_int_eq(row.release_ms, time->release_ms);
        ck_assert_int_eq(row.ball_read, time->read);
        ck_assert_int_gt(time->due_ms, 0);
        ck_assert_int_eq(time->late,
                         time->release_ms - time->due_ms > time->tolerance_ms);
        late += time->late ? 1 : 0;
        /* Late by the verdict is late by the clock: one rule for both. */
        ck_assert(row.verdict != RB_VERDICT_LATE || time->late);
        ck_assert(row.verdict != RB_VERDICT_ON_READ || row.right_read != time->read ||
                  !time->late || row.ball_read != row.right_read);
        if (i > 0) {
            const RbThrowTime *before = quarterback->throws->pdata[i - 1];
            ck_assert(
                before->read < time->read ||
                (before->read == time->read && before->release_ms <= time->release_ms));
        }
    }
    ck_assert_int_ge(late, quarterback->verdicts[RB_VERDICT_LATE]);
}
END_TEST

static bool has(const RbSnapshot *snapshot, RbSnapId snap, RbField field, int wanted)
{
    int64_t value = 0;
    return wanted == 0 ||
           (rb_snapshot_value(snapshot, snap, field, &value) && value == wanted);
}

/* Counts a habit anew, by hand. */
static void assert_habit(const RbSelection *selection, const RbHabit *habit)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    const bool before = habit->verdict == RB_VERDICT_MISSED_ADJUSTMENT ||
                        habit->verdict == RB_VERDICT_WRONG_SIDE ||
                        habit->verdict == RB_VERDICT_MISSED_HOT;
    int times = 0;
    int of = 0;
    double right = 0.0;
    int rights = 0;
    double wrong = 0.0;
    int pointed = 0;
    for (int i = 0; i < n; i++) {
        const RbVerdict verdict = rows[i].verdict;
        if (!rows[i].in_ladder || verdict == RB_VERDICT_UNGRADED ||
            verdict == RB_VERDICT_SPOILED) {
            continue;
        }
        if ((verdict == RB_VERDICT_ON_READ || verdict == RB_VERDICT_SOUND) &&
            rows[i].has_points) {
            right += rows[i].points;
            rights++;
        }
        if ((before || rows[i].right_read == habit->read) &&
            has(snapshot, rows[i].snap, RB_FIELD_SHELL, (int)habit->shell) &&
            has(snapshot, rows[i].snap, RB_FIELD_TECHNIQUE, (int)habit->technique)) {
            of++;
            if (verdict == habit->verdict) {
                times++;
                pointed += rows[i].has_points ? 1 : 0;
                wrong += rows[i].has_points ? rows[i].points : 0.0;
            }
        }
    }
    ck_assert_int_ge(habit->times, RB_HABIT_MIN);
    ck_assert_int_eq(habit->times, times);
    ck_assert_int_eq(habit->of, of);
    ck_assert_uint_eq(habit->snaps->len, (guint)times);
    ck_assert_double_eq_tol(habit->cost, pointed * right / rights - wrong, 1e-9);
    ck_assert_double_gt(habit->cost, 0.0);
    g_autofree char *count = g_strdup_printf("%d of %d.", times, of);
    ck_assert(g_str_has_suffix(habit->sentence, count));
    ck_assert(habit->read == 0 || strstr(habit->sentence, "read ") != NULL);
}

/* No two of the three tell of the same snaps. */
static void assert_distinct(const RbHabit *a, const RbHabit *b)
{
    guint shared = 0;
    for (guint i = 0; i < b->snaps->len; i++) {
        for (guint j = 0; j < a->snaps->len; j++) {
            shared += memcmp(&g_array_index(a->snaps, RbSnapId, j),
                             &g_array_index(b->snaps, RbSnapId, i), sizeof(RbSnapId)) == 0
                          ? 1
                          : 0;
        }
    }
    ck_assert_uint_le(2 * shared, b->snaps->len);
}

START_TEST(test_quarterback__habits_are_what_they_say)
{
    int found = 0;
    for (int seed = 5; seed < 9; seed++) {
        g_autoptr(RbSelection) selection = demo_selection(seed);
        g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
        ck_assert_uint_le(quarterback->habits->len, RB_HABITS_MAX);
        for (guint i = 0; i < quarterback->habits->len; i++) {
            assert_habit(selection, quarterback->habits->pdata[i]);
            for (guint j = 0; j < i; j++) {
                assert_distinct(quarterback->habits->pdata[j],
                                quarterback->habits->pdata[i]);
            }
            found++;
        }
    }
    ck_assert_int_ge(found, 4);
}
END_TEST

START_TEST(test_quarterback__official_attempts)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(72));
    g_autoptr(RbSelection) selection = random_selection(&random);
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    RbPassing expected = { 0 };
    for (int i = 0; i < n; i++) {
        const RbSnap *snap = rb_snapshot_find_snap(snapshot, rows[i].snap);
        if (rb_snap_is_wiped_out(snap) || snap->situation.phase != RB_PHASE_SCRIMMAGE) {
            continue;
        }
        switch (snap->result) {
        case RB_RESULT_COMPLETE:
            expected.completions++;
            expected.yards += snap->has_gain == RB_YES ? snap->gain : 0;
            expected.touchdowns += snap->ending == RB_ENDING_TOUCHDOWN ? 1 : 0;
            break;
        case RB_RESULT_INTERCEPTED:
            expected.interceptions++;
            break;
        case RB_RESULT_INCOMPLETE:
        case RB_RESULT_THROWN_AWAY:
            break;
        case RB_RESULT_UNKNOWN:
        case RB_RESULT_SACK:
        case RB_RESULT_SCRAMBLE:
        case RB_RESULT_RUN:
        case RB_RESULT_KICK_GOOD:
        case RB_RESULT_KICK_MISSED:
        case RB_RESULT_KICKED:
        case RB_RESULT_NO_PLAY:
            continue;
        }
        expected.attempts++;
    }
    ck_assert_mem_eq(&quarterback->passing, &expected, sizeof expected);
}
END_TEST

START_TEST(test_quarterback__nothing_is_judged_yet)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("new.readbreak");
    g_autoptr(RbLibrary) library = rb_library_create(path, "Coach", &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSelection) selection = rb_selection_new(snapshot, NULL);
    assert_adds_up(selection);
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(selection);
    ck_assert_int_eq(quarterback->dropbacks, 0);
    ck_assert_uint_eq(quarterback->habits->len, 0);
    ck_assert(!isnan(quarterback->rate.low));
    g_autoptr(GPtrArray) groups = rb_quarterback_groups(selection, RB_FIELD_READ);
    ck_assert_uint_eq(groups->len, 0);
}
END_TEST

TCase *rb_case_quarterback(void)
{
    TCase *tcase = rb_case_new("quarterback");
    tcase_add_checked_fixture(tcase, NULL, close_demo);
    tcase_add_test(tcase, test_quarterback__figures_add_up);
    tcase_add_test(tcase, test_quarterback__throws_against_their_clock);
    tcase_add_test(tcase, test_quarterback__habits_are_what_they_say);
    tcase_add_test(tcase, test_quarterback__official_attempts);
    tcase_add_test(tcase, test_quarterback__nothing_is_judged_yet);
    return tcase;
}
