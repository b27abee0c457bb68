/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "rb/report/pairing-page.h"

#include "reports-private.h"

/* One page with all that it borrows. */
typedef struct {
    RbSelection *selection; /* owned */
    RbLadder ladder;
    RbBreak found;
    RbPairings pairings; /* of this page alone: its sums */
    RbMeasured figure;   /* its success, estimated within the whole table; or not known */
    GPtrArray *texts;    /* owned, of char * */
    GArray *snaps;       /* owned, of RbReportSnap */
    GPtrArray *pictures; /* owned, of RbPicture: keep the stills' pixels */
    GArray *stills;      /* owned, of RbReportStill */
} Page;

static void free_picture(void *picture)
{
    rb_picture_unref(picture);
}

/* Takes the selection over. */
static Page *page_new(RbSelection *taken)
{
    Page *page = g_new0(Page, 1);
    page->selection = taken;
    rb_selection_ladder(taken, &page->ladder);
    rb_selection_break(taken, &page->found);
    rb_selection_pairings(taken, &page->pairings);
    page->texts = g_ptr_array_new_with_free_func(g_free);
    page->snaps = g_array_new(FALSE, FALSE, sizeof(RbReportSnap));
    page->pictures = g_ptr_array_new_with_free_func(free_picture);
    page->stills = g_array_new(FALSE, FALSE, sizeof(RbReportStill));
    return page;
}

static void page_free(void *data)
{
    Page *page = data;
    rb_selection_free(page->selection);
    rb_pairings_clear(&page->pairings);
    g_ptr_array_unref(page->texts);
    g_array_unref(page->snaps);
    g_ptr_array_unref(page->pictures);
    g_array_unref(page->stills);
    g_free(page);
}

/* Keeps a text as long as the page. */
static const char *keep(Page *page, char *taken)
{
    g_ptr_array_add(page->texts, taken);
    return taken;
}

static char *ended_text(const RbDropback *row)
{
    g_autofree char *stage =
        g_utf8_strdown(rb_words_label(&rb_stage_words, (int)row->stage), -1);
    return row->stage_read > 0 ? g_strdup_printf(_("read %d, %s"), row->stage_read, stage)
                               : g_strdup(stage);
}

static bool is_at_break(const RbBreak *found, const RbDropback *row)
{
    return found->found && row->stage_read == found->read && row->stage == found->stage;
}

static void add_snap(Page *page, const RbReportOptions *options, RbSnapId id)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(page->selection);
    const RbNames *names = rb_snapshot_get_names(snapshot);
    const RbSnap *snap = rb_snapshot_find_snap(snapshot, id);
    RbDropback row;
    if (!rb_snapshot_find_row(snapshot, id, &row)) {
        return;
    }
    const bool names_him = !options->without_names && snap->quarterback.value != 0;
    const RbReportSnap line = {
        .place = keep(page, rb_names_snap_text(names, snap)),
        .situation = keep(page, rb_situation_down_text(&snap->situation)),
        .quarterback =
            names_him ? keep(page, rb_names_player_text(names, snap->quarterback)) : NULL,
        .verdict = rb_words_label(&rb_verdict_words, (int)row.verdict),
        .ended = keep(page, ended_text(&row)),
        .has_points = row.has_points,
        .points = row.points,
        .at_break = is_at_break(&page->found, &row),
    };
    g_array_append_val(page->snaps, line);
}

static void add_still(Page *page, RbSnapId id, RbPicture *taken)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(page->selection);
    RbDropback row;
    if (!rb_snapshot_find_row(snapshot, id, &row)) {
        rb_picture_unref(taken);
        return;
    }
    g_autofree char *place = rb_names_snap_text(rb_snapshot_get_names(snapshot),
                                                rb_snapshot_find_snap(snapshot, id));
    const RbReportStill still = {
        .pixels = rb_picture_get_bytes(taken),
        .width = rb_picture_get_width(taken),
        .height = rb_picture_get_height(taken),
        .stride = rb_picture_get_stride(taken),
        .caption = keep(
            page, g_strdup_printf("%s, %.1f s: %s", place,
                                  rb_still_moment_ms(snapshot, id) / 1000.0,
                                  rb_words_label(&rb_verdict_words, (int)row.verdict))),
    };
    g_ptr_array_add(page->pictures, taken);
    g_array_append_val(page->stills, still);
}

/* The frames at which it broke: those of the costliest snaps there. */
static bool fetch_stills(Page *page, const RbReportOptions *options, GError **error)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(page->selection);
    if (options->stills == NULL || !page->found.found) {
        return true;
    }
    g_autoptr(GArray) snaps =
        rb_selection_snaps(page->selection, RB_ANY_CONCEPT, RB_ANY_COVERAGE,
                           page->found.read, (int)page->found.stage);
    for (guint i = 0; i < snaps->len && page->stills->len < RB_PAGE_STILLS; i++) {
        const RbSnapId id = g_array_index(snaps, RbSnapId, i);
        g_autoptr(GError) stopped = NULL;
        RbPicture *picture =
            rb_stills_fetch(options->stills, snapshot, id, options->cancel, &stopped);
        if (stopped != NULL) {
            g_propagate_error(error, g_steal_pointer(&stopped));
            return false;
        }
        if (picture != NULL) {
            add_still(page, id, picture);
        }
    }
    return true;
}

static bool fill_page(Page *page, const RbReportOptions *options, GError **error)
{
    g_autoptr(GArray) snaps = rb_selection_snaps(
        page->selection, RB_ANY_CONCEPT, RB_ANY_COVERAGE, RB_ANY_READ, RB_ANY_STAGE);
    for (guint i = 0; i < snaps->len; i++) {
        add_snap(page, options, g_array_index(snaps, RbSnapId, i));
    }
    return rb_cancel_check(options->cancel, error) && fetch_stills(page, options, error);
}

static int64_t only_value(const RbFilter *filter, RbField field)
{
    const RbClause *clause = rb_filter_find(filter, field);
    return clause != NULL && !clause->is_range && clause->values->len == 1
               ? g_array_index(clause->values, int64_t, 0)
               : 0;
}

void rb_report_name_pairing(const RbSelection *selection, RbReportPairing *looked)
{
    const RbFilter *filter = rb_selection_get_filter(selection);
    looked->concept.value = only_value(filter, RB_FIELD_CONCEPT);
    looked->coverage.value = only_value(filter, RB_FIELD_COVERAGE);
}

/* The estimate of a pairing within a table. */
static RbMeasured find_figure(const RbPairings *pairings, const RbMeasured *figures,
                              const RbReportPairing *looked)
{
    const RbTally *cell = rb_pairings_find(pairings, looked->concept, looked->coverage);
    return cell != NULL ? figures[cell - pairings->cells] : (RbMeasured){ 0 };
}

/* A selection of one pairing has no others to be estimated with: those that its filter accepts
 * without concept and coverage are. */
static RbMeasured estimate_alone(const RbSelection *selection)
{
    RbReportPairing looked = { 0 };
    rb_report_name_pairing(selection, &looked);
    if (looked.concept.value == 0 || looked.coverage.value == 0) {
        return (RbMeasured){ 0 };
    }
    g_autoptr(RbFilter) filter = rb_filter_copy(rb_selection_get_filter(selection));
    rb_filter_remove(filter, RB_FIELD_CONCEPT);
    rb_filter_remove(filter, RB_FIELD_COVERAGE);
    g_autoptr(RbSelection) wider =
        rb_selection_new(rb_selection_get_snapshot(selection), filter);
    RbPairings pairings;
    rb_selection_pairings(wider, &pairings);
    g_autofree RbMeasured *figures = g_new0(RbMeasured, pairings.n_cells + 1);
    rb_pairings_measure(&pairings, RB_MEASURE_SUCCESS, figures);
    const RbMeasured found = find_figure(&pairings, figures, &looked);
    rb_pairings_clear(&pairings);
    return found;
}

static RbPairingPage describe(const Page *page)
{
    RbPairingPage described = {
        .looked = { .ladder = &page->ladder, .found = &page->found },
        .tally = &page->pairings.all,
        .figure = page->figure.known ? &page->figure : NULL,
        .snaps = (const RbReportSnap *)(const void *)page->snaps->data,
        .n_snaps = (int)page->snaps->len,
        .stills = (const RbReportStill *)(const void *)page->stills->data,
        .n_stills = (int)page->stills->len,
    };
    rb_report_name_pairing(page->selection, &described.looked);
    rb_selection_reads(page->selection, described.looked.reads);
    return described;
}

/* Every pairing of enough dropbacks, in the table's order. Returns: (transfer full)
 * (nullable): of Page. */
static GPtrArray *all_pages(const RbSelection *selection, const RbReportHeading *heading,
                            const RbReportOptions *options, GError **error)
{
    const RbPairings *pairings = &heading->pairings;
    g_autoptr(GPtrArray) pages = g_ptr_array_new_with_free_func(page_free);
    for (int i = 0; i < pairings->n_cells; i++) {
        const RbTally *cell = &pairings->cells[i];
        rb_progress_set(options->progress, 0.9 * i / pairings->n_cells,
                        _("Looking into the pairings"));
        if (cell->dropbacks < RB_PAIRING_MIN) {
            continue;
        }
        Page *page =
            page_new(rb_selection_narrow(selection, cell->concept, cell->coverage));
        g_ptr_array_add(pages, page);
        page->figure = heading->figures[i];
        if (!fill_page(page, options, error)) {
            return NULL;
        }
    }
    return g_steal_pointer(&pages);
}

static RbDocument *book(const RbReportHeading *heading, const GPtrArray *pages)
{
    g_autofree RbPairingPage *described = g_new0(RbPairingPage, pages->len + 1);
    for (guint i = 0; i < pages->len; i++) {
        described[i] = describe(pages->pdata[i]);
    }
    return rb_pairing_book_document(&heading->report, described, (int)pages->len);
}

RbDocument *rb_report_pairing_pages(const RbSelection *selection,
                                    const RbReportOptions *options, GError **error)
{
    RbReportHeading heading;
    RbDocument *document = NULL;
    rb_report_heading_init(&heading, selection, options);
    if (options->kind == RB_REPORT_BOOK) {
        g_autoptr(GPtrArray) pages = all_pages(selection, &heading, options, error);
        document = pages != NULL ? book(&heading, pages) : NULL;
    } else {
        Page *page = page_new(rb_selection_new(rb_selection_get_snapshot(selection),
                                               rb_selection_get_filter(selection)));
        page->figure = estimate_alone(selection);
        if (fill_page(page, options, error)) {
            const RbPairingPage described = describe(page);
            document = rb_pairing_page_document(&heading.report, &described);
        }
        page_free(page);
    }
    rb_report_heading_clear(&heading);
    return document;
}
