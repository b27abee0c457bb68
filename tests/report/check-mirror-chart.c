/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo.h>

#include "rb/report/mirror-chart.h"

#include "figures.h"
#include "suite.h"

TCase *rb_case_mirror_chart(void);

enum { WIDTH = 600, HEIGHT = 900 };

static RbMirrorChart chart_of(const RbLadder *first, const RbLadder *second)
{
    return (RbMirrorChart){
        .first = first, .second = second, .first_name = "2026", .second_name = "2025"
    };
}

/* How many columns of a picture have ink, left and right of the middle. */
static void count_ink(const RbMirrorChart *chart, int *left, int *right)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_ARGB32, WIDTH, HEIGHT);
    cairo_t *cr = cairo_create(surface);
    const RbPalette palette = rb_palette_light();
    rb_mirror_draw(cr, chart, &palette, 0, 0, WIDTH);
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    const unsigned char *data = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    *left = *right = 0;
    for (int y = 0; y < HEIGHT; y++) {
        for (int x = 0; x < WIDTH; x++) {
            if (data[y * stride + 4 * x + 3] != 0) {
                *(x < WIDTH / 2 ? left : right) += 1;
            }
        }
    }
    cairo_surface_destroy(surface);
}

START_TEST(test_mirror_chart__is_its_own_mirror_when_the_sides_are_equal)
{
    const RbLadder ladder = rb_example_ladder();
    RbMirrorChart chart = chart_of(&ladder, &ladder);
    chart.second_name = chart.first_name;
    int left = 0;
    int right = 0;
    count_ink(&chart, &left, &right);
    ck_assert_int_gt(left, 1000);
    /* Letters are not symmetric, and hatches start at their own corner. */
    ck_assert_int_le(abs(left - right), left / 8);
}
END_TEST

/* The bars are shares: ten times the dropbacks make the same picture but for the numbers. */
START_TEST(test_mirror_chart__compares_shares_of_sides_of_different_size)
{
    const RbLadder ladder = rb_example_ladder();
    RbLadder large = ladder;
    large.dropbacks *= 10;
    for (int read = 0; read <= RB_READS_MAX; read++) {
        for (int stage = 0; stage < RB_STAGES; stage++) {
            large.cells[read][stage].dropbacks *= 10;
        }
    }
    const RbMirrorChart chart = chart_of(&ladder, &large);
    int left = 0;
    int right = 0;
    count_ink(&chart, &left, &right);
    ck_assert_int_le(abs(left - right), left / 5);
    const RbMirrorChart same = chart_of(&ladder, &ladder);
    ck_assert_double_eq_tol(rb_mirror_height(&chart, WIDTH),
                            rb_mirror_height(&same, WIDTH), 1e-9);
}
END_TEST

START_TEST(test_mirror_chart__an_empty_side_or_two_are_drawn_without_a_share)
{
    const RbLadder ladder = rb_example_ladder();
    const RbLadder empty = { 0 };
    const RbMirrorChart half = chart_of(&ladder, &empty);
    const RbMirrorChart none = chart_of(&empty, &empty);
    int left = 0;
    int right = 0;
    count_ink(&half, &left, &right);
    ck_assert_int_gt(left, 2 * right);
    count_ink(&none, &left, &right);
    ck_assert_int_gt(left, 0); /* the names stand there */
    ck_assert_double_lt(rb_mirror_height(&none, WIDTH), rb_mirror_height(&half, WIDTH));
}
END_TEST

START_TEST(test_mirror_chart__long_names_and_little_room_stay_inside)
{
    const RbLadder ladder = rb_example_ladder();
    RbMirrorChart chart = chart_of(&ladder, &ladder);
    chart.first_name =
        "Concept: Curl-flat; Date: 2026-08-01 to 2026-12-31; Quarterback: 12";
    for (double width = 200; width < 900; width += 100) {
        const double height = rb_mirror_height(&chart, width);
        ck_assert_double_gt(height, 0);
        ck_assert_double_lt(height, HEIGHT);
    }
}
END_TEST

TCase *rb_case_mirror_chart(void)
{
    TCase *tcase = rb_case_new("mirror-chart");
    tcase_add_test(tcase, test_mirror_chart__is_its_own_mirror_when_the_sides_are_equal);
    tcase_add_test(tcase, test_mirror_chart__compares_shares_of_sides_of_different_size);
    tcase_add_test(tcase,
                   test_mirror_chart__an_empty_side_or_two_are_drawn_without_a_share);
    tcase_add_test(tcase, test_mirror_chart__long_names_and_little_room_stay_inside);
    return tcase;
}
