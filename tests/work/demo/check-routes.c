/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "random-play.h"
#include "suite.h"

TCase *rb_case_routes(void);

/* The plan of a play in which one man runs one route, from the middle of a field. */
static const RbDemoMan *plan_route(RbDemoPlan *plan, RbSide side, RbRunner runner,
                                   RbRoute route, int depth)
{
    RbDemoPlay play = sample_play();
    play.hash = RB_HASH_MIDDLE;
    play.routes[0] = (RbDemoRoute){ side, runner, route, depth, 1, RB_LOOK_OPEN };
    play.n_routes = 1;
    play.result = RB_RESULT_INCOMPLETE;
    play.catch_ = RB_CATCH_DROPPED;
    play.gain = 0;
    RbRandom random;
    rb_random_seed(&random, 4);
    rb_demo_plan_init(plan, RB_FIELD_COLLEGE, &play, &random);
    for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
        if (plan->men[i].route == 0) {
            return &plan->men[i];
        }
    }
    ck_abort_msg("nobody runs the route");
    return NULL;
}

/* Where the last point of a path lies from its man, `out` toward his sideline. */
static RbPoint2 end_of(const RbDemoMan *man)
{
    const RbPoint2 last = man->path.points[man->path.n - 1];
    const double out = man->side == RB_SIDE_LEFT ? -1 : 1;
    return (RbPoint2){ last.x, out * (last.y - man->spot.y) };
}

/* Shapes and usual depths: common practice, no source. */
START_TEST(test_routes__shapes_by_name)
{
    static const struct {
        RbRoute route;
        double deep_from, deep_to; /* of the last point */
        int out; /* 1 toward the sideline, -1 toward the ball, 0 about straight */
        bool settles;
    } rows[] = {
        { RB_ROUTE_HITCH, 4, 6, 0, true },      { RB_ROUTE_SLANT, 16, 30, -1, false },
        { RB_ROUTE_COMEBACK, 12, 14, 1, true }, { RB_ROUTE_CURL, 11, 13, -1, true },
        { RB_ROUTE_POST, 30, 50, -1, false },   { RB_ROUTE_GO, 45, 70, 0, false },
        { RB_ROUTE_SEAM, 45, 70, 0, false },    { RB_ROUTE_SIT, 4, 6, -1, true },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        for (int side = RB_SIDE_LEFT; side <= RB_SIDE_RIGHT; side++) {
            RbDemoPlan plan;
            const RbDemoMan *man =
                plan_route(&plan, (RbSide)side, RB_RUNNER_1, rows[i].route, 0);
            const RbPoint2 end = end_of(man);
            ck_assert_double_ge(end.x, rows[i].deep_from);
            ck_assert_double_le(end.x, rows[i].deep_to);
            ck_assert(man->path.settles == rows[i].settles);
            if (rows[i].out == 0) {
                ck_assert_double_lt(fabs(end.y), 1.3);
            } else {
                ck_assert_double_gt(rows[i].out * end.y, 0.5);
            }
        }
    }
}
END_TEST

START_TEST(test_routes__depth_of_the_playbook_is_the_break)
{
    static const RbRoute routes[] = { RB_ROUTE_OUT,  RB_ROUTE_DIG,    RB_ROUTE_CURL,
                                      RB_ROUTE_POST, RB_ROUTE_CORNER, RB_ROUTE_SAIL };
    for (size_t i = 0; i < sizeof routes / sizeof routes[0]; i++) {
        for (int depth = 8; depth <= 16; depth += 4) {
            RbDemoPlan plan;
            const RbDemoMan *man =
                plan_route(&plan, RB_SIDE_RIGHT, RB_RUNNER_1, routes[i], depth);
            ck_assert_double_eq_tol(man->path.points[0].x, depth, 1e-9);
        }
    }
}
END_TEST

START_TEST(test_routes__stay_inside_the_sidelines)
{
    for (int route = RB_ROUTE_UNKNOWN; route <= RB_ROUTE_DRAWN; route++) {
        for (int runner = RB_RUNNER_1; runner <= RB_RUNNER_BACK; runner++) {
            RbDemoPlan plan;
            RbDemoPlay play = sample_play();
            play.hash = RB_HASH_LEFT;
            play.routes[0] =
                (RbDemoRoute){ RB_SIDE_LEFT, (RbRunner)runner, (RbRoute)route, 0, 1,
                               RB_LOOK_OPEN };
            play.n_routes = 1;
            RbRandom random;
            rb_random_seed(&random, 1);
            rb_demo_plan_init(&plan, RB_FIELD_COLLEGE, &play, &random);
            for (int i = RB_DEMO_FIRST_ELIGIBLE; i < RB_DEMO_OFFENSE; i++) {
                for (int k = 0; k < plan.men[i].path.n; k++) {
                    ck_assert_double_gt(plan.men[i].path.points[k].y, plan.left + 1);
                    ck_assert_double_lt(plan.men[i].path.points[k].y, plan.right - 1);
                }
            }
        }
    }
}
END_TEST

START_TEST(test_routes__end_inside_the_end_zone)
{
    RbDemoPlay play = sample_play();
    play.yards_to_goal = 6;
    play.gain = 6;
    play.ending = RB_ENDING_TOUCHDOWN;
    play.routes[0].route = RB_ROUTE_GO;
    RbDemoPlan plan;
    g_autoptr(RbDemoAction) action = act_out(&play, 2, &plan);
    const RbDemoMan *man = &plan.men[plan.receiver];
    ck_assert_double_lt(man->path.points[man->path.n - 1].x, 16);
    const RbPoint3 ball = action->ball[action->marks[RB_MARK_END]];
    ck_assert_double_ge(ball.x, 99.5); /* it is a touchdown to look at, too */
    ck_assert_double_lt(ball.x, 110);
}
END_TEST

START_TEST(test_routes__back_runs_the_backs_route)
{
    RbDemoPlan plan;
    const RbDemoMan *man =
        plan_route(&plan, RB_SIDE_RIGHT, RB_RUNNER_BACK, RB_ROUTE_SWING, 0);
    ck_assert_int_eq(man->runner, RB_RUNNER_BACK);
    ck_assert_double_gt(end_of(man).y, 5); /* to the side that was asked for */
    man = plan_route(&plan, RB_SIDE_LEFT, RB_RUNNER_BACK, RB_ROUTE_CHECK_DOWN, 0);
    ck_assert_int_gt(man->path.delay_ms, 500); /* he blocks first */
}
END_TEST

/* With six or seven who rush, back and tight end stay in unless they have a route. */
START_TEST(test_routes__men_without_a_read_help_to_protect)
{
    for (int rushers = 4; rushers <= 7; rushers++) {
        RbDemoPlay play = sample_play();
        play.receivers_right = 2;
        play.tight_end = RB_SIDE_RIGHT;
        play.rushers = rushers;
        RbDemoPlan plan;
        g_autoptr(RbDemoAction) action = act_out(&play, 3, &plan);
        int protect = 0;
        for (int i = 1; i < RB_DEMO_OFFENSE; i++) {
            protect += plan.men[i].task == RB_DEMO_TASK_PROTECT ? 1 : 0;
        }
        ck_assert_int_eq(protect, rushers >= 6 ? 7 : rushers == 5 ? 6 : 5);
    }
}
END_TEST

TCase *rb_case_routes(void)
{
    TCase *tcase = rb_case_new("routes");
    tcase_add_test(tcase, test_routes__shapes_by_name);
    tcase_add_test(tcase, test_routes__depth_of_the_playbook_is_the_break);
    tcase_add_test(tcase, test_routes__stay_inside_the_sidelines);
    tcase_add_test(tcase, test_routes__end_inside_the_end_zone);
    tcase_add_test(tcase, test_routes__back_runs_the_backs_route);
    tcase_add_test(tcase, test_routes__men_without_a_read_help_to_protect);
    return tcase;
}
