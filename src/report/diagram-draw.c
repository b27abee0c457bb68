/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The diagram laid out as shapes. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "diagram-private.h"

static const double deepest_behind = -8.5;
static const double least_downfield = 18.0;
static const double default_size = 10.0;
static const double man_radius_yd = 0.75;

/* Where a number's circle or a word already is. */
typedef struct {
    double x, y, radius;
} Taken;

enum { TAKEN_MAX = 2048 };

typedef struct {
    const RbDiagram *diagram;
    RbDrawing *drawing;
    double width;
    double scale; /* user units a yard */
    double top_yd;
    double size;
    Taken taken[TAKEN_MAX];
    int n_taken;
} Layout;

static double text_size(const RbDiagram *diagram)
{
    return diagram->text_size > 0.0 ? diagram->text_size : default_size;
}

/* How far downfield the drawing goes. */
static double top_of(const RbDiagram *diagram)
{
    double top = least_downfield;
    for (int i = 0; i < diagram->n_routes; i++) {
        RbYards places[RB_ROUTE_POINTS_MAX];
        RbRoutePath path;
        if (!rb_diagram_path(diagram, i, places, &path)) {
            continue;
        }
        for (int k = 0; k < path.n; k++) {
            top = MAX(top, places[k].deep + 3.5);
        }
    }
    return top;
}

static Layout make_layout(const RbDiagram *diagram, double width)
{
    const double inner = MAX(width, 120.0) - 2.0;
    return (Layout){ .diagram = diagram,
                     .width = MAX(width, 120.0),
                     .scale = inner / diagram->field.width_yd,
                     .top_yd = top_of(diagram),
                     .size = text_size(diagram) };
}

static double x_of(const Layout *layout, double across)
{
    return 1.0 + across * layout->scale;
}

static double y_of(const Layout *layout, double deep)
{
    return 1.0 + (layout->top_yd - deep) * layout->scale;
}

static double height_of(const Layout *layout)
{
    return 2.0 + (layout->top_yd - deepest_behind) * layout->scale;
}

static void take(Layout *layout, double x, double y, double radius)
{
    if (layout->n_taken < TAKEN_MAX) {
        layout->taken[layout->n_taken++] = (Taken){ x, y, radius };
    }
}

static bool is_free(const Layout *layout, double x, double y, double radius)
{
    if (x < radius || x > layout->width - radius || y < radius ||
        y > height_of(layout) - radius) {
        return false;
    }
    for (int i = 0; i < layout->n_taken; i++) {
        const Taken *taken = &layout->taken[i];
        if (hypot(taken->x - x, taken->y - y) < taken->radius + radius + 1.0) {
            return false;
        }
    }
    return true;
}

/* The lane of the numbers, with the depths in it. */
static void draw_numbers(Layout *layout)
{
    const RbDiagramField *field = &layout->diagram->field;
    const double lane = field->number_top_yd - field->number_bottom_yd;
    const double lefts[] = { field->number_bottom_yd,
                             field->width_yd - field->number_top_yd };
    const RbTextStyle style = { .size = layout->size * 0.85,
                                .token = RB_TOKEN_MUTED,
                                .anchor = RB_ANCHOR_MIDDLE };
    for (int side = 0; side < 2; side++) {
        const cairo_rectangle_t rect = { x_of(layout, lefts[side]), 1.0,
                                         lane * layout->scale, height_of(layout) - 2.0 };
        rb_drawing_rect(layout->drawing, &rect, RB_TOKEN_PANEL, 0.7, RB_TOKEN_NONE, 0.0);
    }
    for (int yards = 5; yards < layout->top_yd - 1.0; yards += 5) {
        char text[8];
        g_snprintf(text, sizeof text, "%d", yards);
        for (int side = 0; side < 2; side++) {
            rb_drawing_text(layout->drawing, x_of(layout, lefts[side] + lane / 2.0),
                            y_of(layout, yards) - 2.0, &style, text);
        }
    }
}

static void draw_hashes(Layout *layout)
{
    const RbDiagramField *field = &layout->diagram->field;
    const double places[] = { field->hash_yd, field->width_yd - field->hash_yd };
    const int from = (int)ceil(deepest_behind);
    for (int yards = from; yards < layout->top_yd; yards++) {
        for (int side = 0; side < 2; side++) {
            const double x = x_of(layout, places[side]);
            const double y = y_of(layout, yards);
            rb_drawing_line(layout->drawing, x - 0.33 * layout->scale, y,
                            x + 0.33 * layout->scale, y, RB_TOKEN_MUTED, 0.6);
        }
    }
}

static void draw_field(Layout *layout)
{
    draw_numbers(layout);
    for (int yards = -5; yards < layout->top_yd; yards += 5) {
        const double y = y_of(layout, yards);
        rb_drawing_line(layout->drawing, 1.0, y, layout->width - 1.0, y,
                        yards == 0 ? RB_TOKEN_INK : RB_TOKEN_LINE,
                        yards == 0 ? 1.4 : 0.7);
    }
    draw_hashes(layout);
    for (int side = 0; side < 2; side++) {
        const double x = side == 0 ? 1.0 : layout->width - 1.0;
        rb_drawing_line(layout->drawing, x, 0.0, x, height_of(layout), RB_TOKEN_MUTED,
                        1.4);
    }
}

static double man_radius(const Layout *layout)
{
    return MAX(man_radius_yd * layout->scale, 2.0);
}

static void draw_man(Layout *layout, RbYards at)
{
    rb_drawing_disc(layout->drawing, x_of(layout, at.across), y_of(layout, at.deep),
                    man_radius(layout), RB_TOKEN_PAPER, RB_TOKEN_INK, 1.2);
}

static void draw_receivers(Layout *layout, RbSide side, int n)
{
    const RbTextStyle style = { .size = layout->size * 0.8,
                                .token = RB_TOKEN_MUTED,
                                .anchor = RB_ANCHOR_MIDDLE };
    for (int i = 0; i < n; i++) {
        RbYards at;
        const RbRunner runner = (RbRunner)((int)RB_RUNNER_1 + i);
        if (!rb_diagram_man(layout->diagram, runner, side, &at)) {
            continue;
        }
        draw_man(layout, at);
        rb_drawing_text(layout->drawing, x_of(layout, at.across),
                        y_of(layout, at.deep) + man_radius(layout) + layout->size * 0.85,
                        &style, rb_words_label(&rb_runner_words, (int)runner));
    }
}

/* The side the back stands on: that of his route. */
static RbSide back_side(const RbDiagram *diagram)
{
    for (int i = 0; i < diagram->n_routes; i++) {
        if (diagram->routes[i].runner == RB_RUNNER_BACK) {
            return diagram->routes[i].side;
        }
    }
    return RB_SIDE_RIGHT;
}

static void draw_offense(Layout *layout)
{
    const RbDiagram *diagram = layout->diagram;
    const double ball = rb_diagram_ball(diagram);
    for (int i = -2; i <= 2; i++) {
        const RbYards at = { ball + i * 1.7, -0.8 };
        if (i != 0) {
            draw_man(layout, at);
            continue;
        }
        const double half = man_radius(layout) * 0.9;
        const cairo_rectangle_t centre = { x_of(layout, at.across) - half,
                                           y_of(layout, at.deep) - half, 2.0 * half,
                                           2.0 * half };
        rb_drawing_rect(layout->drawing, &centre, RB_TOKEN_PAPER, 1.0, RB_TOKEN_INK, 1.2);
    }
    draw_man(layout,
             (RbYards){ ball, diagram->backfield == RB_BACKFIELD_CENTRE ? -2.4 : -5.0 });
    draw_receivers(layout, RB_SIDE_LEFT, diagram->left);
    draw_receivers(layout, RB_SIDE_RIGHT, diagram->right);
    RbYards back;
    if (diagram->left + diagram->right < 5 &&
        rb_diagram_man(diagram, RB_RUNNER_BACK, back_side(diagram), &back)) {
        draw_man(layout, back);
    }
}

static void draw_defender(Layout *layout, RbYards at, const char *words)
{
    const double size = man_radius(layout) * 1.7;
    const double x = x_of(layout, at.across);
    const double y = y_of(layout, at.deep);
    rb_drawing_pointer(layout->drawing, x, y + size / 2.0, size, RB_TOKEN_MUTED);
    take(layout, x, y, size * 0.7);
    if (words == NULL) {
        return;
    }
    RbTextStyle style = { .size = layout->size * 0.85,
                          .token = RB_TOKEN_MUTED,
                          .anchor = RB_ANCHOR_MIDDLE };
    const double room = rb_drawing_measure(layout->drawing, &style, words) / 2.0 + 2.0;
    const double text_x = CLAMP(x, room, layout->width - room);
    rb_drawing_text(layout->drawing, text_x, y - size * 0.75, &style, words);
    for (int i = -1; i <= 1; i++) {
        take(layout, text_x + i * room * 0.7, y - size * 0.75 - layout->size * 0.3,
             layout->size * 0.45);
    }
}

/* "squat, 6 yd". Returns: (transfer full) (nullable). */
static char *corner_words(const RbSideShown *shown)
{
    const bool named = shown->technique != RB_TECHNIQUE_UNKNOWN;
    g_autofree char *technique =
        g_ascii_strdown(rb_words_label(&rb_technique_words, (int)shown->technique), -1);
    if (shown->cushion_tenths < 0) {
        return named ? g_steal_pointer(&technique) : NULL;
    }
    const int whole = shown->cushion_tenths / 10;
    const int tenth = shown->cushion_tenths % 10;
    g_autofree char *yards = tenth != 0 ? g_strdup_printf("%d.%d yd", whole, tenth)
                                        : g_strdup_printf("%d yd", whole);
    return named ? g_strdup_printf("%s, %s", technique, yards) : g_steal_pointer(&yards);
}

static void draw_arrow_head(Layout *layout, RbDrawingPoint tip, double dx, double dy,
                            RbToken token)
{
    const double length = hypot(dx, dy);
    if (length <= 0.0) {
        return;
    }
    const double size = MAX(layout->scale * 0.95, 4.0);
    const double ux = dx / length;
    const double uy = dy / length;
    const RbDrawingPoint head[] = {
        { tip.x + ux * size * 0.6, tip.y + uy * size * 0.6 },
        { tip.x - ux * size * 0.5 - uy * size * 0.5,
          tip.y - uy * size * 0.5 + ux * size * 0.5 },
        { tip.x - ux * size * 0.5 + uy * size * 0.5,
          tip.y - uy * size * 0.5 - ux * size * 0.5 },
    };
    const RbPathStyle style = { .fill = token, .tint = 1.0, .closed = true };
    rb_drawing_path(layout->drawing, head, 3, &style);
}

static void draw_rotation(Layout *layout)
{
    const RbRotation rotation = layout->diagram->shown.rotation;
    if (rotation != RB_ROTATION_LEFT && rotation != RB_ROTATION_RIGHT) {
        return;
    }
    const double sign = rotation == RB_ROTATION_LEFT ? -1.0 : 1.0;
    const double middle = layout->diagram->field.width_yd / 2.0;
    const double y = y_of(layout, 15.6);
    const RbDrawingPoint line[] = { { x_of(layout, middle - sign * 4.0), y },
                                    { x_of(layout, middle + sign * 4.0), y } };
    const RbPathStyle style = { .stroke = RB_TOKEN_MUTED,
                                .line_width = 1.2,
                                .dash = 3.0 };
    rb_drawing_path(layout->drawing, line, 2, &style);
    draw_arrow_head(layout, line[1], sign, 0.0, RB_TOKEN_MUTED);
    const RbTextStyle words = { .size = layout->size * 0.85,
                                .token = RB_TOKEN_MUTED,
                                .anchor = RB_ANCHOR_MIDDLE };
    rb_drawing_text(layout->drawing, x_of(layout, middle), y - 4.0, &words,
                    rotation == RB_ROTATION_LEFT ? _("rotation left")
                                                 : _("rotation right"));
}

static void draw_defence(Layout *layout)
{
    const RbDiagram *diagram = layout->diagram;
    RbYards at[3];
    const int n = rb_diagram_safeties(diagram, at);
    for (int i = 0; i < n; i++) {
        draw_defender(layout, at[i], NULL);
    }
    for (RbSide side = RB_SIDE_LEFT; side <= RB_SIDE_RIGHT; side++) {
        if (rb_diagram_corner(diagram, side, at)) {
            g_autofree char *words = corner_words(
                side == RB_SIDE_LEFT ? &diagram->shown.left : &diagram->shown.right);
            draw_defender(layout, at[0], words);
        }
    }
    draw_rotation(layout);
}

static RbToken route_token(const RbDiagramRoute *route)
{
    return route->first                 ? RB_TOKEN_ACCENT
           : route->as == RB_DRAWN_LIVE ? RB_TOKEN_INK
                                        : RB_TOKEN_MUTED;
}

/* A short bar across the end: here he stops. */
static void draw_stop(Layout *layout, RbDrawingPoint tip, double dx, double dy,
                      RbToken token, double line_width)
{
    const double length = hypot(dx, dy);
    if (length <= 0.0) {
        return;
    }
    const double half = MAX(layout->scale * 0.8, 3.5);
    rb_drawing_line(layout->drawing, tip.x - dy / length * half,
                    tip.y + dx / length * half, tip.x + dy / length * half,
                    tip.y - dx / length * half, token, line_width);
}

/* The circle goes on from the end of the route, or as near to that as there is room. */
static void draw_number(Layout *layout, const RbDiagramRoute *route, RbDrawingPoint tip,
                        double dx, double dy)
{
    static const double turns[] = { 0.0, 0.9, -0.9, 1.8, -1.8, 2.6, -2.6 };
    const double radius = layout->size * 0.8;
    const double away = radius + MAX(layout->scale * 0.9, 4.0);
    const double straight = atan2(dy, dx);
    double x = tip.x + cos(straight) * away;
    double y = tip.y + sin(straight) * away;
    for (size_t i = 0; i < G_N_ELEMENTS(turns) * 2; i++) {
        const double turn = straight + turns[i % G_N_ELEMENTS(turns)];
        const double far = i < G_N_ELEMENTS(turns) ? away : away * 1.8;
        if (is_free(layout, tip.x + cos(turn) * far, tip.y + sin(turn) * far, radius)) {
            x = tip.x + cos(turn) * far;
            y = tip.y + sin(turn) * far;
            break;
        }
    }
    x = CLAMP(x, radius + 1.0, layout->width - radius - 1.0);
    y = CLAMP(y, radius + 1.0, height_of(layout) - radius - 1.0);
    take(layout, x, y, radius);
    const RbToken token = route_token(route);
    const bool live = route->as == RB_DRAWN_LIVE;
    rb_drawing_disc(layout->drawing, x, y, radius, live ? token : RB_TOKEN_PAPER, token,
                    1.0);
    char text[16];
    g_snprintf(text, sizeof text, "%d", route->number);
    const RbTextStyle style = { .size = layout->size,
                                .bold = live,
                                .token = live ? RB_TOKEN_PAPER : RB_TOKEN_MUTED,
                                .anchor = RB_ANCHOR_MIDDLE };
    rb_drawing_text(layout->drawing, x, y + layout->size * 0.36, &style, text);
    if (route->as == RB_DRAWN_DROPPED) {
        rb_drawing_line(layout->drawing, x - radius, y + radius, x + radius, y - radius,
                        token, 1.2);
    }
}

static void draw_route(Layout *layout, int index)
{
    const RbDiagramRoute *route = &layout->diagram->routes[index];
    RbYards places[RB_ROUTE_POINTS_MAX];
    RbRoutePath path;
    if (!rb_diagram_path(layout->diagram, index, places, &path)) {
        return;
    }
    RbDrawingPoint points[RB_ROUTE_POINTS_MAX];
    for (int i = 0; i < path.n; i++) {
        points[i] = (RbDrawingPoint){ x_of(layout, places[i].across),
                                      y_of(layout, places[i].deep) };
    }
    const RbToken token = route_token(route);
    const double wide = route->as != RB_DRAWN_LIVE ? 1.0 : route->first ? 2.6 : 1.8;
    const RbPathStyle style = { .stroke = token,
                                .line_width = wide,
                                .dash = route->converted ? 5.0 : 0.0 };
    rb_drawing_path(layout->drawing, points, path.n, &style);
    const RbDrawingPoint tip = points[path.n - 1];
    const double dx = tip.x - points[path.n - 2].x;
    const double dy = tip.y - points[path.n - 2].y;
    if (path.settles) {
        draw_stop(layout, tip, dx, dy, token, wide + 0.6);
    } else {
        draw_arrow_head(layout, tip, dx, dy, token);
    }
    if (route->number > 0) {
        draw_number(layout, route, tip, dx, dy);
    }
}

/* No number is put on a route. */
static void take_route(Layout *layout, int index)
{
    RbYards places[RB_ROUTE_POINTS_MAX];
    RbRoutePath path;
    if (!rb_diagram_path(layout->diagram, index, places, &path)) {
        return;
    }
    for (int i = 1; i < path.n; i++) {
        const RbYards from = places[i - 1];
        const RbYards to = places[i];
        const int steps = 1 + (int)hypot(to.across - from.across, to.deep - from.deep);
        for (int k = 0; k <= steps; k++) {
            const double share = (double)k / steps;
            take(layout, x_of(layout, from.across + (to.across - from.across) * share),
                 y_of(layout, from.deep + (to.deep - from.deep) * share), 0.0);
        }
    }
}

RbDrawing *rb_diagram_lay_out(const RbDiagram *diagram, double width, double *height)
{
    Layout layout = make_layout(diagram, width);
    layout.drawing = rb_drawing_new(diagram->font);
    draw_field(&layout);
    draw_defence(&layout);
    for (int i = 0; i < diagram->n_routes; i++) {
        take_route(&layout, i);
    }
    /* What is read first lies on top. */
    for (int i = diagram->n_routes - 1; i >= 0; i--) {
        draw_route(&layout, i);
    }
    draw_offense(&layout);
    *height = height_of(&layout);
    return layout.drawing;
}

void rb_diagram_spot(const RbDiagram *diagram, double width, RbYards at, double *x,
                     double *y)
{
    const Layout layout = make_layout(diagram, width);
    *x = x_of(&layout, at.across);
    *y = y_of(&layout, at.deep);
}

RbYards rb_diagram_place(const RbDiagram *diagram, double width, double x, double y)
{
    const Layout layout = make_layout(diagram, width);
    return (RbYards){ (x - 1.0) / layout.scale,
                      layout.top_yd - (y - 1.0) / layout.scale };
}

double rb_diagram_height(const RbDiagram *diagram, double width)
{
    const Layout layout = make_layout(diagram, width);
    return height_of(&layout);
}

double rb_diagram_draw(cairo_t *cr, const RbDiagram *diagram, const RbPalette *palette,
                       double x, double y, double width)
{
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = rb_diagram_lay_out(diagram, width, &height);
    rb_drawing_paint(drawing, cr, palette, x, y);
    return height;
}
