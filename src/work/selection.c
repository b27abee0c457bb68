/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/report/words.h"
#include "rb/work/snapshot.h"

struct RbSelection {
    RbSnapshot *snapshot; /* owned reference */
    RbFilter *filter;     /* owned */
    uint8_t *mask;        /* owned: a byte a row of the snapshot, 1 where accepted */
    GArray *rows;         /* owned, of RbDropback: all that the filter accepts */
    GArray *counted;      /* owned: those of them that count */
    GArray *others;       /* owned: the norm's, all of which count */
};

/* What the other pairings of a table share with the one chosen: everything but the pairing
 * itself and what was computed from it. */
static RbFilter *filter_without_pairing(const RbFilter *filter)
{
    static const RbField own[] = { RB_FIELD_CONCEPT, RB_FIELD_CALL,  RB_FIELD_COVERAGE,
                                   RB_FIELD_FAMILY,  RB_FIELD_STAGE, RB_FIELD_VERDICT,
                                   RB_FIELD_READ };
    RbFilter *rest = rb_filter_copy(filter);
    for (size_t i = 0; i < G_N_ELEMENTS(own); i++) {
        rb_filter_remove(rest, own[i]);
    }
    return rest;
}

/* Returns: (transfer full): the rows that a filter (NULL: every one) accepts. */
static uint8_t *mask_of(const RbSnapshot *snapshot, const RbFilter *filter)
{
    g_autoptr(RbFilter) every = rb_filter_new();
    const RbPacked *packed = rb_snapshot_get_packed(snapshot);
    uint8_t *mask = g_malloc((gsize)rb_packed_get_count(packed) + 1);
    rb_packed_filter(packed, filter != NULL ? filter : every, mask);
    return mask;
}

/* Rows that `wider` (NULL: all) accepts and the selection's own filter does not. */
static void collect_others(RbSelection *selection, const RbFilter *wider)
{
    int n = 0;
    const RbDropback *rows = rb_snapshot_get_rows(selection->snapshot, &n);
    g_autofree uint8_t *mask = mask_of(selection->snapshot, wider);
    for (int i = 0; i < n; i++) {
        if (rows[i].in_ladder && mask[i] != 0 && selection->mask[i] == 0) {
            g_array_append_val(selection->others, rows[i]);
        }
    }
}

RbSelection *rb_selection_new(const RbSnapshot *snapshot, const RbFilter *filter)
{
    RbSelection *selection = g_new0(RbSelection, 1);
    selection->snapshot = rb_snapshot_ref(snapshot);
    selection->filter = filter != NULL ? rb_filter_copy(filter) : rb_filter_new();
    selection->mask = mask_of(snapshot, selection->filter);
    selection->rows = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    selection->counted = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    selection->others = g_array_new(FALSE, FALSE, sizeof(RbDropback));
    int n = 0;
    const RbDropback *rows = rb_snapshot_get_rows(snapshot, &n);
    for (int i = 0; i < n; i++) {
        if (selection->mask[i] == 0) {
            continue;
        }
        g_array_append_val(selection->rows, rows[i]);
        if (rows[i].in_ladder) {
            g_array_append_val(selection->counted, rows[i]);
        }
    }
    g_autoptr(RbFilter) wider = filter_without_pairing(selection->filter);
    collect_others(selection, wider);
    if (selection->others->len == 0) {
        collect_others(selection, NULL);
    }
    return selection;
}

void rb_selection_free(RbSelection *selection)
{
    if (selection == NULL) {
        return;
    }
    g_free(selection->mask);
    g_array_unref(selection->rows);
    g_array_unref(selection->counted);
    g_array_unref(selection->others);
    rb_filter_free(selection->filter);
    rb_snapshot_unref(selection->snapshot);
    g_free(selection);
}

const RbSnapshot *rb_selection_get_snapshot(const RbSelection *selection)
{
    return selection->snapshot;
}

const RbFilter *rb_selection_get_filter(const RbSelection *selection)
{
    return selection->filter;
}

static const RbDropback *array_rows(const GArray *array, int *n)
{
    *n = (int)array->len;
    return (const RbDropback *)(const void *)array->data;
}

const RbDropback *rb_selection_get_rows(const RbSelection *selection, int *n)
{
    return array_rows(selection->rows, n);
}

const RbDropback *rb_selection_get_others(const RbSelection *selection, int *n)
{
    return array_rows(selection->others, n);
}

void rb_selection_pairings(const RbSelection *selection, RbPairings *pairings)
{
    int n = 0;
    const RbDropback *rows = array_rows(selection->counted, &n);
    rb_pairings_build(rows, n, pairings);
}

void rb_selection_pairings_by(const RbSelection *selection, RbField axis,
                              RbPairings *pairings)
{
    if (axis == RB_FIELD_COVERAGE) {
        rb_selection_pairings(selection, pairings);
        return;
    }
    int n = 0;
    const RbDropback *rows = array_rows(selection->counted, &n);
    g_autofree RbDropback *across = g_memdup2(rows, (gsize)n * sizeof *rows);
    for (int i = 0; i < n; i++) {
        int64_t value = 0;
        const bool known =
            rb_snapshot_value(selection->snapshot, rows[i].snap, axis, &value);
        across[i].coverage.value = known ? value : 0;
    }
    rb_pairings_build(across, n, pairings);
}

void rb_selection_ladder(const RbSelection *selection, RbLadder *ladder)
{
    int n = 0;
    const RbDropback *rows = array_rows(selection->counted, &n);
    rb_ladder_build(rows, n, ladder);
}

void rb_selection_break(const RbSelection *selection, RbBreak *found)
{
    int n = 0;
    int n_others = 0;
    const RbDropback *rows = array_rows(selection->counted, &n);
    const RbDropback *others = array_rows(selection->others, &n_others);
    rb_break_find(rows, n, others, n_others, found);
}

int rb_selection_open(const RbSelection *selection, int read)
{
    int n = 0;
    int open = 0;
    const RbDropback *rows = array_rows(selection->counted, &n);
    if (read < 1 || read > RB_READS_MAX) {
        return 0;
    }
    for (int i = 0; i < n; i++) {
        const RbChart *chart = rb_snapshot_find_chart(selection->snapshot, rows[i].snap);
        open += chart->looks[read - 1] == RB_LOOK_OPEN;
    }
    return open;
}

char *rb_selection_break_text(const RbSelection *selection, const RbLadder *ladder,
                              const RbBreak *found)
{
    return rb_break_text_open(found, ladder, rb_selection_open(selection, found->read));
}

GArray *rb_selection_snaps(const RbSelection *selection, RbConceptId concept,
                           RbTermId coverage, int read, int stage)
{
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    int n = 0;
    const RbDropback *rows = array_rows(selection->counted, &n);
    for (int i = 0; i < n; i++) {
        if ((concept.value == 0 || rows[i].concept.value == concept.value) &&
            (coverage.value == 0 || rows[i].coverage.value == coverage.value) &&
            (read == RB_ANY_READ || rows[i].stage_read == read) &&
            (stage == RB_ANY_STAGE || (int)rows[i].stage == stage)) {
            g_array_append_val(snaps, rows[i].snap);
        }
    }
    return snaps;
}

/* The one concept that the filter names. */
static const RbConcept *only_concept(const RbSelection *selection)
{
    const RbClause *clause = rb_filter_find(selection->filter, RB_FIELD_CONCEPT);
    if (clause == NULL || clause->is_range || clause->values->len != 1) {
        return NULL;
    }
    const RbConceptId id = { g_array_index(clause->values, int64_t, 0) };
    return rb_names_find_concept(rb_snapshot_get_names(selection->snapshot), id);
}

void rb_selection_reads(const RbSelection *selection, const char *reads[RB_READS_MAX + 1])
{
    const RbConcept *concept = only_concept(selection);
    for (int i = 0; i <= RB_READS_MAX; i++) {
        const RbRead *read = concept != NULL ? rb_concept_find_read(concept, i) : NULL;
        reads[i] =
            read != NULL ? rb_words_label(&rb_route_words, (int)read->route) : NULL;
    }
}

RbSelection *rb_selection_narrow(const RbSelection *selection, RbConceptId concept,
                                 RbTermId coverage)
{
    g_autoptr(RbFilter) filter = rb_filter_copy(selection->filter);
    rb_filter_remove(filter, RB_FIELD_CONCEPT);
    rb_filter_remove(filter, RB_FIELD_COVERAGE);
    rb_filter_add_value(filter, RB_FIELD_CONCEPT, concept.value);
    rb_filter_add_value(filter, RB_FIELD_COVERAGE, coverage.value);
    return rb_selection_new(selection->snapshot, filter);
}

bool rb_selection_costliest(const RbSelection *selection, RbSelection **narrowed)
{
    RbPairings pairings;
    double most = 0.0;
    *narrowed = NULL;
    rb_selection_pairings(selection, &pairings);
    for (int i = 0; i < pairings.n_cells; i++) {
        if (pairings.cells[i].dropbacks < RB_PAIRING_MIN) {
            continue;
        }
        RbBreak found;
        g_autoptr(RbSelection) cell = rb_selection_narrow(
            selection, pairings.cells[i].concept, pairings.cells[i].coverage);
        rb_selection_break(cell, &found);
        if (found.found && (*narrowed == NULL || found.excess > most)) {
            most = found.excess;
            rb_selection_free(*narrowed);
            *narrowed = g_steal_pointer(&cell);
        }
    }
    rb_pairings_clear(&pairings);
    return *narrowed != NULL;
}
