/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which way of writing yard lines makes the drives hang together. Within a series the distance
 * changes by as much as the spot, and the spot by the gain: no two ways of writing agree on
 * that, so the plays themselves say which one was meant. */
#include "log-private.h"

enum { STEPS_MIN = 6 };

static int to_goal(const LogStep *step, RbLogYards yards)
{
    return step->has_to_goal ? step->to_goal
                             : rb_log_spot_to_goal(&step->spot, yards,
                                                   step->has_half ? &step->own : NULL);
}

static bool same_series(const LogStep *a, const LogStep *b)
{
    return a->has_spot && b->has_spot && a->down > 0 && b->down == a->down + 1 &&
           (a->team == 0 || b->team == 0 || a->team == b->team);
}

/* 1 agrees, -1 does not, 0 says nothing. */
static int follow(const LogStep *a, const LogStep *b, RbLogYards yards)
{
    const int from = to_goal(a, yards);
    const int to = to_goal(b, yards);
    if (!same_series(a, b) || from == 0 || to == 0) {
        return 0;
    }
    const int moved = to - from;
    if (a->distance > 0 && b->distance > 0) {
        const int changed = b->distance - a->distance;
        return moved == 0 && changed == 0 ? 0 : moved == changed ? 1 : -1;
    }
    if (!a->has_gain || (moved == 0 && a->gain == 0)) {
        return 0;
    }
    return moved == -a->gain ? 1 : -1;
}

LogEvidence rb_log_steps_try(const LogStep *steps, int n, RbLogYards yards)
{
    LogEvidence evidence = { 0 };
    for (int i = 0; i < n; i++) {
        const int spot = steps[i].has_spot ? to_goal(&steps[i], yards) : 0;
        const int says = i + 1 < n ? follow(&steps[i], &steps[i + 1], yards) : 0;
        evidence.spots += steps[i].has_spot;
        evidence.invalid += steps[i].has_spot && spot == 0;
        evidence.agree += says > 0;
        evidence.all += says != 0;
        /* The line to gain is never behind the goal line. */
        evidence.all += spot > 0 && steps[i].down > 0 && steps[i].distance > spot;
    }
    return evidence;
}

static bool can_be(const LogEvidence *evidence)
{
    return evidence->spots > 0 && evidence->invalid * 20 <= evidence->spots;
}

static bool say_the_same(const LogStep *steps, int n, RbLogYards a, RbLogYards b)
{
    for (int i = 0; i < n; i++) {
        if (steps[i].has_spot && to_goal(&steps[i], a) != to_goal(&steps[i], b)) {
            return false;
        }
    }
    return true;
}

/* A rival is out when most steps deny it, or when it is denied where the best is not: what is
 * wrong in the log itself denies both alike. */
static bool is_out(const LogEvidence *rival, const LogEvidence *best)
{
    const int against = rival->all - rival->agree;
    const int best_against = best->all - best->agree;
    return rival->agree * 2 < rival->all ||
           (best_against <= 1 && against >= best_against + 3);
}

RbLogYards rb_log_steps_find(const LogStep *steps, int n, LogEvidence *best)
{
    LogEvidence all[RB_LOG_YARDS] = { 0 };
    RbLogYards found = RB_YARDS_UNKNOWN;
    *best = (LogEvidence){ 0 };
    for (int yards = RB_YARDS_WORDS; yards < RB_LOG_YARDS; yards++) {
        all[yards] = rb_log_steps_try(steps, n, (RbLogYards)yards);
        const LogEvidence *one = &all[yards];
        const bool fits =
            can_be(one) && one->agree >= STEPS_MIN && one->agree * 10 >= one->all * 9;
        if (fits && (found == RB_YARDS_UNKNOWN ||
                     one->all - one->agree < best->all - best->agree)) {
            found = (RbLogYards)yards;
            *best = *one;
        }
    }
    for (int yards = RB_YARDS_WORDS; yards < RB_LOG_YARDS; yards++) {
        if (found != RB_YARDS_UNKNOWN && yards != (int)found && can_be(&all[yards]) &&
            !is_out(&all[yards], best) &&
            !say_the_same(steps, n, found, (RbLogYards)yards)) {
            return RB_YARDS_UNKNOWN;
        }
    }
    return found;
}
