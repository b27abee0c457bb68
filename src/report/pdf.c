/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cairo-pdf.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/report/report.h"

#include "clean-private.h"
#include "ladder-chart-private.h"
#include "report-private.h"
#include "table-private.h"

/* Letter paper in points, and what stands where on it. */
static const double page_width = 612.0;
static const double page_height = 792.0;
static const double margin = 36.0;
static const double foot_room = 22.0;
static const double names_width = 92.0;
static const double row_height = 36.0;
static const double head_height = 27.0;

/* Of one block of the table; with fewer the page is not filled. */
enum { COLUMNS_MIN = 6, COLUMNS_MAX = 10 };

/* A drawing at its place on a page. */
typedef struct {
    RbDrawing *drawing; /* owned */
    double y;
} Placed;

typedef struct {
    const RbReport *report;
    GPtrArray *pages; /* owned, of GArray of Placed */
    double y;
} Pages;

static double inner_width(void)
{
    return page_width - 2.0 * margin;
}

static void placed_clear(void *data)
{
    Placed *placed = data;
    rb_drawing_free(placed->drawing);
}

static void start_page(Pages *pages)
{
    GArray *page = g_array_new(FALSE, FALSE, sizeof(Placed));
    g_array_set_clear_func(page, placed_clear);
    g_ptr_array_add(pages->pages, page);
    pages->y = margin;
}

/* Puts a drawing of `height` under what is there, on a new page when it does not fit. */
static void place(Pages *pages, RbDrawing *taken, double height)
{
    if (pages->y > margin && pages->y + height > page_height - margin - foot_room) {
        start_page(pages);
    }
    const Placed placed = { taken, pages->y };
    GArray *page = pages->pages->pdata[pages->pages->len - 1];
    g_array_append_val(page, placed);
    pages->y += height;
}

static RbTextStyle text_style(double size, bool bold, RbToken token)
{
    return (RbTextStyle){ .size = size, .bold = bold, .token = token };
}

static void place_title(Pages *pages)
{
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle title = text_style(17.0, true, RB_TOKEN_INK);
    const RbTextStyle second = text_style(9.0, false, RB_TOKEN_MUTED);
    g_autofree char *under = rb_report_subtitle(pages->report);
    double y = rb_drawing_paragraph(drawing, 0.0, 16.0, inner_width(), 20.0, &title,
                                    pages->report->title);
    y = rb_drawing_paragraph(drawing, 0.0, y - 4.0, inner_width(), 12.0, &second, under);
    rb_drawing_line(drawing, 0.0, y - 5.0, inner_width(), y - 5.0, RB_TOKEN_INK, 1.2);
    place(pages, drawing, y + 6.0);
}

static void place_head(Pages *pages, const char *text)
{
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle style = text_style(12.0, true, RB_TOKEN_INK);
    g_autofree char *fitted = rb_drawing_fit(drawing, &style, text, inner_width());
    rb_drawing_text(drawing, 0.0, 14.0, &style, fitted);
    place(pages, drawing, 20.0);
}

/* A paragraph in its own drawing; after: space below. */
static void place_paragraph(Pages *pages, const char *text, const RbTextStyle *style,
                            double after)
{
    RbDrawing *drawing = rb_drawing_new(NULL);
    const double leading = style->size * 1.35;
    const double y = rb_drawing_paragraph(drawing, 0.0, style->size, inner_width(),
                                          leading, style, text);
    place(pages, drawing, y - style->size + after);
}

/* One block of columns: `from` up to, not including, `to`. */
typedef struct {
    int from;
    int to;
    double column_width;
} Block;

static void draw_cell(RbDrawing *drawing, const RbPairings *pairings, int row, int column,
                      double x, double width)
{
    const RbTally *tally = rb_table_tally(pairings, row, column);
    const bool sums = row == pairings->n_concepts || column == pairings->n_coverages;
    RbCellText text;
    rb_cell_text_init(&text, tally);
    RbTextStyle rate = text_style(11.0, true, RB_TOKEN_INK);
    RbTextStyle second = text_style(MIN(6.8, width / 7.4), false, RB_TOKEN_INK);
    rate.anchor = RB_ANCHOR_END;
    second.anchor = RB_ANCHOR_END;
    const double right = x + width - 4.0;
    if (text.rate != NULL && text.interval == NULL) {
        RbTextStyle few = text_style(8.5, false, RB_TOKEN_MUTED);
        few.anchor = RB_ANCHOR_END;
        rb_drawing_text(drawing, right, 13.0, &few, text.rate);
    } else if (text.rate != NULL) {
        double tint = 0.0;
        const RbToken token =
            sums ? RB_TOKEN_NONE : rb_table_tint(tally, &pairings->all, &tint);
        const cairo_rectangle_t box = { x, 0.0, width, row_height };
        rb_drawing_rect(drawing, &box, token, tint, RB_TOKEN_NONE, 0.0);
        const RbTextStyle left = text_style(second.size, false, RB_TOKEN_INK);
        char n[16];
        g_snprintf(n, sizeof n, "n %d", tally->dropbacks);
        rb_drawing_text(drawing, x + 4.0, 33.5, &left, n);
        rb_drawing_text(drawing, right, 12.0, &rate, text.rate);
        rb_table_draw_whisker(drawing, tally, &pairings->all, x + 5.0, 14.5, width - 10.0,
                              6.0);
        rb_drawing_text(drawing, right, 26.5, &second, text.interval);
        rb_drawing_text(drawing, right, 33.5, &second,
                        text.points != NULL ? text.points : "");
    }
    rb_cell_text_clear(&text);
}

static void place_row(Pages *pages, const Block *block, int row)
{
    const RbReport *report = pages->report;
    const RbPairings *pairings = report->pairings;
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle style = text_style(9.0, true, RB_TOKEN_INK);
    const double edge = names_width + block->column_width * (block->to - block->from);
    const cairo_rectangle_t head = { 0.0, 0.0, names_width, row_height };
    rb_drawing_rect(drawing, &head, RB_TOKEN_PANEL, 1.0, RB_TOKEN_NONE, 0.0);
    g_autofree char *name =
        rb_drawing_fit(drawing, &style, rb_table_row_name(pairings, &report->names, row),
                       names_width - 10.0);
    rb_drawing_text(drawing, 5.0, 13.0, &style, name);
    for (int column = block->from; column < block->to; column++) {
        draw_cell(drawing, pairings, row, column,
                  names_width + block->column_width * (column - block->from),
                  block->column_width);
    }
    rb_drawing_line(drawing, 0.0, row_height, edge, row_height, RB_TOKEN_LINE, 0.5);
    if (row == pairings->n_concepts) {
        rb_drawing_line(drawing, 0.0, 0.0, edge, 0.0, RB_TOKEN_MUTED, 0.8);
    }
    place(pages, drawing, row_height);
}

/* On one line if it fits, else on two, the second cut if it must be. */
static void draw_column_name(RbDrawing *drawing, const char *name, double right,
                             double width)
{
    RbTextStyle style = text_style(MIN(8.0, width / 5.7), true, RB_TOKEN_INK);
    style.anchor = RB_ANCHOR_END;
    g_autofree char *clean = rb_text_clean(name);
    char *space = strrchr(clean, ' ');
    if (space != NULL && rb_drawing_measure(drawing, &style, clean) > width) {
        *space = '\0';
        g_autofree char *first = rb_drawing_fit(drawing, &style, clean, width);
        rb_drawing_text(drawing, right, 11.0, &style, first);
        name = space + 1;
    } else {
        name = clean;
    }
    g_autofree char *last = rb_drawing_fit(drawing, &style, name, width);
    rb_drawing_text(drawing, right, 21.0, &style, last);
}

static void place_columns(Pages *pages, const Block *block)
{
    const RbReport *report = pages->report;
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle style = text_style(8.0, true, RB_TOKEN_INK);
    const double edge = names_width + block->column_width * (block->to - block->from);
    const cairo_rectangle_t head = { 0.0, 0.0, edge, head_height };
    rb_drawing_rect(drawing, &head, RB_TOKEN_PANEL, 1.0, RB_TOKEN_NONE, 0.0);
    rb_drawing_text(drawing, 5.0, 21.0, &style, "Concept");
    for (int column = block->from; column < block->to; column++) {
        draw_column_name(
            drawing, rb_table_column_name(report->pairings, &report->names, column),
            names_width + block->column_width * (column - block->from + 1) - 4.0,
            block->column_width - 5.0);
    }
    place(pages, drawing, head_height);
}

static void place_block(Pages *pages, const Block *block)
{
    place_columns(pages, block);
    guint page = pages->pages->len;
    for (int row = 0; row <= pages->report->pairings->n_concepts; row++) {
        if (pages->y + row_height > page_height - margin - foot_room) {
            start_page(pages);
        }
        if (pages->pages->len != page) {
            place_columns(pages, block); /* the table goes on: its head again */
            page = pages->pages->len;
        }
        place_row(pages, block, row);
    }
    pages->y += 8.0;
}

static void place_table(Pages *pages)
{
    const RbPairings *pairings = pages->report->pairings;
    const RbTextStyle second = text_style(7.5, false, RB_TOKEN_MUTED);
    place_head(pages, "Concept against coverage");
    if (pairings->n_cells == 0) {
        place_paragraph(pages, "No dropbacks with both a concept and a coverage.",
                        &second, 8.0);
        return;
    }
    const int columns = pairings->n_coverages + 1;
    const int blocks = (columns + COLUMNS_MAX - 1) / COLUMNS_MAX;
    const int each = (columns + blocks - 1) / blocks;
    for (int from = 0; from < columns; from += each) {
        const Block block = { from, MIN(from + each, columns),
                              (inner_width() - names_width) / MAX(each, COLUMNS_MIN) };
        place_block(pages, &block);
    }
    g_autofree char *legend = rb_report_legend(pages->report);
    place_paragraph(pages, legend, &second, 10.0);
}

/* Head, sentence, chart and snaps of one pairing stay together. */
static void place_ladder(Pages *pages, const RbReportPairing *pairing)
{
    const RbTextStyle sentence_style = text_style(9.5, true, RB_TOKEN_INK);
    const RbTextStyle second = text_style(8.0, false, RB_TOKEN_MUTED);
    const RbLadderChart chart = rb_report_ladder_chart(pairing, 8.5);
    double height = 0.0;
    RbDrawing *drawing = rb_ladder_chart_lay_out(&chart, inner_width(), NULL, &height);
    const double around = 20.0 + 30.0 + (pairing->snaps != NULL ? 24.0 : 0.0);
    if (pages->y + height + around > page_height - margin - foot_room &&
        pages->y > margin) {
        start_page(pages);
    }
    g_autofree char *title = rb_report_ladder_title(pages->report, pairing);
    place_head(pages, title);
    if (pairing->found != NULL) {
        g_autofree char *sentence = rb_break_text(pairing->found, pairing->ladder);
        place_paragraph(pages, sentence, &sentence_style, 4.0);
    }
    place(pages, drawing, height);
    if (pairing->snaps != NULL) {
        place_paragraph(pages, pairing->snaps, &second, 6.0);
    }
    pages->y += 6.0;
}

static void place_notes(Pages *pages)
{
    const RbTextStyle second = text_style(7.0, false, RB_TOKEN_MUTED);
    g_autoptr(GPtrArray) notes = rb_report_notes(pages->report);
    RbDrawing *drawing = rb_drawing_new(NULL);
    double y = 12.0;
    rb_drawing_line(drawing, 0.0, 0.0, inner_width(), 0.0, RB_TOKEN_LINE, 0.5);
    for (guint i = 0; i < notes->len; i++) {
        y = rb_drawing_paragraph(drawing, 0.0, y, inner_width(), 9.0, &second,
                                 notes->pdata[i]);
    }
    place(pages, drawing, y);
}

static void paint_page(const Pages *pages, guint index, cairo_t *cr)
{
    const RbPalette palette = rb_palette_light();
    RbPalette printed = palette;
    printed.paper = (RbColour){ 1.0, 1.0, 1.0 }; /* the sheet is the ground */
    const GArray *page = pages->pages->pdata[index];
    for (guint i = 0; i < page->len; i++) {
        const Placed *placed = &g_array_index(page, Placed, i);
        rb_drawing_paint(placed->drawing, cr, &printed, margin, placed->y);
    }
    g_autoptr(RbDrawing) foot = rb_drawing_new(NULL);
    RbTextStyle style = text_style(7.5, false, RB_TOKEN_MUTED);
    g_autofree char *title =
        rb_drawing_fit(foot, &style, pages->report->title, inner_width() * 0.7);
    rb_drawing_text(foot, 0.0, 0.0, &style, title);
    style.anchor = RB_ANCHOR_END;
    g_autofree char *number =
        g_strdup_printf("Page %u of %u", index + 1, pages->pages->len);
    rb_drawing_text(foot, inner_width(), 0.0, &style, number);
    rb_drawing_paint(foot, cr, &printed, margin, page_height - margin + 6.0);
    cairo_show_page(cr);
}

static cairo_status_t append_bytes(void *closure, const unsigned char *data,
                                   unsigned length)
{
    g_byte_array_append(closure, data, length);
    return CAIRO_STATUS_SUCCESS;
}

static void page_free(void *page)
{
    g_array_unref(page);
}

static cairo_status_t paint_pages(const Pages *pages, GByteArray *pdf)
{
    cairo_surface_t *surface =
        cairo_pdf_surface_create_for_stream(append_bytes, pdf, page_width, page_height);
    g_autofree char *title = rb_text_clean(pages->report->title);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, title);
    /* Without a time of its own the same report gives the same bytes. */
    g_autofree char *made_on = rb_text_clean(pages->report->made_on);
    cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATE_DATE, made_on);
    cairo_t *cr = cairo_create(surface);
    for (guint i = 0; i < pages->pages->len; i++) {
        paint_page(pages, i, cr);
    }
    cairo_status_t status = cairo_status(cr);
    cairo_destroy(cr);
    cairo_surface_finish(surface);
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_status(surface);
    }
    cairo_surface_destroy(surface);
    return status;
}

GByteArray *rb_report_pdf(const RbReport *report, GError **error)
{
    Pages pages = { .report = report,
                    .pages = g_ptr_array_new_with_free_func(page_free) };
    start_page(&pages);
    place_title(&pages);
    place_table(&pages);
    for (int i = 0; i < report->n_ladders; i++) {
        place_ladder(&pages, &report->ladders[i]);
    }
    place_notes(&pages);
    g_autoptr(GByteArray) pdf = g_byte_array_new();
    const cairo_status_t status = paint_pages(&pages, pdf);
    g_ptr_array_unref(pages.pages);
    if (status != CAIRO_STATUS_SUCCESS) {
        rb_error_set(error, RB_REPORT_ERROR, RB_REPORT_ERROR_DRAW,
                     "The report cannot be drawn: %s. Try fewer ladders.",
                     cairo_status_to_string(status));
        return NULL;
    }
    return g_steal_pointer(&pdf);
}
