/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A game from our side: our drives snap by snap, theirs only by what they leave us. */
#include <math.h>

#include "rb/model/successor.h"

#include "season-private.h"

enum { DROPBACKS_A_GAME = 35 };

typedef struct {
    SeasonMaker *maker;
    RbRandom *random;
    RbSituation now; /* before our next snap; score from our view */
    bool half_over;
    bool we_receive; /* the kickoff of the first half */
    int timeouts;    /* ours, left in the half */
    RbPlayerId quarterback;
} Match;

static bool chance(Match *match, double probability)
{
    return rb_random_chance(match->random, probability);
}

/* The game clock runs; a half ends, a quarter only passes. */
static void run_clock(Match *match, int seconds)
{
    RbSituation *now = &match->now;
    now->clock_s -= seconds;
    if (now->clock_s > 0) {
        return;
    }
    if (now->quarter == 2 || now->quarter == 4) {
        now->clock_s = 0;
        match->half_over = true;
    } else {
        now->quarter++;
        now->clock_s += 900;
    }
}

static bool is_hurry(const Match *match)
{
    const RbSituation *now = &match->now;
    const bool late = now->clock_s <= 120 && (now->quarter == 2 || now->quarter == 4);
    return late && (now->quarter == 2 || now->score_offense <= now->score_defense);
}

/* Snaps. */

static RbSeasonSnap *add_snap(Match *match)
{
    const RbSeason *season = match->maker->season;
    RbSeasonGame *game = match->maker->game;
    const int number = (int)game->snaps->len + 1;
    RbSeasonSnap *entry = g_new0(RbSeasonSnap, 1);
    const RbSnapId id = { rb_season_id(season, "snap", match->maker->game_index,
                                       number) };
    entry->snap = rb_snap_new(id, game->game->id, number);
    entry->snap->situation = match->now;
    entry->snap->timeouts_offense = match->timeouts;
    entry->snap->hurry = is_hurry(match) ? RB_YES : RB_NO;
    entry->truth.target = -1;
    g_ptr_array_add(game->snaps, entry);
    return entry;
}

static void add_penalty(RbSnap *snap, const char *foul, RbPenalty penalty)
{
    penalty.id = (RbPenaltyId){ rb_id_from_pair("penalty", snap->id.value,
                                                (int64_t)snap->penalties->len) };
    penalty.snap = snap->id;
    penalty.foul = rb_season_term(RB_TERM_FOUL, foul);
    g_array_append_val(snap->penalties, penalty);
}

static void play_run(Match *match, RbSeasonSnap *entry)
{
    static const char *const formations[] = { "2x2", "3x1", "1x3", "2x1", "1x2" };
    RbSnap *snap = entry->snap;
    const int spot = snap->situation.yards_to_goal;
    const int drawn = (int)lround(rb_random_normal(match->random, 3.6, 3.4));
    const int burst = chance(match, 0.07) ? rb_random_int(match->random, 6, 28) : 0;
    const int form = rb_random_int(match->random, 0, 4);
    snap->play = RB_PLAY_RUN;
    snap->result = RB_RESULT_RUN;
    snap->formation = rb_season_term(RB_TERM_FORMATION, formations[form]);
    snap->personnel = rb_season_term(RB_TERM_PERSONNEL, form >= 3 ? "12" : "11");
    snap->motion = rb_season_term(RB_TERM_MOTION, chance(match, 0.25) ? "jet" : "none");
    snap->has_gain = RB_YES;
    snap->gain = CLAMP(drawn + burst, MAX(-5, spot - 99), spot);
    if (snap->gain == spot) {
        snap->ending = RB_ENDING_TOUCHDOWN;
    } else if (chance(match, 0.008)) {
        snap->ending = RB_ENDING_FUMBLE_LOST;
    }
}

/* Screens and run-pass options stand outside the ladder and are not charted here. */
static void play_short(Match *match, RbSeasonSnap *entry)
{
    RbSnap *snap = entry->snap;
    const int spot = snap->situation.yards_to_goal;
    const bool caught = chance(match, 0.82);
    const int drawn = (int)lround(rb_random_normal(match->random, 4.5, 5.0));
    snap->play = chance(match, 0.5) ? RB_PLAY_SCREEN : RB_PLAY_RUN_PASS_OPTION;
    snap->result = caught ? RB_RESULT_COMPLETE : RB_RESULT_INCOMPLETE;
    snap->formation = rb_season_term(RB_TERM_FORMATION, "3x1");
    snap->personnel = rb_season_term(RB_TERM_PERSONNEL, "11");
    snap->strong = RB_STRONG_LEFT;
    snap->has_gain = RB_YES;
    snap->gain = caught ? CLAMP(drawn, MAX(-4, spot - 99), spot) : 0;
    snap->ending = snap->gain == spot ? RB_ENDING_TOUCHDOWN : RB_ENDING_NONE;
}

/* A foul before or during the play; the down is played again. */
static bool play_foul(Match *match, RbSeasonSnap *entry)
{
    RbSnap *snap = entry->snap;
    const int spot = snap->situation.yards_to_goal;
    const int back = MIN(5, (100 - spot) / 2);
    const int ahead = MIN(5, spot / 2);
    if (chance(match, 0.03) && back > 0) {
        snap->result = RB_RESULT_NO_PLAY;
        add_penalty(
            snap, "false-start",
            (RbPenalty){ .side = RB_FOUL_OFFENSE, .yards = back, .down_counts = RB_NO });
        return true;
    }
    if (chance(match, 0.015) && ahead > 0) {
        snap->result = RB_RESULT_NO_PLAY;
        add_penalty(
            snap, "offside",
            (RbPenalty){ .side = RB_FOUL_DEFENSE, .yards = ahead, .down_counts = RB_NO });
        return true;
    }
    return false;
}

/* Flags on a pass that was played: holding and interference wipe it out, roughing adds to it. */
static void flag_pass(Match *match, RbSeasonSnap *entry)
{
    RbSnap *snap = entry->snap;
    const int spot = snap->situation.yards_to_goal;
    if (snap->ending != RB_ENDING_NONE || snap->result == RB_RESULT_INTERCEPTED) {
        return;
    }
    if (chance(match, 0.03)) {
        const bool declined = snap->result == RB_RESULT_SACK || spot >= 98;
        add_penalty(
            snap, "holding",
            (RbPenalty){ .side = RB_FOUL_OFFENSE,
                         .ruling = declined ? RB_RULING_DECLINED : RB_RULING_ACCEPTED,
                         .yards = MIN(10, (100 - spot) / 2),
                         .down_counts = RB_NO });
    } else if (snap->result == RB_RESULT_INCOMPLETE && spot > 32 && chance(match, 0.05)) {
        add_penalty(snap, "pass-interference",
                    (RbPenalty){ .side = RB_FOUL_DEFENSE,
                                 .yards = 15,
                                 .down_counts = RB_NO,
                                 .first_down = RB_YES });
    } else if (snap->result == RB_RESULT_COMPLETE && spot - snap->gain > 32 &&
               chance(match, 0.02)) {
        add_penalty(snap, "roughing-the-passer",
                    (RbPenalty){ .side = RB_FOUL_DEFENSE,
                                 .enforced = RB_ENFORCED_DEAD_BALL,
                                 .yards = 15,
                                 .down_counts = RB_YES,
                                 .first_down = RB_YES });
    }
}

static void play_pass(Match *match, RbSeasonSnap *entry)
{
    SeasonMaker *maker = match->maker;
    SeasonConcept concept = SEASON_SLANT_FLAT;
    SeasonCoverage coverage = SEASON_COVER_3;
    entry->chart = rb_chart_new(entry->snap->id, maker->season->charter->id);
    entry->snap->quarterback = match->quarterback;
    rb_season_choose(maker, &entry->snap->situation, &concept, &coverage);
    rb_season_present(maker, entry, concept, coverage);
    rb_season_pass(maker, entry, concept, coverage);
    flag_pass(match, entry);
    if (!rb_snap_is_wiped_out(entry->snap)) {
        rb_season_count(maker, concept, coverage);
    }
}

static void play_kick(Match *match, RbSeasonSnap *entry)
{
    RbSnap *snap = entry->snap;
    const int spot = snap->situation.yards_to_goal;
    if (snap->situation.phase == RB_PHASE_TRY || spot <= 35) {
        const double good =
            snap->situation.phase == RB_PHASE_TRY ? 0.95 : 1.02 - spot * 0.012;
        snap->play = RB_PLAY_FIELD_GOAL;
        snap->result = chance(match, good) ? RB_RESULT_KICK_GOOD : RB_RESULT_KICK_MISSED;
    } else {
        snap->play = RB_PLAY_PUNT;
        snap->result = RB_RESULT_KICKED;
    }
}

/* A staff leans to the run when it has thrown a lot, and the other way round. */
static double pass_share(const Match *match)
{
    const RbSituation *now = &match->now;
    const double played = (now->quarter - 1 + (900 - now->clock_s) / 900.0) / 4.0;
    const double lean = 0.05 * (played * DROPBACKS_A_GAME - match->maker->dropbacks);
    double share = now->down == 1 ? 0.50 : now->down == 2 ? 0.58 : 0.86;
    if (is_hurry(match)) {
        share = 0.85;
    } else if (now->distance <= 2) {
        share = 0.35;
    }
    return CLAMP(share + lean, 0.05, 0.97);
}

static bool goes_for_it(Match *match)
{
    const RbSituation *now = &match->now;
    const bool must = now->quarter == 4 && now->clock_s < 240 &&
                      now->score_offense < now->score_defense;
    return must || (now->distance <= 2 && now->yards_to_goal < 60 && chance(match, 0.45));
}

static bool can_kneel(const Match *match)
{
    const RbSituation *now = &match->now;
    return now->quarter == 4 && now->score_offense > now->score_defense &&
           now->clock_s <= 40 * (4 - now->down) && now->yards_to_goal < 95 &&
           now->down < 4;
}

static void play_kneel(RbSeasonSnap *entry)
{
    entry->snap->play = RB_PLAY_KNEEL;
    entry->snap->result = RB_RESULT_RUN;
    entry->snap->has_gain = RB_YES;
    entry->snap->gain = -1;
}

static void play_down(Match *match, RbSeasonSnap *entry)
{
    if (match->now.phase == RB_PHASE_TRY) {
        play_kick(match, entry);
    } else if (play_foul(match, entry)) {
        return;
    } else if (can_kneel(match)) {
        play_kneel(entry);
    } else if (match->now.down == 4 && !goes_for_it(match)) {
        play_kick(match, entry);
    } else if (!chance(match, pass_share(match))) {
        play_run(match, entry);
    } else if (chance(match, 0.08)) {
        play_short(match, entry);
    } else {
        play_pass(match, entry);
    }
}

/* Between snaps. */

static RbHash next_hash(Match *match, const RbSnap *snap)
{
    static const double weights[] = { 0.36, 0.28, 0.36 };
    const bool dead_where_it_was = snap->result == RB_RESULT_INCOMPLETE ||
                                   snap->result == RB_RESULT_THROWN_AWAY ||
                                   snap->result == RB_RESULT_NO_PLAY;
    if (dead_where_it_was && snap->situation.hash != RB_HASH_UNKNOWN) {
        return snap->situation.hash;
    }
    return (RbHash)(RB_HASH_LEFT + rb_random_pick(match->random, weights, 3));
}

static int seconds_of(Match *match, const RbSnap *snap)
{
    if (snap->situation.phase == RB_PHASE_TRY) {
        return 0;
    }
    const bool stops = snap->result == RB_RESULT_INCOMPLETE ||
                       snap->result == RB_RESULT_THROWN_AWAY ||
                       snap->result == RB_RESULT_NO_PLAY || snap->penalties->len > 0 ||
                       snap->ending != RB_ENDING_NONE;
    if (stops || chance(match, 0.12)) {
        return rb_random_int(match->random, 5, 9);
    }
    if (is_hurry(match) && match->timeouts > 0 && chance(match, 0.35)) {
        match->timeouts--;
        return rb_random_int(match->random, 5, 8);
    }
    return is_hurry(match) ? rb_random_int(match->random, 14, 22)
                           : rb_random_int(match->random, 30, 42);
}

/* A score or a lost ball hands it over; true while we keep it. */
static bool go_on(Match *match, const RbSnap *snap)
{
    const RbSeason *season = match->maker->season;
    const RbTeam *them =
        g_ptr_array_index(season->teams, (guint)match->maker->game_index + 1);
    const RbNext next = rb_next_situation(snap, them->id, RB_RULES_COLLEGE);
    const bool ours = next.situation.offense.value == match->now.offense.value;
    const RbHash hash = next_hash(match, snap);
    const int seconds = seconds_of(match, snap);
    match->now.score_offense =
        ours ? next.situation.score_offense : next.situation.score_defense;
    match->now.score_defense =
        ours ? next.situation.score_defense : next.situation.score_offense;
    if (next.kind == RB_NEXT_TRY_AGAINST) {
        match->now.score_defense += 1; /* they kick it */
    }
    if (next.kind == RB_NEXT_SAME_SERIES || next.kind == RB_NEXT_TRY) {
        match->now = next.situation;
        match->now.hash = next.kind == RB_NEXT_TRY ? RB_HASH_MIDDLE : hash;
    }
    run_clock(match, seconds);
    return next.kind == RB_NEXT_TRY ||
           (next.kind == RB_NEXT_SAME_SERIES && !match->half_over);
}

static void start_series(Match *match, int yards_to_goal)
{
    RbSituation *now = &match->now;
    now->phase = RB_PHASE_SCRIMMAGE;
    now->down = 1;
    now->yards_to_goal = yards_to_goal;
    now->distance = MIN(10, yards_to_goal);
    now->hash = (RbHash)(RB_HASH_LEFT + rb_random_int(match->random, 0, 2));
}

static void play_our_series(Match *match, int yards_to_goal)
{
    start_series(match, yards_to_goal);
    for (bool ours = true; ours;) {
        RbSeasonSnap *entry = add_snap(match);
        play_down(match, entry);
        ours = go_on(match, entry->snap);
    }
}

/* What their series leaves us. Returns: yards to goal of our next start. */
static int play_their_series(Match *match)
{
    static const double weights[] = { 0.46, 0.18, 0.14, 0.14, 0.08 };
    run_clock(match, rb_random_int(match->random, 75, 265));
    if (match->half_over) {
        return 0;
    }
    const int kickoff = chance(match, 0.7) ? 75 : rb_random_int(match->random, 62, 88);
    switch (rb_random_pick(match->random, weights, 5)) {
    case 0: /* punt */
        return rb_random_int(match->random, 62, 92);
    case 1:
        match->now.score_defense += 7;
        return kickoff;
    case 2:
        match->now.score_defense += 3;
        return kickoff;
    case 3: /* lost ball */
        return rb_random_int(match->random, 22, 80);
    default: /* on downs, or a kick missed */
        return rb_random_int(match->random, 55, 80);
    }
}

static void play_half(Match *match, bool receive)
{
    int start = 75;
    match->half_over = false;
    match->timeouts = 3;
    if (!receive) {
        start = play_their_series(match);
    }
    while (!match->half_over) {
        play_our_series(match, start);
        if (!match->half_over) {
            start = play_their_series(match);
        }
    }
}

static RbPlayerId starter(const RbSeason *season, int index)
{
    const RbPlayer *player = g_ptr_array_index(season->players, (guint)index);
    return player->id;
}

void rb_season_play_game(SeasonMaker *maker)
{
    const RbTeam *us = g_ptr_array_index(maker->season->teams, 0);
    Match match = { .maker = maker, .random = &maker->random };
    match.now = rb_situation_unknown();
    match.now.quarter = 1;
    match.now.clock_s = 900;
    match.now.offense = us->id;
    match.now.score_offense = 0;
    match.now.score_defense = 0;
    match.we_receive = chance(&match, 0.5);
    match.quarterback = starter(maker->season, 0);
    play_half(&match, match.we_receive);
    match.now.quarter = 3;
    match.now.clock_s = 900;
    /* The second quarterback gets the second half of one game. */
    match.quarterback = starter(maker->season, maker->game_index == 3 ? 1 : 0);
    play_half(&match, !match.we_receive);
}
