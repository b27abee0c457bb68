/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* When and where the ball goes, and how the play ends. */

/* Flight of a throw over `yards`: about 18 to 20 m/s (published for college passers), slower
 * over short ways because he takes something off. */
static double flight_ms(double yards)
{
    return 130.0 + 1000.0 * yards / 20.5;
}

/* Where a man who runs a route is at a time, if nothing stops him. */
static RbPoint2 on_route(const RbDemoMan *man, int ms)
{
    RbDemoRunner runner = { .at = man->spot };
    if (man->task != RB_DEMO_TASK_ROUTE) {
        return man->spot;
    }
    for (double t = man->path.delay_ms; t < ms; t += 1000.0 * RB_DEMO_STEP_S) {
        rb_demo_runner_follow(&runner, &man->path);
    }
    return runner.at;
}

static double outside_sign(const RbDemoPlan *plan)
{
    const RbDemoPlay *play = &plan->play;
    RbSide side = RB_SIDE_UNKNOWN;
    if (plan->receiver >= 0) {
        side = plan->men[plan->receiver].side;
    }
    if (side == RB_SIDE_UNKNOWN) {
        side =
            play->receivers_left > play->receivers_right ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    }
    return side == RB_SIDE_LEFT ? -1.0 : 1.0;
}

/* Where he stands when the ball leaves, or when the play catches up with him. */
static void plan_launch(RbDemoPlan *plan)
{
    const RbDemoPlay *play = &plan->play;
    const double out = outside_sign(plan);
    const double after = play->release_ms - plan->top_ms;
    plan->launch = (RbPoint2){ plan->drop.x + MIN(1.3, 0.5 * after / 450.0), 0.0 };
    if (play->play == RB_PLAY_BOOT || play->play == RB_PLAY_SPRINT_OUT) {
        plan->drop = (RbPoint2){ -6.0, out * 4.0 };
        plan->launch = (RbPoint2){ -5.0, out * 9.0 };
    } else if (play->ball == RB_BALL_OFF_SCRIPT || play->ball == RB_BALL_THROWN_AWAY) {
        plan->launch = (RbPoint2){ plan->drop.x + 1.0, out * 5.0 };
    } else if (play->ball == RB_BALL_SACK) {
        const double deepest = -(RB_FIELD_LENGTH_YD - plan->yards_to_goal + 9.0);
        const double loss = play->gain < 0 ? play->gain : -1.0;
        plan->launch = (RbPoint2){ MAX(loss, deepest), out * 1.2 };
        plan->drop.x = MIN(plan->drop.x, -5.0);
    } else if (play->ball == RB_BALL_SCRAMBLE) {
        plan->launch = (RbPoint2){ plan->drop.x + 1.2, out * 1.5 };
    }
}

/* By how much a throw misses, from its quality. */
static RbPoint2 plan_miss(const RbDemoPlan *plan, RbRandom *random)
{
    const double angle = 2.0 * G_PI * rb_random_unit(random);
    if (plan->play.throw_ == RB_THROW_NOT_CATCHABLE) {
        const double by = 2.6 + 1.2 * rb_random_unit(random);
        return (RbPoint2){ by * fabs(cos(angle)),
                           by * sin(angle) }; /* long more than short */
    }
    const double by = plan->play.throw_ == RB_THROW_CATCHABLE ? 0.8 : 0.15;
    return (RbPoint2){ by * cos(angle), by * sin(angle) };
}

static bool is_caught(const RbDemoPlan *plan)
{
    return plan->play.result == RB_RESULT_COMPLETE ||
           plan->play.catch_ == RB_CATCH_CAUGHT;
}

/* Meets the receiver: time of flight and place settle each other in a few rounds. */
static void meet(RbDemoPlan *plan)
{
    const RbDemoMan *man = &plan->men[plan->receiver];
    double flight = 500.0;
    for (int round = 0; round < 6; round++) {
        const RbPoint2 there = on_route(man, plan->release_ms + (int)flight);
        plan->target = (RbPoint2){ there.x + plan->miss.x, there.y + plan->miss.y };
        flight = flight_ms(
            hypot(plan->target.x - plan->launch.x, plan->target.y - plan->launch.y));
    }
    plan->arrival_ms = plan->release_ms + (int)flight;
}

/* A pass caught beyond where the play ended would have to be run back: the route was run
 * shorter than usual. */
static void shorten_to_gain(RbDemoPlan *plan)
{
    RbDemoMan *man = &plan->men[plan->receiver];
    for (int round = 0; round < 12; round++) {
        meet(plan);
        const double over = plan->target.x - plan->play.gain;
        if (!is_caught(plan) || over <= 0.3) {
            return;
        }
        for (int i = 0; i < man->path.n; i++) {
            man->path.points[i].x = MAX(man->path.points[i].x - over, -4.5);
        }
    }
}

/* The rushers' line is where a ball is batted down. */
static void plan_tipped(RbDemoPlan *plan)
{
    const double x = 0.4;
    const double share = (x - plan->launch.x) / (plan->target.x - plan->launch.x);
    if (plan->target.x <= x || share <= 0.0 || share >= 1.0) {
        return; /* thrown behind the line: tipped where it was caught */
    }
    plan->target.y = plan->launch.y + share * (plan->target.y - plan->launch.y);
    plan->target.x = x;
    plan->arrival_ms =
        plan->release_ms + (int)(share * (plan->arrival_ms - plan->release_ms));
}

static void plan_away(RbDemoPlan *plan)
{
    const double out = outside_sign(plan);
    plan->receiver = -1;
    plan->target = (RbPoint2){ 9.0, (out < 0.0 ? plan->left : plan->right) + out * 3.5 };
    plan->arrival_ms =
        plan->release_ms + (int)flight_ms(hypot(plan->target.x - plan->launch.x,
                                                plan->target.y - plan->launch.y));
}

/* The defender who can be nearest to a man when the ball comes; -1: all are taken. */
static int find_cover(const RbDemoPlan *plan, int receiver, RbPoint2 at)
{
    int best = -1;
    double best_gap = 0.0;
    for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
        const RbDemoMan *man = &plan->men[i];
        if (man->task == RB_DEMO_TASK_RUSH || man->tight >= 0) {
            continue;
        }
        const RbPoint2 from = man->task == RB_DEMO_TASK_MAN ? man->spot : man->landmark;
        /* From in front of a deep route nobody catches up with it. */
        const double under = MAX(0.0, at.x - from.x - 2.0);
        double gap = hypot(from.x - at.x, from.y - at.y) + under;
        if (man->task == RB_DEMO_TASK_MAN) {
            gap = man->other == receiver ? 0.0
                                         : gap + 12.0; /* he would leave his own man */
        }
        if (best < 0 || gap < best_gap) {
            best = i;
            best_gap = gap;
        }
    }
    return best;
}

static void plan_cover(RbDemoPlan *plan)
{
    const RbDemoPlay *play = &plan->play;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        const RbDemoMan *man = &plan->men[i];
        const bool contested =
            i == plan->receiver &&
            (play->catch_ == RB_CATCH_BROKEN_UP || play->catch_ == RB_CATCH_INTERCEPTED ||
             play->result == RB_RESULT_INTERCEPTED);
        const bool covered =
            man->route >= 0 && play->routes[man->route].look == RB_LOOK_COVERED;
        if (contested || covered) {
            const RbPoint2 at = on_route(man, play->release_ms);
            const int who = find_cover(plan, i, at);
            if (who >= 0) {
                plan->men[who].tight = i;
                plan->men[who].tight_at = at;
            }
        }
    }
}

static int tight_on(const RbDemoPlan *plan, int receiver)
{
    for (int i = RB_DEMO_FIRST_FRONT; i < RB_DEMO_PLAYERS; i++) {
        if (plan->men[i].tight == receiver && receiver >= 0) {
            return i;
        }
    }
    return -1;
}

/* The whistle after a run of `yards` from `from_ms` on. */
static int whistle(int from_ms, double yards)
{
    return from_ms + 350 + MIN(6500, (int)(1000.0 * yards / 6.0));
}

static void plan_run(RbDemoPlan *plan, RbPoint2 from, int from_ms, RbRandom *random)
{
    const double beyond = plan->play.gain >= plan->yards_to_goal ? 2.5 : 0.0;
    const double ahead = plan->play.gain + beyond - from.x;
    const double drift = fabs(ahead) * 0.35 * (2.0 * rb_random_unit(random) - 1.0);
    plan->spot_dead.x = plan->play.gain + beyond;
    plan->spot_dead.y = CLAMP(from.y + drift, plan->left + 0.8, plan->right - 0.8);
    plan->end_ms = whistle(from_ms, hypot(ahead, plan->spot_dead.y - from.y));
}

static void plan_no_throw(RbDemoPlan *plan, RbRandom *random)
{
    plan->catcher = 0;
    plan->receiver = -1;
    if (plan->play.ball == RB_BALL_SCRAMBLE) {
        plan_run(plan, plan->launch, plan->play.release_ms, random);
        return;
    }
    plan->spot_dead = plan->launch;
    plan->end_ms = plan->play.release_ms + 300;
}

void rb_demo_plan_throw(RbDemoPlan *plan, RbRandom *random)
{
    const RbDemoPlay *play = &plan->play;
    plan->release_ms = -1;
    plan->arrival_ms = -1;
    plan->catcher = -1;
    plan_launch(plan);
    if (play->ball == RB_BALL_SACK || play->ball == RB_BALL_SCRAMBLE ||
        play->result == RB_RESULT_SACK || play->result == RB_RESULT_SCRAMBLE) {
        plan_no_throw(plan, random);
        plan_cover(plan);
        return;
    }
    plan->release_ms = play->release_ms;
    plan->miss = plan_miss(plan, random);
    if (play->ball == RB_BALL_THROWN_AWAY || play->result == RB_RESULT_THROWN_AWAY) {
        plan_away(plan);
    } else {
        if (plan->receiver < 0) { /* nobody was named: the first man out */
            plan->receiver = RB_DEMO_FIRST_ELIGIBLE;
        }
        shorten_to_gain(plan);
        if (play->throw_ == RB_THROW_TIPPED) {
            plan_tipped(plan);
        }
    }
    plan_cover(plan);
    plan->spot_dead = plan->target;
    plan->end_ms = plan->arrival_ms + 650;
    if (is_caught(plan)) {
        plan->catcher = plan->receiver;
        plan_run(plan, plan->target, plan->arrival_ms, random);
    } else if (play->result == RB_RESULT_INTERCEPTED ||
               play->catch_ == RB_CATCH_INTERCEPTED) {
        plan->catcher = tight_on(plan, plan->receiver);
        plan->spot_dead.x -= 4.0;
        plan->end_ms = whistle(plan->arrival_ms, 4.0);
    }
}
