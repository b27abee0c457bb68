/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/successor.h"

#include "suite.h"

TCase *rb_case_successor(void);

#define US 7
#define THEM 8

/* One row of a table: a snap in short and what must follow. Columns that stay 0 mean nothing
 * special. */
typedef struct {
    const char *what;
    RbPhase phase;
    int down, distance, spot;
    RbResult result;
    int gain; /* NO_GAIN: not told */
    RbEnding ending;
    RbPenalty penalty; /* none when yards is 0 and ruling is accepted */
    RbNextKind kind;
    int next_down, next_distance, next_spot; /* 0: not told */
    int points;
} Row;

#define NO_GAIN (-999)

static RbSnap *make(const Row *row)
{
    RbSnap *snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 2 }, 3);
    snap->situation = (RbSituation){ .phase = row->phase,
                                     .quarter = 2,
                                     .clock_s = 300,
                                     .down = row->down,
                                     .distance = row->distance,
                                     .yards_to_goal = row->spot,
                                     .hash = RB_HASH_LEFT,
                                     .offense = { US },
                                     .score_offense = 10,
                                     .score_defense = 7 };
    snap->result = row->result;
    snap->ending = row->ending;
    if (row->gain != NO_GAIN) {
        snap->has_gain = RB_YES;
        snap->gain = row->gain;
    }
    if (row->penalty.yards > 0 || row->penalty.ruling != RB_RULING_ACCEPTED) {
        g_array_append_val(snap->penalties, row->penalty);
    }
    return snap;
}

static bool goes_over(RbNextKind kind)
{
    return kind == RB_NEXT_TURNOVER || kind == RB_NEXT_TRY_AGAINST ||
           kind == RB_NEXT_AFTER_KICK;
}

static void check_row(const Row *row, RbRules rules)
{
    g_autoptr(RbSnap) snap = make(row);
    const RbNext next = rb_next_situation(snap, (RbTeamId){ THEM }, rules);
    const RbSituation *s = &next.situation;
    ck_assert_msg(next.kind == row->kind, "%s: kind %d", row->what, next.kind);
    ck_assert_msg(next.spot_known == (row->next_spot != 0), "%s: known", row->what);
    ck_assert_msg(s->yards_to_goal == row->next_spot, "%s: spot %d", row->what,
                  s->yards_to_goal);
    ck_assert_msg(s->down == row->next_down, "%s: down %d", row->what, s->down);
    ck_assert_msg(s->distance == row->next_distance, "%s: distance %d", row->what,
                  s->distance);
    ck_assert_msg(rb_snap_points(snap) == row->points, "%s: points", row->what);
    const bool over = goes_over(next.kind);
    ck_assert_msg(s->offense.value == (over ? THEM : US), "%s: possession", row->what);
    const int us = 10 + MAX(0, row->points);
    const int them = 7 + MAX(0, -row->points);
    ck_assert_msg(s->score_offense == (over ? them : us), "%s: score", row->what);
    ck_assert_msg(s->score_defense == (over ? us : them), "%s: score", row->what);
    ck_assert_int_eq(s->hash, RB_HASH_UNKNOWN);
}

static void check_rows(const Row *rows, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        check_row(&rows[i], RB_RULES_COLLEGE);
    }
}

#define CHECK_ROWS(rows) check_rows((rows), G_N_ELEMENTS(rows))

/* clang-format off */
START_TEST(test_successor__yard_line_rule)
{
    /* NCAA Football Statisticians' Manual (2013, 2017), Basic Interpretation 2: a ball past a
     * stripe is on the next line ahead, and a first down not made leaves at least a yard. */
    static const Row rows[] = {
        { "1st & 10 stopped six inches short", 0, 1, 10, 75, RB_RESULT_RUN, 9,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 2, .next_distance = 1, .next_spot = 66 },
        { "3rd & goal from the 3 stopped an inch short", 0, 3, 3, 3, RB_RESULT_RUN, 2,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 4, .next_distance = 1, .next_spot = 1 },
        { "the next carry for the touchdown gains 1", 0, 4, 1, 1, RB_RESULT_RUN, 1,
          RB_ENDING_TOUCHDOWN, .kind = RB_NEXT_TRY, .next_spot = 3, .points = 6 },
        { "holding at the own 8, half the distance is 4", 0, 1, 10, 92, RB_RESULT_NO_PLAY,
          NO_GAIN, 0, { .side = RB_FOUL_OFFENSE, .yards = 4, .down_counts = RB_NO },
          RB_NEXT_SAME_SERIES, 1, 14, 96 },
    };
    CHECK_ROWS(rows);
}
END_TEST

START_TEST(test_successor__downs)
{
    static const Row rows[] = {
        { "gain short of the line", 0, 1, 10, 75, RB_RESULT_COMPLETE, 8,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 2, .next_distance = 2, .next_spot = 67 },
        { "exactly the distance", 0, 2, 7, 40, RB_RESULT_COMPLETE, 7,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 1, .next_distance = 10, .next_spot = 33 },
        { "first down inside the 10 is goal to go", 0, 2, 7, 12, RB_RESULT_RUN, 8,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 1, .next_distance = 4, .next_spot = 4 },
        { "sack", 0, 2, 10, 60, RB_RESULT_SACK, -7,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 3, .next_distance = 17, .next_spot = 67 },
        { "incomplete needs no gain", 0, 2, 10, 60, RB_RESULT_INCOMPLETE, NO_GAIN,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 3, .next_distance = 10, .next_spot = 60 },
        { "goal to go tagged as 10", 0, 1, 10, 8, RB_RESULT_RUN, 3,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 2, .next_distance = 5, .next_spot = 5 },
        { "fourth down fails", 0, 4, 3, 45, RB_RESULT_RUN, 2,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10, .next_spot = 57 },
        { "fourth down fails near the own goal", 0, 4, 3, 95, RB_RESULT_INCOMPLETE, 0,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 5, .next_spot = 5 },
        { "fourth down made", 0, 4, 3, 45, RB_RESULT_RUN, 3,
          .kind = RB_NEXT_SAME_SERIES, .next_down = 1, .next_distance = 10, .next_spot = 42 },
        { "gain not told", 0, 1, 10, 60, RB_RESULT_RUN, NO_GAIN, .kind = RB_NEXT_UNKNOWN },
        { "down not told", 0, 0, 10, 60, RB_RESULT_RUN, 4, .kind = RB_NEXT_UNKNOWN },
        { "distance not told", 0, 1, 0, 60, RB_RESULT_RUN, 4, .kind = RB_NEXT_UNKNOWN },
        { "spot not told", 0, 1, 10, 0, RB_RESULT_RUN, 4, .kind = RB_NEXT_UNKNOWN },
        { "result not told", 0, 1, 10, 60, RB_RESULT_UNKNOWN, 4, .kind = RB_NEXT_UNKNOWN },
        { "gain over the goal line without a score", 0, 1, 10, 20, RB_RESULT_RUN, 20,
          .kind = RB_NEXT_UNKNOWN },
    };
    CHECK_ROWS(rows);
}
END_TEST

START_TEST(test_successor__scores_and_kicks)
{
    static const Row rows[] = {
        { "touchdown pass", 0, 2, 4, 21, RB_RESULT_COMPLETE, 21, RB_ENDING_TOUCHDOWN,
          .kind = RB_NEXT_TRY, .next_spot = 3, .points = 6 },
        { "interception returned all the way", 0, 2, 4, 21, RB_RESULT_INTERCEPTED, -79,
          RB_ENDING_TOUCHDOWN_AGAINST, .kind = RB_NEXT_TRY_AGAINST, .next_spot = 3, .points = -6 },
        { "safety", 0, 2, 12, 98, RB_RESULT_SACK, -2, RB_ENDING_SAFETY,
          .kind = RB_NEXT_SAFETY_KICK, .next_spot = 80, .points = -2 },
        { "field goal", 0, 4, 6, 18, RB_RESULT_KICK_GOOD, NO_GAIN,
          .kind = RB_NEXT_KICKOFF, .next_spot = 65, .points = 3 },
        { "field goal missed from outside", 0, 4, 6, 30, RB_RESULT_KICK_MISSED, NO_GAIN,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10, .next_spot = 70 },
        { "field goal missed from inside the 20", 0, 4, 6, 12, RB_RESULT_KICK_MISSED, NO_GAIN,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10, .next_spot = 80 },
        { "field goal blocked, dead 9 yards back", 0, 4, 6, 30, RB_RESULT_KICK_MISSED, -9,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10, .next_spot = 61 },
        { "punt", 0, 4, 6, 70, RB_RESULT_KICKED, 41, .kind = RB_NEXT_AFTER_KICK },
        { "kick try", RB_PHASE_TRY, 0, 0, 3, RB_RESULT_KICK_GOOD, NO_GAIN,
          .kind = RB_NEXT_KICKOFF, .next_spot = 65, .points = 1 },
        { "kick try missed", RB_PHASE_TRY, 0, 0, 3, RB_RESULT_KICK_MISSED, NO_GAIN,
          .kind = RB_NEXT_KICKOFF, .next_spot = 65 },
        { "two-point try", RB_PHASE_TRY, 0, 0, 3, RB_RESULT_COMPLETE, 3, RB_ENDING_TOUCHDOWN,
          .kind = RB_NEXT_KICKOFF, .next_spot = 65, .points = 2 },
        { "try returned", RB_PHASE_TRY, 0, 0, 3, RB_RESULT_INTERCEPTED, NO_GAIN,
          RB_ENDING_TOUCHDOWN_AGAINST, .kind = RB_NEXT_KICKOFF, .next_spot = 65, .points = -2 },
        { "try wiped out, 5 yards on the offense", RB_PHASE_TRY, 0, 0, 3, RB_RESULT_NO_PLAY,
          NO_GAIN, 0, { .side = RB_FOUL_OFFENSE, .yards = 5 }, RB_NEXT_TRY, 0, 0, 8 },
        { "kickoff", RB_PHASE_FREE_KICK, 0, 0, 65, RB_RESULT_KICKED, NO_GAIN,
          .kind = RB_NEXT_AFTER_KICK },
        { "kickoff returned all the way", RB_PHASE_FREE_KICK, 0, 0, 65, RB_RESULT_KICKED,
          NO_GAIN, RB_ENDING_TOUCHDOWN_AGAINST, .kind = RB_NEXT_TRY_AGAINST, .next_spot = 3,
          .points = -6 },
        { "kickoff offside, kicked again", RB_PHASE_FREE_KICK, 0, 0, 65, RB_RESULT_NO_PLAY,
          NO_GAIN, 0, { .side = RB_FOUL_OFFENSE, .yards = 5 }, RB_NEXT_KICKOFF, 0, 0, 70 },
    };
    CHECK_ROWS(rows);
}
END_TEST

START_TEST(test_successor__lost_balls)
{
    static const Row rows[] = {
        { "interception, dead 12 yards downfield", 0, 2, 8, 60, RB_RESULT_INTERCEPTED, 12,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10, .next_spot = 52 },
        { "interception returned behind the spot", 0, 2, 8, 60, RB_RESULT_INTERCEPTED, -35,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 5, .next_spot = 5 },
        { "interception in the end zone is a touchback", 0, 2, 8, 20, RB_RESULT_INTERCEPTED, 25,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10, .next_spot = 80 },
        { "interception, spot not told", 0, 2, 8, 60, RB_RESULT_INTERCEPTED, NO_GAIN,
          .kind = RB_NEXT_TURNOVER },
        { "fumble lost after a catch", 0, 1, 10, 60, RB_RESULT_COMPLETE, 14,
          RB_ENDING_FUMBLE_LOST, .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10,
          .next_spot = 54 },
        { "sack and fumble lost", 0, 1, 10, 60, RB_RESULT_SACK, -8, RB_ENDING_FUMBLE_LOST,
          .kind = RB_NEXT_TURNOVER, .next_down = 1, .next_distance = 10, .next_spot = 32 },
    };
    CHECK_ROWS(rows);
}
END_TEST

START_TEST(test_successor__penalties)
{
    /* The codes' enforcement rules, from memory. */
    static const Row rows[] = {
        { "false start", 0, 2, 6, 44, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_OFFENSE, .yards = 5 }, RB_NEXT_SAME_SERIES, 2, 11, 49 },
        { "holding replays the down", 0, 1, 10, 60, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_OFFENSE, .yards = 10, .down_counts = RB_NO },
          RB_NEXT_SAME_SERIES, 1, 20, 70 },
        { "holding on a play that kept its result", 0, 1, 10, 60, RB_RESULT_COMPLETE, 14, 0,
          { .side = RB_FOUL_OFFENSE, .yards = 10, .down_counts = RB_NO },
          RB_NEXT_SAME_SERIES, 1, 20, 70 },
        { "an interception wiped out by offside", 0, 2, 8, 60, RB_RESULT_INTERCEPTED, 12, 0,
          { .side = RB_FOUL_DEFENSE, .yards = 5, .down_counts = RB_NO },
          RB_NEXT_SAME_SERIES, 2, 3, 55 },
        { "a touchdown wiped out by holding", 0, 2, 8, 60, RB_RESULT_COMPLETE, 60,
          RB_ENDING_TOUCHDOWN, { .side = RB_FOUL_OFFENSE, .yards = 10, .down_counts = RB_NO },
          RB_NEXT_SAME_SERIES, 2, 18, 70 },
        { "offside short of the line", 0, 2, 8, 60, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_DEFENSE, .yards = 5 }, RB_NEXT_SAME_SERIES, 2, 3, 55 },
        { "offside reaches the line", 0, 3, 5, 60, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_DEFENSE, .yards = 5 }, RB_NEXT_SAME_SERIES, 1, 10, 55 },
        { "offside on fourth down reaches the line", 0, 4, 5, 60, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_DEFENSE, .yards = 5 }, RB_NEXT_SAME_SERIES, 1, 10, 55 },
        { "automatic first down short of the line", 0, 3, 20, 60, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_DEFENSE, .yards = 10, .first_down = RB_YES },
          RB_NEXT_SAME_SERIES, 1, 10, 50 },
        { "automatic first down, goal to go", 0, 3, 6, 6, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_DEFENSE, .yards = 3, .first_down = RB_YES },
          RB_NEXT_SAME_SERIES, 1, 3, 3 },
        { "interference at the spot of the foul", 0, 2, 10, 60, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .side = RB_FOUL_DEFENSE, .enforced = RB_ENFORCED_SPOT_OF_FOUL, .yards = 15,
            .spot = 60, .first_down = RB_YES }, RB_NEXT_SAME_SERIES, 1, 10, 45 },
        { "roughing added to the gain", 0, 2, 10, 60, RB_RESULT_COMPLETE, 4, 0,
          { .side = RB_FOUL_DEFENSE, .enforced = RB_ENFORCED_DEAD_BALL, .yards = 15,
            .first_down = RB_YES }, RB_NEXT_SAME_SERIES, 1, 10, 41 },
        { "dead-ball foul after a first down", 0, 2, 10, 60, RB_RESULT_COMPLETE, 12, 0,
          { .side = RB_FOUL_OFFENSE, .enforced = RB_ENFORCED_DEAD_BALL, .yards = 15 },
          RB_NEXT_SAME_SERIES, 1, 10, 63 },
        { "dead-ball foul short of the line", 0, 2, 10, 60, RB_RESULT_COMPLETE, 4, 0,
          { .side = RB_FOUL_OFFENSE, .enforced = RB_ENFORCED_DEAD_BALL, .yards = 15 },
          RB_NEXT_SAME_SERIES, 3, 21, 71 },
        { "defense's dead-ball foul after a fourth down that failed", 0, 4, 10, 60,
          RB_RESULT_INCOMPLETE, 0, 0,
          { .side = RB_FOUL_DEFENSE, .enforced = RB_ENFORCED_DEAD_BALL, .yards = 15 },
          RB_NEXT_TURNOVER, 1, 10, 55 },
        { "grounding: loss of down at the spot", 0, 2, 10, 60, RB_RESULT_THROWN_AWAY, 0, 0,
          { .side = RB_FOUL_OFFENSE, .enforced = RB_ENFORCED_SPOT_OF_FOUL, .spot = 69,
            .yards = 1, .down_counts = RB_YES }, RB_NEXT_SAME_SERIES, 3, 20, 70 },
        { "declined changes nothing", 0, 2, 10, 60, RB_RESULT_COMPLETE, 4, 0,
          { .side = RB_FOUL_DEFENSE, .ruling = RB_RULING_DECLINED, .yards = 15,
            .first_down = RB_YES, .down_counts = RB_NO }, RB_NEXT_SAME_SERIES, 3, 6, 56 },
        { "offsetting fouls replay the down", 0, 2, 10, 60, RB_RESULT_NO_PLAY, NO_GAIN, 0,
          { .ruling = RB_RULING_OFFSET, .yards = 10 }, RB_NEXT_SAME_SERIES, 2, 10, 60 },
    };
    CHECK_ROWS(rows);
}
END_TEST

START_TEST(test_successor__rule_codes)
{
    /* Spots of tries and kicks by code, from memory. */
    const Row touchdown = { "touchdown", 0, 1, 10, 30, RB_RESULT_RUN, 30, RB_ENDING_TOUCHDOWN,
        .kind = RB_NEXT_TRY, .next_spot = 3, .points = 6 };
    const Row pro_touchdown = { "touchdown", 0, 1, 10, 30, RB_RESULT_RUN, 30,
        RB_ENDING_TOUCHDOWN, .kind = RB_NEXT_TRY, .points = 6 };
    const Row school_kick = { "field goal", 0, 4, 6, 18, RB_RESULT_KICK_GOOD, NO_GAIN,
        .kind = RB_NEXT_KICKOFF, .next_spot = 60, .points = 3 };
    const Row pro_miss = { "missed", 0, 4, 6, 30, RB_RESULT_KICK_MISSED, NO_GAIN,
        .kind = RB_NEXT_TURNOVER };
    check_row(&touchdown, RB_RULES_HIGH_SCHOOL);
    check_row(&pro_touchdown, RB_RULES_PRO);
    check_row(&school_kick, RB_RULES_HIGH_SCHOOL);
    check_row(&pro_miss, RB_RULES_PRO);
}
END_TEST
/* clang-format on */

START_TEST(test_successor__overtime_series_start_anew)
{
    const Row row = { "field goal", 0, 4, 6, 18, RB_RESULT_KICK_GOOD, NO_GAIN };
    g_autoptr(RbSnap) snap = make(&row);
    snap->situation.quarter = 5;
    const RbTeamId them = { THEM };
    ck_assert_int_eq(rb_next_situation(snap, them, RB_RULES_COLLEGE).kind,
                     RB_NEXT_UNKNOWN);
    ck_assert_int_eq(rb_next_situation(snap, them, RB_RULES_PRO).kind, RB_NEXT_KICKOFF);
    snap->result = RB_RESULT_INCOMPLETE;
    const RbNext lost = rb_next_situation(snap, them, RB_RULES_COLLEGE);
    ck_assert_int_eq(lost.kind, RB_NEXT_TURNOVER);
    ck_assert(!lost.spot_known);
}
END_TEST

START_TEST(test_successor__end_spot)
{
    const Row run = { "run", 0, 1, 10, 60, RB_RESULT_RUN, 7 };
    const Row untold = { "run", 0, 1, 10, 60, RB_RESULT_RUN, NO_GAIN };
    const Row safety = { "safety", 0, 1, 10, 97, RB_RESULT_SACK, -4 };
    g_autoptr(RbSnap) a = make(&run);
    g_autoptr(RbSnap) b = make(&untold);
    g_autoptr(RbSnap) c = make(&safety);
    int spot = -5;
    ck_assert(!rb_snap_end_spot(b, &spot));
    ck_assert_int_eq(spot, -5);
    ck_assert(rb_snap_end_spot(a, &spot));
    ck_assert_int_eq(spot, 53);
    ck_assert(rb_snap_end_spot(c, &spot));
    ck_assert_int_eq(spot, 101);
    const RbPenalty fouls[] = {
        { .side = RB_FOUL_OFFENSE, .yards = 10, .down_counts = RB_NO },
        { .side = RB_FOUL_OFFENSE, .enforced = RB_ENFORCED_DEAD_BALL, .yards = 15 },
    };
    g_array_append_vals(a->penalties, fouls, G_N_ELEMENTS(fouls));
    ck_assert(rb_snap_end_spot(a, &spot));
    ck_assert_int_eq(spot, 85); /* 60 + 10 + 15: the second is added to the first */
}
END_TEST

START_TEST(test_successor__unknown_scores_stay_unknown)
{
    const Row row = { "touchdown", 0, 1, 10, 30, RB_RESULT_RUN, 30, RB_ENDING_TOUCHDOWN };
    g_autoptr(RbSnap) snap = make(&row);
    snap->situation.score_offense = -1;
    const RbNext next = rb_next_situation(snap, (RbTeamId){ 0 }, RB_RULES_COLLEGE);
    ck_assert_int_eq(next.situation.score_offense, -1);
    ck_assert_int_eq(next.situation.score_defense, 7);
}
END_TEST

TCase *rb_case_successor(void)
{
    TCase *tcase = rb_case_new("successor");
    tcase_add_test(tcase, test_successor__yard_line_rule);
    tcase_add_test(tcase, test_successor__downs);
    tcase_add_test(tcase, test_successor__scores_and_kicks);
    tcase_add_test(tcase, test_successor__lost_balls);
    tcase_add_test(tcase, test_successor__penalties);
    tcase_add_test(tcase, test_successor__rule_codes);
    tcase_add_test(tcase, test_successor__overtime_series_start_anew);
    tcase_add_test(tcase, test_successor__end_spot);
    tcase_add_test(tcase, test_successor__unknown_scores_stay_unknown);
    return tcase;
}
