/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/random.h"
#include "rb/stats/points.h"

#include "suite.h"

TCase *rb_case_points(void);

static RbSnap *make_snap(int down, int distance, int yards_to_goal, RbResult result,
                         int gain, RbEnding ending)
{
    RbSnap *snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    snap->situation.phase = RB_PHASE_SCRIMMAGE;
    snap->situation.quarter = 1;
    snap->situation.down = down;
    snap->situation.distance = distance;
    snap->situation.yards_to_goal = yards_to_goal;
    snap->result = result;
    snap->ending = ending;
    snap->has_gain = RB_YES;
    snap->gain = gain;
    return snap;
}

static double value(int down, int distance, int yards_to_goal)
{
    return rb_points_value(rb_points_model_default(), down, distance, yards_to_goal,
                           NULL);
}

static double added(const RbSnap *snap)
{
    double points = 99.0;
    ck_assert(
        rb_points_added(rb_points_model_default(), snap, RB_RULES_COLLEGE, &points));
    return points;
}

/* What follows each play is worked by hand; values of situations are the model's own. */
START_TEST(test_points__value_after_minus_before)
{
    static const struct {
        int down, distance, spot;
        RbResult result;
        int gain;
        RbEnding ending;
        int sign; /* 0: a score, worth `points`; 1: we keep the ball; -1: they have it */
        double points;
        int next_down, next_distance, next_spot;
    } rows[] = {
        { 1, 10, 75, RB_RESULT_COMPLETE, 8, 0, 1, 0, 2, 2, 67 },
        { 2, 8, 60, RB_RESULT_INCOMPLETE, 0, 0, 1, 0, 3, 8, 60 },
        { 3, 4, 30, RB_RESULT_COMPLETE, 5, 0, 1, 0, 1, 10, 25 },
        { 2, 6, 14, RB_RESULT_SCRAMBLE, 9, 0, 1, 0, 1, 5, 5 },
        { 2, 6, 50, RB_RESULT_SACK, -7, 0, 1, 0, 3, 13, 57 },
        { 3, 4, 12, RB_RESULT_COMPLETE, 12, RB_ENDING_TOUCHDOWN, 0, 7, 0, 0, 0 },
        { 2, 10, 60, RB_RESULT_INTERCEPTED, -40, RB_ENDING_TOUCHDOWN_AGAINST, 0, -7, 0, 0,
          0 },
        { 3, 9, 96, RB_RESULT_SACK, -4, RB_ENDING_SAFETY, 0, -2, 0, 0, 0 },
        { 4, 6, 18, RB_RESULT_KICK_GOOD, 0, 0, 0, 3, 0, 0, 0 },
        { 3, 10, 40, RB_RESULT_INTERCEPTED, 20, 0, -1, 0, 1, 10, 80 },
        { 1, 10, 45, RB_RESULT_COMPLETE, 6, RB_ENDING_FUMBLE_LOST, -1, 0, 1, 10, 61 },
        { 4, 2, 35, RB_RESULT_INCOMPLETE, 0, 0, -1, 0, 1, 10, 65 },
        { 4, 2, 5, RB_RESULT_COMPLETE, 1, 0, -1, 0, 1, 10, 96 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        g_autoptr(RbSnap) snap = make_snap(rows[i].down, rows[i].distance, rows[i].spot,
                                           rows[i].result, rows[i].gain, rows[i].ending);
        const double before = value(rows[i].down, rows[i].distance, rows[i].spot);
        const double after =
            rows[i].sign == 0
                ? rows[i].points
                : rows[i].sign *
                      value(rows[i].next_down, rows[i].next_distance, rows[i].next_spot);
        ck_assert_msg(ABS(added(snap) - (after - before)) < 1e-12, "row %zu: %g, not %g",
                      i, added(snap), after - before);
    }
}
END_TEST

/* The same play by either team's book: what we lose by a turnover, they win. From their view
 * it is worth their value after, plus our value before. */
START_TEST(test_points__sign_flips_on_turnover)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(12));
    for (int i = 0; i < 1000; i++) {
        const int spot = rb_random_int(&random, 1, 99);
        const int caught = rb_random_int(&random, 1, 99);
        const int down = rb_random_int(&random, 1, 4);
        const int distance = rb_random_int(&random, 1, MIN(spot, 20));
        g_autoptr(RbSnap) snap = make_snap(down, distance, spot, RB_RESULT_INTERCEPTED,
                                           spot - caught, RB_ENDING_NONE);
        const int theirs = 100 - caught;
        const double their_gain =
            value(1, MIN(10, theirs), theirs) + value(down, distance, spot);
        ck_assert_double_eq_tol(added(snap), -their_gain, 1e-12);
        /* A lost ball is always worse than the same yards with the ball kept. */
        if (caught <= spot - distance && caught < spot) {
            snap->result = RB_RESULT_COMPLETE;
            ck_assert_double_gt(added(snap), -their_gain);
        }
    }
}
END_TEST

/* A drive's points add up to its end minus its beginning: every value between cancels. */
START_TEST(test_points__of_a_drive_telescope)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(13));
    for (int drive = 0; drive < 300; drive++) {
        RbSituation at = { .phase = RB_PHASE_SCRIMMAGE,
                           .quarter = 1,
                           .down = 1,
                           .distance = 10,
                           .yards_to_goal = rb_random_int(&random, 30, 90) };
        const double start = value(1, 10, at.yards_to_goal);
        double sum = 0.0;
        double end = 0.0;
        for (int play = 0; play < 60; play++) {
            const int gain = MAX(rb_random_int(&random, -5, 15), at.yards_to_goal - 99);
            const bool scores = gain >= at.yards_to_goal;
            g_autoptr(RbSnap) snap =
                make_snap(at.down, at.distance, at.yards_to_goal, RB_RESULT_COMPLETE,
                          scores ? at.yards_to_goal : gain,
                          scores ? RB_ENDING_TOUCHDOWN : RB_ENDING_NONE);
            sum += added(snap);
            const RbNext next =
                rb_next_situation(snap, (RbTeamId){ 0 }, RB_RULES_COLLEGE);
            at = next.situation;
            if (scores) {
                end = 7.0;
                break;
            }
            end = value(at.down, at.distance, at.yards_to_goal);
            if (next.kind == RB_NEXT_TURNOVER) {
                end = -end;
                break;
            }
        }
        ck_assert_double_eq_tol(sum, end - start, 1e-9);
    }
}
END_TEST

START_TEST(test_points__penalty_counts_from_the_enforced_spot)
{
    g_autoptr(RbSnap) snap = make_snap(2, 8, 60, RB_RESULT_NO_PLAY, 0, RB_ENDING_NONE);
    const RbPenalty offside = { .side = RB_FOUL_DEFENSE,
                                .ruling = RB_RULING_ACCEPTED,
                                .enforced = RB_ENFORCED_PREVIOUS_SPOT,
                                .yards = 5,
                                .down_counts = RB_NO };
    g_array_append_val(snap->penalties, offside);
    ck_assert_double_eq_tol(added(snap), value(2, 3, 55) - value(2, 8, 60), 1e-12);
    ck_assert_double_gt(added(snap), 0.0);
    /* A touchdown called back is no touchdown. */
    g_array_index(snap->penalties, RbPenalty, 0).side = RB_FOUL_OFFENSE;
    snap->ending = RB_ENDING_TOUCHDOWN;
    ck_assert_double_eq_tol(added(snap), value(2, 13, 65) - value(2, 8, 60), 1e-12);
}
END_TEST

static void check_unknown(RbSnap *taken)
{
    g_autoptr(RbSnap) snap = taken;
    double points = 42.0;
    ck_assert(
        !rb_points_added(rb_points_model_default(), snap, RB_RULES_COLLEGE, &points));
    ck_assert_double_eq(points, 42.0);
}

START_TEST(test_points__not_told_is_not_guessed)
{
    check_unknown(make_snap(0, 10, 60, RB_RESULT_COMPLETE, 5, RB_ENDING_NONE));
    check_unknown(make_snap(1, 0, 60, RB_RESULT_COMPLETE, 5, RB_ENDING_NONE));
    check_unknown(make_snap(1, 10, 0, RB_RESULT_COMPLETE, 5, RB_ENDING_NONE));
    check_unknown(make_snap(1, 10, 60, RB_RESULT_UNKNOWN, 5, RB_ENDING_NONE));
    check_unknown(make_snap(4, 10, 60, RB_RESULT_KICKED, 40, RB_ENDING_NONE));
    RbSnap *snap = make_snap(1, 10, 60, RB_RESULT_COMPLETE, 5, RB_ENDING_NONE);
    snap->has_gain = RB_YES_NO_UNKNOWN;
    check_unknown(snap);
    snap = make_snap(0, 0, 3, RB_RESULT_COMPLETE, 3, RB_ENDING_TOUCHDOWN);
    snap->situation.phase = RB_PHASE_TRY;
    check_unknown(snap);
}
END_TEST

TCase *rb_case_points(void)
{
    TCase *tcase = rb_case_new("points");
    tcase_add_test(tcase, test_points__value_after_minus_before);
    tcase_add_test(tcase, test_points__sign_flips_on_turnover);
    tcase_add_test(tcase, test_points__of_a_drive_telescope);
    tcase_add_test(tcase, test_points__penalty_counts_from_the_enforced_spot);
    tcase_add_test(tcase, test_points__not_told_is_not_guessed);
    return tcase;
}
