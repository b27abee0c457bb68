/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/report/report.h"

#include "ladder-chart-private.h"
#include "pages-private.h"
#include "report-private.h"
#include "table-draw-private.h"

/* Of one block of the table; with fewer the page is not filled. */
enum { COLUMNS_MIN = 6, COLUMNS_MAX = 10 };

static void place_table_head(RbDocument *document, const RbReport *report,
                             const RbTableBlock *block)
{
    double height = 0.0;
    RbDrawing *head = rb_table_draw_head(report, block, &height);
    rb_document_place(document, head, height);
}

static void place_block(RbDocument *document, const RbReport *report,
                        const RbTableBlock *block)
{
    place_table_head(document, report, block);
    int page = rb_document_page(document);
    for (int row = 0; row <= report->pairings->n_concepts; row++) {
        double height = 0.0;
        RbDrawing *drawing = rb_table_draw_row(report, block, row, &height);
        if (height > rb_document_room(document)) {
            rb_document_start_page(document);
        }
        if (rb_document_page(document) != page) {
            place_table_head(document, report, block); /* the table goes on */
            page = rb_document_page(document);
        }
        rb_document_place(document, drawing, height);
    }
    rb_document_skip(document, 8.0);
}

void rb_report_place_table(RbDocument *document, const RbReport *report)
{
    const RbPairings *pairings = report->pairings;
    const RbTextStyle second = rb_text_style(7.5, false, RB_TOKEN_MUTED);
    rb_document_place_head(document, _("Concept against coverage"));
    if (pairings->n_cells == 0) {
        rb_document_place_paragraph(document,
                                    _("No dropbacks with both a concept and a coverage."),
                                    &second, 8.0);
        return;
    }
    const int columns = pairings->n_coverages + 1;
    const int blocks = (columns + COLUMNS_MAX - 1) / COLUMNS_MAX;
    const int each = (columns + blocks - 1) / blocks;
    const double width = rb_document_inner_width(document) - rb_table_names_width();
    for (int from = 0; from < columns; from += each) {
        const RbTableBlock block = { from, MIN(from + each, columns),
                                     width / MAX(each, COLUMNS_MIN) };
        place_block(document, report, &block);
    }
    g_autofree char *legend = rb_report_legend(report);
    rb_document_place_paragraph(document, legend, &second, 10.0);
}

/* Head, sentence, chart and snaps of one pairing stay together. */
static void place_ladder(RbDocument *document, const RbReport *report,
                         const RbReportPairing *pairing)
{
    const RbTextStyle sentence_style = rb_text_style(9.5, true, RB_TOKEN_INK);
    const RbTextStyle second = rb_text_style(8.0, false, RB_TOKEN_MUTED);
    const RbLadderChart chart = rb_report_ladder_chart(pairing, 8.5);
    double height = 0.0;
    RbDrawing *drawing =
        rb_ladder_chart_lay_out(&chart, rb_document_inner_width(document), NULL, &height);
    const double around = 20.0 + 30.0 + (pairing->snaps != NULL ? 24.0 : 0.0);
    if (height + around > rb_document_room(document) && !rb_document_is_fresh(document)) {
        rb_document_start_page(document);
    }
    g_autofree char *title = rb_report_ladder_title(report, pairing);
    rb_document_place_head(document, title);
    if (pairing->found != NULL) {
        g_autofree char *sentence = rb_break_text(pairing->found, pairing->ladder);
        rb_document_place_paragraph(document, sentence, &sentence_style, 4.0);
    }
    rb_document_place(document, drawing, height);
    if (pairing->snaps != NULL) {
        rb_document_place_paragraph(document, pairing->snaps, &second, 6.0);
    }
    rb_document_skip(document, 6.0);
}

RbDrawing *rb_report_draw_notes(const RbReport *report, double width, double *height)
{
    const RbTextStyle second = rb_text_style(7.0, false, RB_TOKEN_MUTED);
    g_autoptr(GPtrArray) notes = rb_report_notes(report);
    RbDrawing *drawing = rb_drawing_new(NULL);
    double y = 12.0;
    rb_drawing_line(drawing, 0.0, 0.0, width, 0.0, RB_TOKEN_LINE, 0.5);
    for (guint i = 0; i < notes->len; i++) {
        y = rb_drawing_paragraph(drawing, 0.0, y, width, 9.0, &second, notes->pdata[i]);
    }
    *height = y;
    return drawing;
}

void rb_report_place_notes(RbDocument *document, const RbReport *report)
{
    double height = 0.0;
    RbDrawing *notes =
        rb_report_draw_notes(report, rb_document_inner_width(document), &height);
    if (height > rb_document_room(document) && !rb_document_is_fresh(document)) {
        rb_document_start_page(document); /* a page of its own says what it is */
        rb_document_place_head(document, _("How to read these pages"));
    }
    rb_document_place(document, notes, height);
}

RbDocument *rb_report_new_document(const RbReport *report, const char *title)
{
    const RbPageSetup setup = { .title = title,
                                .filter = report->filter,
                                .made_on = report->made_on };
    return rb_document_new(&setup);
}

RbDocument *rb_report_document(const RbReport *report)
{
    RbDocument *document = rb_report_new_document(report, report->title);
    g_autofree char *under = rb_report_subtitle(report);
    rb_document_place_title(document, report->title, under);
    rb_report_place_table(document, report);
    for (int i = 0; i < report->n_ladders; i++) {
        place_ladder(document, report, &report->ladders[i]);
    }
    rb_report_place_notes(document, report);
    return document;
}

GByteArray *rb_report_pdf(const RbReport *report, GError **error)
{
    g_autoptr(RbDocument) document = rb_report_document(report);
    return rb_document_pdf(document, NULL, NULL, error);
}
