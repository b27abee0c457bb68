/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/field/calibration.h"
#include "rb/field/camera.h"

#include "suite.h"
#include "views.h"

TCase *rb_case_calibration(void);

static RbCalibration must_fit(const RbSighting *sightings, int n)
{
    RbCalibration c;
    GError *error = NULL;
    ck_assert_msg(rb_calibration_fit(sightings, n, VIEW_WIDTH, VIEW_HEIGHT, &c, &error),
                  "%s", error != NULL ? error->message : "");
    return c;
}

static void must_be_refused(const RbSighting *sightings, int n, RbFieldError code,
                            const char *says)
{
    RbCalibration c;
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_calibration_fit(sightings, n, VIEW_WIDTH, VIEW_HEIGHT, &c, &error));
    ck_assert_msg(g_error_matches(error, RB_FIELD_ERROR, code), "%s", error->message);
    ck_assert_msg(strstr(error->message, says) != NULL, "%s", error->message);
}

/* Reference: SciPy least_squares on the eight noisy points of check-homography.c, field to
 * picture in pixels, converged; the field in feet. */
START_TEST(test_calibration__points_alone_are_the_least_squares_map)
{
    static const double points[8][4] = {
        { 90, 0, 649.00, 822.75 },    { 120, 0, 761.00, 824.50 },
        { 150, 0, 874.25, 826.00 },   { 90, 60, 596.00, 546.00 },
        { 150, 60, 780.50, 551.25 },  { 90, 100, 570.50, 415.25 },
        { 150, 100, 734.50, 419.00 }, { 120, 160, 612.50, 267.50 },
    };
    static const double map[9] = {
        3.916753173071e+00, 1.493166274660e+00,  3.024903758409e+02,
        1.548900521123e-01, -2.468487854664e+00, 8.173023753840e+02,
        1.171959641733e-04, 3.979461214562e-03,  1
    };
    RbSighting sightings[8];
    for (int i = 0; i < 8; i++) {
        sightings[i] = (RbSighting){ .kind = RB_SIGHT_POINT,
                                     .field = { { points[i][0], points[i][1] } },
                                     .pixel = { points[i][2], points[i][3] } };
    }
    RbCalibration c = must_fit(sightings, 8);
    if (c.has_bend) { /* sixteen equations: a bend may be tried, and must be refused here */
        ck_abort_msg("a bend of %g where there is none", c.bend);
    }
    for (int k = 0; k < 9; k++) {
        ck_assert_double_eq_tol(c.map.m[k] / c.map.m[8], map[k], 2e-6 * fabs(map[k]));
    }
    ck_assert_double_eq_tol(c.rms, 0.676966857, 1e-7);
    RbPoint2 place;
    ck_assert(rb_calibration_locate(&c, (RbPoint2){ 800, 600 }, &place));
    ck_assert_double_eq_tol(place.x, 151.085455, 1e-4);
    ck_assert_double_eq_tol(place.y, 47.378964, 1e-4);
    ck_assert_int_eq(c.worst, 0); /* 0.86 px */
    ck_assert_int_eq(c.freedom, 8);
}
END_TEST

/* Exact clicks give the camera back, whatever they are on. */
START_TEST(test_calibration__exact_clicks_give_the_view_back)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(90));
    int fitted = 0;
    for (int round = 0; round < 40; round++) {
        const View view = view_random(&random);
        RbSighting sightings[RB_SIGHTINGS_MAX];
        const int kinds = round % 3; /* points, lines, both */
        const int n = view_sightings(&view, &random, kinds != 1 ? 6 : 0,
                                     kinds != 0 ? 12 : 0, 0.0, sightings);
        RbCalibration c;
        g_autoptr(GError) error = NULL;
        if (!rb_calibration_fit(sightings, n, VIEW_WIDTH, VIEW_HEIGHT, &c, &error)) {
            /* Chance may have put them all in one corner. */
            ck_assert(g_error_matches(error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE));
            continue;
        }
        fitted++;
        ck_assert_double_lt(c.rms, 1e-4);
        for (int i = 0; i < n; i++) {
            RbPoint2 truth;
            RbPoint2 place;
            RbPoint2 back;
            ck_assert(view_locate(&view, sightings[i].pixel, &truth));
            ck_assert(rb_calibration_locate(&c, sightings[i].pixel, &place));
            ck_assert_double_lt(hypot(place.x - truth.x, place.y - truth.y), 0.02);
            ck_assert(rb_calibration_show(&c, place, &back));
            ck_assert_double_lt(
                hypot(back.x - sightings[i].pixel.x, back.y - sightings[i].pixel.y),
                1e-6);
        }
    }
    ck_assert_int_ge(fitted, 34);
}
END_TEST

/* Lines help: beside four poor points they bring the places nearer to the truth. */
START_TEST(test_calibration__lines_add_to_points)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(91));
    double with = 0.0;
    double without = 0.0;
    for (int round = 0; round < 60; round++) {
        const View view = view_random(&random);
        RbSighting sightings[RB_SIGHTINGS_MAX];
        const int n = view_sightings(&view, &random, 5, 20, 1.5, sightings);
        RbCalibration points;
        if (!rb_calibration_fit(sightings, 5, VIEW_WIDTH, VIEW_HEIGHT, &points, NULL)) {
            continue; /* five points may stand badly */
        }
        const RbCalibration both = must_fit(sightings, n);
        for (int i = 0; i < 5; i++) {
            const RbPoint2 pixel = { 400 + (1500 - 400) * rb_random_unit(&random),
                                     500 + (1000 - 500) * rb_random_unit(&random) };
            RbPoint2 truth;
            RbPoint2 a;
            RbPoint2 b;
            if (view_locate(&view, pixel, &truth) &&
                rb_calibration_locate(&points, pixel, &a) &&
                rb_calibration_locate(&both, pixel, &b)) {
                without += fmin(hypot(a.x - truth.x, a.y - truth.y), 5.0);
                with += fmin(hypot(b.x - truth.x, b.y - truth.y), 5.0);
            }
        }
    }
    ck_assert_double_gt(without, 0.0);
    ck_assert_double_lt(with, 0.7 * without);
}
END_TEST

START_TEST(test_calibration__a_bent_lens_is_found_and_a_straight_one_left_alone)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(92));
    int found = 0;
    int invented = 0;
    for (int round = 0; round < 40; round++) {
        View view = view_random(&random);
        RbSighting sightings[RB_SIGHTINGS_MAX];
        int n = view_sightings(&view, &random, 8, 24, 1.0, sightings);
        invented += must_fit(sightings, n).has_bend;
        view.bend = -0.08; /* a wide lens: lines bow outward by some twenty pixels */
        n = view_sightings(&view, &random, 8, 24, 1.0, sightings);
        const RbCalibration c = must_fit(sightings, n);
        found += c.has_bend && fabs(c.bend - view.bend) < 0.05;
    }
    ck_assert_int_ge(found, 28); /* where the marks reach to the edges of the picture */
    ck_assert_int_le(invented, 6);
}
END_TEST

START_TEST(test_calibration__refuses_what_leaves_the_view_undecided)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(93));
    const View view = view_fixed();
    RbSighting s[RB_SIGHTINGS_MAX];
    int n = view_sightings(&view, &random, 3, 0, 0.0, s);
    must_be_refused(s, n, RB_FIELD_ERROR_TOO_FEW, "four points");
    must_be_refused(s, 0, RB_FIELD_ERROR_TOO_FEW, "do not fix");
    /* All on one yard line. */
    n = 0;
    for (int i = 0; i < 6; i++) {
        s[n++] = view_point(&view, (RbPoint2){ 50, 10 + 6 * i });
    }
    must_be_refused(s, n, RB_FIELD_ERROR_DEGENERATE, "undecided");
    /* Yard lines alone, however many: nothing says where across the field. */
    n = 0;
    for (int line = 35; line <= 65; line += 5) {
        for (int i = 0; i < 4; i++) {
            s[n++] = view_on_line(&view, (RbPoint2){ line, 0 }, (RbPoint2){ line, 53 },
                                  0.2 + 0.2 * i);
        }
    }
    must_be_refused(s, n, RB_FIELD_ERROR_DEGENERATE, "undecided");
    /* A number that is none. */
    n = view_sightings(&view, &random, 5, 0, 0.0, s);
    s[2].pixel.x = NAN;
    must_be_refused(s, n, RB_FIELD_ERROR_DEGENERATE, "Mark 3");
}
END_TEST

START_TEST(test_calibration__a_wrong_name_is_the_worst_mark_or_is_refused)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(94));
    for (int round = 0; round < 30; round++) {
        const View view = view_random(&random);
        RbSighting s[RB_SIGHTINGS_MAX];
        const int n = view_sightings(&view, &random, 10, 0, 1.0, s);
        const int wrong = rb_random_int(&random, 0, n - 1);
        s[wrong].field[0].x += 10; /* another yard line */
        RbCalibration c;
        if (rb_calibration_fit(s, n, VIEW_WIDTH, VIEW_HEIGHT, &c, NULL)) {
            ck_assert_double_gt(c.sigma, 3.0);
        }
    }
}
END_TEST

static bool has_three_rows(const RbFieldMark *marks, int n)
{
    bool seen[2][RB_LANDMARK_KINDS] = { { false } };
    int rows = 0;
    for (int i = 0; i < n; i++) {
        bool *row = &seen[marks[i].landmark.far][marks[i].landmark.kind];
        rows += !*row;
        *row = true;
    }
    return rows >= 3;
}

/* Marks of a high-school field named as a college field's: the hashes are elsewhere. */
START_TEST(test_calibration__the_wrong_rule_code_is_noticed)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(95));
    int noticed = 0;
    int wrong = 0;
    int rounds = 0;
    while (rounds < 40) {
        const View view = view_random(&random);
        RbFieldMark marks[RB_SIGHTINGS_MAX];
        const int n = view_marks(&view, RB_FIELD_HIGH_SCHOOL, &random, 1.5, marks);
        if (!has_three_rows(marks, n)) {
            continue; /* the view across the field is free to stretch: nobody could tell */
        }
        rounds++;
        RbFieldCode likely = RB_FIELD_PRO;
        noticed += rb_calibration_suspects_code(RB_FIELD_COLLEGE, marks, n, VIEW_WIDTH,
                                                VIEW_HEIGHT, &likely) &&
                   likely == RB_FIELD_HIGH_SCHOOL;
        wrong += rb_calibration_suspects_code(RB_FIELD_HIGH_SCHOOL, marks, n, VIEW_WIDTH,
                                              VIEW_HEIGHT, &likely);
    }
    ck_assert_int_ge(noticed, rounds * 9 / 10);
    ck_assert_int_eq(wrong, 0);
}
END_TEST

TCase *rb_case_calibration(void)
{
    TCase *tcase = rb_case_new("calibration");
    tcase_add_test(tcase, test_calibration__points_alone_are_the_least_squares_map);
    tcase_add_test(tcase, test_calibration__exact_clicks_give_the_view_back);
    tcase_add_test(tcase, test_calibration__lines_add_to_points);
    tcase_add_test(tcase,
                   test_calibration__a_bent_lens_is_found_and_a_straight_one_left_alone);
    tcase_add_test(tcase, test_calibration__refuses_what_leaves_the_view_undecided);
    tcase_add_test(tcase, test_calibration__a_wrong_name_is_the_worst_mark_or_is_refused);
    tcase_add_test(tcase, test_calibration__the_wrong_rule_code_is_noticed);
    return tcase;
}
