/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/ladder-chart.h"

#include <glib/gi18n-lib.h>

#include "ladder-chart-private.h"
#include "words-private.h"

/* Success first, then the chain of reasons in the order in which they can arise. */
static const RbStage stage_order[RB_STAGES] = {
    RB_STAGE_SUCCESS, RB_STAGE_BEFORE_SNAP, RB_STAGE_TIPPED,     RB_STAGE_PROTECTION,
    RB_STAGE_EYES,    RB_STAGE_COVERED,     RB_STAGE_CLOCK,      RB_STAGE_THROW,
    RB_STAGE_CATCH,   RB_STAGE_AFTER,       RB_STAGE_NOT_JUDGED,
};

/* How a stage is drawn: told apart in print without colour. */
static const struct {
    RbHatch hatch;
    double tint; /* of muted ink under the hatch */
} stage_looks[RB_STAGES] = {
    [RB_STAGE_NOT_JUDGED] = { RB_HATCH_NONE, 0.0 },
    [RB_STAGE_SUCCESS] = { RB_HATCH_NONE, 1.0 },
    [RB_STAGE_BEFORE_SNAP] = { RB_HATCH_UPRIGHT, 0.0 },
    [RB_STAGE_TIPPED] = { RB_HATCH_DOTS, 0.3 },
    [RB_STAGE_PROTECTION] = { RB_HATCH_CROSS, 0.0 },
    [RB_STAGE_EYES] = { RB_HATCH_SLANT, 0.0 },
    [RB_STAGE_COVERED] = { RB_HATCH_GRID, 0.0 },
    [RB_STAGE_CLOCK] = { RB_HATCH_ACROSS, 0.0 },
    [RB_STAGE_THROW] = { RB_HATCH_BACKSLANT, 0.0 },
    [RB_STAGE_CATCH] = { RB_HATCH_DOTS, 0.0 },
    [RB_STAGE_AFTER] = { RB_HATCH_NONE, 0.45 },
};

enum { DROPBACK_MAX = 4 }; /* widest bar of one dropback, in sizes of the text */

/* Everything one layout needs; lengths in user units. */
typedef struct {
    const RbLadderChart *chart;
    RbDrawing *drawing;
    GArray *boxes; /* nullable, of RbLadderBox */
    double size;
    double names_width; /* left column */
    double bars_x;
    double bars_width;
    double right; /* edge of the points column */
    double per_dropback;
    double y;
} Layout;

RbLadderChart rb_ladder_chart(const RbLadder *ladder, const RbBreak *found)
{
    return (RbLadderChart){ .ladder = ladder, .found = found, .chosen_read = RB_NO_PART };
}

static RbLadderCell rung_sum(const RbLadder *ladder, int read)
{
    RbLadderCell sum = { 0 };
    for (int stage = 0; stage < RB_STAGES; stage++) {
        const RbLadderCell *cell = &ladder->cells[read][stage];
        sum.dropbacks += cell->dropbacks;
        sum.pointed += cell->pointed;
        sum.points += cell->points;
    }
    return sum;
}

/* Named reads have a rung even when nothing ended there. */
static bool has_rung(const RbLadderChart *chart, int read)
{
    return rung_sum(chart->ladder, read).dropbacks > 0 ||
           (read > 0 && chart->reads[read] != NULL);
}

int rb_ladder_parts(const RbLadder *ladder, RbLadderPart *parts, int max)
{
    int n = 0;
    for (int rung = 1; rung <= RB_READS_MAX + 1; rung++) {
        const int read = rung % (RB_READS_MAX + 1); /* without a read: last */
        for (int i = 0; i < RB_STAGES; i++) {
            if (ladder->cells[read][stage_order[i]].dropbacks == 0) {
                continue;
            }
            if (n < max) {
                parts[n] = (RbLadderPart){ read, stage_order[i] };
            }
            n++;
        }
    }
    return n;
}

static RbTextStyle text_style(const Layout *layout, double scale, bool bold,
                              RbToken token)
{
    return (RbTextStyle){ .size = layout->size * scale, .bold = bold, .token = token };
}

static bool is_break(const Layout *layout, int read, RbStage stage)
{
    const RbBreak *found = layout->chart->found;
    return rb_break_is_shown(found) && found->read == read && found->stage == stage;
}

static bool is_chosen(const Layout *layout, int read, RbStage stage)
{
    return layout->chart->chosen_read == read && layout->chart->chosen_stage == stage;
}

void rb_stage_patch(RbDrawing *drawing, const cairo_rectangle_t *bar, RbStage stage,
                    const RbStageInk *ink)
{
    const double hairline = ink->size * 0.08;
    RbToken token = ink->broken ? RB_TOKEN_BELOW : RB_TOKEN_MUTED;
    if (stage == RB_STAGE_SUCCESS) {
        token = RB_TOKEN_ABOVE;
    }
    const double tint = MAX(stage_looks[stage].tint, ink->broken ? 0.15 : 0.0);
    rb_drawing_rect(drawing, bar, token, tint, RB_TOKEN_NONE, 0.0);
    rb_drawing_hatch(drawing, bar, stage_looks[stage].hatch, ink->size * 0.4, token,
                     hairline);
    rb_drawing_rect(drawing, bar, RB_TOKEN_NONE, 0.0,
                    ink->chosen ? RB_TOKEN_ACCENT : token,
                    hairline * (ink->chosen ? 2.5 : 1.0));
}

static void draw_bar(const Layout *layout, const cairo_rectangle_t *bar, int read,
                     RbStage stage)
{
    const RbStageInk ink = { .size = layout->size,
                             .broken = is_break(layout, read, stage),
                             .chosen = is_chosen(layout, read, stage) };
    rb_stage_patch(layout->drawing, bar, stage, &ink);
}

/* "eyes 6, −4.1": the stage, how many, their points when they have any. */
static char *label_text(const Layout *layout, int read, RbStage stage)
{
    const RbLadderCell *cell = &layout->chart->ladder->cells[read][stage];
    const bool broken = is_break(layout, read, stage);
    const char *mark = broken ? rb_break_mark(layout->chart->found) : "";
    const char *gap = broken ? ": " : "";
    if (cell->pointed == 0) {
        return g_strdup_printf("%s %d%s%s", rb_stage_phrase(stage), cell->dropbacks, gap,
                               mark);
    }
    g_autofree char *points = rb_points_text(cell->points, 1);
    return g_strdup_printf("%s %d, %s%s%s", rb_stage_phrase(stage), cell->dropbacks,
                           points, gap, mark);
}

/* Labels flow under the bar: each starts under its part if there is room, else after the one
 * before, else on a new line. at: (inout). Returns the label's box. */
static cairo_rectangle_t draw_label(Layout *layout, int read, RbStage stage, double bar_x,
                                    double *at)
{
    const double size = layout->size;
    const double swatch = size * 0.7;
    const bool broken = is_break(layout, read, stage);
    const RbTextStyle style =
        text_style(layout, 0.9, broken, broken ? RB_TOKEN_BELOW : RB_TOKEN_INK);
    g_autofree char *whole = label_text(layout, read, stage);
    /* Below the bar there are no points: a label may use their column too. */
    const double edge = layout->right;
    const double room = edge - layout->bars_x - swatch - size * 0.4;
    g_autofree char *text = rb_drawing_fit(layout->drawing, &style, whole, room);
    const double width =
        swatch + size * 0.4 + rb_drawing_measure(layout->drawing, &style, text);
    double x = MAX(bar_x, *at);
    if (x + width > edge) {
        x = MAX(*at, edge - width); /* rather left of its part than on a new line */
    }
    if (x + width > edge + 0.01) {
        x = layout->bars_x;
        layout->y += size * 1.3;
    }
    const cairo_rectangle_t patch = { x, layout->y + size * 0.25, swatch, swatch };
    draw_bar(layout, &patch, read, stage);
    rb_drawing_text(layout->drawing, x + swatch + size * 0.4, layout->y + size * 0.92,
                    &style, text);
    *at = x + width + size;
    return (cairo_rectangle_t){ x, layout->y, width, size * 1.3 };
}

static void draw_rung_name(Layout *layout, int read, double middle)
{
    const double size = layout->size;
    RbTextStyle style = text_style(layout, 0.9, true, RB_TOKEN_INK);
    style.anchor = RB_ANCHOR_MIDDLE;
    const double x = size * 0.85;
    double name_x = 0.0;
    const char *name = _("No read");
    if (read > 0) {
        char digits[16];
        g_snprintf(digits, sizeof digits, "%d", read);
        rb_drawing_disc(layout->drawing, x, middle, size * 0.8, RB_TOKEN_NONE,
                        RB_TOKEN_INK, size * 0.08);
        rb_drawing_text(layout->drawing, x, middle + size * 0.33, &style, digits);
        name_x = size * 2.1;
        name = layout->chart->reads[read];
    }
    if (name == NULL) {
        return;
    }
    style = text_style(layout, 1.0, false, RB_TOKEN_INK);
    g_autofree char *fitted = rb_drawing_fit(layout->drawing, &style, name,
                                             layout->names_width - name_x - size * 0.6);
    rb_drawing_text(layout->drawing, name_x, middle + size * 0.36, &style, fitted);
}

static void draw_rung_points(Layout *layout, const RbLadderCell *sum, double middle)
{
    if (sum->pointed == 0) {
        return;
    }
    RbTextStyle style = text_style(layout, 1.0, true, RB_TOKEN_INK);
    style.anchor = RB_ANCHOR_END;
    g_autofree char *points = rb_points_text(sum->points, 1);
    rb_drawing_text(layout->drawing, layout->right, middle + layout->size * 0.36, &style,
                    points);
}

/* The bars of one rung, and where each is. */
static int draw_bars(Layout *layout, int read, RbLadderBox boxes[RB_STAGES])
{
    int n = 0;
    double x = layout->bars_x;
    for (int i = 0; i < RB_STAGES; i++) {
        const RbStage stage = stage_order[i];
        const int dropbacks = layout->chart->ladder->cells[read][stage].dropbacks;
        if (dropbacks == 0) {
            continue;
        }
        const cairo_rectangle_t bar = { x, layout->y, dropbacks * layout->per_dropback,
                                        layout->size * 1.5 };
        draw_bar(layout, &bar, read, stage);
        if (is_break(layout, read, stage)) {
            rb_drawing_pointer(layout->drawing, x + bar.width / 2.0,
                               layout->y - layout->size * 0.15, layout->size * 0.6,
                               RB_TOKEN_BELOW);
        }
        boxes[n++] = (RbLadderBox){ .part = { read, stage }, .bar = bar };
        x += bar.width;
    }
    return n;
}

static void draw_rung(Layout *layout, int read)
{
    const double size = layout->size;
    const RbLadderCell sum = rung_sum(layout->chart->ladder, read);
    const double middle = layout->y + size * 0.75;
    RbLadderBox boxes[RB_STAGES] = { 0 };
    draw_rung_name(layout, read, middle);
    draw_rung_points(layout, &sum, middle);
    const int n = draw_bars(layout, read, boxes);
    if (n == 0) {
        const RbTextStyle style = text_style(layout, 0.9, false, RB_TOKEN_MUTED);
        rb_drawing_text(layout->drawing, layout->bars_x, middle + size * 0.36, &style,
                        _("none ended here"));
        layout->y += size * 2.4;
        return;
    }
    layout->y += size * 1.7;
    double at = layout->bars_x;
    for (int i = 0; i < n; i++) {
        boxes[i].label =
            draw_label(layout, read, boxes[i].part.stage, boxes[i].bar.x, &at);
    }
    layout->y += size * 2.2;
    if (layout->boxes != NULL) {
        g_array_append_vals(layout->boxes, boxes, (guint)n);
    }
}

static void draw_head(Layout *layout)
{
    RbTextStyle style = text_style(layout, 0.9, false, RB_TOKEN_MUTED);
    const RbLadder *ladder = layout->chart->ladder;
    g_autofree char *count = rb_dropbacks_text(ladder->dropbacks);
    rb_drawing_text(layout->drawing, layout->bars_x, layout->y + layout->size, &style,
                    count);
    if (ladder->pointed > 0) {
        style.anchor = RB_ANCHOR_END;
        rb_drawing_text(layout->drawing, layout->right, layout->y + layout->size, &style,
                        _("points"));
    }
    layout->y += layout->size * 2.0;
}

/* The names take what they need, up to a third of the width. */
static double names_width(Layout *layout, double width)
{
    const RbTextStyle style = text_style(layout, 1.0, false, RB_TOKEN_INK);
    double widest = 0.0;
    for (int read = 1; read <= RB_READS_MAX; read++) {
        if (has_rung(layout->chart, read) && layout->chart->reads[read] != NULL) {
            widest = MAX(widest, rb_drawing_measure(layout->drawing, &style,
                                                    layout->chart->reads[read]) +
                                     layout->size * 2.1);
        }
    }
    if (has_rung(layout->chart, 0)) {
        widest = MAX(widest, rb_drawing_measure(layout->drawing, &style, _("No read")));
    }
    return CLAMP(widest + layout->size, layout->size * 3.0,
                 MAX(width / 3.0, layout->size * 3.0));
}

RbDrawing *rb_ladder_chart_lay_out(const RbLadderChart *chart, double width,
                                   GArray *boxes, double *height)
{
    Layout layout = { .chart = chart,
                      .drawing = rb_drawing_new(chart->font),
                      .boxes = boxes,
                      .size = chart->size > 0.0 ? chart->size : 10.0,
                      .right = width };
    const RbTextStyle figures = text_style(&layout, 1.0, true, RB_TOKEN_INK);
    const double points_width =
        rb_drawing_measure(layout.drawing, &figures, "\u221288.8") + layout.size * 1.2;
    layout.names_width = names_width(&layout, width);
    layout.bars_x = layout.names_width;
    layout.bars_width = MAX(width - layout.names_width - points_width, layout.size * 2.0);
    int most = 1;
    for (int read = 0; read <= RB_READS_MAX; read++) {
        most = MAX(most, rung_sum(chart->ladder, read).dropbacks);
    }
    /* Five dropbacks must not look as broad as fifty. */
    layout.per_dropback = MIN(layout.bars_width / most, layout.size * DROPBACK_MAX);
    draw_head(&layout);
    for (int rung = 1; rung <= RB_READS_MAX + 1; rung++) {
        const int read = rung % (RB_READS_MAX + 1);
        if (has_rung(chart, read)) {
            draw_rung(&layout, read);
        }
    }
    *height = layout.y;
    return layout.drawing;
}

double rb_ladder_height(const RbLadderChart *chart, double width)
{
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = rb_ladder_chart_lay_out(chart, width, NULL, &height);
    return height;
}

double rb_ladder_draw(cairo_t *cr, const RbLadderChart *chart, const RbPalette *palette,
                      double x, double y, double width)
{
    double height = 0.0;
    g_autoptr(RbDrawing) drawing = rb_ladder_chart_lay_out(chart, width, NULL, &height);
    rb_drawing_paint(drawing, cr, palette, x, y);
    return height;
}

static bool is_inside(const cairo_rectangle_t *box, double x, double y)
{
    return x >= box->x && x < box->x + box->width && y >= box->y &&
           y < box->y + box->height;
}

bool rb_ladder_find(const RbLadderChart *chart, double width, double x, double y,
                    int *read, RbStage *stage)
{
    double height = 0.0;
    g_autoptr(GArray) boxes = g_array_new(FALSE, FALSE, sizeof(RbLadderBox));
    g_autoptr(RbDrawing) drawing = rb_ladder_chart_lay_out(chart, width, boxes, &height);
    for (guint i = 0; i < boxes->len; i++) {
        const RbLadderBox *box = &g_array_index(boxes, RbLadderBox, i);
        if (is_inside(&box->bar, x, y) || is_inside(&box->label, x, y)) {
            *read = box->part.read;
            *stage = box->part.stage;
            return true;
        }
    }
    return false;
}
