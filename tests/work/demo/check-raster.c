/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/base/random.h"

#include "raster.h"
#include "suite.h"

TCase *rb_case_raster(void);

#define WIDTH 64
#define HEIGHT 48

typedef struct {
    uint8_t y[WIDTH * HEIGHT];
    uint8_t u[WIDTH * HEIGHT / 4];
    uint8_t v[WIDTH * HEIGHT / 4];
    RbDemoFrame frame;
} Picture;

static void picture_init(Picture *picture)
{
    memset(picture->y, 0, sizeof picture->y);
    memset(picture->u, 128, sizeof picture->u);
    memset(picture->v, 128, sizeof picture->v);
    picture->frame = (RbDemoFrame){ WIDTH,
                                    HEIGHT,
                                    { picture->y, picture->u, picture->v },
                                    { WIDTH, WIDTH / 2, WIDTH / 2 } };
}

static const RbDemoColour white = { 200, 128, 128 };

/* Painted area in pixels, from the luma of a shape painted at 200 on 0. */
static double painted(const Picture *picture)
{
    double sum = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        sum += picture->y[i] / 200.0;
    }
    return sum;
}

/* Rec. ITU-R BT.709-6, tables 3.2 to 3.4: luma 0.2126, 0.7152, 0.0722 and the colour
 * differences over 1.8556 and 1.5748, in 8 bits: 16 to 235, and 16 to 240. */
START_TEST(test_raster__colours_by_bt709)
{
    static const struct {
        int rgb[3];
        int yuv[3];
    } rows[] = {
        { { 255, 255, 255 }, { 235, 128, 128 } }, { { 0, 0, 0 }, { 16, 128, 128 } },
        { { 255, 0, 0 }, { 63, 102, 240 } },      { { 0, 255, 0 }, { 173, 42, 26 } },
        { { 0, 0, 255 }, { 32, 240, 118 } },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const RbDemoColour c =
            rb_demo_colour(rows[i].rgb[0], rows[i].rgb[1], rows[i].rgb[2]);
        ck_assert_int_eq(c.y, rows[i].yuv[0]);
        ck_assert_int_eq(c.u, rows[i].yuv[1]);
        ck_assert_int_eq(c.v, rows[i].yuv[2]);
    }
}
END_TEST

/* The shoelace formula gives the area that must be covered, wherever the corners lie. */
START_TEST(test_raster__triangles_cover_their_area)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(31));
    RbDemoMask *mask = rb_demo_mask_new(WIDTH, HEIGHT);
    for (int round = 0; round < 300; round++) {
        Picture picture;
        picture_init(&picture);
        RbPoint2 p[3];
        for (int i = 0; i < 3; i++) {
            p[i] = (RbPoint2){ WIDTH * rb_random_unit(&random),
                               HEIGHT * rb_random_unit(&random) };
        }
        const double area = fabs((p[1].x - p[0].x) * (p[2].y - p[0].y) -
                                 (p[2].x - p[0].x) * (p[1].y - p[0].y)) /
                            2;
        rb_demo_mask_polygon(mask, p, 3);
        rb_demo_mask_blend(mask, &picture.frame, white, 1);
        /* A pixel on the edge is rounded to 1/256 and to a step of luma. */
        ck_assert_double_eq_tol(painted(&picture), area, 0.6 + 0.01 * area);
    }
    rb_demo_mask_free(mask);
}
END_TEST

START_TEST(test_raster__shapes_beyond_the_picture_are_cut)
{
    Picture picture;
    picture_init(&picture);
    RbDemoMask *mask = rb_demo_mask_new(WIDTH, HEIGHT);
    const RbPoint2 box[4] = { { -50, 10 }, { 500, 10 }, { 500, 20 }, { -50, 20 } };
    rb_demo_mask_polygon(mask, box, 4);
    rb_demo_mask_blend(mask, &picture.frame, white, 1);
    ck_assert_double_eq_tol(painted(&picture), 10.0 * WIDTH, 0.01);
    const RbPoint2 above[3] = { { 0, -50 }, { 60, -40 }, { 30, -5 } };
    rb_demo_mask_polygon(mask, above, 3);
    rb_demo_mask_blend(mask, &picture.frame, white, 1);
    ck_assert_double_eq_tol(painted(&picture), 10.0 * WIDTH, 0.01);
    rb_demo_mask_free(mask);
}
END_TEST

/* Shapes of one blend that overlap count once, also when they run round the other way. */
START_TEST(test_raster__overlap_counts_once)
{
    Picture picture;
    picture_init(&picture);
    RbDemoMask *mask = rb_demo_mask_new(WIDTH, HEIGHT);
    const RbPoint2 a[4] = { { 4, 4 }, { 24, 4 }, { 24, 24 }, { 4, 24 } };
    const RbPoint2 b[4] = { { 14, 4 }, { 14, 24 }, { 34, 24 }, { 34, 4 } };
    rb_demo_mask_polygon(mask, a, 4);
    rb_demo_mask_polygon(mask, b, 4);
    rb_demo_mask_blend(mask, &picture.frame, white, 0.5);
    ck_assert_double_eq_tol(painted(&picture), 0.5 * 30 * 20, 0.5);
    ck_assert_int_eq(picture.y[10 * WIDTH + 20], 100);
    ck_assert_int_eq(picture.y[10 * WIDTH + 40], 0);
    rb_demo_mask_free(mask);
}
END_TEST

START_TEST(test_raster__bar_has_round_ends)
{
    Picture picture;
    picture_init(&picture);
    RbDemoMask *mask = rb_demo_mask_new(WIDTH, HEIGHT);
    rb_demo_mask_capsule(mask, (RbPoint2){ 16, 20 }, 6, (RbPoint2){ 46, 20 }, 6);
    rb_demo_mask_blend(mask, &picture.frame, white, 1);
    /* The round ends are half octagons: area 2 sqrt(2) r^2 together. */
    ck_assert_double_eq_tol(painted(&picture), 30 * 12 + 2 * sqrt(2) * 36, 3);
    ck_assert_int_gt(picture.y[20 * WIDTH + 11], 150);
    ck_assert_int_eq(picture.y[14 * WIDTH + 10], 0);
    rb_demo_mask_free(mask);
}
END_TEST

START_TEST(test_raster__colour_reaches_the_chroma_of_covered_blocks)
{
    Picture picture;
    picture_init(&picture);
    RbDemoMask *mask = rb_demo_mask_new(WIDTH, HEIGHT);
    const RbPoint2 box[4] = { { 8, 8 }, { 16, 8 }, { 16, 15 }, { 8, 15 } };
    rb_demo_mask_polygon(mask, box, 4);
    rb_demo_mask_blend(mask, &picture.frame, (RbDemoColour){ 90, 200, 60 }, 1);
    ck_assert_int_eq(picture.u[4 * WIDTH / 2 + 4], 200);
    ck_assert_int_eq(picture.v[6 * WIDTH / 2 + 7], 60);
    ck_assert_int_eq(picture.u[7 * WIDTH / 2 + 4], 164); /* half covered */
    ck_assert_int_eq(picture.u[8 * WIDTH / 2 + 4], 128);
    ck_assert_int_eq(picture.u[4 * WIDTH / 2 + 8], 128);
    rb_demo_mask_free(mask);
}
END_TEST

START_TEST(test_raster__mask_is_empty_after_a_blend)
{
    Picture picture;
    picture_init(&picture);
    RbDemoMask *mask = rb_demo_mask_new(WIDTH, HEIGHT);
    rb_demo_mask_disc(mask, (RbPoint2){ 30, 20 }, 12);
    rb_demo_mask_blend(mask, &picture.frame, white, 1);
    picture_init(&picture);
    rb_demo_mask_blend(mask, &picture.frame, white, 1);
    ck_assert_double_eq(painted(&picture), 0);
    rb_demo_mask_free(mask);
}
END_TEST

TCase *rb_case_raster(void)
{
    TCase *tcase = rb_case_new("raster");
    tcase_add_test(tcase, test_raster__colours_by_bt709);
    tcase_add_test(tcase, test_raster__triangles_cover_their_area);
    tcase_add_test(tcase, test_raster__shapes_beyond_the_picture_are_cut);
    tcase_add_test(tcase, test_raster__overlap_counts_once);
    tcase_add_test(tcase, test_raster__bar_has_round_ends);
    tcase_add_test(tcase, test_raster__colour_reaches_the_chroma_of_covered_blocks);
    tcase_add_test(tcase, test_raster__mask_is_empty_after_a_blend);
    return tcase;
}
