/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Calibrations carried over pictures that are painted here, pixel by pixel, from the rules of a
 * college field; real scenes are in tests/work/demo. */
#include <math.h>
#include <stdio.h>

#include "rb/base/random.h"
#include "rb/field/camera.h"
#include "rb/field/carry.h"

#include "suite.h"

TCase *rb_case_carry(void);

enum { WIDTH = 640, HEIGHT = 360 };

typedef struct {
    double x;     /* where the camera looks */
    double yards; /* across the picture: the zoom */
    bool lines;   /* painted, else bare turf */
} Look;

static RbHomography ground_of(const Look *look)
{
    RbCamera camera = { .position = { 50, -38, 18 }, .width = WIDTH, .height = HEIGHT };
    const RbPoint3 at = { look->x, 26, 0 };
    rb_camera_aim(&camera, at);
    rb_camera_frame_width(&camera, at, look->yards);
    const RbProjection projection = rb_camera_projection(&camera);
    return rb_projection_ground(&projection);
}

/* Grass: its own at each place of the ground, in patches of a third of a yard. */
static double turf(double x, double y)
{
    const int64_t column = (int64_t)floor(x * 3.0);
    const int64_t row = (int64_t)floor(y * 3.0);
    uint64_t mixed = (uint64_t)(column * 73856093) ^ (uint64_t)(row * 19349663);
    mixed = (mixed ^ mixed >> 13) * UINT64_C(0x9E3779B97F4A7C15); /* Fibonacci hashing */
    return 70.0 + 30.0 * (double)(mixed >> 40) / (double)(1 << 24);
}

static bool is_painted(double x, double y)
{
    const double half = 2.0 / 36.0; /* lines are four inches wide: NCAA 1-2-1 */
    const double nearest = 5.0 * round(x / 5.0);
    const bool inside = x > 2.0 && x < 98.0 && y > 0.0 && y < RB_FIELD_WIDTH_YD;
    const double hash = fmin(fabs(y - 20.0), fabs(y - (RB_FIELD_WIDTH_YD - 20.0)));
    const bool border =
        (y < 0.0 && y > -2.0) || (y > RB_FIELD_WIDTH_YD && y < RB_FIELD_WIDTH_YD + 2.0);
    return border || (inside && fabs(x - nearest) < half) ||
           (inside && hash < half && fabs(x - nearest) < 1.0 / 3.0);
}

static double brightness(const RbHomography *back, const Look *look, double u, double v)
{
    RbPoint2 at;
    if (!rb_homography_apply(back, (RbPoint2){ u, v }, &at) || fabs(at.x) > 300.0) {
        return 150.0; /* sky */
    }
    return look->lines && is_painted(at.x, at.y) ? 220.0 : turf(at.x, at.y);
}

/* Four samples a pixel, and noise of its own in each picture. */
static void paint(const Look *look, uint64_t seed, uint8_t *bytes)
{
    const RbHomography map = ground_of(look);
    RbHomography back;
    RbRandom random;
    rb_random_seed(&random, seed);
    ck_assert(rb_homography_invert(&map, &back, NULL));
    for (int y = 0; y < HEIGHT; y++) {
        for (int x = 0; x < WIDTH; x++) {
            double sum = 0.0;
            for (int k = 0; k < 4; k++) {
                sum += brightness(&back, look, x + 0.25 + 0.5 * (k % 2),
                                  y + 0.25 + 0.5 * (k / 2));
            }
            const double noise = 3.0 * (rb_random_unit(&random) - 0.5);
            bytes[y * WIDTH + x] = (uint8_t)CLAMP(sum / 4.0 + noise, 0.0, 255.0);
        }
    }
}

static RbGrayPicture picture_of(const uint8_t *bytes)
{
    return (RbGrayPicture){ bytes, WIDTH, HEIGHT, WIDTH };
}

/* Six marks about the middle of the picture, each missed by sigma. */
static RbCalibration click(const Look *look, double sigma, uint64_t seed)
{
    const RbHomography map = ground_of(look);
    RbRandom random;
    rb_random_seed(&random, seed);
    RbSighting sightings[6];
    for (int i = 0; i < 6; i++) {
        RbSighting *s = &sightings[i];
        *s = (RbSighting){ .kind = RB_SIGHT_POINT };
        s->field[0] = (RbPoint2){ 5.0 * round(look->x / 5.0) + 10.0 * (i % 3 - 1),
                                  i / 3 == 0 ? 20.0 : RB_FIELD_WIDTH_YD - 20.0 };
        ck_assert(rb_homography_apply(&map, s->field[0], &s->pixel));
        s->pixel.x += sigma > 0.0 ? rb_random_normal(&random, 0.0, sigma) : 0.0;
        s->pixel.y += sigma > 0.0 ? rb_random_normal(&random, 0.0, sigma) : 0.0;
    }
    RbCalibration c;
    GError *error = NULL;
    rb_calibration_fit(sightings, 6, WIDTH, HEIGHT, &c, &error);
    rb_assert_no_error(error);
    return c;
}

/* The longest way between where places of the picture are and where they are said to be. */
static double error_of(const Look *look, const RbCalibration *c)
{
    const RbHomography map = ground_of(look);
    RbHomography back;
    double worst = 0.0;
    ck_assert(rb_homography_invert(&map, &back, NULL));
    for (int k = 0; k < 9; k++) {
        const RbPoint2 pixel = { WIDTH * (1 + k % 3) / 4.0, HEIGHT * (2 + k / 3) / 5.0 };
        RbPoint2 truth;
        RbPoint2 place;
        ck_assert(rb_homography_apply(&back, pixel, &truth));
        ck_assert(rb_calibration_locate(c, pixel, &place));
        worst = fmax(worst, hypot(place.x - truth.x, place.y - truth.y));
    }
    return worst;
}

static RbCarrier *start(const Look *look, double sigma, uint8_t *bytes)
{
    const RbCalibration c = click(look, sigma, 7);
    paint(look, 1, bytes);
    const RbGrayPicture picture = picture_of(bytes);
    return rb_carrier_new(RB_FIELD_COLLEGE, &c, &picture);
}

static RbCarryState step(RbCarrier *carrier, const Look *look, uint64_t seed,
                         uint8_t *bytes)
{
    paint(look, seed, bytes);
    const RbGrayPicture picture = picture_of(bytes);
    return rb_carrier_step(carrier, &picture);
}

/* A turn of five yards and back, with a zoom on the way. */
START_TEST(test_carry__a_turn_and_a_zoom_are_followed_there_and_back)
{
    g_autofree uint8_t *bytes = g_malloc(WIDTH * HEIGHT);
    Look look = { 45.0, 46.0, true };
    RbCarrier *carrier = start(&look, 0.0, bytes);
    for (int i = 1; i <= 24; i++) {
        const int way = i <= 12 ? 1 : -1;
        look.x += way * 0.4;
        look.yards -= way * 0.25;
        ck_assert_int_eq(step(carrier, &look, (uint64_t)i + 1, bytes), RB_CARRY_GOOD);
        ck_assert_int_gt(rb_carrier_get_followed(carrier), 30);
        ck_assert_int_gt(rb_carrier_get_found(carrier), 30);
        ck_assert_double_lt(error_of(&look, rb_carrier_get_calibration(carrier)), 0.4);
        ck_assert_double_lt(rb_carrier_get_looseness(carrier), RB_CARRY_LOOSE_YD);
    }
    ck_assert_double_lt(error_of(&look, rb_carrier_get_calibration(carrier)), 0.25);
    rb_carrier_free(carrier);
}
END_TEST

/* Without lines nothing takes away what creeps in, and that is what it says. */
START_TEST(test_carry__without_lines_the_doubt_grows)
{
    g_autofree uint8_t *bytes = g_malloc(WIDTH * HEIGHT);
    Look look = { 45.0, 46.0, false };
    RbCarrier *carrier = start(&look, 0.0, bytes);
    double before = rb_carrier_get_looseness(carrier);
    const double first = before;
    for (int i = 1; i <= 10; i++) {
        look.x += 0.4;
        ck_assert_int_ne(step(carrier, &look, (uint64_t)i + 1, bytes), RB_CARRY_LOST);
        ck_assert_int_eq(rb_carrier_get_found(carrier), 0);
        ck_assert_double_gt(rb_carrier_get_looseness(carrier), 0.98 * before);
        before = rb_carrier_get_looseness(carrier);
    }
    ck_assert_double_gt(before, first);
    rb_carrier_free(carrier);
}
END_TEST

START_TEST(test_carry__a_cut_is_lost_for_good)
{
    g_autofree uint8_t *bytes = g_malloc(WIDTH * HEIGHT);
    Look look = { 45.0, 46.0, true };
    RbCarrier *carrier = start(&look, 0.0, bytes);
    g_autofree uint8_t *blank = g_malloc0(WIDTH * HEIGHT);
    const RbGrayPicture nothing = picture_of(blank);
    ck_assert_int_eq(rb_carrier_step(carrier, &nothing), RB_CARRY_LOST);
    ck_assert(isinf(rb_carrier_get_looseness(carrier)));
    ck_assert_int_eq(step(carrier, &look, 2, bytes), RB_CARRY_LOST);
    rb_carrier_free(carrier);

    carrier = start(&look, 0.0, bytes);
    RbGrayPicture smaller = picture_of(bytes);
    smaller.height /= 2;
    ck_assert_int_eq(rb_carrier_step(carrier, &smaller), RB_CARRY_LOST);
    rb_carrier_free(carrier);
}
END_TEST

START_TEST(test_carry__lines_sharpen_rough_clicks)
{
    g_autofree uint8_t *bytes = g_malloc(WIDTH * HEIGHT);
    const Look look = { 45.0, 46.0, true };
    double rough = 0.0;
    double sharp = 0.0;
    paint(&look, 1, bytes);
    const RbGrayPicture picture = picture_of(bytes);
    for (uint64_t seed = 1; seed <= 8; seed++) {
        const RbCalibration c = click(&look, 1.5, seed);
        RbCarrier *carrier = rb_carrier_new(RB_FIELD_COLLEGE, &c, &picture);
        rough += error_of(&look, &c);
        ck_assert(rb_carrier_sharpen(carrier));
        sharp += error_of(&look, rb_carrier_get_calibration(carrier));
        rb_carrier_free(carrier);
    }
    printf("error at the worst place: %.2f yd by clicks, %.2f yd on the lines\n",
           rough / 8, sharp / 8);
    ck_assert_double_lt(2.0 * sharp, rough);
}
END_TEST

START_TEST(test_carry__bare_turf_sharpens_nothing)
{
    g_autofree uint8_t *bytes = g_malloc(WIDTH * HEIGHT);
    const Look look = { 45.0, 46.0, false };
    RbCarrier *carrier = start(&look, 1.5, bytes);
    const double before = error_of(&look, rb_carrier_get_calibration(carrier));
    ck_assert(!rb_carrier_sharpen(carrier));
    ck_assert_double_eq(error_of(&look, rb_carrier_get_calibration(carrier)), before);
    rb_carrier_free(carrier);
}
END_TEST

TCase *rb_case_carry(void)
{
    TCase *tcase = rb_case_new("carry");
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, test_carry__a_turn_and_a_zoom_are_followed_there_and_back);
    tcase_add_test(tcase, test_carry__without_lines_the_doubt_grows);
    tcase_add_test(tcase, test_carry__a_cut_is_lost_for_good);
    tcase_add_test(tcase, test_carry__lines_sharpen_rough_clicks);
    tcase_add_test(tcase, test_carry__bare_turf_sharpens_nothing);
    return tcase;
}
