/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* Yards a second a second. A man stops and cuts harder than he starts. */
#define START 6.5
#define CUT 12.0
/* Of the distance left, a second: how a man slows down to a spot. */
#define APPROACH 3.0
#define REACHED_YD 0.5
#define BREAK_SPEED 2.5

static RbPoint2 scaled(RbPoint2 v, double by)
{
    return (RbPoint2){ v.x * by, v.y * by };
}

static RbPoint2 toward(RbPoint2 from, RbPoint2 to, double length)
{
    const double distance = hypot(to.x - from.x, to.y - from.y);
    const RbPoint2 way = { to.x - from.x, to.y - from.y };
    return distance > 1e-9 ? scaled(way, length / distance) : (RbPoint2){ 0.0, 0.0 };
}

void rb_demo_runner_steer(RbDemoRunner *runner, RbPoint2 velocity)
{
    RbPoint2 change = { velocity.x - runner->velocity.x,
                        velocity.y - runner->velocity.y };
    const double size = hypot(change.x, change.y);
    const double along = change.x * runner->velocity.x + change.y * runner->velocity.y;
    const double most = (along >= 0.0 ? START : CUT) * RB_DEMO_STEP_S;
    if (size > most) {
        change = scaled(change, most / size);
    }
    runner->velocity.x += change.x;
    runner->velocity.y += change.y;
    const double speed = hypot(runner->velocity.x, runner->velocity.y);
    const double limit = RB_DEMO_SPEED_MAX - 0.4; /* the rest is for being pushed */
    if (speed > limit) {
        runner->velocity = scaled(runner->velocity, limit / speed);
    }
    runner->at.x += runner->velocity.x * RB_DEMO_STEP_S;
    runner->at.y += runner->velocity.y * RB_DEMO_STEP_S;
}

void rb_demo_runner_go(RbDemoRunner *runner, RbPoint2 target, double speed)
{
    const double distance = hypot(target.x - runner->at.x, target.y - runner->at.y);
    rb_demo_runner_steer(runner,
                         toward(runner->at, target, MIN(speed, APPROACH * distance)));
}

void rb_demo_runner_keep(RbDemoRunner *runner, RbPoint2 target, RbPoint2 velocity,
                         double speed)
{
    const RbPoint2 wish = { velocity.x + APPROACH * (target.x - runner->at.x),
                            velocity.y + APPROACH * (target.y - runner->at.y) };
    const double size = hypot(wish.x, wish.y);
    rb_demo_runner_steer(runner, size > speed ? scaled(wish, speed / size) : wish);
}

/* How fast he can still be at a waypoint, by how sharply he turns there. */
static double corner_speed(const RbDemoPath *path, RbPoint2 from, int waypoint)
{
    if (waypoint == path->n - 1) {
        return path->settles ? 0.8 : path->speed;
    }
    const RbPoint2 in = toward(from, path->points[waypoint], 1.0);
    const RbPoint2 out = toward(path->points[waypoint], path->points[waypoint + 1], 1.0);
    const double cosine = in.x * out.x + in.y * out.y;
    return cosine < -0.3 ? 1.8 : cosine < 0.5 ? 3.4 : cosine < 0.9 ? 5.5 : path->speed;
}

void rb_demo_runner_follow(RbDemoRunner *runner, const RbDemoPath *path)
{
    if (runner->waypoint < path->n) {
        const RbPoint2 next = path->points[runner->waypoint];
        if (hypot(next.x - runner->at.x, next.y - runner->at.y) < REACHED_YD) {
            runner->waypoint++;
        }
    }
    if (runner->waypoint >= path->n) {
        const RbPoint2 last = path->points[path->n - 1];
        if (path->settles) {
            rb_demo_runner_go(runner, last, 3.0);
        } else {
            rb_demo_runner_steer(runner,
                                 toward((RbPoint2){ 0, 0 }, runner->velocity, 5.0));
        }
        return;
    }
    const RbPoint2 next = path->points[runner->waypoint];
    const double distance = hypot(next.x - runner->at.x, next.y - runner->at.y);
    const double corner = corner_speed(path, runner->at, runner->waypoint);
    double speed = MIN(path->speed, sqrt(corner * corner + 2.0 * 0.8 * CUT * distance));
    const RbPoint2 way = toward(runner->at, next, 1.0);
    const double now = hypot(runner->velocity.x, runner->velocity.y);
    const double along = way.x * runner->velocity.x + way.y * runner->velocity.y;
    if (now > 1.0 && along < 0.6 * now) {
        speed = MIN(speed, BREAK_SPEED); /* first the old way must end */
    }
    rb_demo_runner_steer(runner, toward(runner->at, next, speed));
}
