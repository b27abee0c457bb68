/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* How everybody holds himself while he is where the moves put him. */

#define TURN_PER_S 9.0 /* radians */
#define BEND_PER_S 4.5
#define ARMS_PER_S 7.0
#define THROW_FROM_MS 260 /* before the release */
#define THROW_TO_MS 240   /* after it */
#define CATCH_FROM_MS 420
#define FALL_FROM_MS 180 /* before the whistle */
#define FALL_TO_MS 260

/* What one man's pose depends on at one frame. */
typedef struct {
    const RbDemoPlan *plan;
    const RbDemoRunner *men; /* all of them at this frame, offense's frame */
    int who;
    double ms;
    double speed;
} Moment;

static double ramp(double value, double from, double to)
{
    return CLAMP((value - from) / (to - from), 0.0, 1.0);
}

static bool is_lineman(int who)
{
    return (who >= RB_DEMO_FIRST_LINEMAN && who < RB_DEMO_FIRST_ELIGIBLE) ||
           (who >= RB_DEMO_FIRST_FRONT && who < RB_DEMO_FIRST_BACKER);
}

/* True while he is set: not while he walks up, nor after a false start. */
static bool is_down_in_stance(const Moment *now)
{
    const RbDemoPlan *plan = now->plan;
    if (plan->false_start_ms != 0) {
        const double since = now->ms - plan->false_start_ms;
        const bool jumped = since > 120.0 && now->ms < plan->set_ms - 150;
        const bool before = since > -1000.0 && since <= 120.0;
        return before || (!jumped && now->ms >= plan->set_ms - 150);
    }
    const bool shifts = plan->mover >= 0 && plan->play.motion == RB_DEMO_MOTION_NONE;
    const double early = shifts && now->who != plan->mover ? 2300.0 : 250.0;
    return now->ms >= plan->set_ms - early;
}

static void stand_before_snap(const Moment *now, RbDemoPose *wish)
{
    const int who = now->who;
    if (!is_down_in_stance(now)) {
        return;
    }
    if (is_lineman(who) || (who < RB_DEMO_OFFENSE && now->plan->men[who].tight_end)) {
        wish->crouch = 0.85;
        wish->lean = 1.15;
        wish->arms = RB_DEMO_ARMS_GROUND;
    } else if (who == 0) {
        const bool gun = now->plan->play.backfield == RB_BACKFIELD_GUN;
        wish->crouch = gun ? 0.15 : 0.42;
        wish->lean = gun ? 0.20 : 0.60;
        wish->arms = RB_DEMO_ARMS_READY;
    } else if (who < RB_DEMO_OFFENSE) {
        wish->crouch = 0.15;
        wish->lean = 0.30;
    } else {
        wish->crouch = 0.26;
        wish->lean = 0.36;
        wish->arms = RB_DEMO_ARMS_READY;
    }
}

static void hold_ball(const Moment *now, RbDemoPose *wish)
{
    const RbDemoPlan *plan = now->plan;
    if (plan->release_ms < 0 || now->ms < plan->release_ms - THROW_FROM_MS) {
        const bool runs = plan->release_ms < 0 && now->ms > plan->play.release_ms;
        wish->arms = runs && now->speed > 3.0 ? RB_DEMO_ARMS_CARRY : RB_DEMO_ARMS_HOLD;
        return;
    }
    if (now->ms < plan->release_ms + THROW_TO_MS) {
        wish->arms = RB_DEMO_ARMS_THROW;
        /* He cocks for two thirds of the time; the ball leaves at half of the swing. */
        const double from = plan->release_ms - THROW_FROM_MS / 3.0;
        wish->reach =
            0.5 * ramp(now->ms, from, plan->release_ms) +
            0.5 * ramp(now->ms, plan->release_ms, plan->release_ms + THROW_TO_MS);
    }
}

static void act_after_snap(const Moment *now, RbDemoPose *wish)
{
    const RbDemoPlan *plan = now->plan;
    const int who = now->who;
    const RbDemoMan *man = &plan->men[who];
    wish->lean = 0.10 + 0.035 * now->speed;
    if (who == 0) {
        hold_ball(now, wish);
        return;
    }
    if (who < RB_DEMO_FIRST_ELIGIBLE || man->task == RB_DEMO_TASK_PROTECT) {
        const bool works = plan->release_ms < 0 || now->ms < plan->release_ms + 400;
        wish->crouch = works ? 0.32 : 0.05;
        wish->lean = works ? 0.32 : 0.12;
        wish->arms = works ? RB_DEMO_ARMS_BLOCK : RB_DEMO_ARMS_LOOSE;
    } else if (man->task == RB_DEMO_TASK_RUSH) {
        wish->crouch = 0.15;
        wish->lean = 0.45;
        const bool engaged = man->other >= 0 &&
                             hypot(now->men[who].at.x - now->men[man->other].at.x,
                                   now->men[who].at.y - now->men[man->other].at.y) < 1.3;
        wish->arms = engaged ? RB_DEMO_ARMS_BLOCK : RB_DEMO_ARMS_LOOSE;
    } else if (who >= RB_DEMO_FIRST_BACKER && now->speed < 3.0) {
        wish->crouch = 0.18;
        wish->lean = 0.28;
        wish->arms = RB_DEMO_ARMS_READY;
    }
    const bool for_him = who == plan->receiver || who == plan->catcher;
    if (for_him && plan->arrival_ms >= 0 && now->ms > plan->arrival_ms - CATCH_FROM_MS &&
        now->ms < plan->arrival_ms + 200) {
        wish->arms = RB_DEMO_ARMS_CATCH;
        wish->reach =
            ramp(now->ms, plan->arrival_ms - CATCH_FROM_MS, plan->arrival_ms - 60);
    } else if (who == plan->catcher && now->ms >= plan->arrival_ms) {
        wish->arms = RB_DEMO_ARMS_CARRY;
    }
}

/* The man who brings the carrier down: the nearest opponent at the whistle. */
static int find_tackler(const RbDemoPlan *plan, const RbDemoRunner *men)
{
    const bool offense = plan->catcher < RB_DEMO_OFFENSE;
    const int from = offense ? RB_DEMO_FIRST_FRONT : 0;
    const int to = offense ? RB_DEMO_PLAYERS : RB_DEMO_OFFENSE;
    const RbPoint2 at = men[plan->catcher].at;
    int best = -1;
    double best_gap = 1.6;
    for (int i = from; i < to; i++) {
        const double gap = hypot(men[i].at.x - at.x, men[i].at.y - at.y);
        if (gap < best_gap) {
            best = i;
            best_gap = gap;
        }
    }
    return best;
}

/* The way he faces, in the offense's frame. */
static double facing(const Moment *now, double last)
{
    const RbDemoPlan *plan = now->plan;
    const RbDemoRunner *me = &now->men[now->who];
    const bool offense = now->who < RB_DEMO_OFFENSE;
    const double forward = offense ? 0.0 : G_PI;
    const double along = atan2(me->velocity.y, me->velocity.x);
    const RbPoint2 passer = now->men[0].at;
    const double to_passer = atan2(passer.y - me->at.y, passer.x - me->at.x);
    if (now->ms < 0.0) {
        return now->speed > 2.5 ? along : forward;
    }
    if (now->who == 0) {
        if (plan->release_ms < 0) {
            return now->ms > plan->play.release_ms && now->speed > 3.0 ? along : 0.0;
        }
        const double aim = atan2(plan->target.y - me->at.y, plan->target.x - me->at.x);
        return now->ms > plan->release_ms - 500 ? aim : 0.3 * aim;
    }
    if (is_lineman(now->who) || plan->men[now->who].task == RB_DEMO_TASK_PROTECT ||
        plan->men[now->who].task == RB_DEMO_TASK_RUSH) {
        const int other = plan->men[now->who].other;
        if (other >= 0 && (plan->release_ms < 0 || now->ms < plan->release_ms)) {
            const RbPoint2 his = now->men[other].at;
            return atan2(his.y - me->at.y, his.x - me->at.x);
        }
        return now->speed > 2.5 ? along : forward;
    }
    if (now->speed < 1.8) {
        return now->ms > 500 ? to_passer : forward;
    }
    const bool backs_up = !offense && now->speed < 5.8 && me->velocity.x > 0.0 &&
                          (plan->release_ms < 0 || now->ms < plan->release_ms);
    return backs_up ? to_passer : now->speed > 1.8 ? along : last;
}

static double approach(double value, double wish, double step)
{
    return value + CLAMP(wish - value, -step, step);
}

static double turn(double angle, double wish)
{
    const double difference = remainder(wish - angle, 2.0 * G_PI);
    const double step = TURN_PER_S * RB_DEMO_STEP_S;
    return angle + CLAMP(difference, -step, step);
}

/* Brings the pose one frame nearer to what the moment asks for. */
static void pose_step(const Moment *now, double fall, RbDemoPose *pose)
{
    const RbDemoRunner *me = &now->men[now->who];
    RbDemoPose wish = { .arms = RB_DEMO_ARMS_LOOSE, .lean = 0.04 + 0.03 * now->speed };
    if (now->ms < 0.0) {
        stand_before_snap(now, &wish);
    } else {
        act_after_snap(now, &wish);
    }
    const double step = BEND_PER_S * RB_DEMO_STEP_S;
    pose->crouch = approach(pose->crouch, wish.crouch, step);
    pose->lean = approach(pose->lean, wish.lean, 1.6 * step);
    if (wish.arms != pose->arms) {
        pose->arms_before = pose->arms;
        pose->reach_before = pose->reach;
        pose->arms = wish.arms;
        pose->arms_share = 0.0;
    }
    pose->arms_share = MIN(1.0, pose->arms_share + ARMS_PER_S * RB_DEMO_STEP_S);
    pose->reach = wish.reach;
    pose->stride = MIN(1.0, now->speed / 7.0);
    pose->down = fall;
    pose->heading = turn(pose->heading, facing(now, pose->heading));
    const double ahead =
        me->velocity.x * cos(pose->heading) + me->velocity.y * sin(pose->heading);
    const double way = ahead < -0.5 ? -1.0 : 1.0;
    pose->phase +=
        way * 2.0 * G_PI * now->speed * RB_DEMO_STEP_S / (0.9 + 0.24 * now->speed);
}

/* From the offense's frame to the field. */
static RbDemoPose to_field(const RbDemoPlan *plan, const RbDemoPose *pose, RbPoint2 at)
{
    RbDemoPose placed = *pose;
    placed.at = rb_demo_plan_to_field(plan, at);
    /* Its y axis points to the offense's right: a mirror, and a half turn when it goes left. */
    placed.heading = plan->play.attacks_right ? -pose->heading : G_PI - pose->heading;
    return placed;
}

void rb_demo_action_pose(RbDemoAction *action, const RbDemoPlan *plan,
                         const RbDemoRunner *moves)
{
    RbDemoPose poses[RB_DEMO_PLAYERS];
    for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
        poses[i] =
            (RbDemoPose){ .heading = i < RB_DEMO_OFFENSE ? 0.0 : G_PI, .phase = i * 1.7 };
    }
    const int last = MAX(0, MIN(action->marks[RB_MARK_END], action->frames - 1));
    const RbDemoRunner *at_end = moves + (size_t)last * RB_DEMO_PLAYERS;
    const bool scores = plan->play.gain >= plan->yards_to_goal;
    const bool falls = plan->catcher >= 0 && !scores;
    const int tackler = falls ? find_tackler(plan, at_end) : -1;
    for (int frame = 0; frame < action->frames; frame++) {
        const RbDemoRunner *men = moves + (size_t)frame * RB_DEMO_PLAYERS;
        const double ms = rb_demo_action_ms(action, frame);
        const double fall =
            ramp(ms, plan->end_ms - FALL_FROM_MS, plan->end_ms + FALL_TO_MS);
        for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
            const Moment now = { plan, men, i, ms,
                                 hypot(men[i].velocity.x, men[i].velocity.y) };
            const bool down = falls && (i == plan->catcher || i == tackler);
            pose_step(&now, down ? fall : 0.0, &poses[i]);
            action->poses[frame * RB_DEMO_PLAYERS + i] =
                to_field(plan, &poses[i], men[i].at);
        }
    }
}
