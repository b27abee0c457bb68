/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* Where the ball is, and where a cameraman looks. */

#define GRAVITY 10.725 /* yards a second a second: 9.80665 m/s2 */
#define GROUND_Z 0.1
#define SNAP_GUN_MS 330.0
#define SNAP_CENTRE_MS 90.0

typedef struct {
    RbPoint3 at;
    RbPoint3 velocity;
} Body;

double rb_demo_action_ms(const RbDemoAction *action, int frame)
{
    return (frame - action->snap) * 1000.0 * RB_DEMO_STEP_S;
}

static RbPoint3 between(RbPoint3 a, RbPoint3 b, double share)
{
    return (RbPoint3){ a.x + share * (b.x - a.x), a.y + share * (b.y - a.y),
                       a.z + share * (b.z - a.z) };
}

static RbPoint3 unit(RbPoint3 a, RbPoint3 otherwise)
{
    const double size = sqrt(a.x * a.x + a.y * a.y + a.z * a.z);
    return size > 0.3 ? (RbPoint3){ a.x / size, a.y / size, a.z / size } : otherwise;
}

static const RbDemoPose *pose_at(const RbDemoAction *action, int frame, int who)
{
    return &action->poses[frame * RB_DEMO_PLAYERS + who];
}

/* Where the throw ends: in the hands of who catches it, or where it was thrown. */
static RbPoint3 flight_end(const RbDemoAction *action, const RbDemoPlan *plan)
{
    const int frame = action->marks[RB_MARK_ARRIVAL];
    if (plan->catcher > 0) {
        return rb_demo_figure_hands(pose_at(action, frame, plan->catcher));
    }
    RbPoint2 at = rb_demo_plan_to_field(plan, plan->target);
    if (plan->receiver >= 0 && plan->play.throw_ != RB_THROW_TIPPED) {
        const RbDemoPose *his = pose_at(action, frame, plan->receiver);
        const RbPoint2 origin = rb_demo_plan_to_field(plan, (RbPoint2){ 0.0, 0.0 });
        const RbPoint2 miss = rb_demo_plan_to_field(plan, plan->miss);
        at = (RbPoint2){ his->at.x + miss.x - origin.x, his->at.y + miss.y - origin.y };
    }
    const double height = plan->play.throw_ == RB_THROW_TIPPED ? 2.5
                          : plan->receiver < 0                 ? 0.3
                                                               : 1.5;
    return (RbPoint3){ at.x, at.y, height };
}

/* Velocity that brings a thrown ball from `a` to `b` in that time. */
static RbPoint3 throw_velocity(RbPoint3 a, RbPoint3 b, double seconds)
{
    return (RbPoint3){ (b.x - a.x) / seconds, (b.y - a.y) / seconds,
                       (b.z - a.z) / seconds + GRAVITY * seconds / 2.0 };
}

static RbPoint3 thrown(RbPoint3 from, RbPoint3 velocity, double seconds)
{
    return (RbPoint3){ from.x + velocity.x * seconds, from.y + velocity.y * seconds,
                       from.z + velocity.z * seconds -
                           GRAVITY * seconds * seconds / 2.0 };
}

static void fall(Body *ball)
{
    ball->velocity.z -= GRAVITY * RB_DEMO_STEP_S;
    ball->at = thrown(ball->at, ball->velocity, RB_DEMO_STEP_S);
    if (ball->at.z < GROUND_Z) {
        ball->at.z = GROUND_Z;
        ball->velocity.z = fabs(ball->velocity.z) > 1.0 ? -0.45 * ball->velocity.z : 0.0;
        ball->velocity.x *= 0.6;
        ball->velocity.y *= 0.6;
    }
}

/* What is left of a throw's speed when nobody catches it. */
static void deflect(Body *ball, const RbDemoPlan *plan, RbRandom *random)
{
    if (plan->play.throw_ == RB_THROW_NOT_CATCHABLE || plan->receiver < 0) {
        return;
    }
    const double kept = 0.12 + 0.1 * rb_random_unit(random);
    ball->velocity.x = kept * ball->velocity.x + rb_random_normal(random, 0.0, 0.8);
    ball->velocity.y = kept * ball->velocity.y + rb_random_normal(random, 0.0, 0.8);
    ball->velocity.z = 1.5 + 2.0 * rb_random_unit(random);
}

/* From the grass to the hands of the quarterback. */
static RbPoint3 snapped(const RbDemoAction *action, const RbDemoPlan *plan, int frame)
{
    const RbPoint2 spot = rb_demo_plan_to_field(plan, (RbPoint2){ -0.15, 0.0 });
    const RbPoint3 start = { spot.x, spot.y, GROUND_Z + 0.02 };
    const double ms = rb_demo_action_ms(action, frame);
    const bool gun = plan->play.backfield == RB_BACKFIELD_GUN;
    if (ms <= 0.0) {
        return start;
    }
    const RbPoint3 hands = rb_demo_figure_hands(pose_at(action, frame, 0));
    const double share = CLAMP(ms / (gun ? SNAP_GUN_MS : SNAP_CENTRE_MS), 0.0, 1.0);
    RbPoint3 at = between(start, hands, share);
    at.z += gun ? 0.5 * share * (1.0 - share) : 0.0;
    return at;
}

void rb_demo_action_ball(RbDemoAction *action, const RbDemoPlan *plan, RbRandom *random)
{
    const int release = action->marks[RB_MARK_RELEASE];
    const int arrival = action->marks[RB_MARK_ARRIVAL];
    const double way = plan->play.attacks_right ? 1.0 : -1.0;
    RbPoint3 axis = { way, 0.0, 0.0 };
    Body ball = { .velocity = { 0.0, 0.0, 0.0 } };
    RbPoint3 from = { 0.0, 0.0, 0.0 };
    RbPoint3 velocity = { 0.0, 0.0, 0.0 };
    for (int frame = 0; frame < action->frames; frame++) {
        const double since = (frame - release) * RB_DEMO_STEP_S;
        if (release < 0 || frame <= release) {
            ball.at = snapped(action, plan, frame);
            if (frame == release) {
                from = ball.at;
                velocity = throw_velocity(from, flight_end(action, plan),
                                          (arrival - release) * RB_DEMO_STEP_S);
            }
        } else if (frame <= arrival) {
            ball.at = thrown(from, velocity, since);
            ball.velocity = velocity;
            ball.velocity.z -= GRAVITY * since;
            axis = unit(ball.velocity, axis);
            if (frame == arrival) {
                deflect(&ball, plan, random);
            }
        } else if (plan->catcher > 0) {
            ball.at = rb_demo_figure_hands(pose_at(action, frame, plan->catcher));
        } else {
            fall(&ball);
            axis = unit(ball.velocity, axis);
        }
        action->ball[frame] = ball.at;
        action->ball_axis[frame] = axis;
    }
}

/* Eye of the cameraman: ahead of the line while the quarterback holds the ball, then after
 * the ball, never faster than a tripod turns. */
void rb_demo_action_focus(RbDemoAction *action, const RbDemoPlan *plan)
{
    const double stiffness = 13.0; /* a second, squared: of a damped spring */
    const double damping = 2.0 * sqrt(stiffness);
    const RbPoint2 line = rb_demo_plan_to_field(plan, (RbPoint2){ 3.0, 0.0 });
    const int release = action->marks[RB_MARK_RELEASE];
    const int arrival = action->marks[RB_MARK_ARRIVAL];
    RbPoint2 eye = line;
    RbPoint2 velocity = { 0.0, 0.0 };
    for (int frame = 0; frame < action->frames; frame++) {
        RbPoint2 wish = line;
        const RbPoint3 ball = action->ball[frame];
        if (release >= 0 && frame > release) {
            /* He sees where the throw goes before it is there. */
            const RbPoint3 end = action->ball[MIN(arrival, action->frames - 1)];
            const bool flies = frame < arrival;
            wish.x = flies ? 0.3 * ball.x + 0.7 * end.x : ball.x;
            wish.y = flies ? 0.3 * ball.y + 0.7 * end.y : ball.y;
            wish.x = 0.12 * line.x + 0.88 * wish.x;
        } else if (release < 0 && frame > action->snap + 120) {
            wish = (RbPoint2){ 0.6 * ball.x + 0.4 * line.x, ball.y };
        }
        velocity.x +=
            (stiffness * (wish.x - eye.x) - damping * velocity.x) * RB_DEMO_STEP_S;
        velocity.y +=
            (stiffness * (wish.y - eye.y) - damping * velocity.y) * RB_DEMO_STEP_S;
        eye.x += velocity.x * RB_DEMO_STEP_S;
        eye.y += velocity.y * RB_DEMO_STEP_S;
        action->focus[frame] = eye;
    }
}

static void set_marks(RbDemoAction *action, const RbDemoPlan *plan)
{
    action->snap = rb_demo_plan_frame(plan, 0);
    action->frames = rb_demo_plan_frame(plan, plan->last_ms) + 1;
    action->marks[RB_MARK_SET] = rb_demo_plan_frame(plan, plan->set_ms);
    action->marks[RB_MARK_SNAP] = action->snap;
    action->marks[RB_MARK_TOP] = rb_demo_plan_frame(plan, plan->top_ms);
    action->marks[RB_MARK_RELEASE] = -1;
    action->marks[RB_MARK_ARRIVAL] = -1;
    if (plan->release_ms >= 0) {
        const int release = rb_demo_plan_frame(plan, plan->release_ms);
        action->marks[RB_MARK_RELEASE] = release;
        action->marks[RB_MARK_ARRIVAL] =
            MAX(release + 2, rb_demo_plan_frame(plan, plan->arrival_ms));
    }
    action->marks[RB_MARK_END] = rb_demo_plan_frame(plan, plan->end_ms);
}

RbDemoAction *rb_demo_action_new(const RbDemoPlan *plan, RbRandom *random)
{
    RbDemoAction *action = g_new0(RbDemoAction, 1);
    set_marks(action, plan);
    const double way = plan->play.attacks_right ? 1.0 : -1.0;
    action->attacks_right = plan->play.attacks_right;
    action->line_x = plan->ball.x;
    action->gain_x =
        plan->ball.x + way * MIN(plan->play.distance, plan->play.yards_to_goal);
    const size_t frames = (size_t)action->frames;
    action->poses = g_new0(RbDemoPose, frames * RB_DEMO_PLAYERS);
    action->ball = g_new0(RbPoint3, frames);
    action->ball_axis = g_new0(RbPoint3, frames);
    action->focus = g_new0(RbPoint2, frames);
    RbDemoRunner *moves = rb_demo_moves_new(plan, action->frames, action->snap);
    rb_demo_action_pose(action, plan, moves);
    rb_demo_action_ball(action, plan, random);
    rb_demo_action_focus(action, plan);
    g_free(moves);
    return action;
}

void rb_demo_action_free(RbDemoAction *action)
{
    if (action == NULL) {
        return;
    }
    g_free(action->poses);
    g_free(action->ball);
    g_free(action->ball_axis);
    g_free(action->focus);
    g_free(action);
}
