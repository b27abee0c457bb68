/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/field/calibration.h"

#include "suite.h"
#include "views.h"

TCase *rb_case_mark(void);

START_TEST(test_mark__every_name_is_read_back)
{
    for (int code = 0; code < RB_FIELD_CODES; code++) {
        g_autoptr(GArray) points = rb_landmark_all((RbFieldCode)code);
        g_autoptr(GArray) lines = rb_field_line_all((RbFieldCode)code);
        for (guint i = 0; i < points->len + lines->len; i++) {
            RbFieldMark mark = { .is_line = i >= points->len };
            if (mark.is_line) {
                mark.line = g_array_index(lines, RbFieldLine, i - points->len);
            } else {
                mark.landmark = g_array_index(points, RbLandmark, i);
            }
            g_autofree char *token = rb_field_mark_token(&mark);
            RbFieldMark read = { 0 };
            RbSighting wanted;
            RbSighting found;
            ck_assert_msg(rb_field_mark_parse((RbFieldCode)code, token, &read), "%s",
                          token);
            ck_assert(rb_field_mark_resolve((RbFieldCode)code, &mark, &wanted));
            ck_assert(rb_field_mark_resolve((RbFieldCode)code, &read, &found));
            ck_assert_msg(wanted.kind == found.kind &&
                              wanted.field[0].x == found.field[0].x &&
                              wanted.field[0].y == found.field[0].y,
                          "%s is read as another", token);
        }
    }
}
END_TEST

START_TEST(test_mark__a_place_in_a_picture_is_read_whole_or_not_at_all)
{
    static const struct {
        const char *text;
        double x, y;
    } good[] = { { "412.5,688", 412.5, 688 }, { "0,0", 0, 0 }, { "-3,1e2", -3, 100 } };
    static const char *const bad[] = {
        "",    "412",   "412,",  ",688",  "412;688", "1,2,3",       "1,2 ",
        "a,b", "nan,1", "1,inf", "1,1e6", "-1e6,1",  "1,2\xc3\xa9", "0x1p99,1"
    };
    for (size_t i = 0; i < G_N_ELEMENTS(good); i++) {
        RbPoint2 pixel = { 0 };
        ck_assert_msg(rb_pixel_parse(good[i].text, &pixel), "%s", good[i].text);
        ck_assert_double_eq(pixel.x, good[i].x);
        ck_assert_double_eq(pixel.y, good[i].y);
    }
    for (size_t i = 0; i < G_N_ELEMENTS(bad); i++) {
        RbPoint2 pixel = { 7, 8 };
        ck_assert_msg(!rb_pixel_parse(bad[i], &pixel), "%s", bad[i]);
        ck_assert(pixel.x == 7 && pixel.y == 8);
    }
}
END_TEST

START_TEST(test_mark__names_as_a_coach_says_them)
{
    static const struct {
        const char *token;
        const char *name;
    } names[] = {
        { "near-hash-l35", "near hash at the left 35" },
        { "far-top-50", "far top of the numbers at the 50" },
        { "near-sideline-re", "near sideline at the right end line" },
        { "near-mark-r7", "near sideline mark at the right 7" },
        { "line-50", "50-yard line" },
        { "line-far-bottom", "far bottoms of the numbers" },
        { "line-l35", "left 35-yard line" },
        { "line-rg", "right goal line" },
        { "line-far-sideline", "far sideline" },
        { "line-near-hash", "near hash line" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
        RbFieldMark mark = { 0 };
        ck_assert_msg(rb_field_mark_parse(RB_FIELD_COLLEGE, names[i].token, &mark), "%s",
                      names[i].token);
        g_autofree char *name = rb_field_mark_name(&mark);
        ck_assert_str_eq(name, names[i].name);
    }
}
END_TEST

START_TEST(test_mark__what_is_no_mark)
{
    static const char *const wrong[] = { "",        "line-",    "line-l37", "near-hash",
                                         "hash-35", "line-50x", "the-bench" };
    RbFieldMark mark = { 0 };
    ck_assert(!rb_field_mark_parse(RB_FIELD_COLLEGE, NULL, &mark));
    for (size_t i = 0; i < G_N_ELEMENTS(wrong); i++) {
        ck_assert_msg(!rb_field_mark_parse(RB_FIELD_COLLEGE, wrong[i], &mark), "%s",
                      wrong[i]);
    }
}
END_TEST

/* The first four make a box, whatever comes first; none is proposed twice. */
START_TEST(test_mark__four_proposed_points_fix_a_view)
{
    const View view = view_fixed();
    for (int line = 35; line <= 60; line += 5) {
        RbFieldMark marks[4] = { { .landmark = { RB_LANDMARK_HASH, line,
                                                 line % 2 == 0 } } };
        RbSighting sightings[4];
        for (int n = 0; n < 4; n++) {
            if (n > 0) {
                ck_assert(
                    rb_field_mark_propose(RB_FIELD_COLLEGE, marks, n, NULL, &marks[n]));
            }
            for (int k = 0; k < n; k++) {
                ck_assert(memcmp(&marks[k].landmark, &marks[n].landmark,
                                 sizeof marks[n].landmark) != 0);
            }
            ck_assert(rb_field_mark_resolve(RB_FIELD_COLLEGE, &marks[n], &sightings[n]));
            ck_assert(view_show(&view, sightings[n].field[0], &sightings[n].pixel));
        }
        RbCalibration c;
        GError *error = NULL;
        rb_calibration_fit(sightings, 4, VIEW_WIDTH, VIEW_HEIGHT, &c, &error);
        rb_assert_no_error(error);
    }
}
END_TEST

/* With a view each one proposed lies in the picture where it is shown, until none is left. */
START_TEST(test_mark__with_a_view_they_lie_in_the_picture)
{
    const View view = view_fixed();
    enum { MOST = 200 };
    RbFieldMark marks[MOST];
    RbSighting sightings[4];
    static const char *const first[] = { "near-hash-l45", "far-hash-l45", "near-hash-r45",
                                         "far-hash-r45" };
    for (int i = 0; i < 4; i++) {
        ck_assert(rb_field_mark_parse(RB_FIELD_COLLEGE, first[i], &marks[i]));
        ck_assert(rb_field_mark_resolve(RB_FIELD_COLLEGE, &marks[i], &sightings[i]));
        ck_assert(view_show(&view, sightings[i].field[0], &sightings[i].pixel));
        marks[i].pixel = sightings[i].pixel;
    }
    RbCalibration c;
    ck_assert(rb_calibration_fit(sightings, 4, VIEW_WIDTH, VIEW_HEIGHT, &c, NULL));
    int n = 4;
    while (n < MOST && rb_field_mark_propose(RB_FIELD_COLLEGE, marks, n, &c, &marks[n])) {
        RbSighting sighting;
        RbPoint2 truth;
        ck_assert(rb_field_mark_resolve(RB_FIELD_COLLEGE, &marks[n], &sighting));
        ck_assert(view_show(&view, sighting.field[0], &truth));
        ck_assert_double_lt(hypot(truth.x - marks[n].pixel.x, truth.y - marks[n].pixel.y),
                            2.0);
        n++;
    }
    ck_assert_int_gt(n, 15);
    ck_assert_int_lt(n, MOST);
}
END_TEST

TCase *rb_case_mark(void)
{
    TCase *tcase = rb_case_new("mark");
    tcase_add_test(tcase, test_mark__every_name_is_read_back);
    tcase_add_test(tcase, test_mark__a_place_in_a_picture_is_read_whole_or_not_at_all);
    tcase_add_test(tcase, test_mark__names_as_a_coach_says_them);
    tcase_add_test(tcase, test_mark__what_is_no_mark);
    tcase_add_test(tcase, test_mark__four_proposed_points_fix_a_view);
    tcase_add_test(tcase, test_mark__with_a_view_they_lie_in_the_picture);
    return tcase;
}
