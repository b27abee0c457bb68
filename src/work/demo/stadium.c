/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stadium.h"

#include <math.h>

#include "rb/base/random.h"

#include "digits.h"
#include "ground.h"

#define NEAREST_YD 0.5
#define CORNERS_MAX 16
#define GRAIN_SIZE 65536 /* a power of two */
#define GRAIN_SD 1.7
/* Stands: distance from the lines to the wall, its height, slope of the rows. */
#define WALL_YD 17.0
#define WALL_HEIGHT_YD 1.4
#define STAND_RISE 0.55

struct RbDemoStadium {
    RbFieldCode code;
    RbDemoTurf turf;
    RbDemoCrowd crowd;
    GArray *paint; /* owned, of RbPaint */
    int8_t *grain; /* owned */
    RbDemoColour white;
};

RbDemoStadium *rb_demo_stadium_new(RbFieldCode code, uint64_t seed)
{
    RbDemoStadium *stadium = g_new0(RbDemoStadium, 1);
    stadium->code = code;
    stadium->white = rb_demo_colour(236, 238, 232);
    rb_demo_turf_init(&stadium->turf, seed);
    rb_demo_crowd_init(&stadium->crowd, seed);
    stadium->paint = rb_field_paint_all(code);
    stadium->grain = g_malloc(GRAIN_SIZE);
    RbRandom random;
    rb_random_seed_stream(&random, seed, 3);
    for (int i = 0; i < GRAIN_SIZE; i++) {
        const long value = lround(rb_random_normal(&random, 0.0, GRAIN_SD));
        stadium->grain[i] = (int8_t)CLAMP(value, -12, 12);
    }
    return stadium;
}

void rb_demo_stadium_free(RbDemoStadium *stadium)
{
    if (stadium == NULL) {
        return;
    }
    rb_demo_turf_clear(&stadium->turf);
    rb_demo_crowd_clear(&stadium->crowd);
    g_array_unref(stadium->paint);
    g_free(stadium->grain);
    g_free(stadium);
}

static double depth_of(const RbProjection *projection, RbPoint3 p)
{
    const double *m = projection->m + 8;
    return m[0] * p.x + m[1] * p.y + m[2] * p.z + m[3];
}

void rb_demo_canvas_polygon(const RbDemoCanvas *canvas, const RbPoint3 *points, int n)
{
    RbPoint2 corners[CORNERS_MAX];
    int count = 0;
    g_assert(2 * n <= CORNERS_MAX);
    for (int i = 0; i < n; i++) {
        const RbPoint3 a = points[i];
        const RbPoint3 b = points[(i + 1) % n];
        const double da = depth_of(&canvas->projection, a) - NEAREST_YD;
        const double db = depth_of(&canvas->projection, b) - NEAREST_YD;
        if (da > 0.0) {
            rb_projection_apply(&canvas->projection, a, &corners[count++], NULL);
        }
        if ((da > 0.0) != (db > 0.0)) {
            const double share = da / (da - db);
            const RbPoint3 cut = { a.x + share * (b.x - a.x), a.y + share * (b.y - a.y),
                                   a.z + share * (b.z - a.z) };
            rb_projection_apply(&canvas->projection, cut, &corners[count++], NULL);
        }
    }
    if (count >= 3) {
        rb_demo_mask_polygon(canvas->mask, corners, count);
    }
}

void rb_demo_canvas_bar(const RbDemoCanvas *canvas, RbPoint3 a, double radius_a,
                        RbPoint3 b, double radius_b)
{
    RbPoint2 pa;
    RbPoint2 pb;
    double da = 0.0;
    double db = 0.0;
    if (!rb_projection_apply(&canvas->projection, a, &pa, &da) ||
        !rb_projection_apply(&canvas->projection, b, &pb, &db) || da < NEAREST_YD ||
        db < NEAREST_YD) {
        return;
    }
    const double focal = canvas->camera.focal_px;
    rb_demo_mask_capsule(canvas->mask, pa, radius_a * focal / da, pb,
                         radius_b * focal / db);
}

static void blend(const RbDemoCanvas *canvas, RbDemoColour colour, double opacity)
{
    RbDemoFrame frame = canvas->frame;
    rb_demo_mask_blend(canvas->mask, &frame, colour, opacity);
}

static void ground_box(const RbDemoCanvas *canvas, double x0, double y0, double x1,
                       double y1)
{
    const RbPoint3 corners[4] = {
        { x0, y0, 0.0 }, { x1, y0, 0.0 }, { x1, y1, 0.0 }, { x0, y1, 0.0 }
    };
    rb_demo_canvas_polygon(canvas, corners, 4);
}

/* True when the box is certainly outside the picture: all corners beyond one edge. */
static bool is_outside(const RbDemoCanvas *canvas, const RbPaint *box)
{
    int beyond[4] = { 0, 0, 0, 0 };
    for (int i = 0; i < 4; i++) {
        const RbPoint3 p = { i % 2 == 0 ? box->x0 : box->x1,
                             i / 2 == 0 ? box->y0 : box->y1, 0.0 };
        RbPoint2 image;
        if (!rb_projection_apply(&canvas->projection, p, &image, NULL)) {
            return false;
        }
        beyond[0] += image.x < 0.0 ? 1 : 0;
        beyond[1] += image.x > canvas->frame.width ? 1 : 0;
        beyond[2] += image.y < 0.0 ? 1 : 0;
        beyond[3] += image.y > canvas->frame.height ? 1 : 0;
    }
    return beyond[0] == 4 || beyond[1] == 4 || beyond[2] == 4 || beyond[3] == 4;
}

/* The running track round the field, and the end zones in the home team's colour. */
static void draw_surfaces(const RbDemoCanvas *canvas)
{
    const RbDemoColour track = rb_demo_colour(126, 70, 54);
    const double w = RB_FIELD_WIDTH_YD;
    ground_box(canvas, -60.0, -14.0, 160.0, -8.0);
    ground_box(canvas, -60.0, w + 9.0, 160.0, w + WALL_YD);
    ground_box(canvas, 116.0, -8.0, 124.0, w + 9.0);
    ground_box(canvas, -24.0, -8.0, -16.0, w + 9.0);
    blend(canvas, track, 0.85);
    ground_box(canvas, -10.0, 0.0, 0.0, w);
    ground_box(canvas, 100.0, 0.0, 110.0, w);
    blend(canvas, rb_demo_colour(30, 52, 110), 0.72);
}

static void draw_paint(const RbDemoCanvas *canvas)
{
    const RbDemoStadium *stadium = canvas->stadium;
    for (guint i = 0; i < stadium->paint->len; i++) {
        const RbPaint *p = &g_array_index(stadium->paint, RbPaint, i);
        if (!is_outside(canvas, p)) {
            ground_box(canvas, p->x0, p->y0, p->x1, p->y1);
        }
    }
    blend(canvas, stadium->white, 0.90);
}

/* One digit in a box of the ground: `left` and `up` are where its left and upper sides are. */
static void draw_digit(const RbDemoCanvas *canvas, int digit, RbPoint2 corner,
                       double along, double up)
{
    RbDemoStroke strokes[RB_DEMO_STROKES_MAX];
    const int n = rb_demo_digit(digit, strokes);
    for (int i = 0; i < n; i++) {
        RbPoint3 points[RB_DEMO_STROKE_CORNERS];
        for (int k = 0; k < strokes[i].n; k++) {
            points[k] = (RbPoint3){ corner.x + along * strokes[i].points[k].x,
                                    corner.y + up * strokes[i].points[k].y, 0.0 };
        }
        rb_demo_canvas_polygon(canvas, points, strokes[i].n);
    }
}

/* The numbers of one yard line on one half. They stand on the side that they can be read from,
 * with the yard line between the digits and an arrow toward the nearer goal. */
static void draw_number(const RbDemoCanvas *canvas, const RbFieldDimensions *d, int line,
                        bool far)
{
    const double gap = 0.35; /* yard line to digit */
    const double wide = d->digit_width_yd;
    const double high = d->number_top_yd - d->number_bottom_yd;
    const double toward = far ? -1.0 : 1.0; /* reading direction along x */
    const double bottom =
        far ? RB_FIELD_WIDTH_YD - d->number_bottom_yd : d->number_bottom_yd;
    const int number = rb_field_number_at(line);
    draw_digit(canvas, number / 10, (RbPoint2){ line - toward * (gap + wide), bottom },
               toward * wide, toward * high);
    draw_digit(canvas, number % 10, (RbPoint2){ line + toward * gap, bottom },
               toward * wide, toward * high);
    if (line == 50) {
        return;
    }
    const double point = line < 50 ? -1.0 : 1.0;
    const double base = line + point * (gap + wide + 0.3);
    const double middle = bottom + toward * high * 0.62;
    const RbPoint3 arrow[3] = { { base, middle - 0.25, 0.0 },
                                { base, middle + 0.25, 0.0 },
                                { base + point * 0.9, middle, 0.0 } };
    rb_demo_canvas_polygon(canvas, arrow, 3);
}

static void draw_numbers(const RbDemoCanvas *canvas)
{
    const RbFieldDimensions *d = rb_field_dimensions(canvas->stadium->code);
    for (int line = 10; line <= 90; line += 10) {
        const RbPaint box = { RB_PAINT_TRY, line - 4.0, 0.0, line + 4.0,
                              RB_FIELD_WIDTH_YD };
        if (is_outside(canvas, &box)) {
            continue;
        }
        draw_number(canvas, d, line, false);
        draw_number(canvas, d, line, true);
    }
    blend(canvas, canvas->stadium->white, 0.88);
}

static void draw_stand(const RbDemoCanvas *canvas)
{
    const double rise = sin(STAND_RISE);
    const double run = cos(STAND_RISE);
    RbPoint3 foot = { 0.0, RB_FIELD_WIDTH_YD + WALL_YD, WALL_HEIGHT_YD };
    RbPoint3 across = { 1.0, 0.0, 0.0 };
    RbPoint3 up = { 0.0, run, rise };
    if (fabs(canvas->camera.pan) > G_PI / 4.0) {
        const double way = canvas->camera.pan > 0.0 ? 1.0 : -1.0;
        foot = (RbPoint3){ 50.0 + way * (60.0 + WALL_YD), 0.0, WALL_HEIGHT_YD };
        across = (RbPoint3){ 0.0, 1.0, 0.0 };
        up = (RbPoint3){ way * run, 0.0, rise };
    }
    RbDemoFrame frame = canvas->frame;
    rb_demo_crowd_draw(&canvas->stadium->crowd, &canvas->projection, foot, across, up,
                       &frame);
    const double from = -80.0;
    const double to = 180.0;
    const RbPoint3 wall[4] = {
        { foot.x + from * across.x, foot.y + from * across.y, 0.0 },
        { foot.x + to * across.x, foot.y + to * across.y, 0.0 },
        { foot.x + to * across.x, foot.y + to * across.y, WALL_HEIGHT_YD },
        { foot.x + from * across.x, foot.y + from * across.y, WALL_HEIGHT_YD },
    };
    rb_demo_canvas_polygon(canvas, wall, 4);
    blend(canvas, rb_demo_colour(44, 50, 74), 1.0);
}

/* Goals nearer than this would only blur across the picture. */
#define GOAL_NEAREST_YD 25.0

static void draw_goal(const RbDemoCanvas *canvas, double end_x, double way)
{
    const RbFieldDimensions *d = rb_field_dimensions(canvas->stadium->code);
    const double middle = RB_FIELD_WIDTH_YD / 2.0;
    const RbPoint3 base = { end_x + way * 2.0, middle, 0.0 };
    if (depth_of(&canvas->projection, base) < GOAL_NEAREST_YD) {
        return;
    }
    const double pole = 0.12;
    const double bar = 0.08;
    const RbPoint3 neck = { base.x, middle, d->crossbar_yd - 0.4 };
    const RbPoint3 joint = { end_x, middle, d->crossbar_yd };
    rb_demo_canvas_bar(canvas, base, pole, neck, pole);
    rb_demo_canvas_bar(canvas, neck, pole, joint, bar);
    for (int side = -1; side <= 1; side += 2) {
        const double y = middle + side * d->uprights_yd / 2.0;
        const RbPoint3 corner = { end_x, y, d->crossbar_yd };
        const RbPoint3 top = { end_x, y, d->upright_top_yd };
        rb_demo_canvas_bar(canvas, joint, bar, corner, bar);
        rb_demo_canvas_bar(canvas, corner, bar, top, bar);
    }
    blend(canvas, rb_demo_colour(226, 206, 60), 1.0);
}

static void draw_pylons(const RbDemoCanvas *canvas)
{
    static const double xs[] = { -10.0, 0.0, 100.0, 110.0 };
    for (int i = 0; i < 8; i++) {
        const double y = i < 4 ? -0.1 : RB_FIELD_WIDTH_YD + 0.1;
        const RbPoint3 foot = { xs[i % 4], y, 0.08 };
        const RbPoint3 top = { xs[i % 4], y, 0.42 };
        rb_demo_canvas_bar(canvas, foot, 0.08, top, 0.08);
    }
    blend(canvas, rb_demo_colour(238, 110, 30), 1.0);
}

void rb_demo_stadium_draw(const RbDemoCanvas *canvas)
{
    RbDemoFrame frame = canvas->frame;
    rb_demo_turf_draw(&canvas->stadium->turf, &canvas->projection, &frame);
    draw_surfaces(canvas);
    draw_paint(canvas);
    draw_numbers(canvas);
    draw_stand(canvas);
    draw_pylons(canvas);
    draw_goal(canvas, -RB_FIELD_END_ZONE_YD, -1.0);
    draw_goal(canvas, RB_FIELD_LENGTH_YD + RB_FIELD_END_ZONE_YD, 1.0);
}

void rb_demo_stadium_draw_poles(const RbDemoCanvas *canvas, double ball_x, double gain_x)
{
    const double xs[2] = { ball_x, gain_x };
    for (int i = 0; i < 2; i++) {
        const RbPoint3 foot = { xs[i], RB_FIELD_WIDTH_YD + 2.4, 0.0 };
        const RbPoint3 top = { xs[i], RB_FIELD_WIDTH_YD + 2.4, 2.4 };
        rb_demo_canvas_bar(canvas, foot, 0.06, top, 0.06);
        rb_demo_canvas_bar(canvas, top, 0.22, top, 0.22);
    }
    blend(canvas, rb_demo_colour(240, 120, 30), 1.0);
}

void rb_demo_stadium_grain(const RbDemoCanvas *canvas, uint64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    for (int plane = 0; plane < 3; plane++) {
        const int width = plane == 0 ? canvas->frame.width : canvas->frame.width / 2;
        const int height = plane == 0 ? canvas->frame.height : canvas->frame.height / 2;
        for (int row = 0; row < height; row++) {
            uint8_t *pixels = canvas->frame.planes[plane] +
                              (ptrdiff_t)row * canvas->frame.strides[plane];
            const size_t room = GRAIN_SIZE - (size_t)width;
            const int8_t *grain =
                canvas->stadium->grain + (size_t)(rb_random_next(&random) % room);
            /* Limited range leaves room for the noise at both ends: no clamping. Chroma has
             * half the noise. */
            for (int x = 0; x < width; x++) {
                pixels[x] = (uint8_t)(pixels[x] + (plane == 0 ? grain[x] : grain[x] / 2));
            }
        }
    }
}
