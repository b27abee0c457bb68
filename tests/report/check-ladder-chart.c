/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo.h>

#include "rb/report/ladder-chart.h"

#include "figures.h"
#include "suite.h"

TCase *rb_case_ladder_chart(void);

static RbLadderChart example(const RbLadder *ladder, const RbBreak *found)
{
    RbLadderChart chart = rb_ladder_chart(ladder, found);
    chart.reads[1] = "Speed out";
    chart.reads[2] = "Pivot";
    chart.reads[3] = "Check-down";
    return chart;
}

START_TEST(test_ladder_chart__parts_in_reading_order)
{
    const RbLadder ladder = rb_example_ladder();
    RbLadderPart parts[RB_STAGES * 3];
    const int n = rb_ladder_parts(&ladder, parts, RB_STAGES * 3);
    ck_assert_int_eq(n, 12);
    ck_assert(parts[0].read == 1 && parts[0].stage == RB_STAGE_SUCCESS);
    ck_assert(parts[1].read == 1 && parts[1].stage == RB_STAGE_PROTECTION);
    ck_assert(parts[4].read == 2 && parts[4].stage == RB_STAGE_EYES);
    ck_assert(parts[11].read == 0 && parts[11].stage == RB_STAGE_NOT_JUDGED);
    /* Asked for fewer, it still says how many there are. */
    ck_assert_int_eq(rb_ladder_parts(&ladder, parts, 2), 12);
    ck_assert_int_eq(rb_ladder_parts(&ladder, NULL, 0), 12);
}
END_TEST

/* Every part can be found by pointing, at any width, and nothing else. */
START_TEST(test_ladder_chart__every_part_can_be_found)
{
    const RbLadder ladder = rb_example_ladder();
    const RbBreak found = rb_example_break();
    const RbLadderChart chart = example(&ladder, &found);
    static const double widths[] = { 150, 260, 420, 700 };
    for (size_t w = 0; w < sizeof widths / sizeof widths[0]; w++) {
        bool seen[RB_READS_MAX + 1][RB_STAGES] = { { false } };
        const double height = rb_ladder_height(&chart, widths[w]);
        for (double y = 1; y < height; y += 5) {
            for (double x = 1; x < widths[w]; x += 7) {
                int read = RB_NO_PART;
                RbStage stage = RB_STAGE_NOT_JUDGED;
                if (rb_ladder_find(&chart, widths[w], x, y, &read, &stage)) {
                    ck_assert_int_gt(ladder.cells[read][stage].dropbacks, 0);
                    seen[read][stage] = true;
                }
            }
        }
        RbLadderPart parts[RB_STAGES * 3];
        const int n = rb_ladder_parts(&ladder, parts, RB_STAGES * 3);
        for (int i = 0; i < n; i++) {
            ck_assert_msg(seen[parts[i].read][parts[i].stage], "width %g, part %d",
                          widths[w], i);
        }
        int read = 0;
        RbStage stage = RB_STAGE_NOT_JUDGED;
        ck_assert(!rb_ladder_find(&chart, widths[w], widths[w] - 1, 1, &read, &stage));
        ck_assert(!rb_ladder_find(&chart, widths[w], 1, height + 5, &read, &stage));
    }
}
END_TEST

/* Pixels of one colour in a drawing of the chart. */
static int count_pixels(const RbLadderChart *chart, RbColour colour, bool *outside)
{
    enum { WIDTH = 500, MARGIN = 20 };
    const RbPalette palette = rb_palette_light();
    const int height = (int)rb_ladder_height(chart, WIDTH) + 1;
    cairo_surface_t *surface = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, WIDTH + 2 * MARGIN, height + 2 * MARGIN);
    cairo_t *cr = cairo_create(surface);
    cairo_set_source_rgb(cr, palette.paper.red, palette.paper.green, palette.paper.blue);
    cairo_paint(cr);
    rb_ladder_draw(cr, chart, &palette, MARGIN, MARGIN, WIDTH);
    ck_assert_int_eq(cairo_status(cr), CAIRO_STATUS_SUCCESS);
    double x = 0;
    double y = 0;
    cairo_user_to_device(cr, &x, &y);
    ck_assert(x == 0 && y == 0);
    cairo_destroy(cr);
    cairo_surface_flush(surface);
    const unsigned char *data = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    const uint32_t want = (uint32_t)(colour.red * 255 + 0.5) << 16 |
                          (uint32_t)(colour.green * 255 + 0.5) << 8 |
                          (uint32_t)(colour.blue * 255 + 0.5);
    const uint32_t ground = (uint32_t)(palette.paper.red * 255 + 0.5) << 16 |
                            (uint32_t)(palette.paper.green * 255 + 0.5) << 8 |
                            (uint32_t)(palette.paper.blue * 255 + 0.5);
    int n = 0;
    *outside = false;
    for (int row = 0; row < height + 2 * MARGIN; row++) {
        const uint32_t *line =
            (const uint32_t *)(const void *)(data + (size_t)row * stride);
        for (int column = 0; column < WIDTH + 2 * MARGIN; column++) {
            const uint32_t pixel = line[column] & 0xFFFFFF;
            const bool margin = row < MARGIN - 2 || row > height + MARGIN + 2 ||
                                column < MARGIN - 2 || column > WIDTH + MARGIN + 2;
            *outside |= margin && pixel != ground;
            n += pixel == want;
        }
    }
    cairo_surface_destroy(surface);
    return n;
}

START_TEST(test_ladder_chart__marks_the_break_and_the_choice)
{
    const RbPalette palette = rb_palette_light();
    const RbLadder ladder = rb_example_ladder();
    RbBreak found = rb_example_break();
    RbLadderChart chart = example(&ladder, &found);
    bool outside = false;
    ck_assert_int_gt(count_pixels(&chart, palette.below, &outside), 50);
    ck_assert(!outside);
    ck_assert_int_gt(count_pixels(&chart, palette.above, &outside), 500);
    ck_assert_int_eq(count_pixels(&chart, palette.accent, &outside), 0);
    chart.chosen_read = 2;
    chart.chosen_stage = RB_STAGE_EYES;
    ck_assert_int_gt(count_pixels(&chart, palette.accent, &outside), 20);
    /* What costs no more than the norm is not marked. */
    found.excess = -0.5;
    ck_assert_int_eq(count_pixels(&chart, palette.below, &outside), 0);
    chart.found = NULL;
    ck_assert_int_eq(count_pixels(&chart, palette.below, &outside), 0);
}
END_TEST

START_TEST(test_ladder_chart__stays_inside_whatever_the_names)
{
    const RbLadder ladder = rb_example_ladder();
    const RbBreak found = rb_example_break();
    RbLadderChart chart = example(&ladder, &found);
    const RbPalette palette = rb_palette_light();
    bool outside = false;
    chart.reads[1] =
        "A name much longer than any room that a ladder could have for a read";
    chart.reads[2] = "\xff\xfe not a text \x1b[31m\n\t";
    chart.reads[3] = "";
    chart.reads[8] = "\u202e<b>&amp;";
    ck_assert_int_gt(count_pixels(&chart, palette.ink, &outside), 100);
    ck_assert(!outside);
}
END_TEST

START_TEST(test_ladder_chart__empty_has_only_its_named_reads)
{
    const RbLadder ladder = { 0 };
    RbLadderChart chart = rb_ladder_chart(&ladder, NULL);
    const double bare = rb_ladder_height(&chart, 300);
    ck_assert_double_gt(bare, 0);
    chart.reads[1] = "Hitch";
    const double one = rb_ladder_height(&chart, 300);
    ck_assert_double_gt(one, bare);
    chart.size = 20;
    ck_assert_double_eq_tol(rb_ladder_height(&chart, 300), 2 * one, 0.01);
}
END_TEST

TCase *rb_case_ladder_chart(void)
{
    TCase *tcase = rb_case_new("ladder-chart");
    tcase_add_test(tcase, test_ladder_chart__parts_in_reading_order);
    tcase_add_test(tcase, test_ladder_chart__every_part_can_be_found);
    tcase_add_test(tcase, test_ladder_chart__marks_the_break_and_the_choice);
    tcase_add_test(tcase, test_ladder_chart__stays_inside_whatever_the_names);
    tcase_add_test(tcase, test_ladder_chart__empty_has_only_its_named_reads);
    return tcase;
}
