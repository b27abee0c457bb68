/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "plan.h"

/* Shapes of the routes, from where the man lines up: `in` yards downfield of the line, `out`
 * yards toward his sideline. Usual depths: common
 * practice, no source (outs at 10 to 12 and curls two yards back are printed in coaching
 * articles). */
typedef struct {
    double depth; /* usual depth of the break */
    bool settles;
    int n;
    /* Each point: share of the depth, yards added to it, yards out. */
    double points[4][3];
} Shape;

static const Shape shapes[] = {
    [RB_ROUTE_UNKNOWN] = { 8, true, 1, { { 1, 0, 0 } } },
    [RB_ROUTE_HITCH] = { 6, true, 2, { { 1, 0, 0 }, { 1, -1, -0.8 } } },
    [RB_ROUTE_STOP] = { 6, true, 2, { { 1, 0, 0 }, { 1, -0.7, 0 } } },
    [RB_ROUTE_SLANT] = { 3, false, 2, { { 1, 0, 0 }, { 1, 7, -9 } } },
    [RB_ROUTE_QUICK_OUT] = { 5, false, 2, { { 1, 0, 0 }, { 1, -0.3, 14 } } },
    [RB_ROUTE_SPEED_OUT] = { 6,
                             false,
                             4,
                             { { 1, -2, 0 },
                               { 1, -0.7, 0.9 },
                               { 1, 0, 2.6 },
                               { 1, 0, 14 } } },
    [RB_ROUTE_OUT] = { 11, false, 2, { { 1, 0, 0 }, { 1, -0.5, 16 } } },
    [RB_ROUTE_COMEBACK] = { 16, true, 2, { { 1, 0, 0 }, { 1, -3, 4.5 } } },
    [RB_ROUTE_CURL] = { 14, true, 2, { { 1, 0, 0 }, { 1, -2, -1.6 } } },
    [RB_ROUTE_DIG] = { 13, false, 2, { { 1, 0, 0 }, { 1, 0, -30 } } },
    [RB_ROUTE_POST] = { 11, false, 2, { { 1, 0, 0 }, { 1, 34, -14 } } },
    [RB_ROUTE_CORNER] = { 11, false, 2, { { 1, 0, -0.5 }, { 1, 16, 14 } } },
    [RB_ROUTE_GO] = { 20, false, 2, { { 0.3, 0, 0.8 }, { 1, 40, 1 } } },
    [RB_ROUTE_FADE] = { 18, false, 2, { { 0.3, 0, 2 }, { 1, 40, 4 } } },
    [RB_ROUTE_SEAM] = { 18, false, 2, { { 0.3, 0, 0 }, { 1, 40, 0 } } },
    [RB_ROUTE_DRAG] = { 3, false, 2, { { 0.7, 0, -2 }, { 1, 0, -40 } } },
    [RB_ROUTE_SHALLOW] = { 5, false, 2, { { 0.5, 0, -3 }, { 1, 0, -40 } } },
    [RB_ROUTE_OVER] = { 14, false, 3, { { 0.4, 0, -1 }, { 1, 0, -12 }, { 1, 2, -40 } } },
    [RB_ROUTE_FLAT] = { 3, false, 2, { { 0.4, 0, 2 }, { 1, 0, 16 } } },
    [RB_ROUTE_PIVOT] = { 5, false, 2, { { 1, 0, -2.2 }, { 1, 0, 14 } } },
    [RB_ROUTE_ANGLE] = { 3, false, 3, { { 0, -1, 3 }, { 1, 0, 5 }, { 1, 5, -6 } } },
    [RB_ROUTE_SWING] = { 1, false, 2, { { 0, -4, 6 }, { 1, 0, 16 } } },
    [RB_ROUTE_WHEEL] = { 8, false, 3, { { 0, 0, 7 }, { 0.4, 0, 9.5 }, { 1, 30, 10.5 } } },
    [RB_ROUTE_SAIL] = { 13, false, 2, { { 1, 0, 0 }, { 1, 3, 20 } } },
    [RB_ROUTE_SIT] = { 5, true, 2, { { 1, 0, -0.8 }, { 1, -0.3, -1 } } },
    [RB_ROUTE_SCREEN] = { 0, true, 1, { { 0, -1, -1.5 } } },
    [RB_ROUTE_CHECK_DOWN] = { 4, true, 2, { { 0, 0.5, 1.8 }, { 1, 0, 2.4 } } },
    [RB_ROUTE_DRAWN] = { 10, true, 1, { { 1, 0, 0 } } },
};

#define INSIDE_SIDELINE 1.2
#define ROUTE_SPEED 7.9
#define BACK_SPEED 7.2
#define CHECK_DOWN_DELAY_MS 900

static void set_path(RbDemoPlan *plan, RbDemoMan *man, RbRoute route, double depth)
{
    const Shape *shape = &shapes[route];
    const double out = man->side == RB_SIDE_LEFT ? -1.0 : 1.0;
    const double end_line = plan->yards_to_goal + RB_FIELD_END_ZONE_YD - 1.0;
    const bool back = man->runner == RB_RUNNER_BACK;
    if (depth <= 0.0) {
        depth = shape->depth;
    }
    man->path.n = shape->n;
    man->path.settles = shape->settles;
    man->path.speed = back ? BACK_SPEED : ROUTE_SPEED;
    man->path.delay_ms = route == RB_ROUTE_CHECK_DOWN && back ? CHECK_DOWN_DELAY_MS : 0;
    for (int i = 0; i < shape->n; i++) {
        const double *p = shape->points[i];
        double x = p[0] * depth + p[1];
        const double y = man->spot.y + out * p[2];
        if (x > end_line) {
            x = end_line;
            man->path.settles = true;
        }
        const double kept =
            CLAMP(y, plan->left + INSIDE_SIDELINE, plan->right - INSIDE_SIDELINE);
        if (i == shape->n - 1 && kept != y) {
            man->path.settles = true;
        }
        man->path.points[i] = (RbPoint2){ x, kept };
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
