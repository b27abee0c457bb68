/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/pairing.h"

#include <stdlib.h>
#include <string.h>

#include "pairing-private.h"

enum { EXPLOSIVE_YD = 16 };

static void tally_add(RbTally *tally, const RbDropback *row)
{
    const bool complete = row->result == RB_RESULT_COMPLETE;
    const bool intercepted = row->result == RB_RESULT_INTERCEPTED;
    const bool fell =
        row->result == RB_RESULT_INCOMPLETE || row->result == RB_RESULT_THROWN_AWAY;
    /* After an interception the gain tells where the return ended: not the offense's. */
    const int yards = intercepted || fell ? 0 : row->gain;
    tally->dropbacks++;
    tally->successes += row->success;
    tally->pointed += row->has_points;
    tally->points += row->has_points ? row->points : 0.0;
    tally->points_squared += row->has_points ? row->points * row->points : 0.0;
    tally->yards += yards;
    tally->yards_squared += (double)yards * yards;
    tally->completions += complete;
    tally->attempts += complete || intercepted || fell;
    tally->explosive += yards >= EXPLOSIVE_YD;
    tally->sacks += row->result == RB_RESULT_SACK;
    tally->interceptions += intercepted;
    tally->pressured += row->pressured;
    tally->right +=
        row->verdict == RB_VERDICT_ON_READ || row->verdict == RB_VERDICT_SOUND;
    tally->judged +=
        row->verdict != RB_VERDICT_UNGRADED && row->verdict != RB_VERDICT_SPOILED;
}

void rb_tally_rows(const RbDropback *rows, int n, RbTally *tally)
{
    memset(tally, 0, sizeof *tally);
    for (int i = 0; i < n; i++) {
        if (rows[i].in_ladder) {
            tally_add(tally, &rows[i]);
        }
    }
}

static unsigned tally_hash(const void *key)
{
    const RbTally *tally = key;
    const uint64_t mixed = (uint64_t)tally->concept.value * UINT64_C(0x9e3779b97f4a7c15) ^
                           (uint64_t)tally->coverage.value * UINT64_C(0xc2b2ae3d27d4eb4f);
    return (unsigned)(mixed >> 32);
}

static gboolean tally_equal(const void *a, const void *b)
{
    const RbTally *one = a;
    const RbTally *other = b;
    return one->concept.value == other->concept.value &&
           one->coverage.value == other->coverage.value;
}

/* The tally of a cell, or of a margin (the other id 0); made when there is none. */
static RbTally *tally_of(GHashTable *tallies, RbConceptId concept, RbTermId coverage)
{
    const RbTally key = { .concept = concept, .coverage = coverage };
    RbTally *tally = g_hash_table_lookup(tallies, &key);
    if (tally == NULL) {
        tally = g_new0(RbTally, 1);
        tally->concept = concept;
        tally->coverage = coverage;
        g_hash_table_add(tallies, tally);
    }
    return tally;
}

static int compare_ids(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

/* Most dropbacks first, then by id, so that the order is the same on every run. */
static int compare_margins(const void *a, const void *b)
{
    const RbTally *one = a;
    const RbTally *other = b;
    if (one->dropbacks != other->dropbacks) {
        return one->dropbacks > other->dropbacks ? -1 : 1;
    }
    const int by_concept = compare_ids(one->concept.value, other->concept.value);
    return by_concept != 0 ? by_concept
                           : compare_ids(one->coverage.value, other->coverage.value);
}

/* Copies the margins out of the table: the concepts', or the coverages'. */
static RbTally *pick_margins(GHashTable *tallies, bool of_concepts, int *n)
{
    RbTally *margins = g_new(RbTally, g_hash_table_size(tallies) + 1);
    GHashTableIter iter;
    void *key = NULL;
    *n = 0;
    g_hash_table_iter_init(&iter, tallies);
    while (g_hash_table_iter_next(&iter, &key, NULL)) {
        const RbTally *tally = key;
        if ((tally->concept.value != 0) == of_concepts &&
            (tally->coverage.value != 0) == !of_concepts) {
            margins[(*n)++] = *tally;
        }
    }
    qsort(margins, (size_t)*n, sizeof *margins, compare_margins);
    return margins;
}

/* Copies the cells in the order of their margins. */
static void pick_cells(GHashTable *tallies, RbPairings *pairings)
{
    pairings->cells = g_new(RbTally, g_hash_table_size(tallies) + 1);
    pairings->n_cells = 0;
    for (int i = 0; i < pairings->n_concepts; i++) {
        for (int j = 0; j < pairings->n_coverages; j++) {
            const RbTally key = { .concept = pairings->concepts[i].concept,
                                  .coverage = pairings->coverages[j].coverage };
            const RbTally *cell = g_hash_table_lookup(tallies, &key);
            if (cell != NULL) {
                pairings->cells[pairings->n_cells++] = *cell;
            }
        }
    }
}

void rb_pairings_build(const RbDropback *rows, int n, RbPairings *pairings)
{
    static const RbConceptId no_concept;
    static const RbTermId no_coverage;
    memset(pairings, 0, sizeof *pairings);
    g_autoptr(GHashTable) tallies =
        g_hash_table_new_full(tally_hash, tally_equal, g_free, NULL);
    for (int i = 0; i < n; i++) {
        const RbDropback *row = &rows[i];
        if (!row->in_ladder) {
            continue;
        }
        if (row->concept.value == 0 || row->coverage.value == 0) {
            pairings->untagged++;
            continue;
        }
        tally_add(tally_of(tallies, row->concept, row->coverage), row);
        tally_add(tally_of(tallies, row->concept, no_coverage), row);
        tally_add(tally_of(tallies, no_concept, row->coverage), row);
        tally_add(&pairings->all, row);
    }
    pairings->concepts = pick_margins(tallies, true, &pairings->n_concepts);
    pairings->coverages = pick_margins(tallies, false, &pairings->n_coverages);
    pick_cells(tallies, pairings);
}

void rb_pairings_clear(RbPairings *pairings)
{
    g_free(pairings->cells);
    g_free(pairings->concepts);
    g_free(pairings->coverages);
    memset(pairings, 0, sizeof *pairings);
}

const RbTally *rb_pairings_find(const RbPairings *pairings, RbConceptId concept,
                                RbTermId coverage)
{
    for (int i = 0; i < pairings->n_cells; i++) {
        const RbTally *cell = &pairings->cells[i];
        if (cell->concept.value == concept.value &&
            cell->coverage.value == coverage.value) {
            return cell;
        }
    }
    return NULL;
}

void rb_tally_add(RbTally *tally, const RbDropback *row)
{
    tally_add(tally, row);
}

int rb_tally_compare(const void *a, const void *b)
{
    return compare_margins(a, b);
}

void rb_tally_merge(RbTally *tally, const RbTally *other)
{
    tally->dropbacks += other->dropbacks;
    tally->successes += other->successes;
    tally->pointed += other->pointed;
    tally->points += other->points;
    tally->yards += other->yards;
    tally->completions += other->completions;
    tally->attempts += other->attempts;
    tally->explosive += other->explosive;
    tally->sacks += other->sacks;
    tally->interceptions += other->interceptions;
    tally->pressured += other->pressured;
    tally->right += other->right;
    tally->judged += other->judged;
}
