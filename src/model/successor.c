/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/successor.h"

/* The field is reckoned in yards to the goal line the offense attacks: a gain takes away, a
 * loss adds. The line to gain is kept the same way; 0 is the goal line. */

typedef struct {
    bool known;
    int live;        /* after live-ball enforcement, or the plain dead-ball spot */
    int end;         /* after dead-ball enforcement too */
    bool first_down; /* by an accepted penalty */
    bool accepted;   /* any penalty accepted */
} Spots;

static bool stops_the_gain(const RbSnap *snap)
{
    switch (snap->result) {
    case RB_RESULT_INCOMPLETE:
    case RB_RESULT_THROWN_AWAY:
    case RB_RESULT_NO_PLAY:
        return true;
    case RB_RESULT_UNKNOWN:
    case RB_RESULT_COMPLETE:
    case RB_RESULT_INTERCEPTED:
    case RB_RESULT_SACK:
    case RB_RESULT_SCRAMBLE:
    case RB_RESULT_RUN:
    case RB_RESULT_KICK_GOOD:
    case RB_RESULT_KICK_MISSED:
    case RB_RESULT_KICKED:
        break;
    }
    return false;
}

static int signed_yards(const RbPenalty *penalty)
{
    return penalty->side == RB_FOUL_OFFENSE ? penalty->yards : -penalty->yards;
}

/* Live-ball fouls are walked off from the previous spot or the spot of the foul and replace
 * the end of the play; dead-ball ones are added to it. */
static Spots find_spots(const RbSnap *snap)
{
    const int previous = snap->situation.yards_to_goal;
    const bool no_gain = stops_the_gain(snap);
    Spots spots = { .known = previous > 0 && (no_gain || snap->has_gain == RB_YES) };
    spots.live = previous - (no_gain ? 0 : snap->gain);
    bool live_moved = false;
    int dead_yards = 0;
    for (guint i = 0; i < snap->penalties->len; i++) {
        const RbPenalty *penalty = &g_array_index(snap->penalties, RbPenalty, i);
        if (penalty->ruling == RB_RULING_OFFSET && !live_moved) {
            spots.live = previous; /* the down is played again */
            spots.known = previous > 0;
        }
        if (penalty->ruling != RB_RULING_ACCEPTED) {
            continue;
        }
        spots.accepted = true;
        spots.first_down |=
            penalty->first_down == RB_YES && penalty->side == RB_FOUL_DEFENSE;
        switch (penalty->enforced) {
        case RB_ENFORCED_PREVIOUS_SPOT:
            spots.live = (live_moved ? spots.live : previous) + signed_yards(penalty);
            spots.known = previous > 0;
            live_moved = true;
            break;
        case RB_ENFORCED_SPOT_OF_FOUL:
            spots.live = penalty->spot + signed_yards(penalty);
            spots.known = penalty->spot > 0;
            live_moved = true;
            break;
        case RB_ENFORCED_DEAD_BALL:
            dead_yards += signed_yards(penalty);
            break;
        }
    }
    spots.end = spots.live + dead_yards;
    return spots;
}

bool rb_snap_end_spot(const RbSnap *snap, int *yards_to_goal)
{
    const Spots spots = find_spots(snap);
    if (spots.known) {
        *yards_to_goal = spots.end;
    }
    return spots.known;
}

int rb_snap_points(const RbSnap *snap)
{
    if (rb_snap_is_wiped_out(snap)) {
        return 0;
    }
    const bool is_try = snap->situation.phase == RB_PHASE_TRY;
    switch (snap->ending) {
    case RB_ENDING_TOUCHDOWN:
        return is_try ? 2 : 6;
    case RB_ENDING_TOUCHDOWN_AGAINST:
        return is_try ? -2 : -6;
    case RB_ENDING_SAFETY:
        return -2;
    case RB_ENDING_NONE:
    case RB_ENDING_FUMBLE_LOST:
        break;
    }
    if (snap->result == RB_RESULT_KICK_GOOD) {
        return is_try ? 1 : 3;
    }
    return 0;
}

static void swap_view(RbSituation *situation, RbTeamId defense)
{
    situation->offense = defense;
    const int score = situation->score_offense;
    situation->score_offense = situation->score_defense;
    situation->score_defense = score;
}

/* What holds after any snap: the score counts this play, nothing else is known yet. */
static RbNext start(const RbSnap *snap)
{
    RbNext next = { .kind = RB_NEXT_UNKNOWN, .situation = snap->situation };
    const int points = rb_snap_points(snap);
    if (points > 0 && next.situation.score_offense >= 0) {
        next.situation.score_offense += points;
    } else if (points < 0 && next.situation.score_defense >= 0) {
        next.situation.score_defense -= points;
    }
    next.situation.phase = RB_PHASE_SCRIMMAGE;
    next.situation.down = 0;
    next.situation.distance = 0;
    next.situation.yards_to_goal = 0;
    next.situation.hash = RB_HASH_UNKNOWN;
    return next;
}

static bool in_range(int yards_to_goal)
{
    return yards_to_goal >= 1 && yards_to_goal <= 99;
}

static void set_series(RbNext *next, RbNextKind kind, int spot)
{
    next->kind = kind;
    next->spot_known = in_range(spot);
    if (next->spot_known) {
        next->situation.yards_to_goal = spot;
        next->situation.down = 1;
        next->situation.distance = MIN(10, spot);
    }
}

/* spot: from the view of the team that loses the ball; 0 or less is a touchback. */
static void set_turnover(RbNext *next, RbTeamId defense, bool known, int spot)
{
    swap_view(&next->situation, defense);
    next->kind = RB_NEXT_TURNOVER;
    if (known) {
        set_series(next, RB_NEXT_TURNOVER, spot <= 0 ? 80 : 100 - spot);
    }
}

/* In a high school or college overtime every series starts at a fixed line, whatever ended
 * the one before. */
static bool series_restart(const RbSnap *snap, RbRules rules)
{
    return snap->situation.quarter >= 5 && rules != RB_RULES_PRO;
}

/* A try from the 3 in high school and college; the professional one depends on what the
 * offense chooses. Spots from the codes' rule 8, from memory. */
static void set_try(RbNext *next, RbNextKind kind, RbRules rules, bool moved)
{
    next->kind = kind;
    next->situation.phase = RB_PHASE_TRY;
    next->spot_known = rules != RB_RULES_PRO && !moved;
    next->situation.yards_to_goal = next->spot_known ? 3 : 0;
}

/* Kickoff from the own 40 in high school, the own 35 otherwise; a kick after a safety from
 * the own 20. Spots from the codes' rule 6, from memory. */
static void set_free_kick(RbNext *next, RbNextKind kind, RbRules rules, bool moved)
{
    next->kind = kind;
    next->situation.phase = RB_PHASE_FREE_KICK;
    next->spot_known = !moved;
    if (next->spot_known) {
        const int kickoff = rules == RB_RULES_HIGH_SCHOOL ? 60 : 65;
        next->situation.yards_to_goal = kind == RB_NEXT_SAFETY_KICK ? 80 : kickoff;
    }
}

/* True when the ending alone decides what comes next. */
static bool follow_score(RbNext *next, const RbSnap *snap, RbTeamId defense,
                         RbRules rules, bool moved)
{
    switch (snap->ending) {
    case RB_ENDING_TOUCHDOWN:
        set_try(next, RB_NEXT_TRY, rules, moved);
        return true;
    case RB_ENDING_TOUCHDOWN_AGAINST:
        swap_view(&next->situation, defense);
        set_try(next, RB_NEXT_TRY_AGAINST, rules, moved);
        return true;
    case RB_ENDING_SAFETY:
        if (!series_restart(snap, rules)) {
            set_free_kick(next, RB_NEXT_SAFETY_KICK, rules, moved);
        }
        return true;
    case RB_ENDING_NONE:
    case RB_ENDING_FUMBLE_LOST:
        break;
    }
    return false;
}

/* The offense kept the ball, or lost it on downs. */
static void follow_down(RbNext *next, const RbSnap *snap, RbTeamId defense, RbRules rules,
                        const Spots *spots)
{
    const RbSituation *now = &snap->situation;
    if (!spots->known || now->down < 1 || now->down > 4 || now->distance < 1 ||
        !in_range(spots->end)) {
        return;
    }
    const int line = MAX(0, now->yards_to_goal - now->distance);
    const bool wiped_out = rb_snap_is_wiped_out(snap);
    /* A dead-ball foul after a fourth down that failed does not bring the ball back. */
    const bool reached =
        spots->live <= line || (spots->end <= line && (now->down < 4 || wiped_out));
    if (spots->first_down || (reached && line > 0)) {
        set_series(next, RB_NEXT_SAME_SERIES, spots->end);
    } else if (!wiped_out && now->down == 4) {
        set_turnover(next, defense, !series_restart(snap, rules), spots->end);
    } else {
        next->kind = RB_NEXT_SAME_SERIES;
        next->spot_known = true;
        next->situation.yards_to_goal = spots->end;
        next->situation.down = wiped_out ? now->down : now->down + 1;
        next->situation.distance = spots->end - line;
    }
}

static void follow_scrimmage(RbNext *next, const RbSnap *snap, RbTeamId defense,
                             RbRules rules, const Spots *spots)
{
    if (rb_snap_is_wiped_out(snap)) {
        follow_down(next, snap, defense, rules, spots);
        return;
    }
    const bool restart = series_restart(snap, rules);
    const bool lost_known =
        spots->known && !spots->accepted && !restart && spots->end < 100;
    if (snap->ending == RB_ENDING_FUMBLE_LOST) {
        set_turnover(next, defense, lost_known, spots->end);
        return;
    }
    switch (snap->result) {
    case RB_RESULT_UNKNOWN:
        return;
    case RB_RESULT_INTERCEPTED:
        set_turnover(next, defense, lost_known, spots->end);
        return;
    case RB_RESULT_KICK_GOOD:
        if (!restart) {
            set_free_kick(next, RB_NEXT_KICKOFF, rules, spots->accepted);
        }
        return;
    case RB_RESULT_KICK_MISSED:
        /* Without a gain that tells where a blocked or short kick ended: in college the
         * previous spot, and never inside the 20 (NCAA rule 8-4-2, from memory). */
        if (snap->has_gain != RB_YES && snap->situation.yards_to_goal > 0) {
            set_turnover(next, defense, rules == RB_RULES_COLLEGE && !restart,
                         MAX(20, snap->situation.yards_to_goal));
        } else {
            set_turnover(next, defense, lost_known, spots->end);
        }
        return;
    case RB_RESULT_KICKED:
        swap_view(&next->situation, defense);
        next->kind = RB_NEXT_AFTER_KICK;
        return;
    case RB_RESULT_COMPLETE:
    case RB_RESULT_INCOMPLETE:
    case RB_RESULT_SACK:
    case RB_RESULT_SCRAMBLE:
    case RB_RESULT_THROWN_AWAY:
    case RB_RESULT_RUN:
    case RB_RESULT_NO_PLAY:
        break;
    }
    follow_down(next, snap, defense, rules, spots);
}

/* A try or a free kick that a penalty wiped out is played again from where it was moved. */
static void repeat_kick(RbNext *next, const RbSnap *snap, const Spots *spots)
{
    const bool is_try = snap->situation.phase == RB_PHASE_TRY;
    next->kind = is_try ? RB_NEXT_TRY : RB_NEXT_KICKOFF;
    next->situation.phase = snap->situation.phase;
    next->spot_known = spots->known && in_range(spots->end);
    next->situation.yards_to_goal = next->spot_known ? spots->end : 0;
}

RbNext rb_next_situation(const RbSnap *snap, RbTeamId defense, RbRules rules)
{
    RbNext next = start(snap);
    const Spots spots = find_spots(snap);
    const bool wiped_out = rb_snap_is_wiped_out(snap);
    switch (snap->situation.phase) {
    case RB_PHASE_TRY:
        if (wiped_out) {
            repeat_kick(&next, snap, &spots);
        } else if (!series_restart(snap, rules)) {
            set_free_kick(&next, RB_NEXT_KICKOFF, rules, spots.accepted);
        }
        return next;
    case RB_PHASE_FREE_KICK:
        if (wiped_out) {
            repeat_kick(&next, snap, &spots);
        } else if (!follow_score(&next, snap, defense, rules, spots.accepted)) {
            swap_view(&next.situation, defense);
            next.kind = RB_NEXT_AFTER_KICK;
        }
        return next;
    case RB_PHASE_SCRIMMAGE:
        break;
    }
    if (wiped_out || !follow_score(&next, snap, defense, rules, spots.accepted)) {
        follow_scrimmage(&next, snap, defense, rules, &spots);
    }
    return next;
}
