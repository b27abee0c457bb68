/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "random-play.h"
#include "scene.h"
#include "suite.h"

TCase *rb_case_camera_crew(void);

static bool is_in_picture(const RbDemoAction *action, RbAngle angle, int frame,
                          RbPoint3 p)
{
    const RbCamera camera = rb_demo_scene_camera(action, angle, frame);
    const RbProjection projection = rb_camera_projection(&camera);
    RbPoint2 image;
    return rb_projection_apply(&projection, p, &image, NULL) && image.x > 0 &&
           image.y > 0 && image.x < RB_DEMO_WIDTH && image.y < RB_DEMO_HEIGHT;
}

/* The coach's rule for the wide angle: all 22 in the picture at the snap. */
START_TEST(test_camera_crew__wide_sees_all_at_the_snap)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(51));
    for (int round = 0; round < 150; round++) {
        RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
            const RbPoint2 at = action->poses[action->snap * RB_DEMO_PLAYERS + i].at;
            ck_assert_msg(is_in_picture(action, RB_ANGLE_WIDE, action->snap,
                                        (RbPoint3){ at.x, at.y, 1 }),
                          "round %d, man %d at %.1f, %.1f", round, i, at.x, at.y);
        }
    }
}
END_TEST

START_TEST(test_camera_crew__tight_sees_the_line_and_the_passer)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(52));
    for (int round = 0; round < 150; round++) {
        RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        for (int i = 0; i < RB_DEMO_FIRST_ELIGIBLE; i++) {
            const RbPoint2 at = action->poses[action->snap * RB_DEMO_PLAYERS + i].at;
            ck_assert(is_in_picture(action, RB_ANGLE_TIGHT, action->snap,
                                    (RbPoint3){ at.x, at.y, 1 }));
        }
    }
}
END_TEST

START_TEST(test_camera_crew__thrown_ball_stays_in_the_wide_picture)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(53));
    int seen = 0;
    int all = 0;
    for (int round = 0; round < 150; round++) {
        RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        const int arrival = action->marks[RB_MARK_ARRIVAL];
        if (arrival >= 0) {
            all++;
            seen += is_in_picture(action, RB_ANGLE_WIDE, arrival, action->ball[arrival])
                        ? 1
                        : 0;
        }
    }
    printf("ball seen at arrival: %d of %d\n", seen, all);
    ck_assert_int_ge(seen * 100, all * 95);
}
END_TEST

/* A tripod turns smoothly: the picture never jumps. */
START_TEST(test_camera_crew__pans_without_jumps)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(54));
    for (int round = 0; round < 60; round++) {
        RbDemoPlay play = random_play(&random);
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, (uint64_t)round, &plan);
        for (int k = 0; k < 2; k++) {
            const RbAngle angle = k == 0 ? RB_ANGLE_WIDE : RB_ANGLE_TIGHT;
            RbCamera last = rb_demo_scene_camera(action, angle, 0);
            for (int frame = 1; frame < action->frames; frame++) {
                const RbCamera now = rb_demo_scene_camera(action, angle, frame);
                const double limit = 0.9 * G_PI / 180; /* 54 degrees a second */
                ck_assert_double_lt(fabs(now.pan - last.pan), limit);
                ck_assert_double_lt(fabs(now.tilt - last.tilt), limit);
                ck_assert_double_eq(now.position.x, last.position.x);
                last = now;
            }
        }
    }
}
END_TEST

/* The same jersey number is never worn twice in a team. */
START_TEST(test_camera_crew__numbers_are_unique_in_a_team)
{
    for (uint64_t seed = 0; seed < 100; seed++) {
        RbDemoCast cast;
        rb_demo_cast_init(&cast, seed);
        for (int i = 0; i < RB_DEMO_PLAYERS; i++) {
            ck_assert(cast.jerseys[i] >= 0 && cast.jerseys[i] <= 99);
            for (int k = 0; k < i; k++) {
                const bool mates = (i < RB_DEMO_OFFENSE) == (k < RB_DEMO_OFFENSE);
                ck_assert(!mates || cast.jerseys[i] != cast.jerseys[k]);
            }
        }
    }
}
END_TEST

TCase *rb_case_camera_crew(void)
{
    TCase *tcase = rb_case_new("camera crew");
    tcase_add_test(tcase, test_camera_crew__wide_sees_all_at_the_snap);
    tcase_add_test(tcase, test_camera_crew__tight_sees_the_line_and_the_passer);
    tcase_add_test(tcase, test_camera_crew__thrown_ball_stays_in_the_wide_picture);
    tcase_add_test(tcase, test_camera_crew__pans_without_jumps);
    tcase_add_test(tcase, test_camera_crew__numbers_are_unique_in_a_team);
    return tcase;
}
