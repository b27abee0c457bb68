/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/base/random.h"
#include "rb/field/measure.h"

#include "suite.h"
#include "views.h"

TCase *rb_case_measure(void);

static void miss(RbRandom *random, double sigma, RbPoint2 *pixel)
{
    pixel->x += rb_random_normal(random, 0, sigma);
    pixel->y += rb_random_normal(random, 0, sigma);
}

/* Two places on the field, a few yards apart, that the view shows. */
static void pick_pair(const View *view, RbRandom *random, RbPoint2 places[2],
                      RbPoint2 pixels[2])
{
    do {
        const double x = 20 + 60 * rb_random_unit(random);
        const double y = 4 + 40 * rb_random_unit(random);
        places[0] = (RbPoint2){ x, y };
        places[1] = (RbPoint2){ x + 3 + 9 * rb_random_unit(random),
                                y - 3 + 6 * rb_random_unit(random) };
    } while (!view_show(view, places[0], &pixels[0]) ||
             !view_show(view, places[1], &pixels[1]));
}

/* Reference: OpenCV 4.6.0 and NumPy for four exact points, college hash crossings, in feet:
 * distances between places of the picture. */
START_TEST(test_measure__distances_of_an_exact_view)
{
    static const double four[4][4] = { { 412, 688, 90, 60 },
                                       { 1523, 702, 150, 60 },
                                       { 1291, 371, 150, 100 },
                                       { 598, 364, 90, 100 } };
    static const struct {
        RbPoint2 from;
        RbPoint2 to;
        double feet;
    } lengths[] = {
        { { 960, 540 }, { 1000, 500 }, 5.688215 },
        { { 960, 540 }, { 700, 600 }, 17.294284 },
        { { 960, 540 }, { 1400, 450 }, 35.913271 },
        { { 700, 600 }, { 1400, 450 }, 53.199171 },
        { { 412, 688 }, { 960, 540 }, 33.565635 },
    };
    RbSighting sightings[4];
    for (int i = 0; i < 4; i++) {
        sightings[i] = (RbSighting){ .kind = RB_SIGHT_POINT,
                                     .pixel = { four[i][0], four[i][1] },
                                     .field = { { four[i][2], four[i][3] } } };
    }
    RbCalibration c;
    GError *error = NULL;
    ck_assert(rb_calibration_fit(sightings, 4, 1920, 1080, &c, &error));
    for (size_t i = 0; i < G_N_ELEMENTS(lengths); i++) {
        const RbClick from = { &c, lengths[i].from, 0 };
        const RbClick to = { &c, lengths[i].to, 0 };
        RbUncertain length;
        RbUncertain x;
        RbUncertain y;
        ck_assert(rb_measure_length(RB_LENGTH_STRAIGHT, &from, &to, &length));
        ck_assert_double_eq_tol(length.value, lengths[i].feet, 1e-5);
        ck_assert(rb_measure_length(RB_LENGTH_ALONG, &from, &to, &x));
        ck_assert(rb_measure_length(RB_LENGTH_ACROSS, &from, &to, &y));
        ck_assert_double_eq_tol(hypot(x.value, y.value), length.value, 1e-9);
        ck_assert_double_gt(length.sd, 0.0);
    }
    RbUncertain to_line;
    const RbClick place = { &c, { 700, 600 }, 0 };
    ck_assert(rb_measure_to_line(&place, true, 80, &to_line));
    ck_assert_double_eq_tol(to_line.value, 80 - 67.828233997950, 1e-6);
    ck_assert(rb_measure_to_line(&place, false, 90, &to_line));
    ck_assert_double_eq_tol(to_line.value, 90 - 104.324580257982, 1e-6);
    const RbClick sky = { &c, { 900, -4000 }, 0 };
    RbUncertain none;
    ck_assert(!rb_measure_length(RB_LENGTH_STRAIGHT, &place, &sky, &none));
}
END_TEST

/* The propagation against simulation: the spread of one length over many clicked calibrations
 * of one view is what each of them says of itself. */
START_TEST(test_measure__the_stated_spread_is_the_simulated_one)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(97));
    const View view = view_fixed();
    RbPoint2 places[2];
    RbPoint2 pixels[2];
    RbSighting truth[RB_SIGHTINGS_MAX];
    pick_pair(&view, &random, places, pixels);
    const int n = view_sightings(&view, &random, 14, 0, 0.0, truth);
    enum { ROUNDS = 600 };
    double sum = 0.0;
    double squares = 0.0;
    double stated = 0.0;
    for (int round = 0; round < ROUNDS; round++) {
        RbSighting clicked[RB_SIGHTINGS_MAX];
        RbPoint2 at[2] = { pixels[0], pixels[1] };
        for (int i = 0; i < n; i++) {
            clicked[i] = truth[i];
            miss(&random, RB_CLICK_SIGMA_PX, &clicked[i].pixel);
        }
        miss(&random, RB_CLICK_SIGMA_PX, &at[0]);
        miss(&random, RB_CLICK_SIGMA_PX, &at[1]);
        RbCalibration c;
        ck_assert(rb_calibration_fit(clicked, n, VIEW_WIDTH, VIEW_HEIGHT, &c, NULL));
        c.sigma = RB_CLICK_SIGMA_PX; /* known here */
        const RbClick from = { &c, at[0], 0 };
        const RbClick to = { &c, at[1], 0 };
        RbUncertain length;
        ck_assert(rb_measure_length(RB_LENGTH_STRAIGHT, &from, &to, &length));
        sum += length.value;
        squares += length.value * length.value;
        stated += length.sd * length.sd / ROUNDS;
    }
    const double mean = sum / ROUNDS;
    const double variance = squares / ROUNDS - mean * mean;
    /* Relative error of a standard deviation of 600 values: 3 %; allow four of them. */
    ck_assert_double_eq_tol(sqrt(stated) / sqrt(variance), 1.0, 0.12);
    ck_assert_double_lt(
        fabs(mean - hypot(places[1].x - places[0].x, places[1].y - places[0].y)),
        5 * sqrt(variance / ROUNDS) + 0.01);
}
END_TEST

/* The 80 % interval holds the truth in about 80 of 100 measures, over views of all kinds. */
START_TEST(test_measure__four_in_five_intervals_hold_the_truth)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(98));
    int measures = 0;
    int held = 0;
    while (measures < 1500) {
        const View view = view_random(&random);
        RbSighting clicked[RB_SIGHTINGS_MAX];
        const int n = view_sightings(&view, &random, 6, measures % 2 == 0 ? 0 : 6,
                                     RB_CLICK_SIGMA_PX, clicked);
        RbCalibration c;
        if (!rb_calibration_fit(clicked, n, VIEW_WIDTH, VIEW_HEIGHT, &c, NULL)) {
            continue;
        }
        RbPoint2 places[2];
        RbPoint2 pixels[2];
        pick_pair(&view, &random, places, pixels);
        miss(&random, RB_CLICK_SIGMA_PX, &pixels[0]);
        miss(&random, RB_CLICK_SIGMA_PX, &pixels[1]);
        const RbClick from = { &c, pixels[0], 0 };
        const RbClick to = { &c, pixels[1], 0 };
        RbUncertain length;
        if (rb_measure_length(RB_LENGTH_ALONG, &from, &to, &length)) {
            measures++;
            held += fabs(length.value - (places[1].x - places[0].x)) <
                    rb_measured_half_width(&length);
        }
    }
    /* Four standard errors of a share of 1,500. */
    ck_assert_double_gt((double)held / measures, 0.80 - 0.05);
    ck_assert_double_lt((double)held / measures, 0.80 + 0.05);
}
END_TEST

START_TEST(test_measure__far_from_the_marks_the_spread_grows)
{
    const View view = view_fixed();
    RbSighting s[4];
    int n = 0;
    for (int i = 0; i < 4; i++) {
        s[n++] = view_point(&view, (RbPoint2){ 49 + 2 * (i % 2), 20 + 2 * (i / 2) });
    }
    RbCalibration c;
    ck_assert(rb_calibration_fit(s, n, VIEW_WIDTH, VIEW_HEIGHT, &c, NULL));
    double first = 0.0;
    double last = 0.0;
    for (int off = 2; off <= 18; off += 4) {
        const RbSighting at = view_point(&view, (RbPoint2){ 50 + off, 21 });
        const RbClick place = { &c, at.pixel, 0 };
        RbUncertain x;
        ck_assert(rb_measure_to_line(&place, false, 50, &x));
        ck_assert_double_gt(x.sd, last);
        last = x.sd;
        first = first > 0.0 ? first : x.sd;
    }
    ck_assert_double_gt(last, 4.0 * first);
}
END_TEST

/* Two places on one calibration share its errors: the length between neighbours is known better
 * than from two calibrations of the same quality. */
START_TEST(test_measure__what_two_places_share_cancels)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(99));
    const View view = view_fixed();
    RbSighting clicked[RB_SIGHTINGS_MAX];
    const int n = view_sightings(&view, &random, 6, 0, RB_CLICK_SIGMA_PX, clicked);
    RbCalibration c;
    ck_assert(rb_calibration_fit(clicked, n, VIEW_WIDTH, VIEW_HEIGHT, &c, NULL));
    const RbCalibration copy = c;
    const RbClick from = { &c, { 900, 600 }, 0.01 };
    const RbClick same = { &c, { 940, 600 }, 0.01 };
    const RbClick other = { &copy, { 940, 600 }, 0.01 };
    RbUncertain one;
    RbUncertain two;
    ck_assert(rb_measure_length(RB_LENGTH_STRAIGHT, &from, &same, &one));
    ck_assert(rb_measure_length(RB_LENGTH_STRAIGHT, &from, &other, &two));
    ck_assert_double_eq_tol(one.value, two.value, 1e-9);
    ck_assert_double_lt(one.sd, 0.7 * two.sd);
}
END_TEST

START_TEST(test_measure__time_and_speed)
{
    /* Frames of 1001/60000 s, each with a uniform error: by hand. */
    const double frame = 1001.0 / 60000.0;
    const RbUncertain time = rb_measure_time(1.0, frame, 3.5, frame);
    ck_assert_double_eq_tol(time.value, 2.5, 1e-12);
    ck_assert_double_eq_tol(time.sd, frame / sqrt(6.0), 1e-12);
    const View view = view_fixed();
    RbSighting s[RB_SIGHTINGS_MAX];
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(96));
    const int n = view_sightings(&view, &random, 8, 0, 0.0, s);
    RbCalibration c;
    ck_assert(rb_calibration_fit(s, n, VIEW_WIDTH, VIEW_HEIGHT, &c, NULL));
    const RbSighting a = view_point(&view, (RbPoint2){ 45, 20 });
    const RbSighting b = view_point(&view, (RbPoint2){ 55, 20 });
    const RbClick from = { &c, a.pixel, 0 };
    const RbClick to = { &c, b.pixel, 0 };
    RbUncertain speed;
    RbUncertain exact;
    ck_assert(rb_measure_speed(&from, &to, 1.25, 0.0, &exact));
    ck_assert_double_eq_tol(exact.value, 8.0, 1e-3);
    ck_assert(rb_measure_speed(&from, &to, 1.25, 0.1, &speed));
    ck_assert_double_eq_tol(speed.sd * speed.sd - exact.sd * exact.sd, 0.64 * 0.64, 1e-3);
    ck_assert(!rb_measure_speed(&from, &to, 0.0, 0.1, &speed));
    const RbUncertain cushion = { 5.2, 0.4 };
    ck_assert(rb_measured_leaves_open(&cushion, 5.0));
    ck_assert(!rb_measured_leaves_open(&cushion, 4.0));
}
END_TEST

TCase *rb_case_measure(void)
{
    TCase *tcase = rb_case_new("measure");
    tcase_add_test(tcase, test_measure__distances_of_an_exact_view);
    tcase_add_test(tcase, test_measure__the_stated_spread_is_the_simulated_one);
    tcase_add_test(tcase, test_measure__four_in_five_intervals_hold_the_truth);
    tcase_add_test(tcase, test_measure__far_from_the_marks_the_spread_grows);
    tcase_add_test(tcase, test_measure__what_two_places_share_cancels);
    tcase_add_test(tcase, test_measure__time_and_speed);
    return tcase;
}
