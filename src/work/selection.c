/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/report/words.h"
#include "rb/work/snapshot.h"

/* Rows copied out of the columns for those who want rows; each made when first asked for. */
typedef struct {
    GArray *rows;    /* owned, nullable, of RbDropback: all that the filter accepts */
    GArray *counted; /* owned, nullable: those of them that count */
    GArray *others;  /* owned, nullable: the norm's, all of which count */
} Copies;

struct RbSelection {
    RbSnapshot *snapshot; /* owned reference */
    RbFilter *filter;     /* owned */
    uint8_t *mask;        /* owned: a byte a row of the snapshot, 1 where accepted */
    uint8_t *norm;        /* owned, the same: the others */
    Copies *copies;       /* owned */
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

/* Returns: (transfer full) (nullable): what counts of the rows that `wider` (NULL: all) accepts and
 * the selection's own filter does not; NULL when that is nothing. */
static uint8_t *others_of(const RbSelection *selection, const RbFilter *wider)
{
    const RbPacked *packed = rb_snapshot_get_packed(selection->snapshot);
    uint8_t *mask = mask_of(selection->snapshot, wider);
    bool any = false;
    for (int i = 0; i < rb_packed_get_count(packed); i++) {
        mask[i] =
            mask[i] != 0 && selection->mask[i] == 0 && rb_packed_is_counted(packed, i);
        any = any || mask[i] != 0;
    }
    if (!any) {
        g_clear_pointer(&mask, g_free);
    }
    return mask;
}

RbSelection *rb_selection_new(const RbSnapshot *snapshot, const RbFilter *filter)
{
    RbSelection *selection = g_new0(RbSelection, 1);
    selection->snapshot = rb_snapshot_ref(snapshot);
    selection->filter = filter != NULL ? rb_filter_copy(filter) : rb_filter_new();
    selection->mask = mask_of(snapshot, selection->filter);
    selection->copies = g_new0(Copies, 1);
    g_autoptr(RbFilter) wider = filter_without_pairing(selection->filter);
    selection->norm = others_of(selection, wider);
    if (selection->norm == NULL) {
        selection->norm = others_of(selection, NULL);
    }
    return selection;
}

void rb_selection_free(RbSelection *selection)
{
    if (selection == NULL) {
        return;
    }
    g_clear_pointer(&selection->copies->rows, g_array_unref);
    g_clear_pointer(&selection->copies->counted, g_array_unref);
    g_clear_pointer(&selection->copies->others, g_array_unref);
    g_free(selection->copies);
    g_free(selection->mask);
    g_free(selection->norm);
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

/* Makes *array of the rows of a mask (NULL: none) if it is not there yet. */
static const RbDropback *rows_of(const RbSelection *selection, const uint8_t *mask,
                                 bool counted, GArray **array, int *n)
{
    const RbPacked *packed = rb_snapshot_get_packed(selection->snapshot);
    if (*array == NULL) {
        *array = g_array_new(FALSE, FALSE, sizeof(RbDropback));
        for (int i = 0; mask != NULL && i < rb_packed_get_count(packed); i++) {
            if (mask[i] != 0 && (!counted || rb_packed_is_counted(packed, i))) {
                RbDropback row;
                rb_packed_get_row(packed, i, &row);
                g_array_append_val(*array, row);
            }
        }
    }
    *n = (int)(*array)->len;
    return (const RbDropback *)(const void *)(*array)->data;
}

const RbDropback *rb_selection_get_rows(const RbSelection *selection, int *n)
{
    return rows_of(selection, selection->mask, false, &selection->copies->rows, n);
}

static const RbDropback *counted_rows(const RbSelection *selection, int *n)
{
    return rows_of(selection, selection->mask, true, &selection->copies->counted, n);
}

const RbDropback *rb_selection_get_others(const RbSelection *selection, int *n)
{
    return rows_of(selection, selection->norm, true, &selection->copies->others, n);
}

void rb_selection_pairings_by(const RbSelection *selection, RbField axis,
                              RbPairings *pairings)
{
    rb_packed_pairings(rb_snapshot_get_packed(selection->snapshot), selection->mask, axis,
                       pairings);
}

void rb_selection_pairings(const RbSelection *selection, RbPairings *pairings)
{
    rb_selection_pairings_by(selection, RB_FIELD_COVERAGE, pairings);
}

void rb_selection_ladder(const RbSelection *selection, RbLadder *ladder)
{
    rb_packed_ladder(rb_snapshot_get_packed(selection->snapshot), selection->mask,
                     ladder);
}

void rb_selection_break(const RbSelection *selection, RbBreak *found)
{
    RbLadder norm = { 0 };
    int n = 0;
    const RbDropback *rows = counted_rows(selection, &n);
    if (selection->norm != NULL) {
        rb_packed_ladder(rb_snapshot_get_packed(selection->snapshot), selection->norm,
                         &norm);
    }
    rb_break_find_against(rows, n, &norm, found);
}

int rb_selection_open(const RbSelection *selection, int read)
{
    int n = 0;
    int open = 0;
    const RbDropback *rows = counted_rows(selection, &n);
    if (read < 1 || read > RB_READS_MAX) {
        return 0;
    }
    for (int i = 0; i < n; i++) {
        open += (rows[i].opened >> (read - 1)) & 1;
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
    const RbDropback *rows = counted_rows(selection, &n);
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
