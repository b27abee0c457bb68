/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/report/mirror-chart.h"

#include "rb/report/ladder-chart.h"

#include "ladder-chart-private.h"
#include "mirror-chart-private.h"
#include "words-private.h"

/* Lengths in user units. */
typedef struct {
    const RbMirrorChart *chart;
    RbDrawing *drawing;
    double size;
    double width;
    double spine;   /* half the width of the middle column */
    double numbers; /* room for a number beyond the longest bar */
    double longest; /* share that the longest bar stands for */
    double y;
} Layout;

static RbTextStyle style_of(const Layout *layout, double scale, bool bold, RbToken token,
                            RbAnchor anchor)
{
    return (RbTextStyle){
        .size = layout->size * scale, .bold = bold, .token = token, .anchor = anchor
    };
}

static double share_of(const RbLadder *ladder, const RbLadderPart *part)
{
    const int n = ladder->cells[part->read][part->stage].dropbacks;
    return ladder->dropbacks > 0 ? (double)n / ladder->dropbacks : 0.0;
}

/* One side's bar and number. way: -1 to the left, 1 to the right. */
static void draw_side(const Layout *layout, const RbLadder *ladder,
                      const RbLadderPart *part, int way)
{
    const double size = layout->size;
    const int n = ladder->cells[part->read][part->stage].dropbacks;
    const double share = share_of(ladder, part);
    const double from = layout->width / 2.0 + way * layout->spine;
    const double room = layout->width / 2.0 - layout->spine - layout->numbers;
    const double length = layout->longest > 0.0 ? room * share / layout->longest : 0.0;
    if (n == 0) {
        return;
    }
    const cairo_rectangle_t bar = { way > 0 ? from : from - length, layout->y, length,
                                    size * 1.1 };
    rb_stage_patch(layout->drawing, &bar, part->stage, &(RbStageInk){ .size = size });
    const RbTextStyle style = style_of(layout, 0.9, false, RB_TOKEN_INK,
                                       way > 0 ? RB_ANCHOR_START : RB_ANCHOR_END);
    g_autofree char *number = g_strdup_printf("%d (%.0f\u00a0%%)", n, 100.0 * share);
    rb_drawing_text(layout->drawing, from + way * (length + size * 0.4),
                    layout->y + size * 0.9, &style, number);
}

static void draw_line(Layout *layout, const RbLadderPart *part)
{
    const RbTextStyle style =
        style_of(layout, 0.9, false, RB_TOKEN_INK, RB_ANCHOR_MIDDLE);
    g_autofree char *name = part->read > 0 ? g_strdup_printf("%d %s", part->read,
                                                             rb_stage_phrase(part->stage))
                                           : g_strdup(rb_stage_phrase(part->stage));
    g_autofree char *fitted = rb_drawing_fit(layout->drawing, &style, name,
                                             2.0 * layout->spine - layout->size * 0.6);
    rb_drawing_text(layout->drawing, layout->width / 2.0, layout->y + layout->size * 0.9,
                    &style, fitted);
    draw_side(layout, layout->chart->first, part, -1);
    draw_side(layout, layout->chart->second, part, 1);
    layout->y += layout->size * 1.5;
}

static void draw_name(const Layout *layout, const char *name, int dropbacks, int way)
{
    const RbTextStyle style = style_of(layout, 1.0, true, RB_TOKEN_INK,
                                       way > 0 ? RB_ANCHOR_START : RB_ANCHOR_END);
    g_autofree char *text = g_strdup_printf("%s, %d", name, dropbacks);
    g_autofree char *fitted =
        rb_drawing_fit(layout->drawing, &style, text,
                       layout->width / 2.0 - layout->spine - layout->size * 0.2);
    rb_drawing_text(layout->drawing, layout->width / 2.0 + way * layout->spine,
                    layout->y + layout->size, &style, fitted);
}

int rb_mirror_parts(const RbMirrorChart *chart, RbLadderPart parts[RB_MIRROR_PARTS_MAX])
{
    RbLadder both = { 0 };
    for (int read = 0; read <= RB_READS_MAX; read++) {
        for (int stage = 0; stage < RB_STAGES; stage++) {
            both.cells[read][stage].dropbacks =
                chart->first->cells[read][stage].dropbacks +
                chart->second->cells[read][stage].dropbacks;
        }
    }
    return rb_ladder_parts(&both, parts, RB_MIRROR_PARTS_MAX);
}

/* The longest share, and where the columns end. */
static void measure(Layout *layout, const RbLadderPart *parts, int n)
{
    const RbTextStyle style = style_of(layout, 0.9, false, RB_TOKEN_INK, RB_ANCHOR_START);
    double widest = 0.0;
    for (int i = 0; i < n; i++) {
        g_autofree char *name = g_strdup_printf("8 %s", rb_stage_phrase(parts[i].stage));
        widest = MAX(widest, rb_drawing_measure(layout->drawing, &style, name));
        layout->longest = MAX(layout->longest, share_of(layout->chart->first, &parts[i]));
        layout->longest =
            MAX(layout->longest, share_of(layout->chart->second, &parts[i]));
    }
    layout->spine = MIN(widest / 2.0 + layout->size, layout->width / 4.0);
    layout->numbers =
        MIN(rb_drawing_measure(layout->drawing, &style, "8888 (100\u00a0%)") +
                layout->size * 0.6,
            layout->width / 8.0);
}

static RbDrawing *lay_out(const RbMirrorChart *chart, double width, double *height)
{
    RbLadderPart parts[RB_MIRROR_PARTS_MAX];
    const int n = rb_mirror_parts(chart, parts);
    Layout layout = { .chart = chart,
                      .drawing = rb_drawing_new(chart->font),
                      .size = chart->size > 0.0 ? chart->size : 10.0,
                      .width = width };
    measure(&layout, parts, n);
    draw_name(&layout, chart->first_name, chart->first->dropbacks, -1);
    draw_name(&layout, chart->second_name, chart->second->dropbacks, 1);
    layout.y += layout.size * 1.8;
    int read = n > 0 ? parts[0].read : 0;
    for (int i = 0; i < n; i++) {
        if (parts[i].read != read) {
            read = parts[i].read;
            rb_drawing_line(layout.drawing, 0.0, layout.y, width, layout.y, RB_TOKEN_LINE,
                            layout.size * 0.08);
            layout.y += layout.size * 0.4;
        }
        draw_line(&layout, &parts[i]);
    }
    *height = layout.y;
    return layout.drawing;
}

double rb_mirror_height(const RbMirrorChart *chart, double width)
{
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = lay_out(chart, width, &height);
    return height;
}

double rb_mirror_draw(cairo_t *cr, const RbMirrorChart *chart, const RbPalette *palette,
                      double x, double y, double width)
{
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = lay_out(chart, width, &height);
    rb_drawing_paint(drawing, cr, palette, x, y);
    return height;
}
