/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/reports.h"

#include <string.h>

#include "rb/base/error.h"
#include "rb/report/report.h"
#include "rb/work/error.h"
#include "rb/work/filter-text.h"

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

static const char *our_team(const RbNames *names)
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

bool rb_selection_write_report(const RbSelection *selection, const char *path,
                               const char *title, GError **error)
{
    const bool html = g_str_has_suffix(path, ".html");
    if (!html && !g_str_has_suffix(path, ".pdf")) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
            "%s does not say what kind of report it is to be: give a name "
            "that ends in .html or .pdf.",
            path);
    }
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autofree char *filter = rb_filter_text(names, rb_selection_get_filter(selection));
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    g_autofree char *today = g_date_time_format(now, "%Y-%m-%d");
    RbPairings pairings;
    rb_selection_pairings(selection, &pairings);
    g_autoptr(GPtrArray) pages = pick_pages(selection, &pairings);
    RbReportPairing ladders[RB_REPORT_LADDERS] = { 0 };
    fill_ladders(ladders, pages);
    const RbReport report = {
        .title = title != NULL ? title : "Pairings and break points",
        .team = our_team(names),
        .filter = filter,
        .made_on = today,
        .profile = rb_success_profile_default(),
        .pairings = &pairings,
        .ladders = ladders,
        .n_ladders = (int)pages->len,
        .names = rb_report_names(names),
    };
    const bool ok = html ? rb_report_write_html(&report, path, error)
                         : rb_report_write_pdf(&report, path, error);
    rb_pairings_clear(&pairings);
    return ok;
}
