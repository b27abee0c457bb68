/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/report/film-drawing.h"

#include "suite.h"

TCase *rb_case_film_drawing(void);

enum { WIDTH = 1280, HEIGHT = 720 };

static uint8_t *picture_of(RbFilmDrawing *drawing, int64_t frame)
{
    g_autoptr(GPtrArray) drawings = g_ptr_array_new();
    g_ptr_array_add(drawings, drawing);
    return rb_film_drawings_picture(drawings, frame, WIDTH, HEIGHT);
}

static const uint8_t *at(const uint8_t *rgba, int x, int y)
{
    return rgba + (y * WIDTH + x) * 4;
}

START_TEST(test_film_drawing__a_line_is_bright_inside_and_leaves_the_rest)
{
    RbFilmDrawing line = { .kind = RB_DRAW_LINE,
                           .x1 = 1000,
                           .y1 = 5000,
                           .x2 = 9000,
                           .y2 = 5000,
                           .first = 3,
                           .last = 4 };
    ck_assert_ptr_null(picture_of(&line, 2));
    ck_assert_ptr_null(picture_of(&line, 5));
    g_autofree uint8_t *rgba = picture_of(&line, 3);
    const uint8_t *middle = at(rgba, WIDTH / 2, HEIGHT / 2);
    ck_assert(middle[0] > 230 && middle[1] > 180 && middle[2] < 120 && middle[3] > 240);
    ck_assert_int_eq(at(rgba, WIDTH / 2, HEIGHT / 4)[3], 0);
    ck_assert_int_eq(at(rgba, 2, HEIGHT / 2)[3], 0);
}
END_TEST

/* Colours are not multiplied by the opacity: a half covered pixel of the edge is as dark as a
 * wholly covered one. */
START_TEST(test_film_drawing__colours_are_straight)
{
    RbFilmDrawing line = {
        .kind = RB_DRAW_LINE, .x1 = 1000, .y1 = 1000, .x2 = 9000, .y2 = 9000
    };
    g_autofree uint8_t *rgba = picture_of(&line, 0);
    int partly = 0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        const uint8_t *pixel = rgba + i * 4;
        partly += pixel[3] > 20 && pixel[3] < 235;
        ck_assert(pixel[3] > 0 || (pixel[0] == 0 && pixel[1] == 0 && pixel[2] == 0));
        ck_assert(pixel[3] <= 20 || pixel[3] > 200 || pixel[0] < 60);
    }
    ck_assert_int_gt(partly, 50);
}
END_TEST

static int covered(const uint8_t *rgba, int left, int right)
{
    int n = 0;
    for (int y = 0; y < HEIGHT; y++) {
        for (int x = left; x < right; x++) {
            n += at(rgba, x, y)[3] > 128;
        }
    }
    return n;
}

START_TEST(test_film_drawing__each_kind_has_its_shape)
{
    RbFilmDrawing drawing = {
        .kind = RB_DRAW_ARROW, .x1 = 2000, .y1 = 5000, .x2 = 8000, .y2 = 5000
    };
    g_autofree uint8_t *arrow = picture_of(&drawing, 0);
    /* The head is at the second point. */
    ck_assert_int_gt(covered(arrow, WIDTH * 7 / 10, WIDTH * 9 / 10),
                     covered(arrow, WIDTH / 10, WIDTH * 3 / 10) + 10);
    drawing.kind = RB_DRAW_CIRCLE;
    drawing.y1 = 2000;
    drawing.y2 = 8000;
    g_autofree uint8_t *circle = picture_of(&drawing, 0);
    ck_assert_int_eq(at(circle, WIDTH / 2, HEIGHT / 2)[3], 0); /* not filled */
    ck_assert_int_gt(at(circle, WIDTH / 5, HEIGHT / 2)[3], 128);
    ck_assert_int_gt(at(circle, WIDTH / 2, HEIGHT / 5)[3], 128);
    drawing.kind = RB_DRAW_TEXT;
    drawing.words = (char[]){ "eyes" };
    g_autofree uint8_t *text = picture_of(&drawing, 0);
    ck_assert_int_gt(covered(text, WIDTH / 5, WIDTH / 2), 20);
    ck_assert_int_eq(covered(text, 0, WIDTH / 6), 0);
}
END_TEST

TCase *rb_case_film_drawing(void)
{
    TCase *tcase = rb_case_new("film-drawing");
    tcase_add_test(tcase, test_film_drawing__a_line_is_bright_inside_and_leaves_the_rest);
    tcase_add_test(tcase, test_film_drawing__colours_are_straight);
    tcase_add_test(tcase, test_film_drawing__each_kind_has_its_shape);
    return tcase;
}
