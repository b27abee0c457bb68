/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/field/field.h"

#include "suite.h"

TCase *rb_case_landmark(void);

START_TEST(test_landmark__names_and_tokens)
{
    static const struct {
        RbLandmark landmark;
        const char *token;
        const char *name;
    } rows[] = {
        { { RB_LANDMARK_HASH, 35, false }, "near-hash-l35", "near hash at the left 35" },
        { { RB_LANDMARK_HASH, 65, true }, "far-hash-r35", "far hash at the right 35" },
        { { RB_LANDMARK_SIDELINE, 50, true },
          "far-sideline-50",
          "far sideline at the 50" },
        { { RB_LANDMARK_SIDELINE, 0, false },
          "near-sideline-lg",
          "near sideline at the left goal line" },
        { { RB_LANDMARK_SIDELINE, 110, false },
          "near-sideline-re",
          "near sideline at the right end line" },
        { { RB_LANDMARK_NUMBER_TOP, 20, false },
          "near-top-l20",
          "near top of the numbers at the left 20" },
        { { RB_LANDMARK_SHORT_MARK, 99, true },
          "far-mark-r1",
          "far sideline mark at the right 1" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        g_autofree char *token = rb_landmark_token(rows[i].landmark);
        g_autofree char *name = rb_landmark_name(rows[i].landmark);
        ck_assert_str_eq(token, rows[i].token);
        ck_assert_str_eq(name, rows[i].name);
    }
}
END_TEST

START_TEST(test_landmark__every_token_finds_its_landmark)
{
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        g_autoptr(GArray) all = rb_landmark_all((RbFieldCode)code);
        /* 23 yard lines with ends and goals, 19 hashes, 9 numbers twice, 80 marks; each near
         * and far. */
        ck_assert_uint_eq(all->len, 2 * (23 + 19 + 9 + 9 + 80));
        for (guint i = 0; i < all->len; i += 7) {
            const RbLandmark landmark = g_array_index(all, RbLandmark, i);
            g_autofree char *token = rb_landmark_token(landmark);
            RbLandmark found;
            ck_assert(rb_landmark_parse((RbFieldCode)code, token, &found));
            ck_assert_int_eq(found.kind, landmark.kind);
            ck_assert_int_eq(found.line, landmark.line);
            ck_assert(found.far == landmark.far);
        }
    }
}
END_TEST

START_TEST(test_landmark__refuses_points_that_are_not_there)
{
    static const RbLandmark none[] = {
        { RB_LANDMARK_SIDELINE, 37, false },  { RB_LANDMARK_SIDELINE, 105, false },
        { RB_LANDMARK_HASH, 0, false },       { RB_LANDMARK_HASH, 36, true },
        { RB_LANDMARK_NUMBER_TOP, 25, true }, { RB_LANDMARK_NUMBER_BOTTOM, 100, true },
        { RB_LANDMARK_SHORT_MARK, 35, true },
    };
    RbPoint2 point;
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        ck_assert(!rb_landmark_point(RB_FIELD_COLLEGE, none[i], &point));
    }
    RbLandmark landmark;
    ck_assert(!rb_landmark_parse(RB_FIELD_COLLEGE, "near-hash-l36", &landmark));
    ck_assert(!rb_landmark_parse(RB_FIELD_COLLEGE, "", &landmark));
    ck_assert(!rb_landmark_parse(RB_FIELD_COLLEGE, NULL, &landmark));
}
END_TEST

static double y_of(RbFieldCode code, RbLandmarkKind kind, bool far)
{
    RbPoint2 point = { -1, -1 };
    const RbLandmark landmark = { kind, 30, far };
    ck_assert(rb_landmark_point(code, landmark, &point));
    ck_assert_double_eq(point.x, 30);
    return point.y;
}

/* A college field calibrated as a professional one is 5 yd off at the numbers. */
START_TEST(test_landmark__far_points_mirror_near_ones)
{
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        for (int kind = 0; kind < RB_LANDMARK_SHORT_MARK; kind++) {
            const double near_y = y_of((RbFieldCode)code, (RbLandmarkKind)kind, false);
            const double far_y = y_of((RbFieldCode)code, (RbLandmarkKind)kind, true);
            ck_assert_double_eq_tol(near_y + far_y, RB_FIELD_WIDTH_YD, 1e-12);
            ck_assert_double_lt(near_y, far_y);
        }
    }
    ck_assert_double_eq_tol(y_of(RB_FIELD_PRO, RB_LANDMARK_NUMBER_TOP, false) -
                                y_of(RB_FIELD_COLLEGE, RB_LANDMARK_NUMBER_TOP, false),
                            5, 1e-12);
}
END_TEST

START_TEST(test_landmark__lines_pass_through_their_points)
{
    static const struct {
        RbLandmarkKind point;
        RbFieldLineKind line;
    } rows[] = {
        { RB_LANDMARK_SIDELINE, RB_FIELD_LINE_SIDELINE },
        { RB_LANDMARK_HASH, RB_FIELD_LINE_HASH },
        { RB_LANDMARK_NUMBER_TOP, RB_FIELD_LINE_NUMBER_TOP },
        { RB_LANDMARK_NUMBER_BOTTOM, RB_FIELD_LINE_NUMBER_BOTTOM },
    };
    RbPoint2 from;
    RbPoint2 to;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const RbFieldLine line = { rows[i].line, 0, true };
        ck_assert(rb_field_line_ends(RB_FIELD_PRO, line, &from, &to));
        ck_assert_double_eq(from.y, y_of(RB_FIELD_PRO, rows[i].point, true));
        ck_assert_double_eq(to.y, from.y);
    }
    const RbFieldLine yard = { RB_FIELD_LINE_YARD, 30, false };
    ck_assert(rb_field_line_ends(RB_FIELD_PRO, yard, &from, &to));
    ck_assert_double_eq(from.x, 30);
    ck_assert_double_eq(to.y, RB_FIELD_WIDTH_YD);
    const RbFieldLine none = { RB_FIELD_LINE_YARD, 31, false };
    ck_assert(!rb_field_line_ends(RB_FIELD_PRO, none, &from, &to));
}
END_TEST

START_TEST(test_landmark__lines_are_named)
{
    static const struct {
        RbFieldLine line;
        const char *name;
    } rows[] = {
        { { RB_FIELD_LINE_YARD, 35, false }, "left 35-yard line" },
        { { RB_FIELD_LINE_YARD, 50, false }, "50-yard line" },
        { { RB_FIELD_LINE_YARD, 100, false }, "right goal line" },
        { { RB_FIELD_LINE_YARD, -10, false }, "left end line" },
        { { RB_FIELD_LINE_HASH, 0, true }, "far hash line" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        g_autofree char *name = rb_field_line_name(rows[i].line);
        ck_assert_str_eq(name, rows[i].name);
    }
    g_autoptr(GArray) all = rb_field_line_all(RB_FIELD_HIGH_SCHOOL);
    ck_assert_uint_eq(all->len, 23 + 4 * 2);
}
END_TEST

TCase *rb_case_landmark(void)
{
    TCase *tcase = rb_case_new("landmark");
    tcase_add_test(tcase, test_landmark__names_and_tokens);
    tcase_add_test(tcase, test_landmark__every_token_finds_its_landmark);
    tcase_add_test(tcase, test_landmark__refuses_points_that_are_not_there);
    tcase_add_test(tcase, test_landmark__far_points_mirror_near_ones);
    tcase_add_test(tcase, test_landmark__lines_pass_through_their_points);
    tcase_add_test(tcase, test_landmark__lines_are_named);
    return tcase;
}
