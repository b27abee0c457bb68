/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/report/pairing-page.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "ladder-chart-private.h"
#include "pages-private.h"
#include "report-private.h"
#include "words-private.h"

static const double still_gap = 8.0;
static const double caption_room = 22.0;
static const double line_height = 11.5;
static const double ladder_most = 250.0;

/* "14 dropbacks: 29 % succeeded (12 to 55 %), estimated 38 % (26 to 49 %), -0.31 points a
 * dropback, 5 completed, 1 sack." Returns: (transfer full). */
static char *figures_text(const RbTally *tally, const RbMeasured *figure)
{
    GString *text = g_string_new(NULL);
    g_autofree char *count = rb_dropbacks_text(tally->dropbacks);
    if (tally->dropbacks == 0) {
        g_string_append(text, _("No dropbacks here."));
        return g_string_free(text, FALSE);
    }
    g_autofree char *rate = rb_rate_text(tally->successes, tally->dropbacks);
    g_autofree char *interval = rb_interval_text(tally->successes, tally->dropbacks);
    g_string_append_printf(text, _("%s: %s succeeded (%s)"), count, rate, interval);
    if (figure != NULL && figure->known) {
        g_string_append_printf(
            text, _(", estimated %.0f %% (80 %% interval %.0f to %.0f %%)"),
            100.0 * figure->shown, 100.0 * figure->low, 100.0 * figure->high);
    }
    if (tally->pointed > 0) {
        g_autofree char *points = rb_points_text(tally->points / tally->pointed, 2);
        g_string_append_printf(text, _(", %s points a dropback"), points);
    }
    g_autofree char *sacks = g_strdup_printf(
        g_dngettext(GETTEXT_PACKAGE, "%d sack", "%d sacks", (gulong)tally->sacks),
        tally->sacks);
    g_autofree char *taken =
        g_strdup_printf(g_dngettext(GETTEXT_PACKAGE, "%d interception",
                                    "%d interceptions", (gulong)tally->interceptions),
                        tally->interceptions);
    g_string_append_printf(
        text,
        _(", %.1f yards a dropback, %d of %d completed, %d explosive, %s, "
          "%s; %d of %d judged decisions right."),
        (double)tally->yards / tally->dropbacks, tally->completions, tally->attempts,
        tally->explosive, sacks, taken, tally->right, tally->judged);
    return g_string_free(text, FALSE);
}

static void place_ladder(RbDocument *document, const RbReportPairing *looked)
{
    const RbLadderChart chart = rb_report_ladder_chart(looked, 8.5);
    double height = 0.0;
    RbDrawing *drawing =
        rb_ladder_chart_lay_out(&chart, rb_document_inner_width(document), NULL, &height);
    rb_document_place_shrunk(document, drawing, height, ladder_most);
    rb_document_skip(document, 6.0);
}

/* A copy, so that the document outlives the film's own memory. */
static cairo_surface_t *copy_picture(const RbReportStill *still)
{
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, still->width, still->height);
    cairo_surface_flush(surface);
    unsigned char *to = cairo_image_surface_get_data(surface);
    const int stride = cairo_image_surface_get_stride(surface);
    for (int y = 0; to != NULL && y < still->height; y++) {
        memcpy(to + (size_t)y * (size_t)stride, still->pixels + (size_t)y * still->stride,
               4 * (size_t)still->width);
    }
    cairo_surface_mark_dirty(surface);
    return surface;
}

static void place_stills(RbDocument *document, const RbPairingPage *page)
{
    const int n = MIN(page->n_stills, RB_PAGE_STILLS);
    const double width =
        (rb_document_inner_width(document) - (RB_PAGE_STILLS - 1) * still_gap) /
        RB_PAGE_STILLS;
    const RbTextStyle style = rb_text_style(7.5, false, RB_TOKEN_MUTED);
    double tallest = 0.0;
    if (n == 0) {
        return;
    }
    RbDrawing *captions = rb_drawing_new(NULL);
    for (int i = 0; i < n; i++) {
        const RbReportStill *still = &page->stills[i];
        const double height =
            MIN(width * still->height / still->width, width * 9.0 / 16.0);
        const double shown = height * still->width / still->height;
        rb_document_place_picture(document, copy_picture(still), i * (width + still_gap),
                                  shown, height);
        tallest = MAX(tallest, height);
    }
    rb_document_skip(document, tallest);
    for (int i = 0; i < n; i++) {
        rb_drawing_paragraph(captions, i * (width + still_gap), 9.0, width, 9.0, &style,
                             page->stills[i].caption);
    }
    rb_document_place(document, captions, caption_room);
}

/* Where each column of the list begins, as a share of the width; points end at 1. */
typedef struct {
    const char *head;
    double x;
    double end;
} Column;

static const Column columns[] = {
    { N_("Snap"), 0.0, 0.35 },         { N_("Situation"), 0.36, 0.46 },
    { N_("Quarterback"), 0.47, 0.61 }, { N_("Decision"), 0.62, 0.74 },
    { N_("Ended at"), 0.75, 0.93 },    { N_("Points"), 0.93, 1.0 },
};
enum { N_COLUMNS = G_N_ELEMENTS(columns) };

static void draw_line(RbDrawing *drawing, double y, double width, bool bold,
                      const char *const texts[N_COLUMNS])
{
    for (int i = 0; i < N_COLUMNS; i++) {
        RbTextStyle style = rb_text_style(7.5, bold, RB_TOKEN_INK);
        const double room = (columns[i].end - columns[i].x) * width;
        const bool last = i == N_COLUMNS - 1;
        g_autofree char *fitted =
            rb_drawing_fit(drawing, &style, texts[i] != NULL ? texts[i] : "", room);
        style.anchor = last ? RB_ANCHOR_END : RB_ANCHOR_START;
        rb_drawing_text(drawing, (last ? columns[i].end : columns[i].x) * width, y,
                        &style, fitted);
    }
}

static void draw_snap(RbDrawing *drawing, double y, double width,
                      const RbReportSnap *snap)
{
    g_autofree char *place =
        g_strconcat(snap->at_break ? "\u25b8 " : "   ", snap->place, NULL);
    g_autofree char *points =
        snap->has_points ? rb_points_text(snap->points, 1) : g_strdup("");
    const char *const texts[N_COLUMNS] = {
        place, snap->situation, snap->quarterback, snap->verdict, snap->ended, points
    };
    draw_line(drawing, y, width, snap->at_break, texts);
}

/* The snaps behind the break first, then the others, each in their order; as many as fit. */
static void place_snaps(RbDocument *document, const RbPairingPage *page, double room)
{
    const double width = rb_document_inner_width(document);
    const int lines = (int)(room / line_height) - 1; /* one for the heads */
    if (page->n_snaps == 0 || lines < 1) {
        return;
    }
    const int shown = page->n_snaps <= lines ? page->n_snaps : lines - 1;
    RbDrawing *drawing = rb_drawing_new(NULL);
    const char *heads[N_COLUMNS];
    for (int i = 0; i < N_COLUMNS; i++) {
        heads[i] = i == 2 && page->snaps[0].quarterback == NULL ? "" : _(columns[i].head);
    }
    double y = 9.0;
    draw_line(drawing, y, width, true, heads);
    rb_drawing_line(drawing, 0.0, y + 3.0, width, y + 3.0, RB_TOKEN_LINE, 0.5);
    int drawn = 0;
    for (int round = 0; round < 2; round++) {
        for (int i = 0; i < page->n_snaps && drawn < shown; i++) {
            if (page->snaps[i].at_break == (round == 0)) {
                y += line_height;
                draw_snap(drawing, y, width, &page->snaps[i]);
                drawn++;
            }
        }
    }
    if (drawn < page->n_snaps) {
        const RbTextStyle style = rb_text_style(7.5, false, RB_TOKEN_MUTED);
        g_autofree char *more =
            g_strdup_printf(_("   and %d more"), page->n_snaps - drawn);
        y += line_height;
        rb_drawing_text(drawing, 0.0, y, &style, more);
    }
    rb_document_place(document, drawing, y + 5.0);
}

/* Fills one page, which must be fresh. */
static void place_page(RbDocument *document, const RbReport *report,
                       const RbPairingPage *page)
{
    const RbTextStyle figures = rb_text_style(9.5, false, RB_TOKEN_INK);
    const RbTextStyle sentence = rb_text_style(10.5, true, RB_TOKEN_INK);
    g_autofree char *title = rb_report_ladder_title(report, &page->looked);
    g_autofree char *under = rb_report_subtitle(report);
    rb_document_place_title(document, title, under);
    if (page->tally != NULL) {
        g_autofree char *text = figures_text(page->tally, page->figure);
        rb_document_place_paragraph(document, text, &figures, 4.0);
    }
    if (page->looked.found != NULL) {
        g_autofree char *text = rb_break_text(page->looked.found, page->looked.ladder);
        rb_document_place_paragraph(document, text, &sentence, 6.0);
    }
    place_ladder(document, &page->looked);
    place_stills(document, page);
    double height = 0.0;
    RbDrawing *notes =
        rb_report_draw_notes(report, rb_document_inner_width(document), &height);
    place_snaps(document, page, rb_document_room(document) - height - 8.0);
    rb_document_place_shrunk(document, notes, height, rb_document_room(document));
}

/* The definitions of the break point stand on the page though the report has no ladders. */
static RbReport for_page(const RbReport *report)
{
    RbReport own = *report;
    own.n_ladders = 1;
    return own;
}

RbDocument *rb_pairing_page_document(const RbReport *report, const RbPairingPage *page)
{
    const RbReport own = for_page(report);
    g_autofree char *title = rb_report_ladder_title(report, &page->looked);
    RbDocument *document = rb_report_new_document(report, title);
    place_page(document, &own, page);
    return document;
}

static void draw_entry(RbDrawing *drawing, double y, double width, const RbReport *report,
                       const RbPairingPage *page, int number)
{
    const RbTextStyle style = rb_text_style(9.0, false, RB_TOKEN_INK);
    const RbTextStyle second = rb_text_style(8.0, false, RB_TOKEN_MUTED);
    RbTextStyle right = style;
    right.anchor = RB_ANCHOR_END;
    g_autofree char *title = rb_report_ladder_title(report, &page->looked);
    g_autofree char *fitted = rb_drawing_fit(drawing, &style, title, width * 0.42);
    g_autofree char *sentence =
        page->looked.found != NULL
            ? rb_break_text(page->looked.found, page->looked.ladder)
            : g_strdup("");
    g_autofree char *short_one = rb_drawing_fit(drawing, &second, sentence, width * 0.48);
    g_autofree char *digits = g_strdup_printf("%d", number);
    rb_drawing_text(drawing, 0.0, y, &style, fitted);
    rb_drawing_text(drawing, width * 0.44, y, &second, short_one);
    rb_drawing_text(drawing, width, y, &right, digits);
}

/* Each entry with the number of its page, which follows from how many the contents take. */
static void place_contents(RbDocument *document, const RbReport *report,
                           const RbPairingPage *pages, int n_pages)
{
    static const double step = 14.0;
    const double width = rb_document_inner_width(document);
    const int each = (int)((rb_document_room(document) - 24.0) / step);
    const int needed = (n_pages + each - 1) / each;
    const int first = rb_document_page(document) + 1 + needed;
    for (int from = 0; from < n_pages; from += each) {
        if (from > 0) {
            rb_document_start_page(document);
        }
        rb_document_place_head(document, _("Pairings in this book"));
        RbDrawing *drawing = rb_drawing_new(NULL);
        const int to = MIN(from + each, n_pages);
        for (int i = from; i < to; i++) {
            draw_entry(drawing, 10.0 + step * (i - from), width, report, &pages[i],
                       first + i);
        }
        rb_document_place(document, drawing, step * (to - from));
    }
}

RbDocument *rb_pairing_book_document(const RbReport *report, const RbPairingPage *pages,
                                     int n_pages)
{
    const RbReport own = for_page(report);
    RbDocument *document = rb_report_new_document(report, report->title);
    g_autofree char *under = rb_report_subtitle(report);
    rb_document_place_title(document, report->title, under);
    rb_report_place_table(document, report);
    rb_report_place_notes(document, &own);
    if (n_pages > 0) {
        rb_document_start_page(document);
        place_contents(document, report, pages, n_pages);
    }
    for (int i = 0; i < n_pages; i++) {
        rb_document_start_page(document);
        place_page(document, &own, &pages[i]);
    }
    return document;
}
