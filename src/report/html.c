/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "rb/report/report.h"

#include "clean-private.h"
#include "ladder-chart-private.h"
#include "report-private.h"
#include "table-private.h"
#include "words-private.h"

/* The look of the page: paper and ink, hairlines, figures of one width. Colours are repeated
 * by number or word, so that a print without them loses nothing. */
static const char style[] =
    "@page{size:letter landscape;margin:12mm}\n"
    "*{box-sizing:border-box}\n"
    "body{margin:0 auto;padding:24px 28px;max-width:1060px;background:#faf8f4;color:#1e2430;"
    "font:15px/1.4 system-ui,\"DejaVu Sans\",sans-serif;"
    "font-variant-numeric:tabular-nums;"
    "-webkit-print-color-adjust:exact;print-color-adjust:exact}\n"
    "header{border-bottom:2px solid #1e2430;padding-bottom:8px;margin-bottom:20px}\n"
    "h1{font-size:24px;margin:0}\n"
    "h2{font-size:18px;margin:28px 0 4px}\n"
    "p{margin:4px 0}\n"
    ".second{color:#5a6272;font-size:13px}\n"
    ".break{font-weight:600}\n"
    ".wide{overflow-x:auto}\n"
    "table{border-collapse:collapse;width:100%}\n"
    "th{background:#f0ece4;font-weight:600;text-align:right;padding:6px 8px;font-size:13px;"
    "vertical-align:bottom}\n"
    "th[scope=row],thead th:first-child{text-align:left}\n"
    "th[scope=row]{vertical-align:top}\n"
    "td{text-align:right;padding:4px 8px;vertical-align:top;white-space:nowrap}\n"
    "tr{border-bottom:1px solid #d5cfc3;break-inside:avoid}\n"
    ".all{border-left:1px solid #5a6272}\n"
    "tr.all{border-left:0;border-top:1px solid #5a6272}\n"
    ".rate{font-size:17px;font-weight:600}\n"
    ".n,.range,.points{color:#1e2430;font-size:12px}\n"
    ".n{margin-left:4px}\n"
    ".range,.points{display:block}\n"
    ".few .rate{font-size:14px;font-weight:400;color:#5a6272}\n"
    "td svg{display:block;margin-left:auto}\n"
    "section svg{max-width:100%;height:auto}\n"
    "svg text{font-family:\"DejaVu Sans\",system-ui,sans-serif}\n"
    "section{break-inside:avoid}\n"
    "footer{margin-top:28px;border-top:1px solid #d5cfc3;padding-top:8px}\n"
    "footer li{margin:2px 0}\n"
    "a{color:inherit}\n"
    "@media print{body{padding:0;max-width:none;background:none;font-size:10pt}"
    ".rate{font-size:12pt}h1{font-size:17pt}h2{font-size:13pt}"
    ".few .rate{font-size:9pt}.n,.range,.points,.second,th{font-size:8pt}"
    "td{padding:2px 6px;line-height:1.2}h2{margin-top:12px}"
    "header{margin-bottom:8px;padding-bottom:4px}}\n";

/* Text of others into the page: cleaned, then escaped. */
static void append_text(GString *page, const char *text)
{
    g_autofree char *clean = rb_text_clean(text);
    g_autofree char *escaped = g_markup_escape_text(clean, -1);
    g_string_append(page, escaped);
}

static void append_element(GString *page, const char *tag, const char *class,
                           const char *text)
{
    g_string_append_printf(page, "<%s class=\"%s\">", tag, class);
    append_text(page, text);
    g_string_append_printf(page, "</%s>\n", tag);
}

static void append_head(GString *page, const RbReport *report)
{
    g_string_append_printf(page,
                           "<!DOCTYPE html>\n"
                           "<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"%s\">\n"
                           "<head>\n<meta charset=\"utf-8\"/>\n"
                           "<meta name=\"viewport\" content=\"width=device-width\"/>\n"
                           "<title>",
                           /* Translators: the code of your language, BCP 47. */
                           C_("language", "en"));
    append_text(page, report->title);
    g_string_append_printf(
        page, "</title>\n<style>\n%s</style>\n</head>\n<body>\n<header>\n", style);
    g_string_append(page, "<h1>");
    append_text(page, report->title);
    g_string_append(page, "</h1>\n");
    g_autofree char *under = rb_report_subtitle(report);
    append_element(page, "p", "second", under);
    g_string_append(page, "</header>\n");
}

/* Position of the ladder of a pairing, or -1. */
static int find_ladder(const RbReport *report, const RbTally *tally)
{
    for (int i = 0; i < report->n_ladders; i++) {
        if (report->ladders[i].concept.value == tally->concept.value &&
            report->ladders[i].coverage.value == tally->coverage.value) {
            return i;
        }
    }
    return -1;
}

static void append_whisker(GString *page, const RbReport *report, const RbTally *tally,
                           const RbCellText *text)
{
    static const double width = 72.0;
    static const double height = 10.0;
    const RbPalette palette = rb_palette_light();
    g_autoptr(RbDrawing) drawing = rb_drawing_new(NULL);
    const RbMeasured *figure = rb_table_figure(report->pairings, report->figures, tally);
    const cairo_rectangle_t box = { 3.0, 0.0, width - 6.0, height };
    rb_table_draw_whisker(drawing, tally, figure, &report->pairings->all, &box);
    rb_drawing_svg(drawing, &palette, width, height, text->interval, NULL, page);
}

static void append_rated(GString *page, const RbReport *report, const RbTally *tally,
                         const RbCellText *text)
{
    const int ladder = find_ladder(report, tally);
    if (ladder >= 0) {
        g_string_append_printf(page, "<a href=\"#ladder-%d\">", ladder + 1);
    }
    g_string_append_printf(page, "<span class=\"rate\">%s</span>", text->rate);
    g_string_append(page, ladder >= 0 ? "</a>" : "");
    g_autofree char *of = g_strdup_printf(C_("dropbacks", "of %d"), tally->dropbacks);
    append_element(page, "span", "n", of);
    append_whisker(page, report, tally, text);
    append_element(page, "span", "range", text->interval);
    append_element(page, "span", "points", text->points);
}

static void append_cell(GString *page, const RbReport *report, int row, int column)
{
    const RbPairings *pairings = report->pairings;
    const RbTally *tally = rb_table_tally(pairings, row, column);
    const bool margin = row == pairings->n_concepts || column == pairings->n_coverages;
    const char *all = column == pairings->n_coverages ? " all" : "";
    if (tally == NULL) {
        g_string_append_printf(page, "<td class=\"none%s\"></td>\n", all);
        return;
    }
    RbCellText text;
    const RbMeasured *figure = rb_table_figure(pairings, report->figures, tally);
    rb_cell_text_init(&text, tally, figure);
    if (text.interval == NULL) {
        g_string_append_printf(
            page, "<td class=\"few%s\"><span class=\"rate\">%s</span></td>\n", all,
            text.rate);
        rb_cell_text_clear(&text);
        return;
    }
    double tint = 0.0;
    const RbToken token =
        margin ? RB_TOKEN_NONE : rb_table_tint(tally, figure, &pairings->all, &tint);
    const RbPalette palette = rb_palette_light();
    const RbColour colour = rb_palette_colour(&palette, token, tint);
    g_string_append_printf(page, "<td class=\"rated%s\"", all);
    if (token != RB_TOKEN_NONE) {
        g_string_append_printf(page, " style=\"background:#%02x%02x%02x\"",
                               (unsigned)lround(colour.red * 255.0),
                               (unsigned)lround(colour.green * 255.0),
                               (unsigned)lround(colour.blue * 255.0));
    }
    g_string_append_c(page, '>');
    append_rated(page, report, tally, &text);
    g_string_append(page, "</td>\n");
    rb_cell_text_clear(&text);
}

static void append_table(GString *page, const RbReport *report)
{
    const RbPairings *pairings = report->pairings;
    g_string_append(page, "<h2>");
    append_text(page, _("Concept against coverage"));
    g_string_append(page, "</h2>\n");
    if (pairings->n_cells == 0) {
        append_element(page, "p", "second",
                       _("No dropbacks with both a concept and a coverage."));
        return;
    }
    g_string_append(page,
                    "<div class=\"wide\">\n<table>\n<thead>\n<tr><th scope=\"col\">");
    append_text(page, _("Concept"));
    g_string_append(page, "</th>");
    for (int column = 0; column <= pairings->n_coverages; column++) {
        g_string_append(page, "<th scope=\"col\">");
        append_text(page, rb_table_column_name(pairings, &report->names, column));
        g_string_append(page, "</th>");
    }
    g_string_append(page, "</tr>\n</thead>\n<tbody>\n");
    for (int row = 0; row <= pairings->n_concepts; row++) {
        g_string_append(page,
                        row == pairings->n_concepts ? "<tr class=\"all\">" : "<tr>");
        g_string_append(page, "<th scope=\"row\">");
        append_text(page, rb_table_row_name(pairings, &report->names, row));
        g_string_append(page, "</th>\n");
        for (int column = 0; column <= pairings->n_coverages; column++) {
            append_cell(page, report, row, column);
        }
        g_string_append(page, "</tr>\n");
    }
    g_string_append(page, "</tbody>\n</table>\n</div>\n");
    g_autofree char *legend = rb_report_legend(report);
    append_element(page, "p", "second", legend);
}

static void append_ladder(GString *page, const RbReport *report, int i)
{
    static const double width = 760.0;
    const RbReportPairing *pairing = &report->ladders[i];
    const RbPalette palette = rb_palette_light();
    const RbLadderChart chart = rb_report_ladder_chart(pairing, 13.0);
    double height = 0.0;
    g_autofree char *title = rb_report_ladder_title(report, pairing);
    g_autoptr(RbDrawing) drawing = rb_ladder_chart_lay_out(&chart, width, NULL, &height);
    g_string_append_printf(page, "<section id=\"ladder-%d\">\n<h2>", i + 1);
    append_text(page, title);
    g_string_append(page, "</h2>\n");
    if (pairing->found != NULL) {
        g_autofree char *sentence = rb_break_text(pairing->found, pairing->ladder);
        append_element(page, "p", "break", sentence);
    }
    rb_drawing_svg(drawing, &palette, width, height, title, NULL, page);
    if (pairing->snaps != NULL) {
        append_element(page, "p", "second", pairing->snaps);
    }
    g_string_append(page, "</section>\n");
}

static void append_foot(GString *page, const RbReport *report)
{
    g_autoptr(GPtrArray) notes = rb_report_notes(report);
    g_string_append(page, "<footer>\n<ul class=\"second\">\n");
    for (guint i = 0; i < notes->len; i++) {
        g_string_append(page, "<li>");
        append_text(page, notes->pdata[i]);
        g_string_append(page, "</li>\n");
    }
    g_string_append(page, "</ul>\n</footer>\n</body>\n</html>\n");
}

char *rb_report_html(const RbReport *report)
{
    GString *page = g_string_new(NULL);
    append_head(page, report);
    append_table(page, report);
    for (int i = 0; i < report->n_ladders; i++) {
        append_ladder(page, report, i);
    }
    append_foot(page, report);
    return g_string_free(page, FALSE);
}
