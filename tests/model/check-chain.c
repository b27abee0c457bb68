/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/model/chain.h"
#include "rb/model/successor.h"

#include "game-log.h"
#include "suite.h"

TCase *rb_case_chain(void);

#define WHOLE_GAME "chain/whole-game.tsv"

static const RbTeamId teams[2] = { { 1 }, { 2 } };

static GPtrArray *check(const GPtrArray *log, bool ours_only)
{
    return rb_chain_check(log, teams, ours_only, RB_RULES_COLLEGE);
}

static char *all_sentences(const GPtrArray *findings)
{
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < findings->len; i++) {
        const RbFinding *finding = g_ptr_array_index(findings, i);
        g_string_append_printf(text, "%s\n", finding->sentence);
    }
    return g_string_free(text, FALSE);
}

static void check_clean(const GPtrArray *log, bool ours_only)
{
    g_autoptr(GPtrArray) findings = check(log, ours_only);
    g_autofree char *text = all_sentences(findings);
    ck_assert_msg(findings->len == 0, "%s", text);
}

START_TEST(test_chain__a_whole_game_has_no_findings)
{
    g_autoptr(GPtrArray) log = log_read(WHOLE_GAME);
    ck_assert_uint_gt(log->len, 160);
    check_clean(log, false);
    for (int64_t team = 1; team <= 2; team++) {
        g_autoptr(GPtrArray) one = log_of_team(log, team);
        const RbTeamId own_first[2] = { { team }, { 3 - team } };
        g_autoptr(GPtrArray) findings =
            rb_chain_check(one, own_first, true, RB_RULES_COLLEGE);
        g_autofree char *text = all_sentences(findings);
        ck_assert_msg(findings->len == 0, "%s", text);
    }
}
END_TEST

/* One fault in the whole game, and what must be said about it. */
typedef struct {
    int snap; /* where it is planted */
    void (*plant)(RbSnap *snap);
    int number; /* of the finding */
    RbChainField field;
    int64_t expected;
    int64_t found;
    const char *sentence;
} Planted;

static void plant_spot(RbSnap *snap)
{
    snap->situation.yards_to_goal = 72;
}

static void plant_gain(RbSnap *snap)
{
    snap->gain = 5;
}

static void plant_down(RbSnap *snap)
{
    snap->situation.down = 3;
}

static void plant_distance(RbSnap *snap)
{
    snap->situation.distance = 7;
}

static void plant_team(RbSnap *snap)
{
    snap->situation.offense = teams[1];
}

static void plant_score(RbSnap *snap)
{
    snap->situation.score_offense = 6;
}

static void plant_quarter(RbSnap *snap)
{
    snap->situation.quarter = 1;
}

static void plant_clock(RbSnap *snap)
{
    snap->situation.clock_s = 693;
}

static void plant_number(RbSnap *snap)
{
    snap->number--;
}

static void plant_value(RbSnap *snap)
{
    snap->situation.down = 7;
}

static void plant_ending(RbSnap *snap)
{
    snap->ending = RB_ENDING_NONE;
}

static const Planted planted[] = {
    { 33, plant_spot, 33, RB_CHAIN_SPOT, 62, 72,
      "Snap 33: the spot should be own 38 after no gain, but is own 28." },
    { 62, plant_gain, 63, RB_CHAIN_SPOT, 63, 66,
      "Snap 63: the spot should be own 37 after a gain of 5, but is own 34." },
    { 93, plant_down, 93, RB_CHAIN_DOWN, 2, 3,
      "Snap 93: it should be 2nd & 10 after an incomplete pass, but is 3rd & 10." },
    { 103, plant_distance, 103, RB_CHAIN_DISTANCE, 10, 7,
      "Snap 103: the distance should be 10 after an incomplete pass, but is 7." },
    { 67, plant_team, 67, RB_CHAIN_POSSESSION, 1, 2,
      "Snap 67: the other team should have the ball after a gain of 5; correct the team, "
      "or the snap before." },
    { 141, plant_score, 141, RB_CHAIN_SCORE, 7, 6,
      "Snap 141: a score of 6 should be 7 after an incomplete pass." },
    { 47, plant_quarter, 47, RB_CHAIN_QUARTER, 2, 1,
      "Snap 47: the quarter should be 2 like the snaps around it, but is 1." },
    { 12, plant_clock, 12, RB_CHAIN_CLOCK, 633, 693,
      "Snap 12: the clock should show at most 10:33, as on snap 11, but shows 11:33." },
    { 131, plant_number, 130, RB_CHAIN_NUMBER, 131, 130,
      "Snap 130: two snaps have this number; this one should be 131." },
    { 133, plant_value, 133, RB_CHAIN_VALUE, 4, 7,
      "Snap 133: the down cannot be 7; the nearest it can be is 4." },
    { 162, plant_ending, 162, RB_CHAIN_VALUE, RB_ENDING_TOUCHDOWN, RB_ENDING_NONE,
      "Snap 162: the ending should be \"Touchdown\" after a gain to the goal line, but is "
      "\"Dead ball\"." },
};

static void check_said_once(const GPtrArray *findings, const Planted *row)
{
    int said = 0;
    for (guint i = 0; i < findings->len; i++) {
        const RbFinding *finding = g_ptr_array_index(findings, i);
        if (finding->number == row->number && finding->field == row->field) {
            said++;
            ck_assert_str_eq(finding->sentence, row->sentence);
            ck_assert_int_eq(finding->expected, row->expected);
            ck_assert_int_eq(finding->found, row->found);
        }
    }
    ck_assert_msg(said == 1, "said %d times: %s", said, row->sentence);
}

START_TEST(test_chain__each_planted_fault_alone)
{
    g_autoptr(GPtrArray) clean = log_read(WHOLE_GAME);
    for (size_t i = 0; i < G_N_ELEMENTS(planted); i++) {
        g_autoptr(GPtrArray) log = log_copy(clean);
        planted[i].plant(log_snap(log, planted[i].snap));
        g_autoptr(GPtrArray) findings = check(log, false);
        g_autofree char *text = all_sentences(findings);
        check_said_once(findings, &planted[i]);
        ck_assert_msg(findings->len == 1, "%s", text);
    }
}
END_TEST

static GPtrArray *plant_all(const GPtrArray *clean)
{
    GPtrArray *log = log_copy(clean);
    for (size_t i = 0; i < G_N_ELEMENTS(planted); i++) {
        planted[i].plant(log_snap(log, planted[i].snap));
    }
    return log;
}

START_TEST(test_chain__all_planted_faults_together)
{
    g_autoptr(GPtrArray) clean = log_read(WHOLE_GAME);
    g_autoptr(GPtrArray) log = plant_all(clean);
    g_autoptr(GPtrArray) findings = check(log, false);
    g_autofree char *text = all_sentences(findings);
    for (size_t i = 0; i < G_N_ELEMENTS(planted); i++) {
        check_said_once(findings, &planted[i]);
    }
    ck_assert_msg(findings->len == G_N_ELEMENTS(planted), "%s", text);
}
END_TEST

START_TEST(test_chain__all_planted_faults_in_a_log_of_one_team)
{
    g_autoptr(GPtrArray) clean = log_read(WHOLE_GAME);
    g_autoptr(GPtrArray) whole = plant_all(clean);
    /* The snap given to the other team stays in the log, as a slip of the finger would. */
    log_snap(whole, 67)->situation.offense = teams[0];
    g_autoptr(GPtrArray) log = log_of_team(whole, 1);
    log_snap(log, 67)->situation.offense = teams[1];
    g_autoptr(GPtrArray) findings = check(log, true);
    g_autofree char *text = all_sentences(findings);
    for (size_t i = 0; i < G_N_ELEMENTS(planted); i++) {
        Planted row = planted[i];
        if (row.plant == plant_team) {
            row.sentence = "Snap 67: the other team has the ball, but the log holds our "
                           "snaps only.";
        }
        check_said_once(findings, &row);
    }
    ck_assert_msg(findings->len == G_N_ELEMENTS(planted), "%s", text);
}
END_TEST

START_TEST(test_chain__order_of_the_list_does_not_matter)
{
    g_autoptr(GPtrArray) log = log_read(WHOLE_GAME);
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(11));
    for (int i = (int)log->len - 1; i > 0; i--) {
        const int j = rb_random_int(&random, 0, i);
        void *keep = log->pdata[i];
        log->pdata[i] = log->pdata[j];
        log->pdata[j] = keep;
    }
    check_clean(log, false);
}
END_TEST

START_TEST(test_chain__blanks_are_bridged)
{
    g_autoptr(GPtrArray) log = log_read(WHOLE_GAME);
    for (guint i = 0; i < log->len; i++) {
        RbSnap *snap = g_ptr_array_index(log, i);
        if (i % 3 == 1) {
            snap->situation.quarter = 0;
            snap->situation.clock_s = -1;
            snap->situation.score_defense = -1;
        }
    }
    check_clean(log, false);
    /* Down, distance and spot of one snap are not told; the snap after it still follows. */
    RbSituation *blank = &log_snap(log, 64)->situation;
    blank->down = 0;
    blank->distance = 0;
    blank->yards_to_goal = 0;
    check_clean(log, false);
    log_snap(log, 65)->situation.yards_to_goal = 50;
    g_autoptr(GPtrArray) findings = check(log, false);
    ck_assert_uint_eq(findings->len, 1);
    const RbFinding *finding = g_ptr_array_index(findings, 0);
    ck_assert_int_eq(finding->number, 65);
    ck_assert_int_eq(finding->field, RB_CHAIN_SPOT);
    ck_assert_int_eq(finding->expected, 58);
}
END_TEST

START_TEST(test_chain__nothing_tagged_is_not_a_fault)
{
    g_autoptr(GPtrArray) log = log_new();
    check_clean(log, true);
    for (int i = 1; i <= 30; i++) {
        g_ptr_array_add(log, rb_snap_new((RbSnapId){ i }, (RbGameId){ 5 }, i));
    }
    check_clean(log, true);
    check_clean(log, false);
}
END_TEST

START_TEST(test_chain__a_number_typed_far_away)
{
    g_autoptr(GPtrArray) log = log_read(WHOLE_GAME);
    log_snap(log, 104)->number = 62;
    g_autoptr(GPtrArray) findings = check(log, false);
    g_autofree char *text = all_sentences(findings);
    ck_assert_str_eq(text, "Snap 62: two snaps have this number; this one should be "
                           "104.\n");
}
END_TEST

START_TEST(test_chain__kicks_and_tries_may_be_left_out)
{
    g_autoptr(GPtrArray) log = log_read(WHOLE_GAME);
    for (guint i = log->len; i-- > 0;) {
        const RbSnap *snap = g_ptr_array_index(log, i);
        if (snap->situation.phase != RB_PHASE_SCRIMMAGE) {
            g_ptr_array_remove_index(log, i);
        }
    }
    check_clean(log, false);
    g_autoptr(GPtrArray) one = log_of_team(log, 1);
    check_clean(one, true);
}
END_TEST

START_TEST(test_chain__quarters_without_clocks)
{
    g_autoptr(GPtrArray) log = log_read(WHOLE_GAME);
    for (guint i = 0; i < log->len; i++) {
        RbSnap *snap = g_ptr_array_index(log, i);
        snap->situation.clock_s = -1;
    }
    check_clean(log, false);
    log_snap(log, 60)->situation.quarter = 3;
    g_autoptr(GPtrArray) findings = check(log, false);
    g_autofree char *text = all_sentences(findings);
    ck_assert_str_eq(text,
                     "Snap 60: the quarter should be 2 like the snaps around it, but "
                     "is 3.\n");
}
END_TEST

START_TEST(test_chain__values_that_cannot_be)
{
    typedef struct {
        const char *sentence; /* after "Snap 33: " */
        RbSituation s;
        RbPlay play;
        RbResult result;
        int gain; /* 0: not told */
        RbEnding ending;
    } Row;
    const RbSituation ok = { .down = 1, .distance = 10, .yards_to_goal = 40 };
    /* clang-format off */
    const Row rows[] = {
        { "the quarter cannot be 40; the nearest it can be is 14", { .quarter = 40 } },
        { "the clock in seconds cannot be 901; the nearest it can be is 900",
          { .clock_s = 901 } },
        { "the distance cannot be 120; the nearest it can be is 99",
          { .down = 1, .distance = 120 } },
        { "the spot in yards to goal cannot be 100; the nearest it can be is 99",
          { .yards_to_goal = 100 } },
        { "the down of a try or free kick cannot be 2; the nearest it can be is 0",
          { .phase = RB_PHASE_TRY, .down = 2 } },
        { "the offense's score cannot be -6; the nearest it can be is 0",
          { .score_offense = -6 } },
        { "a play of kind \"Run\" cannot have the result \"Complete\"; correct one of them",
          ok, RB_PLAY_RUN, RB_RESULT_COMPLETE },
        { "the gain should be 0 on a pass that was not caught, but is 6",
          ok, RB_PLAY_DROPBACK, RB_RESULT_INCOMPLETE, 6 },
        { "the gain should be 0 or less on a sack, but is 6",
          ok, RB_PLAY_DROPBACK, RB_RESULT_SACK, 6 },
        { "the gain should be 40 to the goal line, but is 44",
          ok, RB_PLAY_RUN, RB_RESULT_RUN, 44, RB_ENDING_TOUCHDOWN },
        { "the gain should be 40 to the goal line, but is 31",
          ok, RB_PLAY_RUN, RB_RESULT_RUN, 31, RB_ENDING_TOUCHDOWN },
        { "the offense cannot score a touchdown with the result \"Intercepted\"; correct one "
          "of them", ok, RB_PLAY_DROPBACK, RB_RESULT_INTERCEPTED, 9, RB_ENDING_TOUCHDOWN },
        { "the ending should be \"Safety\" after a loss behind the own goal line, but is "
          "\"Dead ball\"", { .down = 2, .distance = 10, .yards_to_goal = 96 }, RB_PLAY_RUN,
          RB_RESULT_RUN, -5 },
    };
    /* clang-format on */
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GPtrArray) log = log_new();
        RbSnap *snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 5 }, 33);
        snap->situation = rows[i].s;
        snap->play = rows[i].play;
        snap->result = rows[i].result;
        snap->has_gain = rows[i].gain != 0 ? RB_YES : RB_YES_NO_UNKNOWN;
        snap->gain = rows[i].gain;
        snap->ending = rows[i].ending;
        g_ptr_array_add(log, snap);
        g_autoptr(GPtrArray) findings = check(log, false);
        g_autofree char *text = all_sentences(findings);
        g_autofree char *wanted = g_strdup_printf("Snap 33: %s.\n", rows[i].sentence);
        ck_assert_str_eq(text, wanted);
    }
}
END_TEST

START_TEST(test_chain__penalties_and_time_outs_that_cannot_be)
{
    g_autoptr(GPtrArray) log = log_new();
    RbSnap *snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 5 }, 33);
    snap->timeouts_offense = 4;
    const RbPenalty penalty = { .yards = -5, .spot = 110 };
    g_array_append_val(snap->penalties, penalty);
    g_ptr_array_add(log, snap);
    g_autoptr(GPtrArray) findings = check(log, false);
    g_autofree char *text = all_sentences(findings);
    ck_assert_str_eq(
        text,
        "Snap 33: the number of time-outs cannot be 4; the nearest it can be is 3.\n"
        "Snap 33: the yards of a penalty cannot be -5; the nearest it can be is 0.\n"
        "Snap 33: the spot of a foul cannot be 110; the nearest it can be is 99.\n");
}
END_TEST

/* Random games, made with the successor rule. */

typedef struct {
    RbRandom random;
    GPtrArray *log;
    RbSituation s;
    RbRules rules;
} Maker;

static RbTeamId other(RbTeamId team)
{
    return (RbTeamId){ 3 - team.value };
}

static void set_penalty(Maker *maker, RbSnap *snap)
{
    const bool defense = rb_random_chance(&maker->random, 0.5);
    const int room =
        defense ? snap->situation.yards_to_goal : 100 - snap->situation.yards_to_goal;
    RbPenalty penalty = { .side = defense ? RB_FOUL_DEFENSE : RB_FOUL_OFFENSE,
                          .yards = MIN(5, room / 2),
                          .down_counts = RB_NO };
    penalty.first_down =
        defense && rb_random_chance(&maker->random, 0.3) ? RB_YES : RB_NO;
    snap->result = RB_RESULT_NO_PLAY;
    g_array_append_val(snap->penalties, penalty);
}

static void set_gain(Maker *maker, RbSnap *snap, int gain)
{
    const int spot = snap->situation.yards_to_goal;
    snap->has_gain = RB_YES;
    snap->gain = MIN(gain, spot);
    if (snap->gain == spot && snap->result != RB_RESULT_INTERCEPTED) {
        snap->ending = RB_ENDING_TOUCHDOWN;
    } else if (spot - snap->gain >= 100) {
        snap->ending = RB_ENDING_SAFETY;
    } else if (rb_random_chance(&maker->random, 0.02)) {
        snap->ending = RB_ENDING_FUMBLE_LOST;
    }
}

static void play_scrimmage(Maker *maker, RbSnap *snap)
{
    RbRandom *random = &maker->random;
    const int spot = snap->situation.yards_to_goal;
    if (rb_random_chance(random, 0.08) && spot > 1 && spot < 99) {
        set_penalty(maker, snap);
    } else if (snap->situation.down == 4 && spot > 40) {
        snap->play = RB_PLAY_PUNT;
        snap->result = RB_RESULT_KICKED;
    } else if (snap->situation.down == 4 && rb_random_chance(random, 0.7)) {
        snap->play = RB_PLAY_FIELD_GOAL;
        snap->result =
            rb_random_chance(random, 0.7) ? RB_RESULT_KICK_GOOD : RB_RESULT_KICK_MISSED;
    } else if (rb_random_chance(random, 0.45)) {
        snap->play = RB_PLAY_RUN;
        snap->result = RB_RESULT_RUN;
        set_gain(maker, snap, rb_random_int(random, -4, 14));
    } else {
        const double weights[] = { 50, 30, 4, 8, 5, 3 };
        snap->play = RB_PLAY_DROPBACK;
        snap->result =
            (RbResult)(RB_RESULT_COMPLETE + rb_random_pick(random, weights, 6));
        if (snap->result == RB_RESULT_SACK) {
            set_gain(maker, snap, -rb_random_int(random, 2, 9));
        } else if (snap->result == RB_RESULT_INTERCEPTED) {
            snap->has_gain = RB_YES;
            snap->gain = rb_random_int(random, MAX(-10, spot - 99), 25);
        } else if (snap->result == RB_RESULT_COMPLETE ||
                   snap->result == RB_RESULT_SCRAMBLE) {
            set_gain(maker, snap, rb_random_int(random, -2, 30));
        }
    }
}

static RbSnap *add_snap(Maker *maker)
{
    const int n = (int)maker->log->len + 1;
    RbSnap *snap = rb_snap_new((RbSnapId){ 10 * n }, (RbGameId){ 5 }, n);
    snap->situation = maker->s;
    g_ptr_array_add(maker->log, snap);
    if (maker->s.phase == RB_PHASE_SCRIMMAGE) {
        play_scrimmage(maker, snap);
    } else {
        snap->play =
            maker->s.phase == RB_PHASE_TRY ? RB_PLAY_FIELD_GOAL : RB_PLAY_KICKOFF;
        snap->result =
            maker->s.phase == RB_PHASE_TRY ? RB_RESULT_KICK_GOOD : RB_RESULT_KICKED;
    }
    return snap;
}

static void new_series(Maker *maker)
{
    maker->s.phase = RB_PHASE_SCRIMMAGE;
    maker->s.yards_to_goal = rb_random_int(&maker->random, 40, 90);
    maker->s.down = 1;
    maker->s.distance = 10;
}

static void kick_off(Maker *maker, RbTeamId team, int score, int against)
{
    maker->s = (RbSituation){ .phase = RB_PHASE_FREE_KICK,
                              .quarter = maker->s.quarter,
                              .clock_s = maker->s.clock_s,
                              .yards_to_goal = 65,
                              .offense = team,
                              .score_offense = score,
                              .score_defense = against };
}

/* Goes to the situation after `snap`; false at the end of the game. */
static bool go_on(Maker *maker, const RbSnap *snap)
{
    const RbNext next = rb_next_situation(snap, other(maker->s.offense), maker->rules);
    const bool kick = next.situation.phase != RB_PHASE_SCRIMMAGE;
    maker->s = next.situation;
    if (snap->situation.phase == RB_PHASE_SCRIMMAGE) {
        maker->s.clock_s -= rb_random_int(&maker->random, 4, 38);
    }
    if (maker->s.clock_s <= 0 && next.kind != RB_NEXT_TRY) {
        maker->s.clock_s = 900;
        maker->s.quarter++;
        if (maker->s.quarter == 3) {
            const bool swapped = maker->s.offense.value == 2;
            kick_off(maker, (RbTeamId){ 1 },
                     swapped ? maker->s.score_defense : maker->s.score_offense,
                     swapped ? maker->s.score_offense : maker->s.score_defense);
            return true;
        }
    }
    maker->s.clock_s = MAX(0, maker->s.clock_s);
    if (!kick && !next.spot_known) {
        ck_assert_int_ne(next.kind, RB_NEXT_UNKNOWN);
        new_series(maker);
    }
    return maker->s.quarter <= 4;
}

static GPtrArray *random_game(uint64_t seed)
{
    Maker maker = { .log = log_new(), .rules = RB_RULES_COLLEGE };
    rb_random_seed(&maker.random, seed);
    maker.s.quarter = 1;
    maker.s.clock_s = 900;
    kick_off(&maker, (RbTeamId){ 2 }, 0, 0);
    while (go_on(&maker, add_snap(&maker))) {
    }
    return maker.log;
}

static int games_to_try(void)
{
    return rb_test_is_long() ? 5000 : rb_test_some(500);
}

START_TEST(test_chain__random_games_are_clean)
{
    const uint64_t seed = rb_test_seed(41);
    for (int i = 0; i < games_to_try(); i++) {
        g_autoptr(GPtrArray) log = random_game(seed + (uint64_t)i);
        ck_assert_uint_gt(log->len, 80);
        check_clean(log, false);
        g_autoptr(GPtrArray) one = log_of_team(log, 1);
        check_clean(one, true);
    }
}
END_TEST

typedef enum {
    CHANGE_SPOT,
    CHANGE_DOWN,
    CHANGE_DISTANCE,
    CHANGE_GAIN,
    CHANGE_TEAM,
    CHANGE_SCORE,
    CHANGE_QUARTER,
    CHANGE_CLOCK,
    CHANGE_NUMBER,
    CHANGE_VALUE,
    CHANGES,
} Change;

static bool follows_exactly(const RbSnap *before, const RbSnap *snap)
{
    const RbNext next =
        rb_next_situation(before, other(before->situation.offense), RB_RULES_COLLEGE);
    return next.spot_known && snap->situation.phase == RB_PHASE_SCRIMMAGE &&
           next.situation.phase == RB_PHASE_SCRIMMAGE &&
           before->situation.quarter == snap->situation.quarter;
}

/* Makes one change to the middle of three snaps that must be seen, if there is one. */
static bool make_change(RbRandom *random, Change change, const RbSnap *before,
                        RbSnap *snap, const RbSnap *after)
{
    RbSituation *s = &snap->situation;
    const int shift = rb_random_int(random, 1, 9);
    const bool exact = follows_exactly(before, snap);
    const bool inside = before->situation.quarter == after->situation.quarter;
    switch (change) {
    case CHANGE_SPOT:
        s->yards_to_goal += s->yards_to_goal > 50 ? -shift : shift;
        return exact;
    case CHANGE_DOWN:
        s->down = 1 + (s->down + rb_random_int(random, 0, 2)) % 4;
        return exact;
    case CHANGE_DISTANCE:
        s->distance = s->distance > shift ? s->distance - shift : s->distance + 1;
        return exact && s->distance < s->yards_to_goal;
    case CHANGE_GAIN:
        if (snap->has_gain != RB_YES || snap->ending != RB_ENDING_NONE ||
            !follows_exactly(snap, after) ||
            snap->situation.offense.value != after->situation.offense.value) {
            return false;
        }
        snap->gain -= shift;
        return s->yards_to_goal - snap->gain < 100;
    case CHANGE_TEAM:
        s->offense = other(s->offense);
        return exact;
    case CHANGE_SCORE:
        s->score_offense += shift;
        return exact;
    case CHANGE_QUARTER:
        s->quarter += s->quarter > 1 ? -1 : 1;
        return inside && s->clock_s > 0;
    case CHANGE_CLOCK:
        s->clock_s = MIN(900, before->situation.clock_s + shift);
        return inside && s->clock_s > before->situation.clock_s;
    case CHANGE_NUMBER:
        snap->number = before->number;
        return true;
    case CHANGE_VALUE:
        s->yards_to_goal += 100;
        return true;
    case CHANGES:
        break;
    }
    return false;
}

static bool is_found_near(const GPtrArray *findings, const RbSnap *snap,
                          const RbSnap *after)
{
    for (guint i = 0; i < findings->len; i++) {
        const RbFinding *finding = g_ptr_array_index(findings, i);
        if (finding->snap.value == snap->id.value ||
            finding->snap.value == after->id.value) {
            return true;
        }
    }
    return false;
}

static void check_one_change(RbRandom *random, const GPtrArray *game, Change change,
                             int *made, int *single)
{
    g_autoptr(GPtrArray) log = log_copy(game);
    const guint i = (guint)rb_random_int(random, 1, (int)log->len - 2);
    const RbSnap *before = g_ptr_array_index(log, i - 1);
    RbSnap *snap = g_ptr_array_index(log, i);
    const RbSnap *after = g_ptr_array_index(log, i + 1);
    if (!make_change(random, change, before, snap, after)) {
        return;
    }
    g_autoptr(GPtrArray) findings = check(log, false);
    g_autofree char *text = all_sentences(findings);
    ck_assert_msg(is_found_near(findings, snap, after), "change %d of snap %d: %s",
                  (int)change, snap->number, text);
    (*made)++;
    *single += findings->len == 1 ? 1 : 0;
}

START_TEST(test_chain__any_single_change_is_found)
{
    const uint64_t seed = rb_test_seed(97);
    RbRandom random;
    rb_random_seed(&random, seed);
    int made[CHANGES] = { 0 };
    int single[CHANGES] = { 0 };
    for (int i = 0; i < games_to_try(); i++) {
        g_autoptr(GPtrArray) game = random_game(seed + (uint64_t)i);
        for (int change = 0; change < CHANGES; change++) {
            check_one_change(&random, game, (Change)change, &made[change],
                             &single[change]);
        }
    }
    for (int change = 0; change < CHANGES; change++) {
        ck_assert_int_gt(made[change], games_to_try() / 10);
        printf("change %d: %d made, %d with one finding\n", change, made[change],
               single[change]);
        /* Nearly always exactly one; two faults can look alike from outside. */
        ck_assert_msg(single[change] * 100 >= made[change] * 85, "change %d: %d of %d",
                      change, single[change], made[change]);
    }
}
END_TEST

TCase *rb_case_chain(void)
{
    TCase *tcase = rb_case_new("chain");
    tcase_add_test(tcase, test_chain__a_whole_game_has_no_findings);
    tcase_add_test(tcase, test_chain__each_planted_fault_alone);
    tcase_add_test(tcase, test_chain__all_planted_faults_together);
    tcase_add_test(tcase, test_chain__all_planted_faults_in_a_log_of_one_team);
    tcase_add_test(tcase, test_chain__order_of_the_list_does_not_matter);
    tcase_add_test(tcase, test_chain__blanks_are_bridged);
    tcase_add_test(tcase, test_chain__nothing_tagged_is_not_a_fault);
    tcase_add_test(tcase, test_chain__a_number_typed_far_away);
    tcase_add_test(tcase, test_chain__kicks_and_tries_may_be_left_out);
    tcase_add_test(tcase, test_chain__quarters_without_clocks);
    tcase_add_test(tcase, test_chain__values_that_cannot_be);
    tcase_add_test(tcase, test_chain__penalties_and_time_outs_that_cannot_be);
    tcase_add_test(tcase, test_chain__random_games_are_clean);
    tcase_add_test(tcase, test_chain__any_single_change_is_found);
    return tcase;
}
