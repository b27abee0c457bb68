/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/model/route.h"
#include "rb/read/order.h"
#include "rb/report/palette.h"

typedef struct _cairo cairo_t; /* as in cairo.h: only who draws needs that header */

/* One concept on the field, at true yards: line of scrimmage, hash marks and numbers, the
 * eleven, the routes with the numbers of their reads, and what the defence presents. The
 * offense attacks up the page, so left is left. */

/* The field's marks, in yards from the nearer sideline. What they are depends on the rules; who
 * draws knows them. */
typedef struct {
    double width_yd;
    double hash_yd;
    double number_bottom_yd; /* the numbers' outer ends */
    double number_top_yd;
} RbDiagramField;

typedef enum {
    RB_DRAWN_LIVE,
    RB_DRAWN_CLEAR_OUT, /* thin */
    RB_DRAWN_DROPPED,   /* by a rule: thin, its number struck through */
} RbDrawnAs;

/* One read's route. */
typedef struct {
    int number; /* in the circle at the end of the route; 0 no circle */
    RbRoute route;
    RbRunner runner;
    RbSide side;  /* of the field; unknown: a back who starts in the middle goes right */
    int depth_yd; /* of the break; 0 the usual one */
    RbDrawnPoint points[RB_POINTS_MAX]; /* of a route drawn freely */
    int n_points;
    RbDrawnAs as;
    bool converted; /* another route than the concept's own: dashed */
    bool first;     /* the read to look at first: in the accent colour */
} RbDiagramRoute;

enum { RB_DIAGRAM_ROUTES_MAX = 2 * RB_READS_MAX };

typedef struct {
    RbDiagramField field;
    RbHash hash; /* unknown: the middle */
    RbBackfield backfield;
    RbWidth width;
    int left; /* receivers on that side, 0 to 4 */
    int right;
    RbDiagramRoute routes[RB_DIAGRAM_ROUTES_MAX];
    int n_routes;
    RbPictureShown shown; /* what is unknown is not drawn */
    const char *font;     /* borrowed, nullable: Sans */
    double text_size;     /* in user units; 0: 10 */
} RbDiagram;

/* The concept as it is written, worked to `side` (unknown: right), from two receivers on each
 * side or as many as its runners ask for. */
RbDiagram rb_diagram_of_concept(const RbConcept *concept, const RbDiagramField *field,
                                RbSide side);
/* Replaces the routes by those of an order in force. */
void rb_diagram_take_order(RbDiagram *diagram, const RbOrder *order);

/* A place on the field: yards from the left sideline and downfield of the line. */
typedef struct {
    double across;
    double deep;
} RbYards;

double rb_diagram_ball(const RbDiagram *diagram); /* yards from the left sideline */
/* Where a runner lines up. False when the formation has no such man. */
bool rb_diagram_man(const RbDiagram *diagram, RbRunner runner, RbSide side, RbYards *at);
/* The route of index `i` inside the sidelines; `path`'s points are given as places. False when
 * nobody runs it. */
bool rb_diagram_path(const RbDiagram *diagram, int i, RbYards places[RB_ROUTE_POINTS_MAX],
                     RbRoutePath *path);
/* Where the corner of a side stands. False when his technique and cushion are unknown. */
bool rb_diagram_corner(const RbDiagram *diagram, RbSide side, RbYards *at);
/* The deep safeties of the shell. Returns how many were written. */
int rb_diagram_safeties(const RbDiagram *diagram, RbYards at[3]);

/* A place as a spot of the drawing, in user units from its upper left corner, and back. */
void rb_diagram_spot(const RbDiagram *diagram, double width, RbYards at, double *x,
                     double *y);
RbYards rb_diagram_place(const RbDiagram *diagram, double width, double x, double y);

/* What it takes, in user units, for a width of at least 120. */
double rb_diagram_height(const RbDiagram *diagram, double width);
/* Draws with the upper left corner at x, y; leaves the context as it was. Returns the height. */
double rb_diagram_draw(cairo_t *cr, const RbDiagram *diagram, const RbPalette *palette,
                       double x, double y, double width);
/* The same in words, for those who do not see it: "Read 1: out by #1 on the right, break at 10
 * yards. …". Returns: (transfer full). */
char *rb_diagram_text(const RbDiagram *diagram);
