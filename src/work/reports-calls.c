/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/report/call-sheet.h"
#include "rb/stats/estimate.h"

#include "reports-private.h"

/* When a coordinator looks for a call. Rows may share dropbacks: third down inside the 20
 * belongs to both. */
typedef struct {
    const char *label;
    int down;  /* 0: any */
    int least; /* yards to go */
    int most;
    int goal; /* at most so many yards to the goal; 0: anywhere */
} Situation;

static const Situation situations[] = {
    { N_("1st down"), 1, 1, 99, 0 },       { N_("2nd & 7 or more"), 2, 7, 99, 0 },
    { N_("2nd & 6 or less"), 2, 1, 6, 0 }, { N_("3rd & 7 or more"), 3, 7, 99, 0 },
    { N_("3rd & 3 to 6"), 3, 3, 6, 0 },    { N_("3rd & 1 or 2"), 3, 1, 2, 0 },
    { N_("4th down"), 4, 1, 99, 0 },       { N_("Inside the 20"), 0, 1, 99, 20 },
    { N_("All situations"), 0, 0, 99, 0 },
};
enum { SITUATIONS = G_N_ELEMENTS(situations) };

static bool is_in(const Situation *when, const RbSituation *situation)
{
    const bool anywhere = when->goal == 0 || (situation->yards_to_goal > 0 &&
                                              situation->yards_to_goal <= when->goal);
    return (when->down == 0 || situation->down == when->down) &&
           situation->distance >= when->least && situation->distance <= when->most &&
           anywhere;
}

/* The dropbacks of a situation. Returns: (transfer full): of RbDropback. */
static GArray *rows_of(const RbSelection *selection, const Situation *when)
{
    const RbSnapshot *snapshot = rb_selection_get_snapshot(selection);
    GArray *kept = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int i = 0; i < n; i++) {
        g_autoptr(RbSnap) snap = rb_snapshot_dup_facts(snapshot, rows[i].snap);
        if (is_in(when, &snap->situation)) {
            g_array_append_val(kept, rows[i]);
        }
    }
    return kept;
}

/* Puts a concept among the picks, the best first. */
static void offer(RbCallCell *cell, const RbCallPick *pick)
{
    int at = cell->n_picks;
    while (at > 0 && cell->picks[at - 1].estimate < pick->estimate) {
        at--;
    }
    if (at >= RB_CALL_PICKS) {
        return;
    }
    const int last = MIN(cell->n_picks, RB_CALL_PICKS - 1);
    memmove(&cell->picks[at + 1], &cell->picks[at],
            (size_t)(last - at) * sizeof cell->picks[0]);
    cell->picks[at] = *pick;
    cell->n_picks = MIN(cell->n_picks + 1, RB_CALL_PICKS);
}

static void add_tally(RbCallCell *cell, const RbTally *tally, const RbEstimate *estimate,
                      const RbNames *names)
{
    const RbCallPick pick = { rb_names_concept(names, tally->concept),
                              tally->successes,
                              tally->dropbacks,
                              estimate->mean,
                              estimate->low,
                              estimate->high };
    cell->dropbacks += tally->dropbacks;
    if (tally->dropbacks < RB_PAIRING_MIN) {
        cell->thin++;
    } else {
        offer(cell, &pick);
    }
}

/* Concepts over all coverages: one column of the model. */
static void add_margins(RbCallCell *cell, const RbPairings *pairings,
                        const RbNames *names)
{
    const int n = pairings->n_concepts;
    g_autofree RbCrossedCell *cells = g_new0(RbCrossedCell, n + 1);
    g_autofree RbEstimate *estimates = g_new0(RbEstimate, n + 1);
    for (int i = 0; i < n; i++) {
        cells[i] = (RbCrossedCell){ .row = i,
                                    .x = pairings->concepts[i].successes,
                                    .n = pairings->concepts[i].dropbacks };
    }
    rb_crossed_estimate(cells, n, estimates);
    for (int i = 0; i < n; i++) {
        add_tally(cell, &pairings->concepts[i], &estimates[i], names);
    }
}

/* Coverage `column` of the whole table; the last column is all of them. */
static int column_of(const RbPairings *whole, RbTermId coverage)
{
    for (int i = 0; i < whole->n_coverages; i++) {
        if (whole->coverages[i].coverage.value == coverage.value) {
            return i;
        }
    }
    g_assert_not_reached();
}

static void fill_row(RbCallCell *row, const RbSelection *selection, const Situation *when,
                     const RbPairings *whole)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    g_autoptr(GArray) rows = rows_of(selection, when);
    RbPairings pairings;
    rb_pairings_build((const RbDropback *)(const void *)rows->data, (int)rows->len,
                      &pairings);
    g_autofree RbEstimate *estimates = g_new0(RbEstimate, pairings.n_cells + 1);
    rb_pairings_estimate(&pairings, estimates);
    for (int i = 0; i < pairings.n_cells; i++) {
        const RbTally *tally = &pairings.cells[i];
        add_tally(&row[column_of(whole, tally->coverage)], tally, &estimates[i], names);
    }
    add_margins(&row[whole->n_coverages], &pairings, names);
    rb_pairings_clear(&pairings);
}

RbDocument *rb_report_call_sheet(const RbSelection *selection,
                                 const RbReportOptions *options)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(selection));
    const char *labels[SITUATIONS];
    RbReportHeading heading;
    rb_report_heading_init(&heading, selection, options);
    const RbPairings *whole = &heading.pairings;
    const int columns = whole->n_cells > 0 ? whole->n_coverages + 1 : 0;
    g_autofree const char **coverages = g_new0(const char *, columns + 1);
    g_autofree RbCallCell *cells = g_new0(RbCallCell, SITUATIONS * (columns + 1));
    for (int i = 0; i < columns; i++) {
        coverages[i] = i < whole->n_coverages
                           ? rb_names_term(names, whole->coverages[i].coverage)
                           : _("All coverages");
    }
    for (int i = 0; i < SITUATIONS; i++) {
        labels[i] = _(situations[i].label);
        if (columns > 0) {
            rb_progress_set(options->progress, (double)i / SITUATIONS,
                            _("Ordering the concepts"));
            fill_row(&cells[i * columns], selection, &situations[i], whole);
        }
    }
    const RbCallSheet sheet = {
        .title = heading.report.title,
        .team = heading.report.team,
        .filter = heading.filter,
        .made_on = heading.made_on,
        .profile = heading.report.profile,
        .situations = labels,
        .n_situations = SITUATIONS,
        .coverages = coverages,
        .n_coverages = columns,
        .cells = cells,
    };
    RbDocument *document = rb_call_sheet_document(&sheet);
    rb_report_heading_clear(&heading);
    return document;
}
