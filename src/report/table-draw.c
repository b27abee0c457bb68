/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "boxed-private.h"
#include "pages-private.h"
#include "table-draw-private.h"
#include "table-private.h"

static const double names_width = 92.0;
static const double row_height = 36.0;
static const double head_low = 27.0;  /* room for two lines of a name */
static const double head_high = 58.0; /* room for long names */
static const double least_size = 4.5;

double rb_table_names_width(void)
{
    return names_width;
}

static double edge_of(const RbTableBlock *block)
{
    return names_width + block->column_width * (block->to - block->from);
}

static void draw_rate(RbDrawing *drawing, const RbCellText *text, const RbTally *tally,
                      double x, double width)
{
    RbTextStyle rate = rb_text_style(11.0, true, RB_TOKEN_INK);
    RbTextStyle second = rb_text_style(MIN(6.8, width / 7.4), false, RB_TOKEN_INK);
    const double right = x + width - 4.0;
    const char *points = text->points != NULL ? text->points : "";
    char n[16];
    g_snprintf(n, sizeof n, "n %d", tally->dropbacks);
    RbTextStyle last = second;
    while (last.size > least_size && rb_drawing_measure(drawing, &last, n) +
                                             rb_drawing_measure(drawing, &last, points) +
                                             last.size / 2.0 >
                                         width - 8.0) {
        last.size -= 0.25;
    }
    rb_drawing_text(drawing, x + 4.0, 33.5, &last, n);
    rate.anchor = second.anchor = last.anchor = RB_ANCHOR_END;
    rb_drawing_text(drawing, right, 12.0, &rate, text->rate);
    rb_drawing_text(drawing, right, 26.5, &second, text->interval);
    rb_drawing_text(drawing, right, 33.5, &last, points);
}

static void draw_cell(RbDrawing *drawing, const RbReport *report, int row, int column,
                      double x, double width)
{
    const RbPairings *pairings = report->pairings;
    const RbTally *tally = rb_table_tally(pairings, row, column);
    const bool sums = row == pairings->n_concepts || column == pairings->n_coverages;
    RbCellText text;
    const RbMeasured *figure = rb_table_figure(pairings, report->figures, tally);
    rb_cell_text_init(&text, tally, figure);
    if (text.rate != NULL && text.interval == NULL) {
        RbTextStyle few = rb_text_style(8.5, false, RB_TOKEN_MUTED);
        few.anchor = RB_ANCHOR_END;
        rb_drawing_text(drawing, x + width - 4.0, 13.0, &few, text.rate);
    } else if (text.rate != NULL) {
        double tint = 0.0;
        const RbToken token =
            sums ? RB_TOKEN_NONE : rb_table_tint(tally, figure, &pairings->all, &tint);
        const cairo_rectangle_t box = { x, 0.0, width, row_height };
        rb_drawing_rect(drawing, &box, token, tint, RB_TOKEN_NONE, 0.0);
        draw_rate(drawing, &text, tally, x, width);
        const cairo_rectangle_t line = { x + 5.0, 14.5, width - 10.0, 6.0 };
        rb_table_draw_whisker(drawing, tally, figure, &pairings->all, &line);
    }
    rb_cell_text_clear(&text);
}

RbDrawing *rb_table_draw_row(const RbReport *report, const RbTableBlock *block, int row,
                             double *height)
{
    const RbPairings *pairings = report->pairings;
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle style = rb_text_style(9.0, true, RB_TOKEN_INK);
    const double edge = edge_of(block);
    const cairo_rectangle_t head = { 0.0, 0.0, names_width, row_height };
    rb_drawing_rect(drawing, &head, RB_TOKEN_PANEL, 1.0, RB_TOKEN_NONE, 0.0);
    const RbTextBox box = { { 5.0, 4.0, names_width - 10.0, row_height - 7.0 },
                            least_size,
                            true };
    rb_drawing_boxed(drawing, &box, &style,
                     rb_table_row_name(pairings, &report->names, row));
    for (int column = block->from; column < block->to; column++) {
        draw_cell(drawing, report, row, column,
                  names_width + block->column_width * (column - block->from),
                  block->column_width);
    }
    rb_drawing_line(drawing, 0.0, row_height, edge, row_height, RB_TOKEN_LINE, 0.5);
    if (row == pairings->n_concepts) {
        rb_drawing_line(drawing, 0.0, 0.0, edge, 0.0, RB_TOKEN_MUTED, 0.8);
    }
    *height = row_height;
    return drawing;
}

static RbTextStyle column_style(const RbTableBlock *block)
{
    RbTextStyle style =
        rb_text_style(MIN(8.0, block->column_width / 5.7), true, RB_TOKEN_INK);
    style.anchor = RB_ANCHOR_END;
    return style;
}

/* Two lines are enough for common names; as many as the longest one needs. */
static double head_height(RbDrawing *drawing, const RbReport *report,
                          const RbTableBlock *block)
{
    const RbTextStyle style = column_style(block);
    int lines = 1;
    for (int column = block->from; column < block->to; column++) {
        const char *name = rb_table_column_name(report->pairings, &report->names, column);
        const int own =
            rb_drawing_lines(drawing, &style, block->column_width - 6.0, name);
        lines = MAX(lines, own);
    }
    return CLAMP(lines * style.size * 1.2 + 8.0, head_low, head_high);
}

RbDrawing *rb_table_draw_head(const RbReport *report, const RbTableBlock *block,
                              double *height)
{
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle corner = rb_text_style(8.0, true, RB_TOKEN_INK);
    const RbTextStyle style = column_style(block);
    const double high = head_height(drawing, report, block);
    const cairo_rectangle_t head = { 0.0, 0.0, edge_of(block), high };
    rb_drawing_rect(drawing, &head, RB_TOKEN_PANEL, 1.0, RB_TOKEN_NONE, 0.0);
    rb_drawing_text(drawing, 5.0, high - 6.0, &corner, _("Concept"));
    for (int column = block->from; column < block->to; column++) {
        const double x = names_width + block->column_width * (column - block->from);
        const RbTextBox box = { { x + 2.0, 2.0, block->column_width - 6.0, high - 7.0 },
                                least_size,
                                false };
        rb_drawing_boxed(drawing, &box, &style,
                         rb_table_column_name(report->pairings, &report->names, column));
    }
    *height = high;
    return drawing;
}
