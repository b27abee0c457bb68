/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/call-sheet.h"

#include <glib/gi18n-lib.h>

#include "boxed-private.h"
#include "pages-private.h"
#include "table-private.h"

enum { COLUMNS_MAX = 6 };
static const double names_width = 82.0;
static const double head_height = 26.0;
static const double row_height = 49.0; /* nine situations fit a page */
static const double pick_height = 13.0;

typedef struct {
    const RbCallSheet *sheet;
    int from; /* coverages */
    int to;
    double width; /* of a column */
} Block;

/* The estimate on its 80 % interval, between 0 and 100 %. */
static void draw_interval(RbDrawing *drawing, const RbCallPick *pick, double x, double y,
                          double width)
{
    rb_drawing_line(drawing, x, y, x + width, y, RB_TOKEN_LINE, 0.4);
    rb_drawing_line(drawing, x + width * pick->low, y, x + width * pick->high, y,
                    RB_TOKEN_MUTED, 1.0);
    rb_drawing_disc(drawing, x + width * pick->estimate, y, 1.2, RB_TOKEN_INK,
                    RB_TOKEN_NONE, 0.0);
}

/* "62 %, n 13" at the right edge, its interval under it. */
static void draw_pick(RbDrawing *drawing, const RbCallPick *pick, double x, double y,
                      double width, bool first)
{
    RbTextStyle number = rb_text_style(7.0, false, RB_TOKEN_INK);
    const RbTextStyle name = rb_text_style(first ? 9.0 : 8.0, first, RB_TOKEN_INK);
    number.anchor = RB_ANCHOR_END;
    g_autofree char *figures =
        g_strdup_printf("%.0f %%, n %d", 100.0 * pick->estimate, pick->dropbacks);
    const double taken = rb_drawing_measure(drawing, &number, figures);
    const RbTextBox box = { { x, y - 8.5, width - taken - 6.0, 11.0 }, 4.5, false };
    rb_drawing_boxed(drawing, &box, &name, pick->concept);
    rb_drawing_text(drawing, x + width, y, &number, figures);
    draw_interval(drawing, pick, x, y + 3.4, width);
}

static void draw_cell(RbDrawing *drawing, const RbCallCell *cell, double x, double width)
{
    const RbTextStyle muted = rb_text_style(7.0, false, RB_TOKEN_MUTED);
    double y = 10.0;
    for (int i = 0; i < cell->n_picks; i++) {
        draw_pick(drawing, &cell->picks[i], x + 5.0, y, width - 10.0, i == 0);
        y += pick_height;
    }
    if (cell->dropbacks > 0 && cell->n_picks == 0) {
        g_autofree char *count = rb_dropbacks_text(cell->dropbacks);
        g_autofree char *text =
            g_strdup_printf(_("%s, each concept under %d"), count, RB_PAIRING_MIN);
        rb_drawing_paragraph(drawing, x + 5.0, y, width - 10.0, 9.0, &muted, text);
    } else if (cell->thin > 0) {
        g_autofree char *text =
            g_strdup_printf(_("%d more under %d"), cell->thin, RB_PAIRING_MIN);
        rb_drawing_text(drawing, x + 5.0, row_height - 2.6, &muted, text);
    }
}

static void place_head(RbDocument *document, const Block *block)
{
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle style = rb_text_style(9.0, true, RB_TOKEN_INK);
    const double edge = names_width + block->width * (block->to - block->from);
    const cairo_rectangle_t ground = { 0.0, 0.0, edge, head_height };
    rb_drawing_rect(drawing, &ground, RB_TOKEN_PANEL, 1.0, RB_TOKEN_NONE, 0.0);
    rb_drawing_text(drawing, 5.0, head_height - 6.0, &style, _("Situation"));
    for (int i = block->from; i < block->to; i++) {
        const RbTextBox box = { { names_width + block->width * (i - block->from) + 5.0,
                                  2.0, block->width - 10.0, head_height - 6.0 },
                                4.5,
                                false };
        rb_drawing_boxed(drawing, &box, &style, block->sheet->coverages[i]);
    }
    rb_document_place(document, drawing, head_height);
}

static void place_row(RbDocument *document, const Block *block, int row)
{
    const RbCallSheet *sheet = block->sheet;
    RbDrawing *drawing = rb_drawing_new(NULL);
    const RbTextStyle style = rb_text_style(9.0, true, RB_TOKEN_INK);
    const double edge = names_width + block->width * (block->to - block->from);
    const cairo_rectangle_t head = { 0.0, 0.0, names_width, row_height };
    const RbTextBox box = { { 5.0, 4.0, names_width - 10.0, row_height - 8.0 },
                            4.5,
                            true };
    rb_drawing_rect(drawing, &head, RB_TOKEN_PANEL, 1.0, RB_TOKEN_NONE, 0.0);
    rb_drawing_boxed(drawing, &box, &style, sheet->situations[row]);
    for (int i = block->from; i < block->to; i++) {
        const double x = names_width + block->width * (i - block->from);
        draw_cell(drawing, &sheet->cells[row * sheet->n_coverages + i], x, block->width);
        rb_drawing_line(drawing, x, 0.0, x, row_height, RB_TOKEN_LINE, 0.5);
    }
    rb_drawing_line(drawing, 0.0, row_height, edge, row_height, RB_TOKEN_LINE, 0.5);
    rb_document_place(document, drawing, row_height);
}

static void place_block(RbDocument *document, const Block *block)
{
    place_head(document, block);
    int page = rb_document_page(document);
    for (int row = 0; row < block->sheet->n_situations; row++) {
        if (row_height > rb_document_room(document)) {
            rb_document_start_page(document);
        }
        if (rb_document_page(document) != page) {
            place_head(document, block);
            page = rb_document_page(document);
        }
        place_row(document, block, row);
    }
    rb_document_skip(document, 8.0);
}

static void place_notes(RbDocument *document, const RbCallSheet *sheet)
{
    const RbTextStyle second = rb_text_style(7.0, false, RB_TOKEN_MUTED);
    g_autofree char *success = rb_success_profile_text(sheet->profile.percent);
    const char *const *cautions = rb_cautions();
    rb_document_place_paragraph(
        document,
        _("In each cell: the concepts that worked best there, with their estimated success rate, how "
          "many dropbacks it rests on (n), and under it its 80 % interval on a line from 0 to 100 %."),
        &second, 1.0);
    rb_document_place_paragraph(document, rb_estimate_text(), &second, 1.0);
    rb_document_place_paragraph(document, success, &second, 1.0);
    for (int i = 0; cautions[i] != NULL; i++) {
        rb_document_place_paragraph(document, _(cautions[i]), &second, 1.0);
    }
}

RbDocument *rb_call_sheet_document(const RbCallSheet *sheet)
{
    const RbPageSetup setup = { .title = sheet->title,
                                .filter = sheet->filter,
                                .made_on = sheet->made_on,
                                .landscape = true };
    RbDocument *document = rb_document_new(&setup);
    g_autofree char *under = g_strdup_printf(
        _("%s%s%s, made %s"), sheet->team != NULL ? sheet->team : "",
        sheet->team != NULL ? ", " : "",
        sheet->filter != NULL ? sheet->filter : _("all dropbacks"), sheet->made_on);
    rb_document_place_title(document, sheet->title, under);
    const double room = rb_document_inner_width(document) - names_width;
    const int blocks = (sheet->n_coverages + COLUMNS_MAX - 1) / COLUMNS_MAX;
    const int each = blocks > 0 ? (sheet->n_coverages + blocks - 1) / blocks : 1;
    for (int from = 0; from < sheet->n_coverages; from += each) {
        const Block block = { sheet, from, MIN(from + each, sheet->n_coverages),
                              room / each };
        if (from > 0) {
            rb_document_start_page(document);
        }
        place_block(document, &block);
    }
    if (sheet->n_coverages == 0) {
        const RbTextStyle second = rb_text_style(9.0, false, RB_TOKEN_MUTED);
        rb_document_place_paragraph(document,
                                    _("No dropbacks with both a concept and a coverage."),
                                    &second, 8.0);
    }
    place_notes(document, sheet);
    return document;
}
