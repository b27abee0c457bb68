/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "digits.h"
#include "raster.h"
#include "suite.h"

TCase *rb_case_digits(void);

#define SIZE 32

/* The digit as a person sees it: a picture, top row first. */
static void paint(int digit, uint8_t picture[SIZE * SIZE])
{
    uint8_t u[SIZE * SIZE / 4] = { 0 };
    uint8_t v[SIZE * SIZE / 4] = { 0 };
    RbDemoFrame frame = { SIZE, SIZE, { picture, u, v }, { SIZE, SIZE / 2, SIZE / 2 } };
    RbDemoMask *mask = rb_demo_mask_new(SIZE, SIZE);
    RbDemoStroke strokes[RB_DEMO_STROKES_MAX];
    const int n = rb_demo_digit(digit, strokes);
    ck_assert_int_le(n, RB_DEMO_STROKES_MAX);
    for (int i = 0; i < n; i++) {
        RbPoint2 points[RB_DEMO_STROKE_CORNERS];
        for (int k = 0; k < strokes[i].n; k++) {
            const RbPoint2 p = strokes[i].points[k];
            ck_assert(p.x >= 0 && p.x <= 1 && p.y >= 0 && p.y <= 1);
            points[k] = (RbPoint2){ SIZE * p.x, SIZE * (1 - p.y) };
        }
        rb_demo_mask_polygon(mask, points, strokes[i].n);
    }
    memset(picture, 0, SIZE * SIZE);
    rb_demo_mask_blend(mask, &frame, (RbDemoColour){ 255, 0, 0 }, 1);
    rb_demo_mask_free(mask);
}

START_TEST(test_digits__no_two_look_alike)
{
    uint8_t pictures[10][SIZE * SIZE];
    for (int a = 0; a < 10; a++) {
        paint(a, pictures[a]);
        for (int b = 0; b < a; b++) {
            int differ = 0;
            for (int i = 0; i < SIZE * SIZE; i++) {
                differ += (pictures[a][i] > 127) != (pictures[b][i] > 127) ? 1 : 0;
            }
            ck_assert_msg(differ > 25, "%d and %d differ in %d of %d cells", a, b, differ,
                          SIZE * SIZE);
        }
    }
}
END_TEST

START_TEST(test_digits__holes_where_a_reader_expects_them)
{
    static const struct {
        int digit;
        int upper; /* 1: the middle of the upper half is a hole with both sides closed */
        int left;  /* 1: painted at the left of the lower half */
        int right;
    } rows[] = { { 0, 1, 1, 1 }, { 2, 1, 1, 0 }, { 3, 1, 0, 1 },
                 { 4, 1, 0, 1 }, { 5, 1, 0, 1 }, { 6, 1, 1, 1 },
                 { 7, 1, 0, 1 }, { 8, 1, 1, 1 }, { 9, 1, 0, 1 } };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        uint8_t picture[SIZE * SIZE];
        paint(rows[i].digit, picture);
        const uint8_t *low = picture + SIZE * 22;
        ck_assert_int_eq(picture[SIZE * 10 + SIZE / 2] < 128, rows[i].upper);
        ck_assert_int_eq(low[3] > 127, rows[i].left);
        ck_assert_int_eq(low[SIZE - 4] > 127, rows[i].right);
    }
}
END_TEST

TCase *rb_case_digits(void)
{
    TCase *tcase = rb_case_new("digits");
    tcase_add_test(tcase, test_digits__no_two_look_alike);
    tcase_add_test(tcase, test_digits__holes_where_a_reader_expects_them);
    return tcase;
}
