/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/chart-file.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"

#include "ladder-chart-private.h"
#include "pages-private.h"
#include "report-private.h"
#include "table-draw-private.h"

static const double margin = 18.0;
static const double least_width = 540.0;
static const double column_width = 56.0;
static const char *const font = "Sans";

/* A sheet that grows downwards. */
typedef struct {
    RbDrawing *drawing; /* owned */
    double width;       /* inside the margins */
    double y;
} Sheet;

static Sheet sheet_new(const RbReport *report, const char *title, double width)
{
    Sheet sheet = { rb_drawing_new(font), width, margin };
    const RbTextStyle bold = rb_text_style(15.0, true, RB_TOKEN_INK);
    const RbTextStyle second = rb_text_style(9.0, false, RB_TOKEN_MUTED);
    g_autofree char *under = rb_report_subtitle(report);
    sheet.y = rb_drawing_paragraph(sheet.drawing, margin, margin + 14.0, width, 18.0,
                                   &bold, title);
    sheet.y = rb_drawing_paragraph(sheet.drawing, margin, sheet.y - 3.0, width, 12.0,
                                   &second, under);
    return sheet;
}

static void sheet_append(Sheet *sheet, RbDrawing *taken, double height)
{
    rb_drawing_append(sheet->drawing, taken, margin, sheet->y);
    rb_drawing_free(taken);
    sheet->y += height;
}

static void sheet_paragraph(Sheet *sheet, const char *text, const RbTextStyle *style)
{
    sheet->y = rb_drawing_paragraph(sheet->drawing, margin, sheet->y + style->size,
                                    sheet->width, style->size * 1.35, style, text) -
               style->size;
}

static cairo_status_t append_bytes(void *closure, const unsigned char *data,
                                   unsigned length)
{
    g_byte_array_append(closure, data, length);
    return CAIRO_STATUS_SUCCESS;
}

static GByteArray *as_svg(const RbDrawing *ground, const char *title, double width,
                          double height)
{
    const RbPalette palette = rb_palette_printed();
    GString *text = g_string_new("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    rb_drawing_svg(ground, &palette, width, height, title, font, text);
    const gsize length = text->len;
    return g_byte_array_new_take((guint8 *)g_string_free(text, FALSE), length);
}

static GByteArray *as_png(const RbDrawing *ground, double width, double height,
                          int pixels, GError **error)
{
    const RbPalette palette = rb_palette_printed();
    const double scale = CLAMP(pixels, 200, 8000) / width;
    cairo_surface_t *surface = cairo_image_surface_create(
        CAIRO_FORMAT_RGB24, (int)(width * scale), (int)(height * scale));
    cairo_t *cr = cairo_create(surface);
    cairo_scale(cr, scale, scale);
    rb_drawing_paint(ground, cr, &palette, 0.0, 0.0);
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    GByteArray *png = g_byte_array_new();
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_write_to_png_stream(surface, append_bytes, png);
    }
    cairo_surface_destroy(surface);
    if (status != CAIRO_STATUS_SUCCESS) {
        g_byte_array_unref(png);
        rb_error_set(error, RB_REPORT_ERROR, RB_REPORT_ERROR_DRAW,
                     "The chart cannot be drawn: %s. Choose a smaller width.",
                     cairo_status_to_string(status));
        return NULL;
    }
    return png;
}

/* Frees the sheet. */
static GByteArray *finish(Sheet *sheet, const char *title, RbChartFormat format,
                          int pixels, GError **error)
{
    const double width = sheet->width + 2.0 * margin;
    const double height = sheet->y + margin;
    g_autoptr(RbDrawing) ground = rb_drawing_new(font);
    const cairo_rectangle_t paper = { 0.0, 0.0, width, height };
    rb_drawing_rect(ground, &paper, RB_TOKEN_PAPER, 1.0, RB_TOKEN_NONE, 0.0);
    rb_drawing_append(ground, sheet->drawing, 0.0, 0.0);
    rb_drawing_free(sheet->drawing);
    return format == RB_CHART_SVG ? as_svg(ground, title, width, height)
                                  : as_png(ground, width, height, pixels, error);
}

GByteArray *rb_chart_of_ladder(const RbReport *report, const RbReportPairing *looked,
                               RbChartFormat format, int width, GError **error)
{
    const RbTextStyle sentence = rb_text_style(10.5, true, RB_TOKEN_INK);
    const RbTextStyle second = rb_text_style(7.5, false, RB_TOKEN_MUTED);
    g_autofree char *title = rb_report_ladder_title(report, looked);
    Sheet sheet = sheet_new(report, title, least_width);
    if (looked->found != NULL) {
        g_autofree char *text = rb_break_text(looked->found, looked->ladder);
        sheet_paragraph(&sheet, text, &sentence);
        sheet.y += 6.0;
    }
    RbLadderChart chart = rb_report_ladder_chart(looked, 9.0);
    chart.font = font;
    double height = 0.0;
    RbDrawing *ladder = rb_ladder_chart_lay_out(&chart, sheet.width, NULL, &height);
    sheet_append(&sheet, ladder, height + 6.0);
    sheet_paragraph(&sheet, _(rb_cautions()[2]), &second);
    return finish(&sheet, title, format, width, error);
}

GByteArray *rb_chart_of_table(const RbReport *report, RbChartFormat format, int width,
                              GError **error)
{
    const RbPairings *pairings = report->pairings;
    const RbTextStyle second = rb_text_style(7.5, false, RB_TOKEN_MUTED);
    const RbTableBlock block = { 0, pairings->n_coverages + 1, column_width };
    const double wide = rb_table_names_width() + column_width * block.to;
    Sheet sheet = sheet_new(report, report->title, MAX(wide, least_width));
    double height = 0.0;
    if (pairings->n_cells == 0) {
        sheet_paragraph(&sheet, _("No dropbacks with both a concept and a coverage."),
                        &second);
        return finish(&sheet, report->title, format, width, error);
    }
    RbDrawing *head = rb_table_draw_head(report, &block, &height);
    sheet_append(&sheet, head, height);
    for (int row = 0; row <= pairings->n_concepts; row++) {
        RbDrawing *drawing = rb_table_draw_row(report, &block, row, &height);
        sheet_append(&sheet, drawing, height);
    }
    g_autofree char *legend = rb_report_legend(report);
    sheet.y += 6.0;
    sheet_paragraph(&sheet, legend, &second);
    return finish(&sheet, report->title, format, width, error);
}
