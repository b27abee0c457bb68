/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* Every man's way through the snap, one frame after the other. */

#define REACTION_MS 260 /* until the defence sees that the ball is gone */
#define OPEN_YD 3.7     /* nobody comes nearer to a man who is open */
#define CONTACT_YD 1.15
#define BODY_YD 0.62
#define PUSH_YD 0.005 /* most that bodies move each other in a frame */

typedef struct {
    const RbDemoPlan *plan;
    RbDemoRunner men[RB_DEMO_PLAYERS];
    int ms; /* after the snap */
} State;

static double gap(RbPoint2 a, RbPoint2 b)
{
    return hypot(a.x - b.x, a.y - b.y);
}

static RbPoint2 mix(RbPoint2 a, RbPoint2 b, double share)
{
    return (RbPoint2){ a.x + share * (b.x - a.x), a.y + share * (b.y - a.y) };
}

static RbPoint2 ahead(const RbDemoRunner *runner, double seconds)
{
    return (RbPoint2){ runner->at.x + seconds * runner->velocity.x,
                       runner->at.y + seconds * runner->velocity.y };
}

/* A point `distance` from `centre` on the line to `other`. */
static RbPoint2 beside(RbPoint2 centre, RbPoint2 other, double distance)
{
    const double length = gap(centre, other);
    return length > 1e-6 ? mix(centre, other, distance / length)
                         : (RbPoint2){ centre.x + distance, centre.y };
}

static void move_in_motion(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    const RbDemoMan *man = &plan->men[who];
    RbDemoRunner *runner = &state->men[who];
    const double speed = plan->play.motion == RB_DEMO_MOTION_JET ? 6.5 : 5.5;
    const bool crosses = runner->at.y * man->spot.y < 0.0 && fabs(runner->at.y) > 0.8;
    const double behind = plan->play.motion == RB_DEMO_MOTION_ORBIT ? -7.8 : -3.1;
    if (crosses) {
        const RbPoint2 via = { behind, man->spot.y > 0.0 ? 1.0 : -1.0 };
        rb_demo_runner_steer(runner, (RbPoint2){ speed * (via.x - runner->at.x) /
                                                     MAX(1.0, gap(via, runner->at)),
                                                 speed * (via.y - runner->at.y) /
                                                     MAX(1.0, gap(via, runner->at)) });
    } else {
        rb_demo_runner_go(runner, man->spot, speed);
    }
}

static void move_before_snap(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    const RbDemoMan *man = &plan->men[who];
    RbDemoRunner *runner = &state->men[who];
    const bool mover = who == plan->mover;
    const bool shift = mover && plan->play.motion == RB_DEMO_MOTION_NONE;
    if (shift) {
        const bool gone = state->ms >= plan->set_ms - 2100;
        rb_demo_runner_go(runner, gone ? man->spot : man->before, 6.0);
        return;
    }
    if (mover && state->ms >= plan->motion_ms) {
        move_in_motion(state, who);
        return;
    }
    const int since = state->ms - plan->false_start_ms;
    if (plan->false_start_ms != 0 && who == RB_DEMO_FIRST_LINEMAN && since >= 0 &&
        since < 450) {
        rb_demo_runner_go(runner, (RbPoint2){ man->spot.x + 0.9, man->spot.y }, 4.0);
        return;
    }
    rb_demo_runner_go(runner, man->before, 1.8);
}

static void move_passer(State *state)
{
    const RbDemoPlan *plan = state->plan;
    RbDemoRunner *runner = &state->men[0];
    const int until = plan->play.release_ms;
    RbPoint2 target = plan->launch;
    if (state->ms < plan->top_ms) {
        const double t = (double)state->ms / plan->top_ms;
        target = mix(plan->men[0].spot, plan->drop, t * t * (3.0 - 2.0 * t));
    } else if (state->ms < until) {
        const double t = (double)(state->ms - plan->top_ms) / (until - plan->top_ms);
        target = mix(plan->drop, plan->launch, t);
    } else if (plan->catcher == 0 && plan->play.ball == RB_BALL_SCRAMBLE) {
        const double left = (plan->end_ms - state->ms) / 1000.0;
        const double speed = gap(plan->spot_dead, runner->at) / MAX(left, 0.15);
        rb_demo_runner_go(runner, plan->spot_dead, MIN(speed * 1.15, 7.8));
        return;
    }
    /* A frame's worth toward the planned place, as fast as a man can. */
    const RbPoint2 wish = { (target.x - runner->at.x) / (4.0 * RB_DEMO_STEP_S),
                            (target.y - runner->at.y) / (4.0 * RB_DEMO_STEP_S) };
    const double size = hypot(wish.x, wish.y);
    const double most = 6.8;
    rb_demo_runner_steer(
        runner,
        size > most ? (RbPoint2){ wish.x * most / size, wish.y * most / size } : wish);
}

static bool is_gone(const State *state)
{
    return state->plan->release_ms >= 0 && state->ms > state->plan->release_ms;
}

static void move_blocker(State *state, int who)
{
    const RbDemoMan *man = &state->plan->men[who];
    RbDemoRunner *runner = &state->men[who];
    const RbPoint2 passer = state->men[0].at;
    if (is_gone(state)) { /* a few steps after the ball */
        rb_demo_runner_steer(runner, (RbPoint2){ 2.0, 0.0 });
        return;
    }
    if (man->other < 0) {
        rb_demo_runner_go(runner, (RbPoint2){ man->spot.x - 1.3, 0.85 * man->spot.y },
                          3.0);
        return;
    }
    const RbDemoRunner *rusher = &state->men[man->other];
    const bool beaten =
        man->other == state->plan->beaten && state->ms >= state->plan->free_ms;
    RbPoint2 target = beside(rusher->at, passer, 0.85);
    target.x = MIN(target.x, man->spot.x - 0.3);
    target.x = MAX(target.x, passer.x + 1.0);
    rb_demo_runner_go(runner, target, beaten ? 2.2 : 4.6);
}

/* The rusher who gets through comes when the chart says that the pressure came. */
static void rush_free(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    RbDemoRunner *runner = &state->men[who];
    const RbPoint2 passer = state->men[0].at;
    const bool sack = plan->play.ball == RB_BALL_SACK;
    const double reach = sack ? 0.55 : 1.5;
    const int due = plan->play.pressure_ms > 0 ? plan->play.pressure_ms : 1700;
    const double left = (due - state->ms) / 1000.0;
    const double way = gap(passer, runner->at) - reach;
    const double speed = CLAMP(1.2 * way / MAX(left, 0.1), 1.5, 7.3);
    rb_demo_runner_keep(runner, beside(passer, runner->at, reach), state->men[0].velocity,
                        speed);
}

static void move_rusher(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    const RbDemoMan *man = &plan->men[who];
    RbDemoRunner *runner = &state->men[who];
    const RbPoint2 passer = state->men[0].at;
    if (is_gone(state)) {
        rb_demo_runner_go(runner, mix(runner->at, plan->target, 0.5), 2.5);
        return;
    }
    if (who == plan->beaten && state->ms >= plan->free_ms) {
        rush_free(state, who);
        return;
    }
    if (gap(runner->at, passer) < 2.6) {
        rb_demo_runner_steer(runner, (RbPoint2){ 0.0, 0.0 });
        return;
    }
    double speed = 5.4;
    if (man->other >= 0 && gap(runner->at, state->men[man->other].at) < CONTACT_YD) {
        speed = 1.1 + 0.5 * sin(state->ms / 170.0 + who); /* hand fighting */
    }
    /* The ends take the outside way round. */
    RbPoint2 target = passer;
    if (fabs(man->spot.y) > 4.0 && runner->at.x > passer.x + 1.5) {
        target.y += man->spot.y > 0.0 ? 2.6 : -2.6;
    }
    rb_demo_runner_go(runner, target, speed);
}

/* Pursues whoever has the ball, or slows to a walk when nobody has. */
static void move_after(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    RbDemoRunner *runner = &state->men[who];
    if (plan->catcher < 0 || state->ms > plan->end_ms) {
        rb_demo_runner_steer(runner, (RbPoint2){ 0.0, 0.0 });
        return;
    }
    const RbDemoRunner *carrier = &state->men[plan->catcher];
    const bool chases = (plan->catcher < RB_DEMO_OFFENSE) != (who < RB_DEMO_OFFENSE);
    const RbPoint2 meeting = ahead(carrier, 0.35);
    if (chases) {
        rb_demo_runner_keep(runner, beside(meeting, runner->at, 0.6), carrier->velocity,
                            8.4);
    } else {
        rb_demo_runner_go(runner, beside(meeting, runner->at, 4.0), 4.0);
    }
}

static void move_carrier(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    RbDemoRunner *runner = &state->men[who];
    const double left = (plan->end_ms - state->ms) / 1000.0;
    const double way = gap(plan->spot_dead, runner->at);
    rb_demo_runner_go(runner, plan->spot_dead,
                      left > 0.0 ? CLAMP(1.2 * way / MAX(left, 0.1), 1.0, 8.2) : 1.0);
}

static void move_receiver(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    const RbDemoMan *man = &plan->men[who];
    RbDemoRunner *runner = &state->men[who];
    const bool turned = is_gone(state) && state->ms > plan->release_ms + 500;
    if (state->ms < man->path.delay_ms) {
        rb_demo_runner_go(runner, (RbPoint2){ man->spot.x + 0.6, man->spot.y }, 2.0);
    } else if (turned && who != plan->receiver) {
        rb_demo_runner_go(runner, mix(runner->at, plan->target, 0.4), 4.5);
    } else {
        rb_demo_runner_follow(runner, &man->path);
    }
}

/* Man coverage: on the hips, from the cushion he started with. */
static RbPoint2 man_place(const State *state, int who, double *speed)
{
    const RbDemoMan *man = &state->plan->men[who];
    const RbDemoRunner *his = &state->men[man->other];
    const RbDemoMan *other = &state->plan->men[man->other];
    const double seconds = state->ms / 1000.0;
    const double cushion =
        MAX(1.0, man->spot.x - other->spot.x - 2.6 * MAX(0.0, seconds - 0.3));
    const double inside = man->spot.y > other->spot.y ? 0.6 : -0.6;
    RbPoint2 place = ahead(his, 0.2);
    place.x += cushion;
    place.y += inside;
    if (other->task == RB_DEMO_TASK_PROTECT) { /* his man stays in: he watches */
        place = (RbPoint2){ 4.0, his->at.y };
    }
    *speed = state->ms < 600 ? 5.5 : 8.7;
    return place;
}

/* Zones: to the spot, eyes on the passer; then toward the man who comes into it, and over the
 * top of him for those who are deep. */
static RbPoint2 zone_place(const State *state, int who, double *speed)
{
    const RbDemoMan *man = &state->plan->men[who];
    const bool deep = man->task == RB_DEMO_TASK_DEEP;
    RbPoint2 place = man->landmark;
    double nearest = deep ? 9.0 : 5.5;
    double deepest = 0.0;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        const RbPoint2 his = ahead(&state->men[i], 0.25);
        const double off = deep ? fabs(his.y - man->landmark.y) : gap(his, man->landmark);
        if (state->ms < 900 || off > nearest || (deep && his.x < 6.0)) {
            continue;
        }
        nearest = deep ? nearest : off;
        if (deep && his.x > deepest) {
            deepest = his.x;
            place.y = 0.5 * (man->landmark.y + his.y);
        } else if (!deep) {
            place = mix(man->landmark, his, 0.55);
            place.x += 0.6;
        }
    }
    if (deep) {
        const double back = state->plan->yards_to_goal + RB_FIELD_END_ZONE_YD - 1.0;
        place.x = MIN(MAX(place.x, deepest + 3.0), back);
    }
    *speed = state->ms < 700 ? 5.2 : deep ? 7.6 : 6.8;
    return place;
}

/* Keeps the reads that are to be open open. */
static void leave_open(const State *state, int who, RbPoint2 *place)
{
    const RbDemoPlan *plan = state->plan;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        const int route = plan->men[i].route;
        if (route < 0 || plan->play.routes[route].look != RB_LOOK_OPEN ||
            plan->men[who].tight == i || state->ms < 800) {
            continue;
        }
        const bool thrown = is_gone(state) && i == plan->receiver;
        const double distance = thrown ? 2.2 : OPEN_YD;
        const RbPoint2 his = ahead(&state->men[i], 0.15);
        if (gap(*place, his) < distance || gap(state->men[who].at, his) < distance) {
            *place = beside(his, state->men[who].at, distance + 0.6);
        }
    }
}

/* A read that is covered: its man is met where he is going, then run with. False while
 * there is time for his own task. */
static bool cover_tightly(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    const RbDemoMan *man = &plan->men[who];
    RbDemoRunner *runner = &state->men[who];
    const RbDemoRunner *his = &state->men[man->tight];
    const double left = (plan->play.release_ms - state->ms) / 1000.0;
    RbPoint2 place = ahead(his, 0.05);
    place.x += 0.7;
    place.y += place.y > 0.0 ? -0.4 : 0.4;
    if (left < 0.75 || gap(runner->at, his->at) < 2.5) {
        rb_demo_runner_keep(runner, place, his->velocity, 8.9);
        return true;
    }
    const RbPoint2 meeting = { man->tight_at.x + 1.0, man->tight_at.y };
    if (left > 1.0 + gap(runner->at, meeting) / 4.0) {
        return false;
    }
    rb_demo_runner_go(runner, meeting, 8.4);
    return true;
}

static void move_cover(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    const RbDemoMan *man = &plan->men[who];
    RbDemoRunner *runner = &state->men[who];
    double speed = 0.0;
    RbPoint2 place = man->task == RB_DEMO_TASK_MAN ? man_place(state, who, &speed)
                                                   : zone_place(state, who, &speed);
    if (is_gone(state) && state->ms > plan->release_ms + REACTION_MS &&
        man->task != RB_DEMO_TASK_MAN) {
        place = plan->target;
        speed = 7.4;
    }
    if (man->tight >= 0 && cover_tightly(state, who)) {
        return;
    }
    if (man->tight < 0) {
        leave_open(state, who, &place);
    }
    rb_demo_runner_go(runner, place, speed);
}

static void move_after_snap(State *state, int who)
{
    const RbDemoPlan *plan = state->plan;
    const bool over = plan->arrival_ms >= 0 ? state->ms > plan->arrival_ms
                                            : state->ms > plan->play.release_ms;
    if (who == 0 && !(over && plan->catcher > 0)) {
        move_passer(state);
        return;
    }
    if (over && who == plan->catcher) {
        move_carrier(state, who);
        return;
    }
    if (over) {
        move_after(state, who);
        return;
    }
    switch (plan->men[who].task) {
    case RB_DEMO_TASK_PASS:
        break;
    case RB_DEMO_TASK_PROTECT:
        move_blocker(state, who);
        break;
    case RB_DEMO_TASK_ROUTE:
        move_receiver(state, who);
        break;
    case RB_DEMO_TASK_RUSH:
        move_rusher(state, who);
        break;
    case RB_DEMO_TASK_MAN:
    case RB_DEMO_TASK_ZONE:
    case RB_DEMO_TASK_DEEP:
        move_cover(state, who);
        break;
    }
}

/* Two bodies cannot be at one place: each gives way a little. */
static void separate(State *state)
{
    RbPoint2 push[RB_DEMO_PLAYERS] = { { 0.0, 0.0 } };
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        for (int k = 0; k < i; k++) {
            const RbPoint2 a = state->men[i].at;
            const RbPoint2 b = state->men[k].at;
            const double distance = gap(a, b);
            if (distance >= BODY_YD || distance < 1e-6) {
                continue;
            }
            const double by = (BODY_YD - distance) / distance;
            push[i].x += by * (a.x - b.x);
            push[i].y += by * (a.y - b.y);
            push[k].x -= by * (a.x - b.x);
            push[k].y -= by * (a.y - b.y);
        }
    }
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        const double size = hypot(push[i].x, push[i].y);
        const double share = size > PUSH_YD ? PUSH_YD / size : 1.0;
        state->men[i].at.x += share * push[i].x;
        state->men[i].at.y += share * push[i].y;
    }
}

RbDemoRunner *rb_demo_moves_new(const RbDemoPlan *plan, int frames, int snap)
{
    RbDemoRunner *moves = g_new(RbDemoRunner, (size_t)frames * RB_DEMO_PLAYERS);
    State state = { .plan = plan };
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        state.men[i] = (RbDemoRunner){ .at = plan->men[i].start };
    }
    for (int frame = 0; frame < frames; frame++) {
        state.ms = (int)lround((frame - snap) * 1000.0 * RB_DEMO_STEP_S);
        for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
            moves[frame * RB_DEMO_PLAYERS + i] = state.men[i];
        }
        for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
            if (state.ms < 0) {
                move_before_snap(&state, i);
            } else {
                move_after_snap(&state, i);
            }
        }
        separate(&state);
    }
    return moves;
}
