/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/route.h"

#include <glib.h>
#include <math.h>

enum { SHAPE_MAX = 3, CURVE_STEPS = 8 };

/* A point of a shape: `share` of the depth and `add` yards. */
typedef struct {
    double share;
    double add;
    double out;
} Corner;

typedef struct {
    int depth;
    double round; /* radius of the corners; 0 a planted break */
    bool settles;
    bool from_backfield; /* a back runs it straight from where he stands */
    int n;
    Corner corners[SHAPE_MAX];
} Shape;

/* clang-format off */
static const Shape shapes[] = {
    [RB_ROUTE_UNKNOWN] = { 8, 0, false, false, 1, { { 1, 0, 0 } } },
    [RB_ROUTE_HITCH] = { 6, 0, true, false, 2, { { 1, 0, 0 }, { 1, -1.2, -1.2 } } },
    [RB_ROUTE_STOP] = { 6, 0, true, false, 1, { { 1, 0, 0 } } },
    [RB_ROUTE_SLANT] = { 3, 0, false, false, 2, { { 1, 0, 0 }, { 1, 5, -8 } } },
    [RB_ROUTE_QUICK_OUT] = { 5, 0, false, false, 2, { { 1, 0, 0 }, { 1, 0, 6.5 } } },
    [RB_ROUTE_SPEED_OUT] = { 6, 2.6, false, false, 2, { { 1, 0, 0 }, { 1, 0, 7.5 } } },
    [RB_ROUTE_OUT] = { 11, 0, false, false, 2, { { 1, 0, 0 }, { 1, 0, 8 } } },
    [RB_ROUTE_COMEBACK] = { 16, 0, true, false, 2, { { 1, 0, 0 }, { 1, -3, 3.5 } } },
    [RB_ROUTE_CURL] = { 14, 0, true, false, 2, { { 1, 0, 0 }, { 1, -2, -1.8 } } },
    [RB_ROUTE_DIG] = { 13, 0, false, false, 2, { { 1, 0, 0 }, { 1, 0, -13 } } },
    [RB_ROUTE_POST] = { 11, 0, false, false, 2, { { 1, 0, 0 }, { 1, 11, -6 } } },
    [RB_ROUTE_CORNER] = { 11, 0, false, false, 2, { { 1, 0, 0 }, { 1, 9, 8 } } },
    [RB_ROUTE_GO] = { 20, 0, false, false, 1, { { 1, 0, 0 } } },
    [RB_ROUTE_FADE] = { 18, 4, false, false, 2, { { 0.3, 0, 2 }, { 1, 0, 3.5 } } },
    [RB_ROUTE_SEAM] = { 18, 0, false, false, 1, { { 1, 0, 0 } } },
    [RB_ROUTE_DRAG] = { 2, 2, false, false, 2, { { 1, 0, -2.5 }, { 1, 0, -15 } } },
    [RB_ROUTE_SHALLOW] = { 5, 3, false, false, 2, { { 1, 0, -5 }, { 1, 0, -18 } } },
    [RB_ROUTE_OVER] = { 14, 4, false, false, 3, { { 0.4, 0, 0 }, { 1, 0, -9 }, { 1, 0, -18 } } },
    [RB_ROUTE_FLAT] = { 3, 3, false, true, 2, { { 1, 0, 3.5 }, { 1, 0, 9 } } },
    [RB_ROUTE_PIVOT] = { 5, 0, false, false, 3, { { 0.4, 0, 0 }, { 1, 0, -2.5 }, { 1, 0, 6 } } },
    [RB_ROUTE_ANGLE] = { 2, 0, false, true, 2, { { 1, 0, 4.5 }, { 1, 5, -2 } } },
    [RB_ROUTE_SWING] = { -1, 5, false, true, 2, { { 0, -5, 7 }, { 1, 0, 13 } } },
    [RB_ROUTE_WHEEL] = { 3, 3, false, true, 3, { { 1, 0, 2.5 }, { 1, 0, 7 }, { 1, 16, 8 } } },
    [RB_ROUTE_SAIL] = { 13, 0, false, false, 2, { { 1, 0, 0 }, { 1, 2, 10 } } },
    [RB_ROUTE_SIT] = { 5, 0, true, false, 1, { { 1, 0, -1 } } },
    [RB_ROUTE_SCREEN] = { -1, 0, true, true, 1, { { 1, 0, -3 } } },
    [RB_ROUTE_CHECK_DOWN] = { 4, 0, true, true, 2, { { 0, -2, 2.5 }, { 1, 0, 2.5 } } },
    [RB_ROUTE_DRAWN] = { 10, 0, false, false, 1, { { 1, 0, 0 } } },
};
/* clang-format on */

/* A back lets the rush go by and works outside of it. */
static const Shape back_screen = { -1, 0, true, true, 2, { { 0, -5, 1 }, { 1, 0, 6 } } };

/* Where a back passes the tackle on his way to a route that starts at the line. */
static const RbRoutePoint around = { 4.5, -1.0 };

int rb_route_usual_depth(RbRoute route)
{
    return shapes[route].depth;
}

static void add_point(RbRoutePath *path, RbRoutePoint point)
{
    g_assert(path->n < RB_ROUTE_POINTS_MAX);
    path->points[path->n++] = point;
}

RbRoutePoint rb_route_toward(RbRoutePoint from, RbRoutePoint to, double distance)
{
    const double length = hypot(to.out - from.out, to.deep - from.deep);
    const double share = length > 0.0 ? MIN(distance / length, 0.5) : 0.0;
    return (RbRoutePoint){ from.out + (to.out - from.out) * share,
                           from.deep + (to.deep - from.deep) * share };
}

/* A corner cut by a quadratic curve that leaves and meets its legs `radius` away. */
static void add_rounded(RbRoutePath *path, RbRoutePoint before, RbRoutePoint corner,
                        RbRoutePoint after, double radius)
{
    const RbRoutePoint from = rb_route_toward(corner, before, radius);
    const RbRoutePoint to = rb_route_toward(corner, after, radius);
    for (int i = 0; i <= CURVE_STEPS; i++) {
        const double t = (double)i / CURVE_STEPS;
        const double a = (1.0 - t) * (1.0 - t);
        const double b = 2.0 * t * (1.0 - t);
        const double c = t * t;
        add_point(path, (RbRoutePoint){ a * from.out + b * corner.out + c * to.out,
                                        a * from.deep + b * corner.deep + c * to.deep });
    }
}

void rb_route_legs(RbRoute route, double depth_yd, bool back, double start_deep,
                   RbRouteLegs *legs)
{
    const Shape *shape = back && route == RB_ROUTE_SCREEN ? &back_screen : &shapes[route];
    const double depth = depth_yd != 0.0 ? depth_yd : shape->depth;
    const bool detour = back && !shape->from_backfield;
    *legs = (RbRouteLegs){ .round = shape->round, .settles = shape->settles };
    legs->corners[legs->n++] = (RbRoutePoint){ 0.0, start_deep };
    if (detour) {
        legs->corners[legs->n++] = around;
    }
    for (int i = 0; i < shape->n; i++) {
        const Corner *corner = &shape->corners[i];
        legs->corners[legs->n++] =
            (RbRoutePoint){ corner->out + (detour ? around.out : 0.0),
                            corner->share * depth + corner->add };
    }
}

/* The first point at the depth, or the nearest to it. */
static int find_break(const RbRoutePath *path, double depth)
{
    int nearest = 1;
    for (int i = 1; i < path->n; i++) {
        if (fabs(path->points[i].deep - depth) <
            fabs(path->points[nearest].deep - depth) - 1e-9) {
            nearest = i;
        }
    }
    return nearest;
}

void rb_route_path(RbRoute route, int depth_yd, bool back, double start_deep,
                   RbRoutePath *path)
{
    RbRouteLegs legs;
    rb_route_legs(route, depth_yd, back, start_deep, &legs);
    const RbRoutePoint *corners = legs.corners;
    *path = (RbRoutePath){ .settles = legs.settles };
    add_point(path, corners[0]);
    for (int i = 1; i + 1 < legs.n; i++) {
        if (legs.round > 0.0) {
            add_rounded(path, corners[i - 1], corners[i], corners[i + 1], legs.round);
        } else {
            add_point(path, corners[i]);
        }
    }
    add_point(path, corners[legs.n - 1]);
    path->break_at =
        find_break(path, depth_yd != 0 ? depth_yd : rb_route_usual_depth(route));
}

void rb_route_path_drawn(const RbDrawnPoint *points, int n, int depth_yd,
                         double start_deep, RbRoutePath *path)
{
    *path = (RbRoutePath){ .break_at = 1 };
    add_point(path, (RbRoutePoint){ 0.0, start_deep });
    for (int i = 0; i < n; i++) {
        add_point(path, (RbRoutePoint){ points[i].out_tenths / 10.0,
                                        points[i].deep_tenths / 10.0 });
    }
    if (depth_yd != 0) {
        path->break_at = find_break(path, depth_yd);
    }
}
