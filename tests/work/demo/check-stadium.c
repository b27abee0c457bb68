/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "random-play.h"
#include "stadium.h"
#include "suite.h"

TCase *rb_case_stadium(void);

#define WIDTH 640
#define HEIGHT 480

typedef struct {
    uint8_t y[WIDTH * HEIGHT];
    uint8_t u[WIDTH * HEIGHT / 4];
    uint8_t v[WIDTH * HEIGHT / 4];
    RbDemoCanvas canvas;
} View;

/* High above a point of the field, looking almost straight down: a map. */
static void view_from_above(View *view, const RbDemoStadium *stadium, double x, double y,
                            double width_yd)
{
    view->canvas = (RbDemoCanvas){
        .stadium = stadium,
        .mask = rb_demo_mask_new(WIDTH, HEIGHT),
        .frame = { WIDTH,
                   HEIGHT,
                   { view->y, view->u, view->v },
                   { WIDTH, WIDTH / 2, WIDTH / 2 } },
        .camera = { .position = { x, y - 8, 120 }, .width = WIDTH, .height = HEIGHT },
    };
    const RbPoint3 target = { x, y, 0 };
    rb_camera_aim(&view->canvas.camera, target);
    rb_camera_frame_width(&view->canvas.camera, target, width_yd);
    view->canvas.projection = rb_camera_projection(&view->canvas.camera);
    rb_demo_stadium_draw(&view->canvas);
    rb_demo_mask_free(view->canvas.mask);
}

static int luma_at(const View *view, double x, double y)
{
    RbPoint2 at;
    ck_assert(
        rb_projection_apply(&view->canvas.projection, (RbPoint3){ x, y, 0 }, &at, NULL));
    ck_assert(at.x >= 0 && at.y >= 0 && at.x < WIDTH && at.y < HEIGHT);
    return view->y[(int)at.y * WIDTH + (int)at.x];
}

/* Every rectangle of the field model is white in its middle. */
START_TEST(test_stadium__all_paint_is_there)
{
    static View view;
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        RbDemoStadium *stadium = rb_demo_stadium_new((RbFieldCode)code, 1);
        g_autoptr(GArray) paint = rb_field_paint_all((RbFieldCode)code);
        const double near = rb_field_dimensions((RbFieldCode)code)->hash_yd - 4;
        view_from_above(&view, stadium, 30, near, 30);
        int seen = 0;
        for (guint i = 0; i < paint->len; i++) {
            const RbPaint *p = &g_array_index(paint, RbPaint, i);
            const double x = (p->x0 + p->x1) / 2;
            const double y = (p->y0 + p->y1) / 2;
            if (fabs(x - 30) < 14 && fabs(y - near) < 9) {
                seen++;
                ck_assert_int_gt(luma_at(&view, x, y), 150);
            }
        }
        ck_assert_int_gt(seen, 25);
        rb_demo_stadium_free(stadium);
    }
}
END_TEST

START_TEST(test_stadium__grass_is_green_and_mown_in_bands_of_five)
{
    static View view;
    RbDemoStadium *stadium = rb_demo_stadium_new(RB_FIELD_COLLEGE, 1);
    view_from_above(&view, stadium, 30, 14, 30);
    double bands[2] = { 0, 0 };
    for (int i = 0; i < 4; i++) { /* 20-25 and 30-35 against 25-30 and 35-40 */
        for (int k = 0; k < 40; k++) {
            bands[i % 2] += luma_at(&view, 21.5 + 5 * i + 0.05 * k, 12.5) / 80.0;
        }
    }
    ck_assert_double_gt(fabs(bands[0] - bands[1]), 5);
    ck_assert_double_lt(fabs(bands[0] - bands[1]), 30);
    const int block = (HEIGHT / 4) * (WIDTH / 2) + WIDTH / 4 + 20;
    ck_assert_int_lt(view.u[block], 120);
    ck_assert_int_lt(view.v[block], 124);
    rb_demo_stadium_free(stadium);
}
END_TEST

/* Share of white in the box of a digit left or right of a yard line. */
static double digit_paint(const View *view, double x0, double y0, double y1)
{
    int white = 0;
    int all = 0;
    for (double x = x0; x < x0 + 4.0 / 3; x += 0.05) {
        for (double y = y0; y < y1; y += 0.05) {
            all++;
            white += luma_at(view, x, y) > 150 ? 1 : 0;
        }
    }
    return (double)white / all;
}

/* NCAA 1-2-1: tops 9 yd from the sideline; NFL: bottoms 12 yd. */
START_TEST(test_stadium__numbers_stand_where_the_rules_put_them)
{
    static View view;
    for (int code = RB_FIELD_COLLEGE; code <= RB_FIELD_PRO; code++) {
        RbDemoStadium *stadium = rb_demo_stadium_new((RbFieldCode)code, 1);
        view_from_above(&view, stadium, 30, 11, 18);
        const bool pro = code == RB_FIELD_PRO;
        const double college = digit_paint(&view, 30.35, 7, 9);
        const double league = digit_paint(&view, 30.35, 12, 14);
        ck_assert_double_gt(pro ? league : college, 0.4);
        ck_assert_double_lt(pro ? college : league, 0.1);
        rb_demo_stadium_free(stadium);
    }
}
END_TEST

/* Read from the near side: "3" to the left of the 30, "0" to the right; the 0 has a hole. */
START_TEST(test_stadium__numbers_read_from_their_side)
{
    static View view;
    RbDemoStadium *stadium = rb_demo_stadium_new(RB_FIELD_COLLEGE, 1);
    view_from_above(&view, stadium, 30, 8, 12);
    const double left = 30 - 0.35 - 4.0 / 3;
    const double right = 30.35;
    ck_assert_int_gt(luma_at(&view, right + 0.15, 7.5), 150); /* the 0's left stroke */
    ck_assert_int_lt(luma_at(&view, left + 0.15, 7.55), 150); /* a 3 has none */
    ck_assert_int_gt(luma_at(&view, left + 1.18, 7.55), 150); /* but a right one */
    ck_assert_int_lt(luma_at(&view, right + 0.67, 8.0), 150); /* hole */
    ck_assert_int_gt(luma_at(&view, left + 0.67, 8.0), 150);  /* bar of the 3 */
    rb_demo_stadium_free(stadium);
}
END_TEST

START_TEST(test_stadium__end_zone_is_painted_in_colour)
{
    static View view;
    RbDemoStadium *stadium = rb_demo_stadium_new(RB_FIELD_COLLEGE, 1);
    view_from_above(&view, stadium, 0, 26, 30);
    RbPoint2 zone;
    RbPoint2 grass;
    ck_assert(rb_projection_apply(&view.canvas.projection, (RbPoint3){ -5, 26, 0 }, &zone,
                                  NULL));
    ck_assert(rb_projection_apply(&view.canvas.projection, (RbPoint3){ 7, 26, 0 }, &grass,
                                  NULL));
    const int in = view.u[(int)zone.y / 2 * (WIDTH / 2) + (int)zone.x / 2];
    const int out = view.u[(int)grass.y / 2 * (WIDTH / 2) + (int)grass.x / 2];
    ck_assert_int_gt(in, out + 15); /* blue */
    rb_demo_stadium_free(stadium);
}
END_TEST

/* Level over the far sideline: crowd above, grass below. */
START_TEST(test_stadium__crowd_stands_beyond_the_sideline)
{
    static View view;
    RbDemoStadium *stadium = rb_demo_stadium_new(RB_FIELD_COLLEGE, 1);
    view_from_above(&view, stadium, 50, 30, 50);
    view.canvas.mask = rb_demo_mask_new(WIDTH, HEIGHT);
    view.canvas.camera.position = (RbPoint3){ 50, -40, 20 };
    rb_camera_aim(&view.canvas.camera, (RbPoint3){ 50, 40, 0 });
    view.canvas.camera.focal_px = 900;
    view.canvas.projection = rb_camera_projection(&view.canvas.camera);
    rb_demo_stadium_draw(&view.canvas);
    rb_demo_mask_free(view.canvas.mask);
    double spread[2] = { 0, 0 };
    const int rows[2] = { 12, 400 };
    for (int i = 0; i < 2; i++) {
        for (int x = 1; x < WIDTH; x++) {
            const uint8_t *row = view.y + rows[i] * WIDTH;
            spread[i] += abs(row[x] - row[x - 1]) / (double)WIDTH;
        }
    }
    ck_assert_double_gt(spread[0], 3 * spread[1]);
    rb_demo_stadium_free(stadium);
}
END_TEST

/* Noise is even: it does not brighten the picture, and its spread is that of a camera. */
START_TEST(test_stadium__grain_keeps_the_mean)
{
    static View view;
    RbDemoStadium *stadium = rb_demo_stadium_new(RB_FIELD_COLLEGE, 1);
    view_from_above(&view, stadium, 50, 30, 50);
    memset(view.y, 120, sizeof view.y);
    memset(view.u, 128, sizeof view.u);
    memset(view.v, 128, sizeof view.v);
    rb_demo_stadium_grain(&view.canvas, 5);
    double sum = 0;
    double squares = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        sum += view.y[i] - 120;
        squares += (view.y[i] - 120) * (view.y[i] - 120);
    }
    ck_assert_double_eq_tol(sum / (WIDTH * HEIGHT), 0, 0.05);
    ck_assert_double_eq_tol(sqrt(squares / (WIDTH * HEIGHT)), 1.7, 0.15);
    rb_demo_stadium_free(stadium);
}
END_TEST

/* A polygon that reaches behind the camera is cut, not turned inside out. */
START_TEST(test_stadium__ground_behind_the_camera_is_cut)
{
    static View view;
    RbDemoStadium *stadium = rb_demo_stadium_new(RB_FIELD_COLLEGE, 1);
    view_from_above(&view, stadium, 50, 30, 50);
    view.canvas.mask = rb_demo_mask_new(WIDTH, HEIGHT);
    view.canvas.camera = (RbCamera){
        .position = { 50, 20, 2 }, .focal_px = 500, .width = WIDTH, .height = HEIGHT
    };
    view.canvas.projection = rb_camera_projection(&view.canvas.camera);
    memset(view.y, 50, sizeof view.y);
    const RbPoint3 strip[4] = {
        { 49, -30, 0 }, { 51, -30, 0 }, { 51, 50, 0 }, { 49, 50, 0 }
    };
    rb_demo_canvas_polygon(&view.canvas, strip, 4);
    rb_demo_mask_blend(view.canvas.mask, &view.canvas.frame,
                       (RbDemoColour){ 200, 128, 128 }, 1);
    rb_demo_mask_free(view.canvas.mask);
    for (int x = 0; x < WIDTH; x++) {
        ck_assert_int_eq(view.y[(HEIGHT / 2 - 20) * WIDTH + x],
                         50); /* nothing in the sky */
    }
    ck_assert_int_eq(view.y[(HEIGHT - 5) * WIDTH + WIDTH / 2], 200);
    rb_demo_stadium_free(stadium);
}
END_TEST

TCase *rb_case_stadium(void)
{
    TCase *tcase = rb_case_new("stadium");
    tcase_add_test(tcase, test_stadium__all_paint_is_there);
    tcase_add_test(tcase, test_stadium__grass_is_green_and_mown_in_bands_of_five);
    tcase_add_test(tcase, test_stadium__numbers_stand_where_the_rules_put_them);
    tcase_add_test(tcase, test_stadium__numbers_read_from_their_side);
    tcase_add_test(tcase, test_stadium__end_zone_is_painted_in_colour);
    tcase_add_test(tcase, test_stadium__crowd_stands_beyond_the_sideline);
    tcase_add_test(tcase, test_stadium__grain_keeps_the_mean);
    tcase_add_test(tcase, test_stadium__ground_behind_the_camera_is_cut);
    return tcase;
}
