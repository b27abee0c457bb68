/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/reports.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/report/chart-file.h"
#include "rb/report/sheet.h"
#include "rb/work/error.h"

#include "reports-private.h"

static const RbWord kind_words[] = {
    [RB_REPORT_PAGE] = { "page", N_("Pairing table and break points") },
    [RB_REPORT_PAIRING] = { "pairing", N_("One page of a pairing") },
    [RB_REPORT_BOOK] = { "book", N_("Season pairing book") },
    [RB_REPORT_CALL_SHEET] = { "call-sheet", N_("Call sheet") },
    [RB_REPORT_FIGURES] = { "figures", N_("Table for a spreadsheet") },
    [RB_REPORT_TABLE_CHART] = { "table-chart", N_("Table as a picture") },
    [RB_REPORT_LADDER_CHART] = { "ladder-chart", N_("Ladder as a picture") },
};
const RbWords rb_report_kind_words = { N_("kind of report"), kind_words,
                                       RB_REPORT_KINDS };

static const char *concept_name(RbConceptId id, const void *data)
{
    return rb_names_concept(data, id);
}

static const char *coverage_name(RbTermId id, const void *data)
{
    return rb_names_term(data, id);
}

RbReportNames rb_report_names(const RbNames *names)
{
    return (RbReportNames){ concept_name, coverage_name, names };
}

/* One pairing of the page with all that its entry borrows. */
typedef struct {
    RbSelection *selection; /* owned */
    const RbTally *tally;   /* borrowed from the table */
    RbLadder ladder;
    RbBreak found;
    char *snaps; /* owned, nullable */
} Page;

static void free_page(void *data)
{
    Page *page = data;
    rb_selection_free(page->selection);
    g_free(page->snaps);
    g_free(page);
}

/* "Week 3: 12, 34. Week 4: 7." Returns: (transfer full). */
static char *snaps_text(const RbSelection *selection, const RbBreak *found)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    const RbNames *names = rb_snapshot_get_names(snapshot);
    g_autoptr(GArray) snaps = rb_selection_snaps(
        selection, RB_ANY_CONCEPT, RB_ANY_COVERAGE, found->read, (int)found->stage);
    GString *text = g_string_new(NULL);
    RbGameId game = { 0 };
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnap *snap =
            rb_snapshot_find_snap(snapshot, g_array_index(snaps, RbSnapId, i));
        if (snap->game.value != game.value) {
            g_string_append_printf(text, "%s%s: %d", i == 0 ? "" : ". ",
                                   rb_names_game(names, snap->game), snap->number);
            game = snap->game;
        } else {
            g_string_append_printf(text, ", %d", snap->number);
        }
    }
    g_string_append_c(text, '.');
    return g_string_free(text, FALSE);
}

static Page *page_new(const RbSelection *selection, const RbTally *tally)
{
    Page *page = g_new0(Page, 1);
    page->tally = tally;
    page->selection = rb_selection_narrow(selection, tally->concept, tally->coverage);
    rb_selection_ladder(page->selection, &page->ladder);
    rb_selection_break(page->selection, &page->found);
    if (page->found.found) {
        page->snaps = snaps_text(page->selection, &page->found);
    }
    return page;
}

/* Clear before leaning before the rest, then by what they cost beyond the norm. */
static int compare_pages(const void *a, const void *b)
{
    const RbBreak *one = &(*(const Page *const *)a)->found;
    const RbBreak *other = &(*(const Page *const *)b)->found;
    if (one->certainty != other->certainty) {
        return one->certainty < other->certainty ? 1 : -1;
    }
    return (one->excess < other->excess) - (one->excess > other->excess);
}

/* How many of the sorted pages are worth a reader's time: what is not settled is left out,
 * unless nothing else is there. */
static guint worth_showing(const GPtrArray *pages)
{
    guint n = 0;
    while (n < pages->len && n < RB_REPORT_LADDERS) {
        const Page *page = pages->pdata[n];
        if (n > 0 && page->found.certainty == RB_CERTAINTY_NOT_SETTLED) {
            break;
        }
        n++;
    }
    return n;
}

/* The pairings that break most, the worst first; under RB_PAIRING_MIN dropbacks none is ranked.
 * Returns: (transfer full): of Page. */
static GPtrArray *pick_pages(const RbSelection *selection, const RbPairings *pairings)
{
    GPtrArray *pages = g_ptr_array_new_with_free_func(free_page);
    for (int i = 0; i < pairings->n_cells; i++) {
        if (pairings->cells[i].dropbacks >= RB_PAIRING_MIN) {
            g_ptr_array_add(pages, page_new(selection, &pairings->cells[i]));
        }
    }
    g_ptr_array_sort(pages, compare_pages);
    g_ptr_array_set_size(pages, (int)worth_showing(pages));
    return pages;
}

const char *rb_report_team(const RbNames *names)
{
    for (guint i = 0; i < rb_names_teams(names)->len; i++) {
        const RbTeam *team = rb_names_teams(names)->pdata[i];
        if (team->ours) {
            return team->name;
        }
    }
    return NULL;
}

static void fill_ladders(RbReportPairing *ladders, const GPtrArray *pages)
{
    for (guint i = 0; i < pages->len; i++) {
        const Page *page = pages->pdata[i];
        ladders[i].concept = page->tally->concept;
        ladders[i].coverage = page->tally->coverage;
        ladders[i].ladder = &page->ladder;
        ladders[i].found = &page->found;
        ladders[i].snaps = page->snaps;
        rb_selection_reads(page->selection, ladders[i].reads);
    }
}

/* Fills all but table and ladders. */
void rb_report_heading_init(RbReportHeading *heading, const RbSelection *selection,
                            const RbReportOptions *options)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    heading->filter =
        rb_report_filter_text(names, rb_selection_get_filter(selection), options);
    heading->made_on = g_date_time_format(now, "%Y-%m-%d");
    rb_selection_pairings(selection, &heading->pairings);
    heading->figures = g_new0(RbMeasured, heading->pairings.n_cells + 1);
    rb_pairings_measure(&heading->pairings, RB_MEASURE_SUCCESS, heading->figures);
    heading->report = (RbReport){
        .title = options->title != NULL
                     ? options->title
                     : rb_words_label(&rb_report_kind_words, (int)options->kind),
        .team = rb_report_team(names),
        .filter = heading->filter,
        .made_on = heading->made_on,
        .profile = rb_snapshot_get_profile(rb_selection_get_snapshot(selection)),
        .pairings = &heading->pairings,
        .figures = heading->figures,
        .names = rb_report_names(names),
    };
}

void rb_report_heading_clear(RbReportHeading *heading)
{
    rb_pairings_clear(&heading->pairings);
    g_free(heading->figures);
    g_free(heading->filter);
    g_free(heading->made_on);
}

/* A player's name and number are left out, and that they are is said. */
char *rb_report_filter_text(const RbNames *names, const RbFilter *filter,
                            const RbReportOptions *options)
{
    if (!options->without_names || rb_filter_find(filter, RB_FIELD_QUARTERBACK) == NULL) {
        return rb_filter_text(names, filter);
    }
    g_autoptr(RbFilter) rest = rb_filter_copy(filter);
    rb_filter_remove(rest, RB_FIELD_QUARTERBACK);
    g_autofree char *text =
        rest->clauses->len > 0 ? rb_filter_text(names, rest) : g_strdup("");
    return g_strconcat(text, *text != '\0' ? "; " : "", _("Quarterback: name left out"),
                       NULL);
}

/* The ends of each kind, apart by spaces. */
static const char *ends_of(RbReportKind kind)
{
    switch (kind) {
    case RB_REPORT_PAGE:
        return ".html .pdf";
    case RB_REPORT_PAIRING:
    case RB_REPORT_BOOK:
    case RB_REPORT_CALL_SHEET:
        return ".pdf";
    case RB_REPORT_FIGURES:
        return ".csv .xlsx";
    case RB_REPORT_TABLE_CHART:
    case RB_REPORT_LADDER_CHART:
        return ".svg .png";
    case RB_REPORT_KINDS:
        break;
    }
    g_assert_not_reached();
}

bool rb_report_check_path(RbReportKind kind, const char *path, GError **error)
{
    g_auto(GStrv) ends = g_strsplit(ends_of(kind), " ", -1);
    for (int i = 0; ends[i] != NULL; i++) {
        if (g_str_has_suffix(path, ends[i])) {
            return true;
        }
    }
    g_autofree char *list = g_strjoinv(" or ", ends);
    return rb_error_set(
        error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
        _("%s does not say what kind of file it is to be: give a name that "
          "ends in %s."),
        path, list);
}

/* The table and the worst break points, on paper (document) or as a web page (html). */
typedef struct {
    RbReportHeading heading;
    GPtrArray *pages; /* owned, of Page */
    RbReportPairing ladders[RB_REPORT_LADDERS];
} TablePage;

static void table_page_init(TablePage *page, const RbSelection *selection,
                            const RbReportOptions *options)
{
    rb_report_heading_init(&page->heading, selection, options);
    page->pages = pick_pages(selection, &page->heading.pairings);
    memset(page->ladders, 0, sizeof page->ladders);
    fill_ladders(page->ladders, page->pages);
    page->heading.report.ladders = page->ladders;
    page->heading.report.n_ladders = (int)page->pages->len;
}

static void table_page_clear(TablePage *page)
{
    g_ptr_array_unref(page->pages);
    rb_report_heading_clear(&page->heading);
}

static RbDocument *table_document(const RbSelection *selection,
                                  const RbReportOptions *options)
{
    TablePage page;
    table_page_init(&page, selection, options);
    RbDocument *document = rb_report_document(&page.heading.report);
    table_page_clear(&page);
    return document;
}

RbDocument *rb_selection_document(const RbSelection *selection,
                                  const RbReportOptions *options, GError **error)
{
    switch (options->kind) {
    case RB_REPORT_PAGE:
        return table_document(selection, options);
    case RB_REPORT_PAIRING:
    case RB_REPORT_BOOK:
        return rb_report_pairing_pages(selection, options, error);
    case RB_REPORT_CALL_SHEET:
        return rb_report_call_sheet(selection, options);
    case RB_REPORT_FIGURES:
    case RB_REPORT_TABLE_CHART:
    case RB_REPORT_LADDER_CHART:
    case RB_REPORT_KINDS:
        break;
    }
    rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                 _("A %s has no pages: write it to a file."),
                 rb_words_token(&rb_report_kind_words, (int)options->kind));
    return NULL;
}

static bool write_html(const RbSelection *selection, const char *path,
                       const RbReportOptions *options, GError **error)
{
    TablePage page;
    table_page_init(&page, selection, options);
    const bool ok = rb_report_write_html(&page.heading.report, path, error);
    table_page_clear(&page);
    return ok;
}

static bool write_pdf(const RbSelection *selection, const char *path,
                      const RbReportOptions *options, GError **error)
{
    g_autoptr(RbDocument) document = rb_selection_document(selection, options, error);
    g_autoptr(GByteArray) pdf =
        document != NULL
            ? rb_document_pdf(document, options->cancel, options->progress, error)
            : NULL;
    return pdf != NULL && rb_report_write_bytes(pdf, path, error);
}

static bool write_figures(const RbSelection *selection, const char *path, GError **error)
{
    const RbReportNames names =
        rb_report_names(rb_snapshot_get_names(rb_selection_get_snapshot(selection)));
    RbPairings pairings;
    bool ok = false;
    rb_selection_pairings(selection, &pairings);
    if (g_str_has_suffix(path, ".xlsx")) {
        ok = rb_pairings_write_xlsx(&pairings, &names, path, error);
    } else {
        char *csv = rb_pairings_csv(&pairings, &names);
        g_autoptr(GByteArray) bytes = g_byte_array_new_take((guint8 *)csv, strlen(csv));
        ok = rb_report_write_bytes(bytes, path, error);
    }
    rb_pairings_clear(&pairings);
    return ok;
}

static bool write_chart(const RbSelection *selection, const char *path,
                        const RbReportOptions *options, GError **error)
{
    enum { WIDTH = 1600 };
    const RbChartFormat format =
        g_str_has_suffix(path, ".svg") ? RB_CHART_SVG : RB_CHART_PNG;
    RbReportHeading heading;
    GByteArray *bytes = NULL;
    rb_report_heading_init(&heading, selection, options);
    if (options->kind == RB_REPORT_TABLE_CHART) {
        bytes = rb_chart_of_table(&heading.report, format, WIDTH, error);
    } else {
        RbLadder ladder;
        RbBreak found;
        RbReportPairing looked = { .ladder = &ladder, .found = &found };
        rb_selection_ladder(selection, &ladder);
        rb_selection_break(selection, &found);
        rb_selection_reads(selection, looked.reads);
        rb_report_name_pairing(selection, &looked);
        bytes = rb_chart_of_ladder(&heading.report, &looked, format, WIDTH, error);
    }
    rb_report_heading_clear(&heading);
    const bool ok = bytes != NULL && rb_report_write_bytes(bytes, path, error);
    g_clear_pointer(&bytes, g_byte_array_unref);
    return ok;
}

bool rb_selection_write(const RbSelection *selection, const char *path,
                        const RbReportOptions *options, GError **error)
{
    if (!rb_report_check_path(options->kind, path, error) ||
        !rb_cancel_check(options->cancel, error)) {
        return false;
    }
    switch (options->kind) {
    case RB_REPORT_PAGE:
        return g_str_has_suffix(path, ".html")
                   ? write_html(selection, path, options, error)
                   : write_pdf(selection, path, options, error);
    case RB_REPORT_PAIRING:
    case RB_REPORT_BOOK:
    case RB_REPORT_CALL_SHEET:
        return write_pdf(selection, path, options, error);
    case RB_REPORT_FIGURES:
        return write_figures(selection, path, error);
    case RB_REPORT_TABLE_CHART:
    case RB_REPORT_LADDER_CHART:
        return write_chart(selection, path, options, error);
    case RB_REPORT_KINDS:
        break;
    }
    g_assert_not_reached();
}

bool rb_selection_write_report(const RbSelection *selection, const char *path,
                               const char *title, GError **error)
{
    const RbReportOptions options = {
        .kind = RB_REPORT_PAGE,
        .title = title != NULL ? title : _("Pairings and break points"),
    };
    return rb_selection_write(selection, path, &options, error);
}
