/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How a dropback ends: the throw, the catch, the gain. */
#include <math.h>

#include "season-play.h"

bool rb_season_chance(SeasonPlay *play, double probability)
{
    return rb_random_chance(play->random, probability);
}

int rb_season_around(SeasonPlay *play, double mean, double sd)
{
    return (int)lround(rb_random_normal(play->random, mean, sd));
}

int rb_season_at_least(int low, int value)
{
    return value < low ? low : value;
}

int rb_season_at_most(int high, int value)
{
    return value > high ? high : value;
}

/* Exponential, in whole yards. */
static int yards_after(SeasonPlay *play, double mean)
{
    return (int)(-mean * log(1.0 - rb_random_unit(play->random)));
}

bool rb_season_is_open(const SeasonPlay *play, const RbRung *rung)
{
    return play->looks[rung->slot - 1] == RB_LOOK_OPEN;
}

static void set_gain(SeasonPlay *play, int gain)
{
    const int spot = play->snap->situation.yards_to_goal;
    play->snap->has_gain = RB_YES;
    play->snap->gain = MIN(gain, spot);
    if (gain >= spot) {
        play->snap->ending = RB_ENDING_TOUCHDOWN;
    } else if (spot - gain >= 100) {
        play->snap->gain = spot - 100;
        play->snap->ending = RB_ENDING_SAFETY;
    } else if (play->snap->result != RB_RESULT_INCOMPLETE &&
               rb_season_chance(play, 0.012)) {
        play->snap->ending = RB_ENDING_FUMBLE_LOST;
    }
}

static void end_incomplete(SeasonPlay *play, RbResult result)
{
    play->snap->result = result;
    play->snap->has_gain = RB_YES;
    play->snap->gain = 0;
}

/* The gain of an interception runs to where the return ended. */
static void end_intercepted(SeasonPlay *play, int air)
{
    const int spot = play->snap->situation.yards_to_goal;
    play->snap->result = RB_RESULT_INTERCEPTED;
    play->snap->has_gain = RB_YES;
    if (rb_season_chance(play, 0.05)) {
        play->snap->ending = RB_ENDING_TOUCHDOWN_AGAINST;
        play->snap->gain = spot - 100;
    } else if (air >= spot) {
        play->snap->gain = spot + 4; /* downed in the end zone */
    } else {
        play->snap->gain = rb_season_at_least(spot - 98, air - yards_after(play, 8.0));
    }
}

static void finish(SeasonPlay *play, RbBall ball, int when_ms)
{
    play->chart->ball = ball;
    play->chart->release_ms = when_ms;
    play->chart->throw_ = RB_THROW_NONE;
    play->chart->catch_ = RB_CATCH_NONE;
    play->chart->contact = RB_CONTACT_NONE;
    play->chart->movement = RB_MOVEMENT_NONE;
}

void rb_season_sack(SeasonPlay *play, int when_ms)
{
    play->pressure_ms = rb_season_at_most(
        play->pressure_ms, when_ms - rb_random_int(play->random, 120, 300));
    finish(play, RB_BALL_SACK, when_ms);
    play->chart->contact = RB_CONTACT_SACKED;
    play->snap->result = RB_RESULT_SACK;
    set_gain(play, -rb_random_int(play->random, 3, 9));
}

void rb_season_throw_away(SeasonPlay *play, int when_ms)
{
    finish(play, RB_BALL_THROWN_AWAY, when_ms);
    play->chart->movement =
        rb_season_chance(play, 0.6) ? RB_MOVEMENT_FORCED : RB_MOVEMENT_NONE;
    end_incomplete(play, RB_RESULT_THROWN_AWAY);
}

void rb_season_scramble(SeasonPlay *play, int when_ms)
{
    finish(play, RB_BALL_SCRAMBLE, when_ms);
    play->chart->movement = RB_MOVEMENT_FORCED;
    play->snap->result = RB_RESULT_SCRAMBLE;
    set_gain(play, rb_season_at_least(
                       -3, rb_season_around(play, play->truth->struck ? 2.5 : 4.5, 3.5)));
}

/* Where the ball comes down, in yards past the line. */
static int air_of(SeasonPlay *play, const RbRung *rung)
{
    return rb_season_at_least(-2,
                              rung->read->depth_yd + rb_random_int(play->random, -1, 1));
}

static double after_catch_of(const RbRung *rung)
{
    switch ((int)rung->route) {
    case RB_ROUTE_SLANT:
    case RB_ROUTE_SHALLOW:
    case RB_ROUTE_POST:
    case RB_ROUTE_SEAM:
        return 4.5;
    case RB_ROUTE_CHECK_DOWN:
    case RB_ROUTE_FLAT:
        return 3.0;
    default:
        return 2.0;
    }
}

static void draw_throw(SeasonPlay *play, bool open, bool hit, bool near)
{
    /* on target, catchable, not catchable, tipped at the line */
    static const double close_by[] = { 0.80, 0.13, 0.05, 0.02 };
    static const double good[] = { 0.64, 0.19, 0.14, 0.03 };
    static const double tight[] = { 0.45, 0.22, 0.30, 0.03 };
    static const double hurt[] = { 0.30, 0.25, 0.40, 0.05 };
    const double *weights = hit ? hurt : !open ? tight : near ? close_by : good;
    play->chart->throw_ =
        (RbThrow)(RB_THROW_ON_TARGET + rb_random_pick(play->random, weights, 4));
}

static void draw_catch(SeasonPlay *play, bool open, bool near)
{
    /* caught, dropped, broken up, intercepted, out of bounds */
    static const double close_by[] = { 0.93, 0.05, 0.015, 0.003, 0.002 };
    static const double free_man[] = { 0.90, 0.06, 0.02, 0.01, 0.01 };
    static const double covered[] = { 0.30, 0.06, 0.48, 0.13, 0.03 };
    const double *weights = !open ? covered : near ? close_by : free_man;
    play->chart->catch_ = RB_CATCH_NONE;
    if (play->chart->throw_ == RB_THROW_NOT_CATCHABLE) {
        const bool lost = rb_season_chance(play, near ? 0.02 : 0.07);
        play->chart->catch_ = lost ? RB_CATCH_INTERCEPTED : RB_CATCH_NONE;
    } else if (play->chart->throw_ != RB_THROW_TIPPED) {
        const int drawn = rb_random_pick(play->random, weights, 5);
        play->chart->catch_ = (RbCatch)(RB_CATCH_CAUGHT + drawn);
    }
}

static void set_arrival(SeasonPlay *play, int air)
{
    /* A ball covers about 20 yards a second, from some five yards behind the line and across. */
    const double distance = hypot(air + 5.0, 12.0);
    play->truth->arrival_ms = play->chart->release_ms + (int)(distance * 50.0);
}

static void end_throw(SeasonPlay *play, const RbRung *rung, int air)
{
    const bool open = rb_season_is_open(play, rung);
    if (play->chart->catch_ == RB_CATCH_INTERCEPTED) {
        end_intercepted(play, air);
    } else if (play->chart->catch_ != RB_CATCH_CAUGHT) {
        end_incomplete(play, RB_RESULT_INCOMPLETE);
    } else {
        const bool rallied = play->truth->struck && rung->outlet;
        const int after =
            rallied ? 0 : yards_after(play, open ? after_catch_of(rung) : 0.5);
        play->snap->result = RB_RESULT_COMPLETE;
        set_gain(play, air + after);
    }
}

void rb_season_throw(SeasonPlay *play, const RbRung *rung, int when_ms)
{
    const bool late_hit = play->pressure_ms < when_ms + 100;
    const int air = air_of(play, rung);
    const bool near = air <= 4;
    finish(play, rung->slot == play->order.hot_slot ? RB_BALL_HOT : RB_BALL_READ,
           when_ms);
    play->chart->ball_read = play->chart->ball == RB_BALL_READ ? rung->slot : 0;
    play->chart->contact =
        late_hit && rb_season_chance(play, 0.4) ? RB_CONTACT_HIT : RB_CONTACT_NONE;
    draw_throw(play, rb_season_is_open(play, rung),
               play->chart->contact == RB_CONTACT_HIT, near);
    draw_catch(play, rb_season_is_open(play, rung), near);
    set_arrival(play, air);
    end_throw(play, rung, air);
    for (int i = 0; i < play->truth->n_routes; i++) {
        if (play->truth->routes[i].read == rung->slot) {
            play->truth->target = i;
        }
    }
}
