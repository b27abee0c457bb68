/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/base/random.h"
#include "rb/field/camera.h"

#include "suite.h"

TCase *rb_case_camera(void);

static RbCamera level(void)
{
    return (RbCamera){
        .position = { 50, -30, 2 }, .focal_px = 1000, .width = 960, .height = 540
    };
}

/* Similar triangles by hand: 40 yd ahead, 4 yd right and 1 yd down are 100 and 25 pixels. */
START_TEST(test_camera__level_view_by_hand)
{
    const RbCamera camera = level();
    const RbProjection projection = rb_camera_projection(&camera);
    RbPoint2 image;
    double depth = 0;
    ck_assert(rb_projection_apply(&projection, (RbPoint3){ 54, 10, 1 }, &image, &depth));
    ck_assert_double_eq_tol(image.x, 480 + 100, 1e-9);
    ck_assert_double_eq_tol(image.y, 270 + 25, 1e-9);
    ck_assert_double_eq_tol(depth, 40, 1e-12);
}
END_TEST

START_TEST(test_camera__pan_turns_right_and_tilt_down)
{
    RbCamera camera = level();
    camera.pan = G_PI / 2;
    RbProjection projection = rb_camera_projection(&camera);
    RbPoint2 image;
    ck_assert(rb_projection_apply(&projection, (RbPoint3){ 90, -30, 2 }, &image, NULL));
    ck_assert_double_eq_tol(image.x, 480, 1e-9);
    /* Looking toward +x, the field (+y) is on the left. */
    ck_assert(rb_projection_apply(&projection, (RbPoint3){ 90, -26, 2 }, &image, NULL));
    ck_assert_double_eq_tol(image.x, 480 - 100, 1e-9);

    camera = level();
    camera.tilt = atan2(2, 20);
    projection = rb_camera_projection(&camera);
    ck_assert(rb_projection_apply(&projection, (RbPoint3){ 50, -10, 0 }, &image, NULL));
    ck_assert_double_eq_tol(image.x, 480, 1e-9);
    ck_assert_double_eq_tol(image.y, 270, 1e-9);
}
END_TEST

START_TEST(test_camera__nothing_behind_it)
{
    const RbCamera camera = level();
    const RbProjection projection = rb_camera_projection(&camera);
    RbPoint2 image;
    ck_assert(!rb_projection_apply(&projection, (RbPoint3){ 50, -31, 0 }, &image, NULL));
    ck_assert(!rb_projection_apply(&projection, (RbPoint3){ 50, -30, 2 }, &image, NULL));
}
END_TEST

static RbCamera random_camera(RbRandom *random)
{
    RbCamera camera = { .position = { 100 * rb_random_unit(random),
                                      -60 + 40 * rb_random_unit(random),
                                      5 + 20 * rb_random_unit(random) },
                        .width = 1920,
                        .height = 1080 };
    const RbPoint3 target = { 10 + 80 * rb_random_unit(random),
                              5 + 40 * rb_random_unit(random), 0 };
    rb_camera_aim(&camera, target);
    rb_camera_frame_width(&camera, target, 15 + 50 * rb_random_unit(random));
    return camera;
}

START_TEST(test_camera__aim_puts_the_target_in_the_middle)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(11));
    for (int i = 0; i < 500; i++) {
        RbCamera camera = random_camera(&random);
        const RbPoint3 target = { 30, 20, 3 * rb_random_unit(&random) };
        rb_camera_aim(&camera, target);
        rb_camera_frame_width(&camera, target, 20);
        const RbProjection projection = rb_camera_projection(&camera);
        RbPoint2 image;
        double depth = 0;
        ck_assert(rb_projection_apply(&projection, target, &image, &depth));
        ck_assert_double_eq_tol(image.x, camera.width / 2.0, 1e-8);
        ck_assert_double_eq_tol(image.y, camera.height / 2.0, 1e-8);
        ck_assert_double_eq_tol(camera.width / camera.focal_px * depth, 20, 1e-9);
    }
}
END_TEST

START_TEST(test_camera__ground_map_agrees_with_the_camera)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(12));
    for (int i = 0; i < 500; i++) {
        const RbCamera camera = random_camera(&random);
        const RbProjection projection = rb_camera_projection(&camera);
        const RbHomography ground = rb_projection_ground(&projection);
        RbHomography back;
        ck_assert(rb_homography_invert(&ground, &back, NULL));
        const RbPoint2 p = { 120 * rb_random_unit(&random) - 10,
                             50 * rb_random_unit(&random) };
        RbPoint2 by_camera;
        RbPoint2 by_ground;
        RbPoint2 again;
        const bool seen =
            rb_projection_apply(&projection, (RbPoint3){ p.x, p.y, 0 }, &by_camera, NULL);
        ck_assert(rb_homography_apply(&ground, p, &by_ground) == seen);
        if (!seen) {
            continue;
        }
        ck_assert_double_eq_tol(by_ground.x, by_camera.x, 1e-6);
        ck_assert_double_eq_tol(by_ground.y, by_camera.y, 1e-6);
        ck_assert(rb_homography_apply(&back, by_ground, &again));
        ck_assert_double_eq_tol(again.x, p.x, 1e-6);
        ck_assert_double_eq_tol(again.y, p.y, 1e-6);
    }
}
END_TEST

/* A camera's view of the hash crossings gives its ground map back. */
START_TEST(test_camera__fit_of_seen_marks_gives_the_ground_map)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(13));
    for (int i = 0; i < 100; i++) {
        const RbCamera camera = random_camera(&random);
        const RbProjection projection = rb_camera_projection(&camera);
        RbMatch matches[8];
        for (int k = 0; k < 8; k++) {
            const RbLandmark mark = { RB_LANDMARK_HASH, 30 + 5 * (k / 2), k % 2 == 1 };
            ck_assert(rb_landmark_point(RB_FIELD_COLLEGE, mark, &matches[k].from));
            const RbPoint3 p = { matches[k].from.x, matches[k].from.y, 0 };
            ck_assert(rb_projection_apply(&projection, p, &matches[k].to, NULL));
        }
        RbHomographyFit fit;
        GError *error = NULL;
        rb_homography_fit(matches, 8, &fit, &error);
        rb_assert_no_error(error);
        ck_assert_double_lt(fit.rms, 1e-6);
        const RbHomography truth = rb_projection_ground(&projection);
        RbPoint2 a;
        RbPoint2 b;
        ck_assert(rb_homography_apply(&truth, (RbPoint2){ 40, 10 }, &a));
        ck_assert(rb_homography_apply(&fit.map, (RbPoint2){ 40, 10 }, &b));
        ck_assert_double_eq_tol(a.x, b.x, 1e-5);
        ck_assert_double_eq_tol(a.y, b.y, 1e-5);
    }
}
END_TEST

TCase *rb_case_camera(void)
{
    TCase *tcase = rb_case_new("camera");
    tcase_add_test(tcase, test_camera__level_view_by_hand);
    tcase_add_test(tcase, test_camera__pan_turns_right_and_tilt_down);
    tcase_add_test(tcase, test_camera__nothing_behind_it);
    tcase_add_test(tcase, test_camera__aim_puts_the_target_in_the_middle);
    tcase_add_test(tcase, test_camera__ground_map_agrees_with_the_camera);
    tcase_add_test(tcase, test_camera__fit_of_seen_marks_gives_the_ground_map);
    return tcase;
}
