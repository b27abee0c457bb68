/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chain-private.h"

static RbTeamId other_team(const RbChainGame *game, RbTeamId team)
{
    if (team.value == game->teams[0].value) {
        return game->teams[1];
    }
    return team.value == game->teams[1].value ? game->teams[0] : (RbTeamId){ 0 };
}

/* Halves in which possession carries over; each overtime period stands alone. */
static int half_of(int quarter)
{
    return quarter > 4 ? quarter : quarter > 2 ? 2 : 1;
}

static bool half_changed(const RbSnap *before, const RbSnap *now)
{
    const int a = before->situation.quarter;
    const int b = now->situation.quarter;
    return a > 0 && b > 0 && half_of(a) != half_of(b);
}

static void expect_series(RbExpected *expected, RbTeamId team)
{
    expected->is_series = true;
    expected->team = team;
}

/* A series of the other team that may not be in the log: then the ball comes back anywhere. */
static void expect_unseen(const RbChainGame *game, RbExpected *expected, RbTeamId team)
{
    if (game->ours_only) {
        expected->is_open = true;
        expected->score_may_grow = true;
        team = game->teams[0];
    }
    expect_series(expected, team);
}

static void expect_exact(RbExpected *expected, const RbNext *next)
{
    expected->team = next->situation.offense;
    expected->is_exact = next->spot_known;
    expected->is_series = next->kind == RB_NEXT_TURNOVER;
}

/* A try or a kick is either there, or was left out of the log. */
static void expect_kick(const RbChainGame *game, RbExpected *expected, const RbNext *next,
                        const RbSnap *now)
{
    const RbTeamId kicking = next->situation.offense;
    if (now->situation.phase == next->situation.phase) {
        expected->is_kick = true;
        expected->team = kicking;
        return;
    }
    expected->try_may_count = next->situation.phase == RB_PHASE_TRY;
    if (now->situation.phase == RB_PHASE_FREE_KICK) {
        expected->is_kick = true;
        expected->team = kicking;
        expected->situation.yards_to_goal = 0;
    } else {
        expect_unseen(game, expected, other_team(game, kicking));
    }
}

static RbExpected expect(const RbChainGame *game, const RbSnap *before, const RbSnap *now)
{
    const RbTeamId defense = other_team(game, before->situation.offense);
    const RbNext next = rb_next_situation(before, defense, game->rules);
    RbExpected expected = { .situation = next.situation };
    const bool is_try = now->situation.phase == RB_PHASE_TRY;
    const bool restart = before->situation.quarter > 4 && game->rules != RB_RULES_PRO &&
                         next.kind != RB_NEXT_SAME_SERIES && !is_try;
    if ((half_changed(before, now) && !is_try) || restart) {
        expected.is_series = true;
        expected.is_open = true;
        expected.score_may_grow = game->ours_only;
        expected.try_may_count = next.situation.phase == RB_PHASE_TRY;
        return expected;
    }
    switch (next.kind) {
    case RB_NEXT_UNKNOWN:
        expected.is_open = true;
        expected.score_may_grow = true;
        break;
    case RB_NEXT_SAME_SERIES:
        expect_exact(&expected, &next);
        break;
    case RB_NEXT_TURNOVER:
        if (game->ours_only) {
            expect_unseen(game, &expected, defense);
        } else {
            expect_exact(&expected, &next);
        }
        break;
    case RB_NEXT_AFTER_KICK:
        expect_unseen(game, &expected, (RbTeamId){ 0 });
        break;
    case RB_NEXT_TRY_AGAINST:
        if (game->ours_only) {
            expect_unseen(game, &expected, defense);
            expected.try_may_count = true;
            break;
        }
        expect_kick(game, &expected, &next, now);
        break;
    case RB_NEXT_TRY:
    case RB_NEXT_KICKOFF:
    case RB_NEXT_SAFETY_KICK:
        expect_kick(game, &expected, &next, now);
        break;
    }
    return expected;
}

static int add(RbMismatch *mismatches, int n, RbChainField field, int64_t expected,
               int64_t found)
{
    mismatches[n] = (RbMismatch){ field, expected, found, false };
    return n + 1;
}

/* Ten to go from the 4 is four to go: both are tagged. */
static int distance_of(const RbSituation *s)
{
    return s->yards_to_goal > 0 ? MIN(s->distance, s->yards_to_goal) : s->distance;
}

/* The down and distance that would follow if the spot in the log were right: another gain,
 * not another fault. */
static RbSituation follow_spot(const RbChainGame *game, const RbSnap *before,
                               const RbExpected *expected, int spot)
{
    RbSnap moved = *before;
    RbSituation guess = expected->situation;
    const RbTeamId none = { 0 };
    if (expected->is_series || before->penalties->len > 0 ||
        before->result == RB_RESULT_NO_PLAY) {
        guess.distance = expected->is_series
                             ? MIN(10, spot)
                             : guess.distance + spot - guess.yards_to_goal;
        return guess;
    }
    moved.result = RB_RESULT_RUN;
    moved.has_gain = RB_YES;
    moved.gain = before->situation.yards_to_goal - spot;
    const RbNext next = rb_next_situation(&moved, none, game->rules);
    return next.kind == RB_NEXT_SAME_SERIES ? next.situation : guess;
}

/* At most one of spot, down and distance: one fault shows in several of them. */
static int compare_exact(const RbChainGame *game, const RbSnap *before,
                         const RbExpected *expected, const RbSituation *now,
                         RbMismatch *mismatches, int n)
{
    const RbSituation *due = &expected->situation;
    if (now->yards_to_goal > 0 && now->yards_to_goal != due->yards_to_goal) {
        const RbSituation moved = follow_spot(game, before, expected, now->yards_to_goal);
        n = add(mismatches, n, RB_CHAIN_SPOT, due->yards_to_goal, now->yards_to_goal);
        if (now->down > 0 && now->down != due->down && now->down != moved.down) {
            n = add(mismatches, n, RB_CHAIN_DOWN, due->down, now->down);
        }
    } else if (now->down > 0 && now->down != due->down) {
        n = add(mismatches, n, RB_CHAIN_DOWN, due->down, now->down);
    } else if (now->distance > 0 && distance_of(now) != distance_of(due)) {
        n = add(mismatches, n, RB_CHAIN_DISTANCE, distance_of(due), now->distance);
    }
    return n;
}

static int compare_series(const RbSituation *now, RbMismatch *mismatches, int n)
{
    const int due = now->yards_to_goal > 0 ? MIN(10, now->yards_to_goal) : 10;
    if (now->down > 1) {
        return add(mismatches, n, RB_CHAIN_DOWN, 1, now->down);
    }
    if (now->distance > 0 &&
        (now->yards_to_goal > 0 ? distance_of(now) != due : now->distance > 10)) {
        return add(mismatches, n, RB_CHAIN_DISTANCE, due, now->distance);
    }
    return n;
}

static int wrong_phase(const RbExpected *expected, const RbSituation *now,
                       RbMismatch *mismatches, int n)
{
    n = add(mismatches, n, RB_CHAIN_DOWN, expected->situation.down, now->down);
    mismatches[n - 1].wrong_phase = true;
    return n;
}

static int compare_place(const RbChainGame *game, const RbSnap *before,
                         const RbExpected *expected, const RbSituation *now,
                         RbMismatch *mismatches, int n)
{
    const bool scrimmage = now->phase == RB_PHASE_SCRIMMAGE;
    if (expected->is_kick) {
        const int due = expected->situation.yards_to_goal;
        if (due > 0 && now->yards_to_goal > 0 && due != now->yards_to_goal) {
            return add(mismatches, n, RB_CHAIN_SPOT, due, now->yards_to_goal);
        }
        return n;
    }
    if (!scrimmage) {
        return expected->is_open ? n : wrong_phase(expected, now, mismatches, n);
    }
    if (expected->is_exact) {
        return compare_exact(game, before, expected, now, mismatches, n);
    }
    return expected->is_series ? compare_series(now, mismatches, n) : n;
}

static bool score_follows(const RbExpected *expected, int due, int now, bool is_offense)
{
    if (due < 0 || now < 0 || due == now) {
        return true;
    }
    const int more = now - due;
    if (expected->score_may_grow) {
        return more > 1 || (more == 1 && expected->try_may_count && is_offense);
    }
    return expected->try_may_count && (more == 2 || (more == 1 && is_offense));
}

/* Scores are compared from the view of the team that has the ball in `now`. */
static int compare_score(const RbExpected *expected, const RbSituation *now,
                         RbMismatch *mismatches, int n)
{
    int ours = expected->situation.score_offense;
    int theirs = expected->situation.score_defense;
    const bool swapped = now->offense.value != 0 &&
                         expected->situation.offense.value != 0 &&
                         now->offense.value != expected->situation.offense.value;
    if (swapped) {
        ours = expected->situation.score_defense;
        theirs = expected->situation.score_offense;
    }
    if (!score_follows(expected, ours, now->score_offense, !swapped)) {
        return add(mismatches, n, RB_CHAIN_SCORE, ours, now->score_offense);
    }
    if (!score_follows(expected, theirs, now->score_defense, swapped)) {
        return add(mismatches, n, RB_CHAIN_SCORE, theirs, now->score_defense);
    }
    return n;
}

int rb_chain_compare(const RbChainGame *game, const RbSnap *before, const RbSnap *now,
                     RbExpected *expected, RbMismatch mismatches[RB_MISMATCHES_MAX])
{
    *expected = expect(game, before, now);
    const RbTeamId due = expected->team;
    const RbTeamId has = now->situation.offense;
    if (due.value != 0 && has.value != 0 && due.value != has.value) {
        return add(mismatches, 0, RB_CHAIN_POSSESSION, due.value, has.value);
    }
    const int n = compare_place(game, before, expected, &now->situation, mismatches, 0);
    return compare_score(expected, &now->situation, mismatches, n);
}
