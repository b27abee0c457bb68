/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/packed.h"

#include <stdlib.h>
#include <string.h>

#include "packed-private.h"
#include "pairing-private.h"

/* These fields of a row are stored as their filter field. */
static void set_known(RbPackedRow *row)
{
    const struct {
        RbField field;
        int64_t value;
        bool known;
    } own[] = {
        { RB_FIELD_GAME, row->row.game.value, row->row.game.value != 0 },
        { RB_FIELD_QUARTERBACK, row->row.quarterback.value,
          row->row.quarterback.value != 0 },
        { RB_FIELD_CONCEPT, row->row.concept.value, row->row.concept.value != 0 },
        { RB_FIELD_COVERAGE, row->row.coverage.value, row->row.coverage.value != 0 },
        { RB_FIELD_VERDICT, row->row.verdict, true },
        { RB_FIELD_STAGE, row->row.stage, true },
        { RB_FIELD_READ, row->row.stage_read, true },
        { RB_FIELD_COUNTS, row->row.in_ladder ? RB_YES : RB_NO, true },
        { RB_FIELD_RESULT, row->row.result, row->row.result != RB_RESULT_UNKNOWN },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(own); i++) {
        row->values[own[i].field] = own[i].value;
        row->known[own[i].field] = own[i].known;
    }
}

static void clear_list(void *list)
{
    g_array_unref(((RbPackedList *)list)->places);
}

RbPacked *rb_packed_new(int n)
{
    g_assert(n >= 0);
    RbPacked *packed = g_new0(RbPacked, 1);
    packed->room = n;
    packed->rest = g_new(RbPackedRest, n + 1);
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        RbPackedColumn *column = &packed->columns[f];
        column->room = 16;
        column->values = g_new0(int64_t, column->room);
        column->n_values = 1;
        column->narrow = g_new(uint8_t, n + 1);
    }
    packed->lists = g_array_new(FALSE, FALSE, sizeof(RbPackedList));
    g_array_set_clear_func(packed->lists, clear_list);
    return packed;
}

void rb_packed_free(RbPacked *packed)
{
    if (packed == NULL) {
        return;
    }
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        g_free(packed->columns[f].values);
        g_clear_pointer(&packed->columns[f].codes, g_hash_table_unref);
        g_free(packed->columns[f].narrow);
        g_free(packed->columns[f].wide);
    }
    g_array_unref(packed->lists);
    g_free(packed->rest);
    g_free(packed);
}

RbPacked *rb_packed_copy(const RbPacked *packed)
{
    RbPacked *copy = g_memdup2(packed, sizeof *packed);
    const size_t n = (size_t)packed->room + 1;
    copy->rest = g_memdup2(packed->rest, n * sizeof *packed->rest);
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        const RbPackedColumn *from = &packed->columns[f];
        RbPackedColumn *to = &copy->columns[f];
        to->values = g_memdup2(from->values, (size_t)from->room * sizeof *from->values);
        to->codes = NULL;
        to->narrow = from->narrow != NULL ? g_memdup2(from->narrow, n) : NULL;
        to->wide =
            from->wide != NULL ? g_memdup2(from->wide, n * sizeof *from->wide) : NULL;
    }
    copy->lists = g_array_copy(packed->lists);
    g_array_set_clear_func(copy->lists, clear_list);
    for (guint i = 0; i < copy->lists->len; i++) {
        RbPackedList *list = &g_array_index(copy->lists, RbPackedList, i);
        list->places = g_array_copy(list->places);
    }
    return copy;
}

static int code_at(const RbPackedColumn *column, int place)
{
    return column->narrow != NULL ? column->narrow[place] : column->wide[place];
}

static void widen(RbPackedColumn *column, int n, int room)
{
    column->wide = g_new(uint16_t, room + 1);
    for (int i = 0; i < n; i++) {
        column->wide[i] = column->narrow[i];
    }
    g_clear_pointer(&column->narrow, g_free);
}

/* Few values: looked for one after the other; many: in a table. */
static int find_code(RbPackedColumn *column, int64_t value)
{
    enum { FEW = 24 };
    if (column->n_values <= FEW) {
        for (int code = 1; code < column->n_values; code++) {
            if (column->values[code] == value) {
                return code;
            }
        }
        return CODE_UNKNOWN;
    }
    if (column->codes == NULL) {
        column->codes = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
        for (int code = 1; code < column->n_values; code++) {
            g_hash_table_insert(column->codes,
                                g_memdup2(&column->values[code], sizeof value),
                                GINT_TO_POINTER(code));
        }
    }
    return GPOINTER_TO_INT(g_hash_table_lookup(column->codes, &value));
}

static int add_code(RbPacked *packed, RbPackedColumn *column, int64_t value)
{
    const int code = column->n_values;
    g_assert(code < WIDE_MAX);
    if (code == column->room) {
        column->room *= 2;
        column->values = g_renew(int64_t, column->values, column->room);
    }
    column->values[code] = value;
    column->n_values++;
    if (column->codes != NULL) {
        g_hash_table_insert(column->codes, g_memdup2(&value, sizeof value),
                            GINT_TO_POINTER(code));
    }
    if (code == NARROW_MAX) {
        widen(column, packed->n, packed->room);
    }
    return code;
}

static void set_code(RbPackedColumn *column, int place, int code)
{
    if (column->narrow != NULL) {
        column->narrow[place] = (uint8_t)code;
    } else {
        column->wide[place] = (uint16_t)code;
    }
}

static RbPackedRest rest_of(const RbDropback *row)
{
    return (RbPackedRest){
        .snap = row->snap,
        .points = row->points,
        .gain = (int16_t)CLAMP(row->gain, INT16_MIN, INT16_MAX),
        .release_ms = (int16_t)CLAMP(row->release_ms, -1, INT16_MAX),
        .flags =
            (uint8_t)((row->success ? SUCCEEDED : 0) | (row->has_points ? POINTED : 0) |
                      (row->pressured ? PRESSED : 0) | (row->in_ladder ? COUNTED : 0)),
        .ending = (uint8_t)row->ending,
        .right_read = (int8_t)row->right_read,
        .ball_read = (int8_t)row->ball_read,
    };
}

static GArray *places_of(RbPacked *packed, int64_t value)
{
    for (guint i = 0; i < packed->lists->len; i++) {
        const RbPackedList *list = &g_array_index(packed->lists, RbPackedList, i);
        if (list->value == value) {
            return list->places;
        }
    }
    const RbPackedList list = { value, g_array_new(FALSE, FALSE, sizeof(int32_t)) };
    g_array_append_val(packed->lists, list);
    return list.places;
}

static void put_in_lists(RbPacked *packed, int place, const RbPackedRow *row)
{
    const int32_t own = place;
    for (int i = 0; i < row->n_own_tags; i++) {
        g_array_append_val(places_of(packed, row->own_tags[i]), own);
    }
}

static void take_out_of_lists(const RbPacked *packed, int place)
{
    for (guint i = 0; i < packed->lists->len; i++) {
        GArray *places = g_array_index(packed->lists, RbPackedList, i).places;
        for (guint j = places->len; j-- > 0;) {
            if (g_array_index(places, int32_t, j) == place) {
                g_array_remove_index_fast(places, j);
            }
        }
    }
}

static void put(RbPacked *packed, int place, const RbPackedRow *row)
{
    RbPackedRow own = *row;
    set_known(&own);
    packed->rest[place] = rest_of(&row->row);
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        RbPackedColumn *column = &packed->columns[f];
        int code = CODE_UNKNOWN;
        if (own.known[f]) {
            code = find_code(column, own.values[f]);
            code = code != CODE_UNKNOWN ? code : add_code(packed, column, own.values[f]);
        }
        set_code(column, place, code);
    }
    put_in_lists(packed, place, row);
}

void rb_packed_append(RbPacked *packed, const RbPackedRow *row)
{
    g_assert(packed->n < packed->room);
    put(packed, packed->n, row);
    packed->n++;
}

void rb_packed_set(RbPacked *packed, int place, const RbPackedRow *row)
{
    g_assert(place >= 0 && place < packed->n);
    take_out_of_lists(packed, place);
    put(packed, place, row);
}

int rb_packed_get_count(const RbPacked *packed)
{
    return packed->n;
}

size_t rb_packed_get_size(const RbPacked *packed)
{
    const size_t n = (size_t)packed->room + 1;
    size_t size = sizeof *packed + n * sizeof *packed->rest;
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        const RbPackedColumn *column = &packed->columns[f];
        size += (size_t)column->room * sizeof *column->values;
        size +=
            n * (column->narrow != NULL ? sizeof *column->narrow : sizeof *column->wide);
    }
    for (guint i = 0; i < packed->lists->len; i++) {
        const RbPackedList *list = &g_array_index(packed->lists, RbPackedList, i);
        size += sizeof *list + list->places->len * sizeof(int32_t);
    }
    return size;
}

static int64_t value_at(const RbPacked *packed, RbField field, int place)
{
    const RbPackedColumn *column = &packed->columns[field];
    return column->values[code_at(column, place)]; /* unknown is 0 */
}

void rb_packed_get_row(const RbPacked *packed, int place, RbDropback *row)
{
    const RbPackedRest *rest = &packed->rest[place];
    *row = (RbDropback){
        .snap = rest->snap,
        .game = { value_at(packed, RB_FIELD_GAME, place) },
        .quarterback = { value_at(packed, RB_FIELD_QUARTERBACK, place) },
        .concept = { value_at(packed, RB_FIELD_CONCEPT, place) },
        .coverage = { value_at(packed, RB_FIELD_COVERAGE, place) },
        .verdict = (RbVerdict)value_at(packed, RB_FIELD_VERDICT, place),
        .stage = (RbStage)value_at(packed, RB_FIELD_STAGE, place),
        .stage_read = (int)value_at(packed, RB_FIELD_READ, place),
        .right_read = rest->right_read,
        .ball_read = rest->ball_read,
        .result = (RbResult)value_at(packed, RB_FIELD_RESULT, place),
        .ending = (RbEnding)rest->ending,
        .gain = rest->gain,
        .success = (rest->flags & SUCCEEDED) != 0,
        .has_points = (rest->flags & POINTED) != 0,
        .points = rest->points,
        .pressured = (rest->flags & PRESSED) != 0,
        .release_ms = rest->release_ms,
        .in_ladder = (rest->flags & COUNTED) != 0,
    };
}

/* A value by itself, for asking a filter of one clause. */
static bool probe_value(const void *data, RbField field, int index, int64_t *value)
{
    (void)field;
    *value = *(const int64_t *)data;
    return index == 0;
}

static bool accepts(const RbClause *clause, int64_t value)
{
    void *clauses[1] = { (void *)clause };
    GPtrArray list = { .pdata = clauses, .len = 1 };
    const RbFilter one = { &list };
    return rb_filter_matches(&one, &value, probe_value);
}

/* Which codes a clause accepts. */
static void allow_codes(const RbPackedColumn *column, const RbClause *clause,
                        uint8_t *allowed)
{
    allowed[CODE_UNKNOWN] = 0;
    for (int code = 1; code < column->n_values; code++) {
        allowed[code] = accepts(clause, column->values[code]);
    }
}

static void apply_to_lists(const RbPacked *packed, const RbClause *clause, uint8_t *mask)
{
    g_autofree uint8_t *has = g_malloc0((gsize)packed->n + 1);
    for (guint i = 0; i < packed->lists->len; i++) {
        const RbPackedList *list = &g_array_index(packed->lists, RbPackedList, i);
        const guint n = accepts(clause, list->value) ? list->places->len : 0;
        for (guint j = 0; j < n; j++) {
            has[g_array_index(list->places, int32_t, j)] = 1;
        }
    }
    for (int i = 0; i < packed->n; i++) {
        mask[i] &= has[i];
    }
}

static void apply_clause(const RbPackedColumn *column, int n, const RbClause *clause,
                         uint8_t *mask)
{
    g_autofree uint8_t *allowed = g_new0(uint8_t, MAX(column->n_values, NARROW_MAX));
    allow_codes(column, clause, allowed);
    if (column->narrow != NULL) {
        for (int i = 0; i < n; i++) {
            mask[i] &= allowed[column->narrow[i]];
        }
    } else {
        for (int i = 0; i < n; i++) {
            mask[i] &= allowed[column->wide[i]];
        }
    }
}

void rb_packed_filter(const RbPacked *packed, const RbFilter *filter, uint8_t *mask)
{
    memset(mask, 1, (size_t)packed->n);
    for (guint i = 0; i < filter->clauses->len; i++) {
        const RbClause *clause = filter->clauses->pdata[i];
        if (rb_field_is_many(clause->field)) {
            apply_to_lists(packed, clause, mask);
        } else {
            apply_clause(&packed->columns[clause->field], packed->n, clause, mask);
        }
    }
}

/* The table as a rectangle: code of the concept by code of the coverage. */
typedef struct {
    int rows;
    int columns;
    RbTally *cells; /* owned */
} Grid;

static Grid grid_new(const RbPacked *packed)
{
    const int rows = packed->columns[RB_FIELD_CONCEPT].n_values;
    const int columns = packed->columns[RB_FIELD_COVERAGE].n_values;
    return (Grid){ rows, columns, g_new0(RbTally, (size_t)rows * (size_t)columns) };
}

/* What a tally needs of a row. */
static RbDropback tallied(const RbPacked *packed, int place)
{
    const RbPackedRest *rest = &packed->rest[place];
    return (RbDropback){
        .verdict = (RbVerdict)value_at(packed, RB_FIELD_VERDICT, place),
        .result = (RbResult)value_at(packed, RB_FIELD_RESULT, place),
        .gain = rest->gain,
        .success = (rest->flags & SUCCEEDED) != 0,
        .has_points = (rest->flags & POINTED) != 0,
        .points = rest->points,
        .pressured = (rest->flags & PRESSED) != 0,
    };
}

static void fill_grid(const RbPacked *packed, const uint8_t *mask, const Grid *grid)
{
    const RbPackedColumn *concepts = &packed->columns[RB_FIELD_CONCEPT];
    const RbPackedColumn *coverages = &packed->columns[RB_FIELD_COVERAGE];
    for (int i = 0; i < packed->n; i++) {
        if (mask[i] == 0 || (packed->rest[i].flags & COUNTED) == 0) {
            continue;
        }
        const int at = code_at(concepts, i) * grid->columns + code_at(coverages, i);
        const RbDropback row = tallied(packed, i);
        rb_tally_add(&grid->cells[at], &row);
    }
}

/* Sums of a line of the grid, first row and column (unknown) left out. */
static void sum_margins(const RbPacked *packed, const Grid *grid, RbPairings *pairings)
{
    const int64_t *concepts = packed->columns[RB_FIELD_CONCEPT].values;
    const int64_t *coverages = packed->columns[RB_FIELD_COVERAGE].values;
    RbTally *rows = g_new0(RbTally, grid->rows + 1);
    RbTally *columns = g_new0(RbTally, grid->columns + 1);
    for (int i = 0; i < grid->rows; i++) {
        for (int j = 0; j < grid->columns; j++) {
            RbTally *cell = &grid->cells[i * grid->columns + j];
            if (i == 0 || j == 0) {
                pairings->untagged += cell->dropbacks;
                continue;
            }
            cell->concept.value = rows[i].concept.value = concepts[i];
            cell->coverage.value = columns[j].coverage.value = coverages[j];
            rb_tally_merge(&rows[i], cell);
            rb_tally_merge(&columns[j], cell);
            rb_tally_merge(&pairings->all, cell);
        }
    }
    pairings->concepts = rows;
    pairings->coverages = columns;
}

/* Drops margins without dropbacks and orders the rest. */
static int settle_margins(RbTally *margins, int n)
{
    int kept = 0;
    for (int i = 1; i < n; i++) {
        if (margins[i].dropbacks > 0) {
            margins[kept++] = margins[i];
        }
    }
    qsort(margins, (size_t)kept, sizeof *margins, rb_tally_compare);
    return kept;
}

static int code_of(const RbPackedColumn *column, int64_t value)
{
    for (int code = 1; code < column->n_values; code++) {
        if (column->values[code] == value) {
            return code;
        }
    }
    g_assert_not_reached();
}

static void pick_cells(const RbPacked *packed, const Grid *grid, RbPairings *pairings)
{
    g_autofree int *columns = g_new(int, pairings->n_coverages + 1);
    for (int j = 0; j < pairings->n_coverages; j++) {
        columns[j] = code_of(&packed->columns[RB_FIELD_COVERAGE],
                             pairings->coverages[j].coverage.value);
    }
    pairings->cells = g_new(RbTally, (size_t)grid->rows * (size_t)grid->columns);
    for (int i = 0; i < pairings->n_concepts; i++) {
        const int row = code_of(&packed->columns[RB_FIELD_CONCEPT],
                                pairings->concepts[i].concept.value);
        for (int j = 0; j < pairings->n_coverages; j++) {
            const RbTally *cell = &grid->cells[row * grid->columns + columns[j]];
            if (cell->dropbacks > 0) {
                pairings->cells[pairings->n_cells++] = *cell;
            }
        }
    }
}

void rb_packed_pairings(const RbPacked *packed, const uint8_t *mask, RbPairings *pairings)
{
    memset(pairings, 0, sizeof *pairings);
    const Grid grid = grid_new(packed);
    fill_grid(packed, mask, &grid);
    sum_margins(packed, &grid, pairings);
    pairings->n_concepts = settle_margins(pairings->concepts, grid.rows);
    pairings->n_coverages = settle_margins(pairings->coverages, grid.columns);
    pick_cells(packed, &grid, pairings);
    g_free(grid.cells);
}

void rb_packed_ladder(const RbPacked *packed, const uint8_t *mask, RbLadder *ladder)
{
    memset(ladder, 0, sizeof *ladder);
    for (int i = 0; i < packed->n; i++) {
        const RbPackedRest *rest = &packed->rest[i];
        if (mask[i] == 0 || (rest->flags & COUNTED) == 0) {
            continue;
        }
        RbLadderCell *cell = &ladder->cells[value_at(packed, RB_FIELD_READ, i)]
                                           [value_at(packed, RB_FIELD_STAGE, i)];
        cell->dropbacks++;
        ladder->dropbacks++;
        if ((rest->flags & POINTED) != 0) {
            cell->pointed++;
            cell->points += rest->points;
            ladder->pointed++;
            ladder->points += rest->points;
        }
    }
}
