/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/stats/points.h"
#include "rb/work/snapshot.h"

#include "random-season.h"
#include "snapshot-private.h"
#include "suite.h"

TCase *rb_case_snapshot(void);

static RbSnapshot *build(const RandomSeason *season, bool practice)
{
    GError *error = NULL;
    RbSnapshotOptions options = rb_snapshot_options_default();
    options.practice = practice;
    RbSnapshot *snapshot = rb_snapshot_build(season->names, season->snaps, season->charts,
                                             season->clips, &options, NULL, &error);
    rb_assert_no_error(error);
    return snapshot;
}

/* Our offense's pass plays in a game, said again in another way. */
static bool belongs(const RbSnap *snap, bool practice)
{
    const bool pass =
        snap->play >= RB_PLAY_DROPBACK && snap->play <= RB_PLAY_RUN_PASS_OPTION;
    return pass && snap->game.value != random_scouted.value &&
           (practice || snap->game.value != random_practice.value) &&
           snap->situation.offense.value != 12;
}

START_TEST(test_snapshot__holds_our_pass_plays_once_and_in_order)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(11));
    const int cases = rb_test_some(10);
    for (int round = 0; round < cases; round++) {
        RandomSeason season = random_season_new(&random);
        for (int practice = 0; practice < 2; practice++) {
            g_autoptr(RbSnapshot) snapshot = build(&season, practice == 1);
            int n = 0;
            g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
            int expected = 0;
            for (guint i = 0; i < season.snaps->len; i++) {
                const RbSnap *snap = season.snaps->pdata[i];
                if (belongs(snap, practice == 1)) {
                    ck_assert_int_lt(expected, n);
                    ck_assert_int_eq(rows[expected].snap.value, snap->id.value);
                    expected++;
                } else {
                    ck_assert_int_eq(rb_snapshot_place_of(snapshot, snap->id), -1);
                }
            }
            ck_assert_int_eq(n, expected);
        }
        random_season_clear(&season);
    }
}
END_TEST

START_TEST(test_snapshot__rows_say_what_snap_and_chart_say)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(12));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = build(&season, false);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    ck_assert_int_gt(n, 50);
    for (int i = 0; i < n; i++) {
        const RbChart *chart = random_season_chart(&season, rows[i].snap);
        const RbSnap *snap = rb_snapshot_find_snap(snapshot, rows[i].snap);
        double points = 0.0;
        const bool has =
            rb_points_added(rb_points_model_default(), snap, RB_RULES_COLLEGE, &points);
        ck_assert_int_eq(rows[i].has_points, has);
        ck_assert_double_eq_tol(rows[i].points, has ? points : 0.0, 1e-12);
        ck_assert_int_eq(rows[i].game.value, snap->game.value);
        ck_assert_int_eq(rows[i].coverage.value,
                         chart != NULL ? chart->played.coverage.value : 0);
        ck_assert_int_eq(rows[i].concept.value,
                         chart != NULL ? chart->call.first.value : 0);
        ck_assert_int_eq(rows[i].pressured,
                         chart != NULL && chart->pressure == RB_PRESSURE_CAME);
        ck_assert_int_eq(rows[i].in_ladder, snap->play <= RB_PLAY_SPRINT_OUT &&
                                                snap->result != RB_RESULT_NO_PLAY);
        const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, rows[i].snap);
        ck_assert_int_eq(rows[i].verdict, judgment->verdict);
        g_autofree char *settle = rb_snapshot_settle(snapshot, rows[i].snap);
        ck_assert_int_eq(settle != NULL, judgment->settle.kind != RB_TAG_NONE);
        g_autoptr(GPtrArray) reasons = rb_snapshot_reasons(snapshot, rows[i].snap);
        ck_assert_int_eq((int)reasons->len, judgment->n_reasons);
    }
    random_season_clear(&season);
}
END_TEST

/* The release is measured where film says it: at 60000/1001 frames a second a frame lasts
 * 16.68 ms. */
START_TEST(test_snapshot__marks_on_film_come_before_a_typed_release)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(13));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = build(&season, false);
    int measured = 0;
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    for (int i = 0; i < n; i++) {
        const RbChart *chart = random_season_chart(&season, rows[i].snap);
        int expected = chart != NULL ? chart->release_ms : -1;
        for (guint j = 0; j < season.clips->len; j++) {
            const RbClip *clip = season.clips->pdata[j];
            if (clip->snap.value == rows[i].snap.value && clip->marks->len == 2) {
                const int64_t frames = g_array_index(clip->marks, RbMark, 1).frame - 100;
                expected = (int)lround((double)frames * 1001.0 / 60.0);
                measured++;
            }
        }
        ck_assert_int_eq(rows[i].release_ms, expected);
    }
    ck_assert_int_gt(measured, 3);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snapshot__seven_on_seven_has_no_points_and_no_pressure)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(14));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = build(&season, true);
    int n = 0;
    int seen = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    for (int i = 0; i < n; i++) {
        if (rows[i].game.value == random_practice.value) {
            ck_assert(!rows[i].has_points);
            ck_assert(!rows[i].pressured);
            ck_assert_int_ne(rows[i].verdict, RB_VERDICT_NO_TIME);
            seen++;
        }
    }
    ck_assert_int_gt(seen, 10);
    random_season_clear(&season);
}
END_TEST

/* Every cell of the table opens exactly its own snaps, its ladder is a partition of them, and
 * nothing is counted twice or lost. */
static void check_cells(const RbSnapshot *snapshot, const RbSelection *all)
{
    RbPairings pairings;
    rb_selection_pairings(all, &pairings);
    int in_cells = 0;
    double points = 0.0;
    for (int i = 0; i < pairings.n_cells; i++) {
        const RbTally *cell = &pairings.cells[i];
        g_autoptr(RbFilter) filter = rb_filter_new();
        rb_filter_add_value(filter, RB_FIELD_CONCEPT, cell->concept.value);
        rb_filter_add_value(filter, RB_FIELD_COVERAGE, cell->coverage.value);
        g_autoptr(RbSelection) one = rb_selection_new(snapshot, filter);
        RbLadder ladder;
        rb_selection_ladder(one, &ladder);
        ck_assert_int_eq(ladder.dropbacks, cell->dropbacks);
        ck_assert_double_eq_tol(ladder.points, cell->points, 1e-9);
        int sum = 0;
        double sum_points = 0.0;
        for (int read = 0; read <= RB_READS_MAX; read++) {
            for (int stage = 0; stage < RB_STAGES; stage++) {
                const RbLadderCell *rung = &ladder.cells[read][stage];
                g_autoptr(GArray) behind =
                    rb_selection_snaps(all, cell->concept, cell->coverage, read, stage);
                ck_assert_uint_eq(behind->len, (guint)rung->dropbacks);
                sum += rung->dropbacks;
                sum_points += rung->points;
            }
        }
        ck_assert_int_eq(sum, cell->dropbacks);
        ck_assert_double_eq_tol(sum_points, cell->points, 1e-9);
        in_cells += cell->dropbacks;
        points += cell->points;
    }
    ck_assert_int_eq(in_cells, pairings.all.dropbacks);
    ck_assert_double_eq_tol(points, pairings.all.points, 1e-9);
    g_autoptr(GArray) counted = rb_selection_snaps(all, RB_ANY_CONCEPT, RB_ANY_COVERAGE,
                                                   RB_ANY_READ, RB_ANY_STAGE);
    ck_assert_int_eq((int)counted->len, in_cells + pairings.untagged);
    rb_pairings_clear(&pairings);
}

START_TEST(test_snapshot__ladders_are_partitions_of_their_pairings)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(15));
    const int cases = rb_test_some(20);
    for (int round = 0; round < cases; round++) {
        RandomSeason season = random_season_new(&random);
        g_autoptr(RbSnapshot) snapshot = build(&season, false);
        g_autoptr(RbSelection) all = rb_selection_new(snapshot, NULL);
        check_cells(snapshot, all);
        random_season_clear(&season);
    }
}
END_TEST

/* What a filter of three clauses means, said again without filters. */
static bool naive_match(const RandomSeason *season, const RbDropback *row, int down,
                        RbTermId coverage, int low)
{
    const RbChart *chart = random_season_chart(season, row->snap);
    for (guint i = 0; i < season->snaps->len; i++) {
        const RbSnap *snap = season->snaps->pdata[i];
        if (snap->id.value == row->snap.value) {
            return snap->situation.down == down && snap->situation.distance >= low &&
                   snap->situation.distance <= 20 && chart != NULL &&
                   chart->played.coverage.value == coverage.value;
        }
    }
    return false;
}

START_TEST(test_snapshot__filters_pick_what_a_plain_loop_picks)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(16));
    int picked = 0;
    const int cases = rb_test_some(40);
    for (int round = 0; round < cases; round++) {
        RandomSeason season = random_season_new(&random);
        g_autoptr(RbSnapshot) snapshot = build(&season, false);
        const int down = rb_random_int(&random, 1, 4);
        const int low = rb_random_int(&random, 1, 10);
        const RbTermId coverage = rb_term_id(RB_TERM_COVERAGE, "cover-3");
        g_autoptr(RbFilter) filter = rb_filter_new();
        rb_filter_add_value(filter, RB_FIELD_DOWN, down);
        rb_filter_add_value(filter, RB_FIELD_COVERAGE, coverage.value);
        rb_filter_set_range(filter, RB_FIELD_DISTANCE, low, 20);
        g_autoptr(RbSelection) selection = rb_selection_new(snapshot, filter);
        int n = 0;
        int n_rows = 0;
        g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
        const RbDropback *have = rb_selection_get_rows(selection, &n_rows);
        int next = 0;
        for (int i = 0; i < n; i++) {
            if (naive_match(&season, &rows[i], down, coverage, low)) {
                ck_assert_int_lt(next, n_rows);
                ck_assert_int_eq(have[next++].snap.value, rows[i].snap.value);
            }
        }
        ck_assert_int_eq(next, n_rows);
        picked += next;
        random_season_clear(&season);
    }
    ck_assert_int_gt(picked, cases);
}
END_TEST

/* Every field of a row either has no value, or a filter on that value finds the row and a
 * filter on another value does not. */
START_TEST(test_snapshot__every_field_filters)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(17));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = build(&season, false);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    for (int field = 0; field < RB_FIELDS; field++) {
        for (int i = 0; i < MIN(n, 25); i++) {
            int64_t value = 0;
            const bool known =
                rb_snapshot_value(snapshot, rows[i].snap, (RbField)field, &value);
            g_autoptr(RbFilter) same = rb_filter_new();
            rb_filter_add_value(same, (RbField)field, value);
            g_autoptr(RbSelection) with = rb_selection_new(snapshot, same);
            int hits = 0;
            int n_with = 0;
            const RbDropback *found = rb_selection_get_rows(with, &n_with);
            for (int j = 0; j < n_with; j++) {
                int64_t other = 0;
                ck_assert(
                    rb_snapshot_value(snapshot, found[j].snap, (RbField)field, &other));
                if (rb_field_is_many((RbField)field)) {
                    ck_assert(
                        rb_snap_has_tag(rb_snapshot_find_snap(snapshot, found[j].snap),
                                        (RbTermId){ value }));
                } else {
                    ck_assert_int_eq(other, value);
                }
                hits += found[j].snap.value == rows[i].snap.value;
            }
            ck_assert_int_eq(hits, known);
        }
    }
    random_season_clear(&season);
}
END_TEST

static bool holds(const RbDropback *rows, int n, RbSnapId snap)
{
    for (int i = 0; i < n; i++) {
        if (rows[i].snap.value == snap.value) {
            return true;
        }
    }
    return false;
}

/* The norm of a pairing: the rest of the same table; without a pairing in the filter, the
 * rest of the team. */
START_TEST(test_snapshot__norm_is_the_rest_of_the_table)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(18));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = build(&season, false);
    const RbConcept *curl = rb_names_parse_concept(season.names, "curl-flat", NULL);
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DOWN, 2);
    for (int with_pairing = 0; with_pairing < 2; with_pairing++) {
        if (with_pairing == 1) {
            rb_filter_add_value(filter, RB_FIELD_CONCEPT, curl->id.value);
        }
        g_autoptr(RbSelection) selection = rb_selection_new(snapshot, filter);
        int n = 0;
        int n_rows = 0;
        int n_others = 0;
        g_autofree RbDropback *all = rb_snapshot_dup_rows(snapshot, &n);
        const RbDropback *rows = rb_selection_get_rows(selection, &n_rows);
        const RbDropback *others = rb_selection_get_others(selection, &n_others);
        ck_assert_int_gt(n_others, 0);
        for (int i = 0; i < n; i++) {
            const int down = rb_snapshot_find_snap(snapshot, all[i].snap)->situation.down;
            const bool mine = holds(rows, n_rows, all[i].snap);
            const bool norm = holds(others, n_others, all[i].snap);
            ck_assert(!(mine && norm));
            ck_assert_int_eq(norm, !mine && all[i].in_ladder &&
                                       (with_pairing == 0 || down == 2));
        }
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snapshot__costliest_is_the_worst_of_all_cells)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(19));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = build(&season, false);
    g_autoptr(RbSelection) all = rb_selection_new(snapshot, NULL);
    RbSelection *worst = NULL;
    ck_assert(rb_selection_costliest(all, &worst));
    RbBreak most;
    rb_selection_break(worst, &most);
    ck_assert(most.found);
    RbPairings pairings;
    rb_selection_pairings(all, &pairings);
    for (int i = 0; i < pairings.n_cells; i++) {
        if (pairings.cells[i].dropbacks >= RB_PAIRING_MIN) {
            g_autoptr(RbFilter) filter = rb_filter_new();
            rb_filter_add_value(filter, RB_FIELD_CONCEPT,
                                pairings.cells[i].concept.value);
            rb_filter_add_value(filter, RB_FIELD_COVERAGE,
                                pairings.cells[i].coverage.value);
            g_autoptr(RbSelection) one = rb_selection_new(snapshot, filter);
            RbBreak found;
            rb_selection_break(one, &found);
            ck_assert(!found.found || found.excess <= most.excess);
        }
    }
    const char *reads[RB_READS_MAX + 1];
    rb_selection_reads(worst, reads);
    ck_assert_ptr_null(reads[0]);
    ck_assert_str_eq(reads[1], "Curl");
    ck_assert_str_eq(reads[2], "Flat");
    ck_assert_ptr_null(reads[4]);
    rb_selection_reads(all, reads);
    ck_assert_ptr_null(reads[1]);
    rb_pairings_clear(&pairings);
    rb_selection_free(worst);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snapshot__outlives_what_it_was_made_of)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(20));
    RandomSeason season = random_season_new(&random);
    RbSnapshot *snapshot = build(&season, false);
    random_season_clear(&season);
    g_autoptr(RbSelection) selection = rb_selection_new(snapshot, NULL);
    rb_snapshot_unref(snapshot);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int i = 0; i < n; i++) {
        g_autoptr(GPtrArray) reasons =
            rb_snapshot_reasons(rb_selection_get_snapshot(selection), rows[i].snap);
        ck_assert_ptr_nonnull(reasons);
    }
    RbDropback row;
    ck_assert(!rb_snapshot_find_row(rb_selection_get_snapshot(selection), (RbSnapId){ 1 },
                                    &row));
}
END_TEST

START_TEST(test_snapshot__stops_when_cancelled)
{
    RbRandom random;
    rb_random_seed(&random, 21);
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    rb_cancel_cancel(cancel);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_snapshot_build(season.names, season.snaps, season.charts,
                                         season.clips, NULL, cancel, &error));
    ck_assert(rb_error_is_cancelled(error));
    random_season_clear(&season);
}
END_TEST

/* One snap's tags changed: the snapshot that follows equals one made from everything. */
START_TEST(test_snapshot__followed_equals_fresh)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(18));
    RandomSeason season = random_season_new(&random);
    g_autoptr(RbSnapshot) before = build(&season, false);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(before, &n);
    g_autofree RbDropback *kept = g_memdup2(rows, (gsize)n * sizeof *rows);
    g_autoptr(RbSnapshot) followed = rb_snapshot_ref(before);
    for (int edit = 0; edit < 40; edit++) {
        const RbSnapId id = rows[rb_random_int(&random, 0, n - 1)].snap;
        RbChart *chart = (RbChart *)random_season_chart(&season, id);
        if (chart == NULL) {
            continue;
        }
        chart->played.coverage.value = rb_random_int(&random, 0, 5);
        chart->looks[0] = (RbLook)rb_random_int(&random, 0, 2);
        chart->release_ms = rb_random_int(&random, 900, 3500);
        g_autoptr(GPtrArray) snaps = g_ptr_array_new();
        g_autoptr(GPtrArray) charts = g_ptr_array_new();
        g_ptr_array_add(snaps, (void *)rb_snapshot_find_snap(before, id));
        g_ptr_array_add(charts, chart);
        RbSnapshot *next = rb_snapshot_follow(followed, snaps, charts, season.clips);
        ck_assert_ptr_nonnull(next);
        rb_snapshot_unref(followed);
        followed = next;
    }
    g_autoptr(RbSnapshot) fresh = build(&season, false);
    int n_followed = 0;
    g_autofree RbDropback *after = rb_snapshot_dup_rows(followed, &n_followed);
    g_autofree RbDropback *all = rb_snapshot_dup_rows(fresh, &n);
    ck_assert_int_eq(n_followed, n);
    for (int i = 0; i < n; i++) {
        RbDropback packed;
        rb_packed_get_row(rb_snapshot_get_packed(followed), i, &packed);
        ck_assert_int_eq(after[i].snap.value, all[i].snap.value);
        ck_assert_int_eq(after[i].coverage.value, all[i].coverage.value);
        ck_assert_int_eq(after[i].verdict, all[i].verdict);
        ck_assert_int_eq(after[i].stage, all[i].stage);
        ck_assert_int_eq(after[i].stage_read, all[i].stage_read);
        ck_assert_int_eq(after[i].release_ms, all[i].release_ms);
        ck_assert_int_eq(packed.coverage.value, all[i].coverage.value);
        ck_assert_int_eq(packed.verdict, all[i].verdict);
        ck_assert_int_eq(packed.stage, all[i].stage);
        /* What was there before is as it was. */
        ck_assert_int_eq(rows[i].verdict, kept[i].verdict);
        ck_assert_int_eq(rows[i].coverage.value, kept[i].coverage.value);
    }
    /* A snap that it does not know cannot be followed. */
    g_autoptr(RbSnap) stranger = rb_snap_new((RbSnapId){ 987654321 }, random_games[0], 1);
    g_autoptr(GPtrArray) strangers = g_ptr_array_new();
    g_autoptr(GPtrArray) nothing = g_ptr_array_new();
    g_ptr_array_add(strangers, stranger);
    ck_assert_ptr_null(rb_snapshot_follow(before, strangers, nothing, nothing));
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_snapshot(void)
{
    TCase *tcase = rb_case_new("snapshot");
    tcase_add_test(tcase, test_snapshot__followed_equals_fresh);
    tcase_add_test(tcase, test_snapshot__holds_our_pass_plays_once_and_in_order);
    tcase_add_test(tcase, test_snapshot__rows_say_what_snap_and_chart_say);
    tcase_add_test(tcase, test_snapshot__marks_on_film_come_before_a_typed_release);
    tcase_add_test(tcase, test_snapshot__seven_on_seven_has_no_points_and_no_pressure);
    tcase_add_test(tcase, test_snapshot__ladders_are_partitions_of_their_pairings);
    tcase_add_test(tcase, test_snapshot__filters_pick_what_a_plain_loop_picks);
    tcase_add_test(tcase, test_snapshot__every_field_filters);
    tcase_add_test(tcase, test_snapshot__norm_is_the_rest_of_the_table);
    tcase_add_test(tcase, test_snapshot__costliest_is_the_worst_of_all_cells);
    tcase_add_test(tcase, test_snapshot__outlives_what_it_was_made_of);
    tcase_add_test(tcase, test_snapshot__stops_when_cancelled);
    return tcase;
}
