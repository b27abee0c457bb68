/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where everybody stands and runs. Splits and depths: common practice, no source. */
#include "config.h"

#include "rb/report/diagram.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

enum { RECEIVERS_MAX = 4 };

static const double widest_split = 19.0; /* of #1 from the ball */
static const double inner_split = 5.0;   /* of the man next to the tackle */
static const double off_the_line = -1.0;
static const double inside_sideline = 1.0;

static RbSide right_unless_left(RbSide side)
{
    return side == RB_SIDE_LEFT ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
}

static void need_receiver(RbDiagram *diagram, RbRunner runner, RbSide side)
{
    int *count = side == RB_SIDE_LEFT ? &diagram->left : &diagram->right;
    if (runner >= RB_RUNNER_1 && runner <= RB_RUNNER_4) {
        *count = MAX(*count, (int)(runner - RB_RUNNER_1) + 1);
    }
}

/* Four receivers and a back: two on each side, unless the concept asks for more on one. */
static void fill_formation(RbDiagram *diagram)
{
    const int left = diagram->left;
    const int right = diagram->right;
    diagram->left = MAX(left, MIN(2, RECEIVERS_MAX - right));
    diagram->right = MAX(right, MIN(2, RECEIVERS_MAX - diagram->left));
}

static RbBackfield backfield_of(const RbConcept *concept)
{
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = concept->reads->pdata[i];
        if (read->clock.kind == RB_CLOCK_FOOTWORK) {
            return read->clock.backfield;
        }
    }
    return RB_BACKFIELD_GUN;
}

static void take_points(const RbRead *read, RbDiagramRoute *route)
{
    memcpy(route->points, read->points, sizeof route->points);
    route->n_points = read->route == RB_ROUTE_DRAWN ? read->n_points : 0;
}

static void add_route(RbDiagram *diagram, const RbDiagramRoute *route)
{
    if (diagram->n_routes < RB_DIAGRAM_ROUTES_MAX) {
        diagram->routes[diagram->n_routes++] = *route;
        need_receiver(diagram, route->runner, route->side);
    }
}

RbDiagram rb_diagram_of_concept(const RbConcept *concept, const RbDiagramField *field,
                                RbSide side)
{
    RbDiagram diagram = { .field = *field,
                          .hash = RB_HASH_MIDDLE,
                          .backfield = backfield_of(concept),
                          .width = RB_WIDTH_NORMAL,
                          .shown = {
                              .left = { .cushion_tenths = -1, .split_tenths = -1 },
                              .right = { .cushion_tenths = -1, .split_tenths = -1 } } };
    const RbSide worked = right_unless_left(side);
    bool first = true;
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = concept->reads->pdata[i];
        const bool live = !read->clear_out;
        RbDiagramRoute route = {
            .number = read->number,
            .route = read->route,
            .runner = read->runner,
            .side = read->side == RB_READ_SIDE_OTHER ? rb_side_other(worked) : worked,
            .depth_yd = read->depth_yd,
            .as = live ? RB_DRAWN_LIVE : RB_DRAWN_CLEAR_OUT,
            .first = live && first,
        };
        take_points(read, &route);
        first = first && !live;
        add_route(&diagram, &route);
    }
    fill_formation(&diagram);
    return diagram;
}

/* A converted route breaks where such a route usually does: the depth was the old one's. */
static RbDiagramRoute route_of_rung(const RbRung *rung, bool first)
{
    const bool converted = rung->route != rung->read->route;
    const bool cleared = rung->dead && (converted || rung->read->clear_out);
    RbDiagramRoute route = {
        .number = rung->slot,
        .route = rung->route,
        .runner = rung->runner,
        .side = right_unless_left(rung->side),
        .depth_yd = converted ? 0 : rung->read->depth_yd,
        .as = cleared      ? RB_DRAWN_CLEAR_OUT
              : rung->dead ? RB_DRAWN_DROPPED
                           : RB_DRAWN_LIVE,
        .converted = converted,
        .first = first,
    };
    if (!converted) {
        take_points(rung->read, &route);
    }
    return route;
}

void rb_diagram_take_order(RbDiagram *diagram, const RbOrder *order)
{
    diagram->n_routes = 0;
    for (int i = 0; i < order->n; i++) {
        const RbRung *rung = &order->rungs[i];
        const bool hot = rung->slot == order->hot_slot;
        const bool first = order->hot_slot != 0 ? hot : i == 0 && !rung->dead;
        const RbDiagramRoute route = route_of_rung(rung, first);
        add_route(diagram, &route);
    }
}

double rb_diagram_ball(const RbDiagram *diagram)
{
    switch (diagram->hash) {
    case RB_HASH_LEFT:
        return diagram->field.hash_yd;
    case RB_HASH_RIGHT:
        return diagram->field.width_yd - diagram->field.hash_yd;
    case RB_HASH_UNKNOWN:
    case RB_HASH_MIDDLE:
        break;
    }
    return diagram->field.width_yd / 2.0;
}

/* Yards from the ball of the man of `index` from the sideline in, of `n` on his side. */
static double split_of(const RbDiagram *diagram, RbSide side, int index, int n)
{
    const double ball = rb_diagram_ball(diagram);
    const double room = side == RB_SIDE_LEFT ? ball : diagram->field.width_yd - ball;
    const double outer = MIN(room - diagram->field.number_top_yd + 2.0, widest_split);
    switch (diagram->width) {
    case RB_WIDTH_CONDENSED:
        return MIN(outer, inner_split + 1.8 * (n - 1 - index) + 1.0);
    case RB_WIDTH_STACK:
        return MIN(outer, 12.0) - 0.4 * index;
    case RB_WIDTH_UNKNOWN:
    case RB_WIDTH_NORMAL:
        break;
    }
    /* The men inside of #1 share what is between him and the tackle. */
    const double share = n == 1 ? 0.0 : index / (n - 1.0) * (n == 2 ? 0.6 : 0.9);
    return outer - (outer - inner_split) * share;
}

static bool receiver_at(const RbDiagram *diagram, RbRunner runner, RbSide side,
                        RbYards *at)
{
    const int n = side == RB_SIDE_LEFT ? diagram->left : diagram->right;
    const int index = (int)(runner - RB_RUNNER_1);
    if (index >= n) {
        return false;
    }
    const double out = split_of(diagram, side, index, n);
    const double step = diagram->width == RB_WIDTH_STACK ? 1.5 : 1.0;
    at->across = rb_diagram_ball(diagram) + (side == RB_SIDE_LEFT ? -out : out);
    at->deep = index == 0 ? 0.0 : off_the_line * step;
    return true;
}

bool rb_diagram_man(const RbDiagram *diagram, RbRunner runner, RbSide side, RbYards *at)
{
    const double ball = rb_diagram_ball(diagram);
    switch (runner) {
    case RB_RUNNER_UNKNOWN:
        return false;
    case RB_RUNNER_1:
    case RB_RUNNER_2:
    case RB_RUNNER_3:
    case RB_RUNNER_4:
        return receiver_at(diagram, runner, right_unless_left(side), at);
    case RB_RUNNER_BACK:
        break;
    }
    if (diagram->backfield == RB_BACKFIELD_CENTRE) {
        *at = (RbYards){ ball, -6.5 };
    } else {
        *at = (RbYards){ ball + (side == RB_SIDE_LEFT ? -2.2 : 2.2), -5.0 };
    }
    return true;
}

/* Cuts the path where it meets a sideline. */
static void keep_inside(const RbDiagram *diagram, RbYards *places, RbRoutePath *path)
{
    const double low = inside_sideline;
    const double high = diagram->field.width_yd - inside_sideline;
    for (int i = 1; i < path->n; i++) {
        const double across = places[i].across;
        if (across >= low && across <= high) {
            continue;
        }
        const double edge = across < low ? low : high;
        const double run = across - places[i - 1].across;
        const double share = run != 0.0 ? (edge - places[i - 1].across) / run : 0.0;
        if (i > path->break_at) {
            places[i].deep =
                places[i - 1].deep + (places[i].deep - places[i - 1].deep) * share;
            path->n = i + 1;
        }
        places[i].across = edge; /* before the break its depth is kept */
    }
}

bool rb_diagram_path(const RbDiagram *diagram, int i, RbYards places[RB_ROUTE_POINTS_MAX],
                     RbRoutePath *path)
{
    const RbDiagramRoute *route = &diagram->routes[i];
    RbYards start;
    if (!rb_diagram_man(diagram, route->runner, route->side, &start)) {
        return false;
    }
    const double sign = route->side == RB_SIDE_LEFT ? -1.0 : 1.0;
    if (route->n_points > 0) {
        rb_route_path_drawn(route->points, route->n_points, route->depth_yd, start.deep,
                            path);
    } else {
        rb_route_path(route->route, route->depth_yd, route->runner == RB_RUNNER_BACK,
                      start.deep, path);
    }
    for (int k = 0; k < path->n; k++) {
        places[k] =
            (RbYards){ start.across + sign * path->points[k].out, path->points[k].deep };
    }
    keep_inside(diagram, places, path);
    return true;
}

/* Yards off the receiver of a technique whose cushion was not given. */
static double usual_cushion(RbTechnique technique)
{
    switch (technique) {
    case RB_TECHNIQUE_PRESS:
        return 1.5;
    case RB_TECHNIQUE_OFF:
        return 7.0;
    case RB_TECHNIQUE_BAIL:
        return 5.0;
    case RB_TECHNIQUE_SQUAT:
        return 6.0;
    case RB_TECHNIQUE_HARD:
        return 2.5;
    case RB_TECHNIQUE_UNKNOWN:
        break;
    }
    return 6.0;
}

static double leverage_shade(RbLeverage leverage)
{
    switch (leverage) {
    case RB_LEVERAGE_INSIDE:
        return -1.2;
    case RB_LEVERAGE_OUTSIDE:
        return 1.2;
    case RB_LEVERAGE_UNKNOWN:
    case RB_LEVERAGE_HEAD_UP:
        break;
    }
    return 0.0;
}

bool rb_diagram_corner(const RbDiagram *diagram, RbSide side, RbYards *at)
{
    const RbSideShown *shown =
        side == RB_SIDE_LEFT ? &diagram->shown.left : &diagram->shown.right;
    if ((shown->technique == RB_TECHNIQUE_UNKNOWN && shown->cushion_tenths < 0) ||
        !rb_diagram_man(diagram, RB_RUNNER_1, side, at)) {
        return false;
    }
    const double shade = leverage_shade(shown->leverage);
    at->across += side == RB_SIDE_LEFT ? -shade : shade;
    at->deep = shown->cushion_tenths >= 0 ? MAX(shown->cushion_tenths / 10.0, 1.0)
                                          : usual_cushion(shown->technique);
    return true;
}

int rb_diagram_safeties(const RbDiagram *diagram, RbYards at[3])
{
    const double middle = diagram->field.width_yd / 2.0;
    const double half = diagram->field.width_yd / 4.0 - 3.0;
    switch (diagram->shown.shell) {
    case RB_SHELL_ONE_HIGH:
        at[0] = (RbYards){ middle, 13.0 };
        return 1;
    case RB_SHELL_TWO_HIGH:
        at[0] = (RbYards){ middle - half, 12.0 };
        at[1] = (RbYards){ middle + half, 12.0 };
        return 2;
    case RB_SHELL_THREE_HIGH:
        at[0] = (RbYards){ middle - half - 3.0, 12.0 };
        at[1] = (RbYards){ middle, 13.5 };
        at[2] = (RbYards){ middle + half + 3.0, 12.0 };
        return 3;
    case RB_SHELL_UNKNOWN:
    case RB_SHELL_NONE_DEEP:
    case RB_SHELL_UNCLEAR:
        break;
    }
    return 0;
}

/* NULL: nothing to say. */
static const char *drawn_words(RbDrawnAs as)
{
    switch (as) {
    case RB_DRAWN_LIVE:
        return NULL;
    case RB_DRAWN_CLEAR_OUT:
        return C_("route", "to clear out");
    case RB_DRAWN_DROPPED:
        return C_("route", "dropped");
    }
    return NULL;
}

static int depth_of(const RbDiagramRoute *route)
{
    if (route->depth_yd != 0) {
        return route->depth_yd;
    }
    return route->n_points > 0 ? (int)lround(route->points[0].deep_tenths / 10.0)
                               : rb_route_usual_depth(route->route);
}

static char *runner_text(RbRunner runner)
{
    return runner == RB_RUNNER_BACK
               ? g_strdup(C_("runner", "the back"))
               : g_utf8_strdown(rb_words_label(&rb_runner_words, (int)runner), -1);
}

/* "Read 2: corner by z on the right, 12 yards, converted." */
static void append_route(GString *text, const RbDiagramRoute *route)
{
    const int depth = depth_of(route);
    const char *drawn = drawn_words(route->as);
    g_autofree char *name =
        g_utf8_strdown(rb_words_label(&rb_route_words, (int)route->route), -1);
    g_autofree char *runner = runner_text(route->runner);
    g_string_append_printf(text,
                           route->side == RB_SIDE_LEFT
                               ? _("Read %d: %s by %s on the left, ")
                               : _("Read %d: %s by %s on the right, "),
                           route->number, name, runner);
    g_string_append_printf(
        text, g_dngettext(GETTEXT_PACKAGE, "%d yard", "%d yards", (gulong)depth), depth);
    if (route->converted) {
        g_string_append_printf(text, ", %s", C_("route", "converted"));
    }
    if (drawn != NULL) {
        g_string_append_printf(text, ", %s", drawn);
    }
    g_string_append_c(text, '.');
}

char *rb_diagram_text(const RbDiagram *diagram)
{
    GString *text = g_string_new(NULL);
    for (int i = 0; i < diagram->n_routes; i++) {
        g_string_append(text, i > 0 ? " " : "");
        append_route(text, &diagram->routes[i]);
    }
    return g_string_free(text, FALSE);
}
