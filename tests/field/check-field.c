/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/field/field.h"

#include "suite.h"

TCase *rb_case_field(void);

/* Inches from the rule books: NFHS 1-2 (hash lines divide the field in thirds, 53 ft 4 in);
 * NCAA 2-12-6 and Appendix D (60 ft); NFL Rule 1 section 2 (70 ft 9 in). The distance between
 * the hash lines is given there too, so twice the one plus the other is the width, 160 ft. */
START_TEST(test_field__hash_lines_by_rule_code)
{
    static const struct {
        RbFieldCode code;
        double side_in;
        double middle_in;
    } rows[] = {
        { RB_FIELD_HIGH_SCHOOL, 640, 640 },
        { RB_FIELD_COLLEGE, 720, 480 },
        { RB_FIELD_PRO, 849, 222 },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const RbFieldDimensions *d = rb_field_dimensions(rows[i].code);
        ck_assert_double_eq_tol(d->hash_yd * 36, rows[i].side_in, 1e-9);
        ck_assert_double_eq_tol((RB_FIELD_WIDTH_YD - 2 * d->hash_yd) * 36,
                                rows[i].middle_in, 1e-9);
        ck_assert_double_eq(2 * rows[i].side_in + rows[i].middle_in, 1920);
    }
}
END_TEST

/* NFL Rule 1 section 2: bottoms of the two-yard numerals at 12 yd. NCAA 1-2-1: tops at 9 yd,
 * not taller than 6 ft. Uprights: 18 ft 6 in, and 23 ft 4 in in the NFHS rules. */
START_TEST(test_field__numbers_and_goals_by_rule_code)
{
    const RbFieldDimensions *college = rb_field_dimensions(RB_FIELD_COLLEGE);
    const RbFieldDimensions *pro = rb_field_dimensions(RB_FIELD_PRO);
    const RbFieldDimensions *school = rb_field_dimensions(RB_FIELD_HIGH_SCHOOL);
    ck_assert_double_eq(college->number_top_yd, 9);
    ck_assert_double_eq(college->number_bottom_yd, 7);
    ck_assert_double_eq(pro->number_bottom_yd, 12);
    ck_assert_double_eq(pro->number_top_yd, 14);
    ck_assert_double_eq_tol(college->uprights_yd * 3, 18.5, 1e-12);
    ck_assert_double_eq_tol(school->uprights_yd * 36, 280, 1e-12);
    ck_assert_double_eq_tol(pro->crossbar_yd * 3, 10, 1e-12);
}
END_TEST

START_TEST(test_field__number_at_counts_from_the_nearer_goal)
{
    static const int rows[][2] = { { 10, 10 }, { 50, 50 }, { 60, 40 }, { 90, 10 },
                                   { 0, 0 },   { 100, 0 }, { 45, 0 },  { -10, 0 } };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        ck_assert_int_eq(rb_field_number_at(rows[i][0]), rows[i][1]);
    }
}
END_TEST

static int count(const GArray *paint, RbPaintKind kind)
{
    int n = 0;
    for (guint i = 0; i < paint->len; i++) {
        n += g_array_index(paint, RbPaint, i).kind == kind ? 1 : 0;
    }
    return n;
}

START_TEST(test_field__paint_has_every_line_once)
{
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        g_autoptr(GArray) paint = rb_field_paint_all((RbFieldCode)code);
        ck_assert_int_eq(count(paint, RB_PAINT_YARD_LINE), 19);
        ck_assert_int_eq(count(paint, RB_PAINT_GOAL_LINE), 2);
        ck_assert_int_eq(count(paint, RB_PAINT_HASH), 2 * 19);
        ck_assert_int_eq(count(paint, RB_PAINT_SHORT_MARK), 4 * 80);
        ck_assert_int_eq(count(paint, RB_PAINT_BORDER), 4);
        ck_assert_int_eq(count(paint, RB_PAINT_TRY), 2);
    }
}
END_TEST

/* The field has two axes of symmetry, and so must its paint. */
START_TEST(test_field__paint_is_symmetric)
{
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        g_autoptr(GArray) paint = rb_field_paint_all((RbFieldCode)code);
        double moment_x = 0;
        double moment_y = 0;
        for (guint i = 0; i < paint->len; i++) {
            const RbPaint *p = &g_array_index(paint, RbPaint, i);
            ck_assert_double_lt(p->x0, p->x1);
            ck_assert_double_lt(p->y0, p->y1);
            const double area = (p->x1 - p->x0) * (p->y1 - p->y0);
            moment_x += area * ((p->x0 + p->x1) / 2 - RB_FIELD_LENGTH_YD / 2);
            moment_y += area * ((p->y0 + p->y1) / 2 - RB_FIELD_WIDTH_YD / 2);
        }
        ck_assert_double_eq_tol(moment_x, 0, 1e-8);
        ck_assert_double_eq_tol(moment_y, 0, 1e-8);
    }
}
END_TEST

/* The border begins at the inside edge of the lines, to which all is measured. */
START_TEST(test_field__paint_leaves_the_field_of_play_its_size)
{
    g_autoptr(GArray) paint = rb_field_paint_all(RB_FIELD_PRO);
    for (guint i = 0; i < paint->len; i++) {
        const RbPaint *p = &g_array_index(paint, RbPaint, i);
        const bool inside = p->x0 >= -10 && p->x1 <= 110 && p->y0 >= 0 &&
                            p->y1 <= RB_FIELD_WIDTH_YD + 1e-12;
        const bool outside = p->x1 <= -10 || p->x0 >= 110 || p->y1 <= 0 ||
                             p->y0 >= RB_FIELD_WIDTH_YD - 1e-12;
        ck_assert(p->kind == RB_PAINT_BORDER ? outside : inside);
    }
}
END_TEST

TCase *rb_case_field(void)
{
    TCase *tcase = rb_case_new("field");
    tcase_add_test(tcase, test_field__hash_lines_by_rule_code);
    tcase_add_test(tcase, test_field__numbers_and_goals_by_rule_code);
    tcase_add_test(tcase, test_field__number_at_counts_from_the_nearer_goal);
    tcase_add_test(tcase, test_field__paint_has_every_line_once);
    tcase_add_test(tcase, test_field__paint_is_symmetric);
    tcase_add_test(tcase, test_field__paint_leaves_the_field_of_play_its_size);
    return tcase;
}
