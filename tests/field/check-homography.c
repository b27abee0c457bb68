/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/field/homography.h"

#include "suite.h"

TCase *rb_case_homography(void);

/* Reference values: OpenCV 4.6.0 cv2.findHomography(src, dst, 0) and getPerspectiveTransform,
 * NumPy (normalised transform with Hartley's scaling by numpy.linalg.svd) and SciPy
 * least_squares. Picture in pixels, field in feet; points exact in single precision, to which
 * OpenCV rounds. */
static const RbMatch four[] = {
    { { 412, 688 }, { 90, 60 } },
    { { 1523, 702 }, { 150, 60 } },
    { { 1291, 371 }, { 150, 100 } },
    { { 598, 364 }, { 90, 100 } },
};

/* Field to picture, with noise of up to a pixel, rounded to a quarter. */
static const RbMatch eight[] = {
    { { 90, 0 }, { 649.00, 822.75 } },    { { 120, 0 }, { 761.00, 824.50 } },
    { { 150, 0 }, { 874.25, 826.00 } },   { { 90, 60 }, { 596.00, 546.00 } },
    { { 150, 60 }, { 780.50, 551.25 } },  { { 90, 100 }, { 570.50, 415.25 } },
    { { 150, 100 }, { 734.50, 419.00 } }, { { 120, 160 }, { 612.50, 267.50 } },
};

static void swap(const RbMatch *matches, int n, RbMatch *swapped)
{
    for (int i = 0; i < n; i++) {
        swapped[i] = (RbMatch){ matches[i].to, matches[i].from };
    }
}

/* Compares entries scaled so that the last is 1; `relative` is of each entry. */
static void check_entries(const RbHomography *map, const double expected[9],
                          double relative)
{
    for (int i = 0; i < 9; i++) {
        const double entry = map->m[i] / map->m[8];
        ck_assert_double_eq_tol(entry, expected[i], relative * fabs(expected[i]));
    }
}

static void check_point(const RbHomography *map, double x, double y, double to_x,
                        double to_y, double tolerance)
{
    RbPoint2 image;
    ck_assert(rb_homography_apply(map, (RbPoint2){ x, y }, &image));
    ck_assert_double_eq_tol(image.x, to_x, tolerance);
    ck_assert_double_eq_tol(image.y, to_y, tolerance);
}

static double rms_of(const RbHomography *map, const RbMatch *matches, int n)
{
    double sum = 0;
    for (int i = 0; i < n; i++) {
        RbPoint2 image;
        ck_assert(rb_homography_apply(map, matches[i].from, &image));
        sum += pow(image.x - matches[i].to.x, 2) + pow(image.y - matches[i].to.y, 2);
    }
    return sqrt(sum / n);
}

START_TEST(test_homography__four_points_match_opencv)
{
    static const double map_expected[9] = {
        2.558217100366e-01,  6.455408838337e-01,  -1.188257139573e+02,
        2.646666986445e-03,  -3.520755525824e-02, 3.102690103228e+02,
        -3.286766342829e-05, 5.522023443399e-03,  1.0,
    };
    static const double inverse_expected[9] = {
        1.631784293385e+02,  1.214794249476e+02,  -1.830150758451e+04,
        1.198695138739e+00,  -2.350975710008e+01, 7.436784874048e+03,
        -1.255928963353e-03, 1.338141747079e-01,  1.0,
    };
    RbHomography map;
    RbHomography inverse;
    GError *error = NULL;
    rb_homography_solve(four, 4, &map, &error);
    rb_assert_no_error(error);
    /* OpenCV and NumPy agree to 2e-12; the table has 13 digits. */
    check_entries(&map, map_expected, 1e-9);
    ck_assert(rb_homography_invert(&map, &inverse, NULL));
    check_entries(&inverse, inverse_expected, 1e-9);

    check_point(&map, 960, 540, 120.332741167012, 74.372776245326, 1e-9);
    check_point(&map, 1000, 500, 123.323141705354, 79.211504454869, 1e-9);
    check_point(&map, 700, 600, 104.324580257982, 67.828233997950, 1e-9);
    check_point(&map, 1400, 450, 154.066335660806, 86.693799341194, 1e-9);
    check_point(&inverse, 120, 80, 951.865654120511, 493.304422802955, 1e-9);
}
END_TEST

START_TEST(test_homography__distances_between_picture_points)
{
    static const double rows[][6] = {
        /* picture, picture, feet, yards where the reference says them */
        { 960, 540, 1000, 500, 5.688215, 0 },
        { 960, 540, 700, 600, 17.294284, 0 },
        { 960, 540, 1400, 450, 35.913271, 0 },
        { 700, 600, 1400, 450, 53.199171, 17.733057 },
        { 412, 688, 960, 540, 33.565635, 11.188545 },
    };
    RbHomography map;
    ck_assert(rb_homography_solve(four, 4, &map, NULL));
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        RbPoint2 a;
        RbPoint2 b;
        ck_assert(rb_homography_apply(&map, (RbPoint2){ rows[i][0], rows[i][1] }, &a));
        ck_assert(rb_homography_apply(&map, (RbPoint2){ rows[i][2], rows[i][3] }, &b));
        const double feet = hypot(a.x - b.x, a.y - b.y);
        ck_assert_double_eq_tol(feet, rows[i][4], 1e-6);
        if (rows[i][5] > 0) {
            ck_assert_double_eq_tol(feet / 3.0, rows[i][5], 1e-6);
        }
    }
}
END_TEST

START_TEST(test_homography__unit_square)
{
    static const RbMatch square[] = {
        { { 0, 0 }, { 0, 0 } },
        { { 1, 0 }, { 2, 0 } },
        { { 1, 1 }, { 3, 2 } },
        { { 0, 1 }, { 0, 1 } },
    };
    static const double expected[9] = { 1.2, 0, 0, 0, 0.8, 0, -0.4, -0.2, 1 };
    RbHomography map;
    ck_assert(rb_homography_solve(square, 4, &map, NULL));
    for (int i = 0; i < 9; i++) {
        ck_assert_double_eq_tol(map.m[i] / map.m[8], expected[i], 1e-12);
    }
    check_point(&map, 0.5, 0.5, 0.857142857143, 0.571428571429, 1e-11);
}
END_TEST

START_TEST(test_homography__noisy_marks_by_direct_transform)
{
    static const double expected[9] = {
        3.913718758789e+00, 1.495895913864e+00,  3.021628856363e+02,
        1.493116528604e-01, -2.461900888018e+00, 8.171215394443e+02,
        1.090855801106e-04, 3.983912319111e-03,  1,
    };
    static const double back_expected[9] = {
        5.906587073833e-01,  2.904280996536e-02,  -2.038329374721e+02,
        7.221293241192e-03,  -3.987365742808e-01, 3.231656691832e+02,
        -6.446694326498e-05, 1.575896213599e-03,  1,
    };
    RbHomography map;
    ck_assert(rb_homography_solve(eight, 8, &map, NULL));
    check_entries(&map, expected, 1e-8);
    ck_assert_double_eq_tol(rms_of(&map, eight, 8), 0.694152210, 1e-9);
    RbMatch back[8];
    swap(eight, 8, back);
    ck_assert(rb_homography_solve(back, 8, &map, NULL));
    check_entries(&map, back_expected, 1e-8);
    ck_assert_double_eq_tol(rms_of(&map, back, 8), 0.205977511, 1e-9);
}
END_TEST

START_TEST(test_homography__noisy_marks_by_least_squares)
{
    static const double expected[9] = {
        3.916753173071e+00, 1.493166274660e+00,  3.024903758409e+02,
        1.548900521123e-01, -2.468487854664e+00, 8.173023753840e+02,
        1.171959641733e-04, 3.979461214562e-03,  1,
    };
    static const double back_expected[9] = {
        5.928922389130e-01,  2.943486779954e-02,  -2.046525562741e+02,
        7.701691949733e-03,  -4.005045616835e-01, 3.242364568969e+02,
        -5.987372177947e-05, 1.584098169411e-03,  1,
    };
    static const double residuals[8][2] = {
        { -0.838412, -0.183651 }, { 0.787348, -0.203328 },  { 0.377922, 0.015039 },
        { -0.003031, 0.806081 },  { -0.784463, -0.107223 }, { 0.546044, -0.343160 },
        { -0.270933, 0.411089 },  { 0.185524, -0.394848 },
    };
    RbHomographyFit fit;
    GError *error = NULL;
    rb_homography_fit(eight, 8, &fit, &error);
    rb_assert_no_error(error);
    /* The minimum is flat: entries of SciPy's end are good to about 1e-7. */
    check_entries(&fit.map, expected, 2e-6);
    ck_assert_double_eq_tol(fit.rms, 0.676966857, 1e-9);
    for (int i = 0; i < 8; i++) {
        ck_assert_double_eq_tol(fit.residuals[i].x, residuals[i][0], 2e-6);
        ck_assert_double_eq_tol(fit.residuals[i].y, residuals[i][1], 2e-6);
    }
    ck_assert_int_eq(fit.worst, 0);
    ck_assert_double_eq_tol(fit.sigma, 0.676966857 * sqrt(8.0 / (16 - 8)), 1e-9);

    RbMatch back[8];
    swap(eight, 8, back);
    ck_assert(rb_homography_fit(back, 8, &fit, NULL));
    /* Flatter still: in exact arithmetic our end has the lower sum, by 2e-12 of 0.32. */
    check_entries(&fit.map, back_expected, 1e-5);
    ck_assert_double_eq_tol(fit.rms, 0.199738006, 1e-9);
}
END_TEST

/* The field positions that four picture points have by each estimator. */
START_TEST(test_homography__field_positions_by_estimator)
{
    static const double clicks[4][2] = {
        { 700, 700 }, { 800, 600 }, { 640, 560 }, { 900, 520 }
    };
    static const double direct[4][2] = { { 111.712801, 23.858272 },
                                         { 151.035203, 47.356892 },
                                         { 103.442778, 56.734240 },
                                         { 194.755985, 69.516045 } };
    static const double least[4][2] = { { 111.707544, 23.874752 },
                                        { 151.085455, 47.378964 },
                                        { 103.416956, 56.745623 },
                                        { 194.884150, 69.551511 } };
    RbHomography map;
    RbHomography inverse;
    RbHomographyFit fit;
    ck_assert(rb_homography_solve(eight, 8, &map, NULL));
    ck_assert(rb_homography_invert(&map, &inverse, NULL));
    ck_assert(rb_homography_fit(eight, 8, &fit, NULL));
    for (int i = 0; i < 4; i++) {
        const RbPoint2 click = { clicks[i][0], clicks[i][1] };
        check_point(&inverse, click.x, click.y, direct[i][0], direct[i][1], 1e-5);
        RbPoint2 source;
        ck_assert(rb_homography_fit_locate(&fit, click, 1, &source, NULL));
        ck_assert_double_eq_tol(source.x, least[i][0], 1e-5);
        ck_assert_double_eq_tol(source.y, least[i][1], 1e-5);
    }
}
END_TEST

static RbHomography random_map(RbRandom *random)
{
    return (RbHomography){ {
        8 + 4 * rb_random_unit(random),
        2 * rb_random_unit(random) - 1,
        100 * rb_random_unit(random),
        2 * rb_random_unit(random) - 1,
        -6 - 4 * rb_random_unit(random),
        900,
        0.001 * rb_random_unit(random),
        0.02 * rb_random_unit(random),
        1,
    } };
}

static void make_matches(const RbHomography *map, RbRandom *random, double sd,
                         RbMatch matches[10])
{
    for (int i = 0; i < 10; i++) {
        matches[i].from = (RbPoint2){ 20 + 10 * (i % 5), 15 + 25 * (i / 5) };
        ck_assert(rb_homography_apply(map, matches[i].from, &matches[i].to));
        matches[i].to.x += rb_random_normal(random, 0, sd);
        matches[i].to.y += rb_random_normal(random, 0, sd);
    }
}

START_TEST(test_homography__round_trip_and_exact_marks)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(21));
    for (int i = 0; i < 200; i++) {
        const RbHomography map = random_map(&random);
        RbMatch matches[10];
        make_matches(&map, &random, 0, matches);
        RbHomographyFit fit;
        RbHomography inverse;
        ck_assert(rb_homography_fit(matches, 10, &fit, NULL));
        ck_assert_double_lt(fit.rms, 1e-7);
        ck_assert(rb_homography_invert(&fit.map, &inverse, NULL));
        for (int k = 0; k < 10; k++) {
            check_point(&inverse, matches[k].to.x, matches[k].to.y, matches[k].from.x,
                        matches[k].from.y, 1e-7);
        }
    }
}
END_TEST

/* Least squares can only lessen what the direct transform leaves. */
START_TEST(test_homography__least_squares_never_worse)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(22));
    for (int i = 0; i < 200; i++) {
        const RbHomography map = random_map(&random);
        RbMatch matches[10];
        make_matches(&map, &random, 2, matches);
        RbHomography direct;
        RbHomographyFit fit;
        ck_assert(rb_homography_solve(matches, 10, &direct, NULL));
        ck_assert(rb_homography_fit(matches, 10, &fit, NULL));
        ck_assert_double_le(fit.rms, rms_of(&direct, matches, 10) + 1e-9);
    }
}
END_TEST

/* The stated standard deviation against a simulation of the clicks. */
START_TEST(test_homography__stated_error_matches_simulation)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(23));
    const RbHomography map = random_map(&random);
    const RbPoint2 truth = { 47, 33 };
    RbPoint2 seen;
    RbPoint2 stated = { 0, 0 };
    ck_assert(rb_homography_apply(&map, truth, &seen));
    double xx = 0;
    double yy = 0;
    const int draws = 3000;
    for (int i = 0; i < draws; i++) {
        RbMatch matches[10];
        make_matches(&map, &random, 1.5, matches);
        RbHomographyFit fit;
        RbPoint2 found;
        ck_assert(rb_homography_fit(matches, 10, &fit, NULL));
        const RbPoint2 click = { seen.x + rb_random_normal(&random, 0, 1.5),
                                 seen.y + rb_random_normal(&random, 0, 1.5) };
        ck_assert(rb_homography_fit_locate(&fit, click, 1.5, &found, &stated));
        xx += pow(found.x - truth.x, 2) / draws;
        yy += pow(found.y - truth.y, 2) / draws;
    }
    ck_assert_double_eq_tol(sqrt(xx) / stated.x, 1, 0.08);
    ck_assert_double_eq_tol(sqrt(yy) / stated.y, 1, 0.08);
}
END_TEST

START_TEST(test_homography__horizon_is_not_ground)
{
    RbHomography map = { { 1, 0, 0, 0, 1, 0, 0, 0.1, 1 } };
    RbPoint2 image;
    ck_assert(rb_homography_apply(&map, (RbPoint2){ 0, -9 }, &image));
    ck_assert(!rb_homography_apply(&map, (RbPoint2){ 0, -10 }, &image));
    ck_assert(!rb_homography_apply(&map, (RbPoint2){ 0, -11 }, &image));
}
END_TEST

static void check_refused(const RbMatch *matches, int n, RbFieldError code,
                          const char *part)
{
    RbHomography map;
    RbHomographyFit fit;
    GError *error = NULL;
    ck_assert(!rb_homography_solve(matches, n, &map, &error));
    ck_assert(g_error_matches(error, RB_FIELD_ERROR, (int)code));
    ck_assert_msg(strstr(error->message, part) != NULL, "%s", error->message);
    g_clear_error(&error);
    ck_assert(!rb_homography_fit(matches, n, &fit, &error));
    ck_assert(g_error_matches(error, RB_FIELD_ERROR, (int)code));
    g_clear_error(&error);
}

START_TEST(test_homography__degenerate_layouts_refused_with_a_sentence)
{
    check_refused(four, 3, RB_FIELD_ERROR_TOO_FEW, "at least four");

    RbMatch m[8];
    memcpy(m, four, sizeof four);
    m[3] = m[1];
    m[3].from.x += 10;
    check_refused(m, 4, RB_FIELD_ERROR_DEGENERATE, "Marks 2 and 4 were clicked");
    memcpy(m, four, sizeof four);
    m[2].from = m[0].from;
    check_refused(m, 4, RB_FIELD_ERROR_DEGENERATE, "Marks 1 and 3 are the same point");

    for (int i = 0; i < 6; i++) { /* one yard line, clicked by a person */
        m[i] = (RbMatch){ { 30, 8.0 * i }, { 400 + 7 * i + i % 2, 500 - 60 * i } };
    }
    check_refused(m, 6, RB_FIELD_ERROR_DEGENERATE, "on one line of the field");
    m[5].from = (RbPoint2){ 35, 20 };
    m[5].to = (RbPoint2){ 500, 380 };
    check_refused(m, 6, RB_FIELD_ERROR_DEGENERATE, "All marks but mark 6");

    memcpy(m, four, sizeof four);
    m[1].to.x = NAN;
    check_refused(m, 4, RB_FIELD_ERROR_DEGENERATE, "not a number");
}
END_TEST

/* Near hash and far hash exchanged on one yard line: the horizon would cross the field. */
START_TEST(test_homography__mixed_up_names_refused)
{
    RbMatch m[4];
    swap(four, 4, m);
    const RbPoint2 kept = m[0].from;
    m[0].from = m[3].from;
    m[3].from = kept;
    check_refused(m, 4, RB_FIELD_ERROR_MIXED_UP, "named wrongly");
}
END_TEST

/* Marks close together are no refusal, but the stated error grows with the distance to them. */
START_TEST(test_homography__near_degenerate_says_how_loose_it_is)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(24));
    const RbHomography map = random_map(&random);
    RbMatch matches[10];
    make_matches(&map, &random, 0, matches);
    for (int i = 0; i < 10; i++) { /* squeezed to a strip two yards wide */
        matches[i].from.y = 20 + 2 * (i / 5);
        ck_assert(rb_homography_apply(&map, matches[i].from, &matches[i].to));
    }
    RbHomographyFit fit;
    ck_assert(rb_homography_fit(matches, 10, &fit, NULL));
    RbPoint2 near_click;
    RbPoint2 far_click;
    RbPoint2 source;
    RbPoint2 near_sd;
    RbPoint2 far_sd;
    ck_assert(rb_homography_apply(&map, (RbPoint2){ 40, 21 }, &near_click));
    ck_assert(rb_homography_apply(&map, (RbPoint2){ 40, 45 }, &far_click));
    ck_assert(rb_homography_fit_locate(&fit, near_click, 1, &source, &near_sd));
    ck_assert(rb_homography_fit_locate(&fit, far_click, 1, &source, &far_sd));
    ck_assert_double_gt(far_sd.y, 5 * near_sd.y);
}
END_TEST

START_TEST(test_homography__flat_map_has_no_inverse)
{
    const RbHomography flat = { { 1, 2, 3, 2, 4, 6, 0, 0, 1 } };
    RbHomography inverse;
    GError *error = NULL;
    ck_assert(!rb_homography_invert(&flat, &inverse, &error));
    ck_assert(g_error_matches(error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE));
    g_clear_error(&error);
}
END_TEST

TCase *rb_case_homography(void)
{
    TCase *tcase = rb_case_new("homography");
    tcase_add_test(tcase, test_homography__four_points_match_opencv);
    tcase_add_test(tcase, test_homography__distances_between_picture_points);
    tcase_add_test(tcase, test_homography__unit_square);
    tcase_add_test(tcase, test_homography__noisy_marks_by_direct_transform);
    tcase_add_test(tcase, test_homography__noisy_marks_by_least_squares);
    tcase_add_test(tcase, test_homography__field_positions_by_estimator);
    tcase_add_test(tcase, test_homography__round_trip_and_exact_marks);
    tcase_add_test(tcase, test_homography__least_squares_never_worse);
    tcase_add_test(tcase, test_homography__stated_error_matches_simulation);
    tcase_add_test(tcase, test_homography__horizon_is_not_ground);
    tcase_add_test(tcase, test_homography__degenerate_layouts_refused_with_a_sentence);
    tcase_add_test(tcase, test_homography__mixed_up_names_refused);
    tcase_add_test(tcase, test_homography__near_degenerate_says_how_loose_it_is);
    tcase_add_test(tcase, test_homography__flat_map_has_no_inverse);
    return tcase;
}
