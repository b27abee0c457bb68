/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/worklist.h"

#include <glib/gi18n-lib.h>

static void item_free(void *data)
{
    RbWorkItem *item = data;
    g_free(item->sentence);
    g_free(item);
}

/* "Curl-flat against Cover 2 breaks at read 2 …": the break's sentence goes on from the names. */
static char *sentence_of(const RbSelection *pairing, const RbWorkItem *item)
{
    const RbNames *names = rb_snapshot_get_names(rb_selection_get_snapshot(pairing));
    RbLadder ladder;
    rb_selection_ladder(pairing, &ladder);
    g_autofree char *text = rb_selection_break_text(pairing, &ladder, &item->found);
    text[0] = g_ascii_tolower(text[0]);
    return g_strdup_printf(_("%s against %s %s"), rb_names_concept(names, item->concept),
                           rb_names_term(names, item->coverage), text);
}

static RbWorkItem *item_new(const RbSelection *selection, const RbTally *cell)
{
    g_autoptr(RbSelection) pairing =
        rb_selection_narrow(selection, cell->concept, cell->coverage);
    RbBreak found;
    rb_selection_break(pairing, &found);
    if (!found.found || !(found.excess > 0.0)) {
        return NULL;
    }
    RbWorkItem *item = g_new0(RbWorkItem, 1);
    item->concept = cell->concept;
    item->coverage = cell->coverage;
    item->dropbacks = cell->dropbacks;
    item->found = found;
    item->worth = found.excess * found.share;
    item->sentence = sentence_of(pairing, item);
    return item;
}

static int compare_ids(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

static int compare_items(const void *a, const void *b)
{
    const RbWorkItem *one = *(RbWorkItem *const *)a;
    const RbWorkItem *other = *(RbWorkItem *const *)b;
    if (one->worth != other->worth) {
        return one->worth > other->worth ? -1 : 1;
    }
    if (one->dropbacks != other->dropbacks) {
        return one->dropbacks > other->dropbacks ? -1 : 1;
    }
    const int by_concept = compare_ids(one->concept.value, other->concept.value);
    return by_concept != 0 ? by_concept
                           : compare_ids(one->coverage.value, other->coverage.value);
}

GPtrArray *rb_worklist(const RbSelection *selection, RbCancel *cancel, GError **error)
{
    GPtrArray *items = g_ptr_array_new_with_free_func(item_free);
    RbPairings pairings;
    bool going = true;
    rb_selection_pairings(selection, &pairings);
    for (int i = 0; going && i < pairings.n_cells; i++) {
        const RbTally *cell = &pairings.cells[i];
        going = rb_cancel_check(cancel, error);
        RbWorkItem *item =
            going && cell->dropbacks >= RB_PAIRING_MIN ? item_new(selection, cell) : NULL;
        if (item != NULL) {
            g_ptr_array_add(items, item);
        }
    }
    rb_pairings_clear(&pairings);
    if (!going) {
        g_ptr_array_unref(items);
        return NULL;
    }
    g_ptr_array_sort(items, compare_items);
    return items;
}

const char *rb_worklist_empty_text(const RbSelection *selection)
{
    RbPairings pairings;
    int most = 0;
    rb_selection_pairings(selection, &pairings);
    for (int i = 0; i < pairings.n_cells; i++) {
        most = MAX(most, pairings.cells[i].dropbacks);
    }
    const bool nothing = pairings.all.dropbacks == 0;
    rb_pairings_clear(&pairings);
    if (nothing) {
        return _("No dropback here has both concept and coverage: tag both, or widen the "
                 "filter.");
    }
    if (most < RB_PAIRING_MIN) {
        return _(
            "No pairing has the 5 dropbacks it takes to look for a break point: tag more "
            "snaps or widen the filter.");
    }
    return _("No pairing costs more than our norm at any read.");
}
