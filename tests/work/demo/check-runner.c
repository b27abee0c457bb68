/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/base/random.h"

#include "plan.h"
#include "suite.h"

TCase *rb_case_runner(void);

static double speed_of(const RbDemoRunner *runner)
{
    return hypot(runner->velocity.x, runner->velocity.y);
}

static double apart(RbPoint2 a, RbPoint2 b)
{
    return hypot(a.x - b.x, a.y - b.y);
}

START_TEST(test_runner__goes_there_and_stops)
{
    RbDemoRunner runner = { .at = { 0, 0 } };
    const RbPoint2 target = { 12, -5 };
    double fastest = 0;
    for (int i = 0; i < 60 * 5; i++) {
        rb_demo_runner_go(&runner, target, 7);
        fastest = MAX(fastest, speed_of(&runner));
    }
    ck_assert_double_lt(apart(runner.at, target), 0.05);
    ck_assert_double_lt(speed_of(&runner), 0.1);
    ck_assert_double_gt(fastest, 6);
    ck_assert_double_le(fastest, 7 + 1e-9);
}
END_TEST

/* Published for a high-school player: about 8 yd/s, and a second to get started. */
START_TEST(test_runner__needs_about_a_second_to_full_speed)
{
    RbDemoRunner runner = { .at = { 0, 0 } };
    int frames = 0;
    while (speed_of(&runner) < 7.2 && frames < 300) {
        rb_demo_runner_steer(&runner, (RbPoint2){ 8, 0 });
        frames++;
    }
    ck_assert_double_gt(frames * RB_DEMO_STEP_S, 0.8);
    ck_assert_double_lt(frames * RB_DEMO_STEP_S, 1.4);
}
END_TEST

/* Whatever is asked of him, he changes his speed like a man. */
START_TEST(test_runner__never_faster_and_never_jerks)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(61));
    RbDemoRunner runner = { .at = { 0, 0 } };
    for (int i = 0; i < 20000; i++) {
        const RbPoint2 before = runner.velocity;
        const RbPoint2 wish = { rb_random_normal(&random, 0, 30),
                                rb_random_normal(&random, 0, 30) };
        rb_demo_runner_steer(&runner, wish);
        const double change =
            hypot(runner.velocity.x - before.x, runner.velocity.y - before.y);
        ck_assert_double_le(change, 12.0 * RB_DEMO_STEP_S + 1e-9);
        ck_assert_double_lt(speed_of(&runner), RB_DEMO_SPEED_MAX);
    }
}
END_TEST

/* Beside a man who runs at full speed there is no lag; going after him there is. */
START_TEST(test_runner__keeps_pace_without_lag)
{
    RbDemoRunner keeper = { .at = { 0, 1 } };
    RbDemoRunner goer = { .at = { 0, 1 } };
    RbPoint2 target = { 0, 0 };
    for (int i = 0; i < 60 * 4; i++) {
        const RbPoint2 velocity = { 7, 0 };
        target.x += velocity.x * RB_DEMO_STEP_S;
        rb_demo_runner_keep(&keeper, target, velocity, 8.9);
        rb_demo_runner_go(&goer, target, 8.9);
    }
    ck_assert_double_lt(apart(keeper.at, target), 0.3);
    ck_assert_double_gt(apart(goer.at, target), 1.5);
}
END_TEST

static RbDemoPath square_in(bool settles)
{
    return (RbDemoPath){
        .points = { { 12, 0 }, { 12, 20 } }, .n = 2, .settles = settles, .speed = 7.9
    };
}

START_TEST(test_runner__turns_at_the_break)
{
    const RbDemoPath path = square_in(false);
    RbDemoRunner runner = { .at = { 0, 0 } };
    double deepest = 0;
    double slowest = 100;
    for (int i = 0; i < 60 * 4; i++) {
        rb_demo_runner_follow(&runner, &path);
        deepest = MAX(deepest, runner.at.x);
        if (runner.at.x > 10.5 && runner.at.y < 2) {
            slowest = MIN(slowest, speed_of(&runner));
        }
    }
    ck_assert_double_gt(runner.at.y, 6);       /* he broke */
    ck_assert_double_eq_tol(deepest, 12, 1.3); /* at 12, not at 15 */
    ck_assert_double_lt(slowest, 5);           /* and planted his foot */
}
END_TEST

START_TEST(test_runner__settles_or_runs_on)
{
    for (int settles = 0; settles < 2; settles++) {
        const RbDemoPath path = square_in(settles == 1);
        RbDemoRunner runner = { .at = { 0, 0 } };
        for (int i = 0; i < 60 * 9; i++) {
            rb_demo_runner_follow(&runner, &path);
        }
        if (settles == 1) {
            ck_assert_double_lt(apart(runner.at, path.points[1]), 0.6);
            ck_assert_double_lt(speed_of(&runner), 0.2);
        } else {
            ck_assert_double_gt(runner.at.y, 23);
        }
    }
}
END_TEST

/* H. Schnellenberger's rule of thumb (AFCA Weekly, June 2017): a second to get started, then a
 * tenth for each yard, so an out at 10 breaks at 2.0 s. */
START_TEST(test_runner__break_comes_when_coaches_say)
{
    for (int depth = 6; depth <= 14; depth += 2) {
        const RbDemoPath path = { .points = { { depth, 0 }, { depth, 20 } },
                                  .n = 2,
                                  .speed = 7.9 };
        RbDemoRunner runner = { .at = { -0.95, 0 } };
        int frames = 0;
        while (runner.waypoint == 0 && frames < 600) {
            rb_demo_runner_follow(&runner, &path);
            frames++;
        }
        ck_assert_double_eq_tol(frames * RB_DEMO_STEP_S, 1.0 + 0.1 * depth, 0.45);
    }
}
END_TEST

TCase *rb_case_runner(void)
{
    TCase *tcase = rb_case_new("runner");
    tcase_add_test(tcase, test_runner__goes_there_and_stops);
    tcase_add_test(tcase, test_runner__needs_about_a_second_to_full_speed);
    tcase_add_test(tcase, test_runner__never_faster_and_never_jerks);
    tcase_add_test(tcase, test_runner__keeps_pace_without_lag);
    tcase_add_test(tcase, test_runner__turns_at_the_break);
    tcase_add_test(tcase, test_runner__settles_or_runs_on);
    tcase_add_test(tcase, test_runner__break_comes_when_coaches_say);
    return tcase;
}
