/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/model/route.h"

#include "suite.h"

TCase *rb_case_route(void);

START_TEST(test_route__every_break_is_at_its_depth)
{
    for (RbRoute route = RB_ROUTE_UNKNOWN; route <= RB_ROUTE_DRAWN; route++) {
        for (int depth = -2; depth <= 30; depth++) {
            for (int back = 0; back < 2; back++) {
                RbRoutePath path;
                const double start = back ? -5.0 : 0.0;
                rb_route_path(route, depth, back, start, &path);
                const int want = depth != 0 ? depth : rb_route_usual_depth(route);
                ck_assert_int_ge(path.n, 2);
                ck_assert_int_le(path.n, RB_ROUTE_POINTS_MAX);
                ck_assert(path.break_at > 0 && path.break_at < path.n);
                ck_assert_double_eq_tol(path.points[0].out, 0.0, 1e-9);
                ck_assert_double_eq_tol(path.points[0].deep, start, 1e-9);
                ck_assert_msg(fabs(path.points[path.break_at].deep - want) < 1e-6,
                              "route %d asked for %d breaks at %g", (int)route, want,
                              path.points[path.break_at].deep);
            }
        }
    }
}
END_TEST

/* Usual depths of the breaks: common practice, no source. */
START_TEST(test_route__usual_depths_are_those_of_the_trade)
{
    static const struct {
        RbRoute route;
        int low, high;
    } usual[] = {
        { RB_ROUTE_HITCH, 5, 6 },     { RB_ROUTE_STOP, 5, 6 },
        { RB_ROUTE_QUICK_OUT, 5, 6 }, { RB_ROUTE_SPEED_OUT, 5, 7 },
        { RB_ROUTE_OUT, 10, 12 },     { RB_ROUTE_COMEBACK, 15, 18 },
        { RB_ROUTE_CURL, 12, 16 },    { RB_ROUTE_DIG, 12, 15 },
        { RB_ROUTE_POST, 10, 12 },    { RB_ROUTE_CORNER, 10, 12 },
        { RB_ROUTE_DRAG, 1, 3 },      { RB_ROUTE_SHALLOW, 3, 6 },
        { RB_ROUTE_OVER, 12, 18 },    { RB_ROUTE_FLAT, 1, 3 },
        { RB_ROUTE_PIVOT, 5, 6 },     { RB_ROUTE_SAIL, 10, 18 },
        { RB_ROUTE_SIT, 5, 6 },
    };
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++) {
        const int depth = rb_route_usual_depth(usual[i].route);
        ck_assert_int_ge(depth, usual[i].low);
        ck_assert_int_le(depth, usual[i].high);
    }
}
END_TEST

static RbRoutePoint end_of(RbRoute route, RbRoutePath *path)
{
    rb_route_path(route, 0, false, 0.0, path);
    return path->points[path->n - 1];
}

START_TEST(test_route__goes_where_its_name_says)
{
    static const RbRoute outward[] = {
        RB_ROUTE_QUICK_OUT, RB_ROUTE_SPEED_OUT, RB_ROUTE_OUT,  RB_ROUTE_COMEBACK,
        RB_ROUTE_CORNER,    RB_ROUTE_FADE,      RB_ROUTE_FLAT, RB_ROUTE_PIVOT,
        RB_ROUTE_SWING,     RB_ROUTE_WHEEL,     RB_ROUTE_SAIL
    };
    static const RbRoute inward[] = { RB_ROUTE_SLANT, RB_ROUTE_CURL, RB_ROUTE_DIG,
                                      RB_ROUTE_POST,  RB_ROUTE_DRAG, RB_ROUTE_SHALLOW,
                                      RB_ROUTE_OVER,  RB_ROUTE_ANGLE };
    RbRoutePath path;
    for (size_t i = 0; i < sizeof outward / sizeof outward[0]; i++) {
        ck_assert_double_gt(end_of(outward[i], &path).out, 1.0);
    }
    for (size_t i = 0; i < sizeof inward / sizeof inward[0]; i++) {
        ck_assert_double_lt(end_of(inward[i], &path).out, -1.0);
    }
    /* A curl comes back two yards; a comeback to 12 to 15. Common practice, no source. */
    ck_assert_double_eq_tol(end_of(RB_ROUTE_CURL, &path).deep,
                            rb_route_usual_depth(RB_ROUTE_CURL) - 2.0, 1e-9);
    const double back_to = end_of(RB_ROUTE_COMEBACK, &path).deep;
    ck_assert(back_to >= 12.0 && back_to <= 15.0);
    ck_assert(path.settles);
    /* A pivot starts in before it turns back out. */
    end_of(RB_ROUTE_PIVOT, &path);
    ck_assert_double_lt(path.points[path.break_at].out, -1.0);
}
END_TEST

/* The speed out has no planted break: no corner of it turns by more than 25 degrees. */
START_TEST(test_route__speed_out_is_rounded_and_the_out_is_not)
{
    static const RbRoute routes[] = { RB_ROUTE_SPEED_OUT, RB_ROUTE_QUICK_OUT };
    double sharpest[2] = { 0.0, 0.0 };
    for (int r = 0; r < 2; r++) {
        RbRoutePath path;
        rb_route_path(routes[r], 6, false, 0.0, &path);
        for (int i = 1; i + 1 < path.n; i++) {
            const RbRoutePoint *p = &path.points[i];
            const double before = atan2(p->deep - p[-1].deep, p->out - p[-1].out);
            const double after = atan2(p[1].deep - p->deep, p[1].out - p->out);
            sharpest[r] = fmax(sharpest[r], fabs(after - before));
        }
    }
    ck_assert_double_lt(sharpest[0], 25.0 * 3.14159265 / 180.0);
    ck_assert_double_gt(sharpest[1], 80.0 * 3.14159265 / 180.0);
}
END_TEST

START_TEST(test_route__drawn_freely)
{
    static const RbDrawnPoint points[] = { { 60, 0 }, { 45, -25 }, { 110, 80 } };
    RbRoutePath path;
    rb_route_path_drawn(points, 3, 0, -1.0, &path);
    ck_assert_int_eq(path.n, 4);
    ck_assert_double_eq(path.points[0].deep, -1.0);
    ck_assert_double_eq_tol(path.points[2].out, -2.5, 1e-12);
    ck_assert_double_eq_tol(path.points[3].deep, 11.0, 1e-12);
    ck_assert_int_eq(path.break_at, 1);
    rb_route_path_drawn(points, 3, 11, 0.0, &path);
    ck_assert_int_eq(path.break_at, 3);
}
END_TEST

TCase *rb_case_route(void)
{
    TCase *tcase = rb_case_new("route");
    tcase_add_test(tcase, test_route__drawn_freely);
    tcase_add_test(tcase, test_route__every_break_is_at_its_depth);
    tcase_add_test(tcase, test_route__usual_depths_are_those_of_the_trade);
    tcase_add_test(tcase, test_route__goes_where_its_name_says);
    tcase_add_test(tcase, test_route__speed_out_is_rounded_and_the_out_is_not);
    return tcase;
}
