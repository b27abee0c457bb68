/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/model/route.h"

#include "plan.h"

#define INSIDE_SIDELINE 1.2
#define ROUTE_SPEED 7.9
#define BACK_SPEED 7.2
#define CHECK_DOWN_DELAY_MS 900
#define RUN_ON_YD 30.0

/* How much of the way from `from` to `to` stays on one side of a limit. */
static double share_within(double from, double to, double limit)
{
    return (to > limit && to > from) ? (limit - from) / (to - from) : 1.0;
}

/* Adds a leg, cut where it leaves the field. Returns: whether it was whole. */
static bool add_leg(const RbDemoPlan *plan, RbDemoPath *path, RbPoint2 from, RbPoint2 to)
{
    const double end_line = plan->yards_to_goal + RB_FIELD_END_ZONE_YD - 1.0;
    const double share =
        MIN(share_within(from.x, to.x, end_line),
            MIN(share_within(from.y, to.y, plan->right - INSIDE_SIDELINE),
                share_within(-from.y, -to.y, -(plan->left + INSIDE_SIDELINE))));
    const double kept = MAX(share, 0.0);
    g_assert(path->n < RB_DEMO_WAYPOINTS);
    path->points[path->n++] =
        (RbPoint2){ from.x + kept * (to.x - from.x), from.y + kept * (to.y - from.y) };
    return share >= 1.0;
}

/* The points of a route that a runner makes for: a rounded corner is two. Returns how many. */
static int waypoints(const RbRouteLegs *legs, RbRoutePoint points[RB_DEMO_WAYPOINTS])
{
    const RbRoutePoint *corners = legs->corners;
    int n = 0;
    for (int i = 1; i < legs->n; i++) {
        if (i + 1 == legs->n || legs->round <= 0.0) {
            points[n++] = corners[i];
            continue;
        }
        points[n++] = rb_route_toward(corners[i], corners[i - 1], legs->round);
        points[n++] = rb_route_toward(corners[i], corners[i + 1], legs->round);
    }
    if (!legs->settles) {
        const RbRoutePoint last = corners[legs->n - 1];
        const RbRoutePoint before = corners[legs->n - 2];
        const double length = hypot(last.out - before.out, last.deep - before.deep);
        points[n - 1].out += RUN_ON_YD * (last.out - before.out) / length;
        points[n - 1].deep += RUN_ON_YD * (last.deep - before.deep) / length;
    }
    return n;
}

static void set_path(RbDemoPlan *plan, RbDemoMan *man, RbRoute route, double depth)
{
    const double out = man->side == RB_SIDE_LEFT ? -1.0 : 1.0;
    const bool back = man->runner == RB_RUNNER_BACK;
    RbRouteLegs legs;
    RbRoutePoint points[RB_DEMO_WAYPOINTS];
    rb_route_legs(route, MAX(depth, 0.0), back, MIN(man->spot.x, 0.0), &legs);
    const int n = waypoints(&legs, points);
    man->path = (RbDemoPath){
        .settles = legs.settles,
        .speed = back ? BACK_SPEED : ROUTE_SPEED,
        .delay_ms = route == RB_ROUTE_CHECK_DOWN && back ? CHECK_DOWN_DELAY_MS : 0,
    };
    RbPoint2 from = man->spot;
    for (int i = 0; i < n; i++) {
        const RbPoint2 to = { points[i].deep, man->spot.y + out * points[i].out };
        if (!add_leg(plan, &man->path, from, to)) {
            man->path.settles = true;
            return;
        }
        from = to;
    }
}

/* The man on that side with that number; a back of the other side rather than nobody. */
static RbDemoMan *find_runner(RbDemoPlan *plan, const RbDemoRoute *route)
{
    RbDemoMan *second = NULL;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        RbDemoMan *man = &plan->men[i];
        if (man->route >= 0) {
            continue;
        }
        if (man->runner == route->runner && man->side == route->side) {
            return man;
        }
        if (man->runner == route->runner ||
            (second == NULL &&
             (man->side == route->side || route->side == RB_SIDE_UNKNOWN))) {
            second = man;
        }
    }
    return second;
}

/* What a man does who is in no read: he holds the defence, or stays in. */
static void fill_in(RbDemoPlan *plan, RbDemoMan *man)
{
    if (man->runner == RB_RUNNER_BACK) {
        if (plan->play.rushers >= 5) {
            man->task = RB_DEMO_TASK_PROTECT;
            return;
        }
        man->task = RB_DEMO_TASK_ROUTE;
        set_path(plan, man, RB_ROUTE_CHECK_DOWN, 3.0);
        return;
    }
    if (man->tight_end && plan->play.rushers >= 6) {
        man->task = RB_DEMO_TASK_PROTECT;
        return;
    }
    man->task = RB_DEMO_TASK_ROUTE;
    const RbRoute route = man->tight_end               ? RB_ROUTE_SIT
                          : man->runner == RB_RUNNER_1 ? RB_ROUTE_GO
                                                       : RB_ROUTE_SEAM;
    set_path(plan, man, route, 0.0);
}

void rb_demo_plan_routes(RbDemoPlan *plan)
{
    plan->receiver = -1;
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        plan->men[i].route = -1;
    }
    for (int i = 0; i < plan->play.n_routes; i++) {
        const RbDemoRoute *route = &plan->play.routes[i];
        RbDemoMan *man = find_runner(plan, route);
        if (man == NULL) {
            continue;
        }
        man->route = i;
        man->task = RB_DEMO_TASK_ROUTE;
        if (man->runner == RB_RUNNER_BACK && route->side != RB_SIDE_UNKNOWN) {
            man->side = route->side;
        }
        set_path(plan, man, route->route, route->depth_yd);
        if (i == plan->play.target) {
            plan->receiver = (int)(man - plan->men);
        }
    }
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        if (plan->men[i].route < 0) {
            fill_in(plan, &plan->men[i]);
        }
    }
}
