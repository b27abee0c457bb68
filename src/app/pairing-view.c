/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>
#include <math.h>

#include "rb/stats/intervals.h"

#include "pairing-table.h"

static void fill_cells(RbPairingView *view, const RbPairings *pairings)
{
    for (int row = 0; row < view->n_rows; row++) {
        for (int column = 0; column < view->n_columns; column++) {
            const RbTally *cell =
                rb_pairings_find(pairings, view->concepts[row], view->coverages[column]);
            if (cell != NULL) {
                view->cells[row * view->n_columns + column] = *cell;
            }
        }
    }
}

RbPairingView *rb_pairing_view_new(const RbPairings *pairings, const void *names,
                                   RbConceptName concept_name, RbTermName term_name)
{
    RbPairingView *view = g_new0(RbPairingView, 1);
    const int n_rows = pairings->n_concepts;
    const int n_columns = pairings->n_coverages;
    view->n_rows = n_rows;
    view->n_columns = n_columns;
    view->concepts = g_new0(RbConceptId, n_rows + 1);
    view->coverages = g_new0(RbTermId, n_columns + 1);
    view->row_names = g_new0(char *, n_rows + 1);
    view->column_names = g_new0(char *, n_columns + 1);
    view->cells = g_new0(RbTally, (gsize)n_rows * n_columns + 1);
    view->rows = g_new0(RbTally, n_rows + 1);
    view->columns = g_new0(RbTally, n_columns + 1);
    view->all = pairings->all;
    for (int i = 0; i < n_rows; i++) {
        view->rows[i] = pairings->concepts[i];
        view->concepts[i] = pairings->concepts[i].concept;
        view->row_names[i] = g_strdup(concept_name(names, view->concepts[i]));
    }
    for (int i = 0; i < n_columns; i++) {
        view->columns[i] = pairings->coverages[i];
        view->coverages[i] = pairings->coverages[i].coverage;
        view->column_names[i] = g_strdup(term_name(names, view->coverages[i]));
    }
    fill_cells(view, pairings);
    return view;
}

void rb_pairing_view_free(RbPairingView *view)
{
    if (view == NULL) {
        return;
    }
    g_free(view->concepts);
    g_free(view->coverages);
    g_strfreev(view->row_names);
    g_strfreev(view->column_names);
    g_free(view->cells);
    g_free(view->rows);
    g_free(view->columns);
    g_free(view);
}

const RbTally *rb_pairing_view_get(const RbPairingView *view, int row, int column)
{
    if (row < 0) {
        return column < 0 ? &view->all : &view->columns[column];
    }
    return column < 0 ? &view->rows[row] : &view->cells[row * view->n_columns + column];
}

char *rb_pairing_view_text(const RbPairingView *view, int row, int column)
{
    const RbTally *tally = rb_pairing_view_get(view, row, column);
    const char *concept = row < 0 ? _("All concepts") : view->row_names[row];
    const char *coverage = column < 0 ? _("all coverages") : view->column_names[column];
    GString *text = g_string_new(NULL);
    g_string_append_printf(text, _("%s against %s: "), concept, coverage);
    if (tally->dropbacks == 0) {
        g_string_append(text, _("never seen."));
        return g_string_free(text, FALSE);
    }
    double low = 0;
    double high = 0;
    rb_interval_wilson(tally->successes, tally->dropbacks, 0.8, &low, &high);
    g_string_append_printf(
        text,
        ngettext("%.0f %% of %d dropback succeed, 80 %% interval %.0f to %.0f %%",
                 "%.0f %% of %d dropbacks succeed, 80 %% interval %.0f to %.0f %%",
                 tally->dropbacks),
        round(100.0 * tally->successes / tally->dropbacks), tally->dropbacks, 100 * low,
        100 * high);
    if (tally->dropbacks < RB_PAIRING_MIN) {
        g_string_append_printf(text, _(". Fewer than %d: too few to compare"),
                               RB_PAIRING_MIN);
    }
    g_string_append_c(text, '.');
    return g_string_free(text, FALSE);
}
