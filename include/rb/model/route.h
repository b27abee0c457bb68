/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/model/concept.h"

/* The shapes of the routes, in yards. Usual depths and shapes: common practice, no source
 * (outs at 10 to 12 yards and curls that come back two are printed in coaching articles). */

/* `deep`: downfield of the line of scrimmage, negative behind it; `out`: from where the man
 * lines up toward his own sideline, negative toward the middle. */
typedef struct {
    double out;
    double deep;
} RbRoutePoint;

enum { RB_ROUTE_POINTS_MAX = 48, RB_ROUTE_CORNERS_MAX = 5 };

/* A route as straight legs between its corners. */
typedef struct {
    RbRoutePoint corners[RB_ROUTE_CORNERS_MAX]; /* from where he lines up */
    int n;                                      /* at least 2 */
    double round; /* how far before and after a corner he leaves the legs; 0: planted */
    bool settles; /* he stops at the end; else he runs on as the last leg points */
} RbRouteLegs;

typedef struct {
    RbRoutePoint points[RB_ROUTE_POINTS_MAX]; /* from where he lines up */
    int n;                                    /* at least 2 */
    int break_at; /* the point that lies at the depth of the route */
    bool settles; /* he stops at the end; else he runs on */
} RbRoutePath;

/* Where the break usually is; below 0 behind the line. */
int rb_route_usual_depth(RbRoute route);

/* depth_yd: of the break; 0 for the usual one. back: he starts in the backfield and first has to
 * get around the protection. start_deep: where he lines up, 0 or below. */
void rb_route_legs(RbRoute route, double depth_yd, bool back, double start_deep,
                   RbRouteLegs *legs);
/* The point `distance` from `from` on the way to `to`, at most half the way. */
RbRoutePoint rb_route_toward(RbRoutePoint from, RbRoutePoint to, double distance);

/* The same as a line to draw, its rounded corners in short steps. */
void rb_route_path(RbRoute route, int depth_yd, bool back, double start_deep,
                   RbRoutePath *path);
/* The same of a route drawn freely, with at least one point; the break is the point at the depth,
 * or without a depth the first. */
void rb_route_path_drawn(const RbDrawnPoint *points, int n, int depth_yd,
                         double start_deep, RbRoutePath *path);
