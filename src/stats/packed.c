/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/packed.h"

#include <string.h>

#include "packed-private.h"

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
        { NUMBER_COLUMN, row->row.number, row->row.number != 0 },
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

/* filled: places that have a code already. */
static int add_code(const RbPacked *packed, RbPackedColumn *column, int64_t value,
                    int filled)
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
        widen(column, filled, packed->room);
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
    G_STATIC_ASSERT(RB_READS_MAX <=
                    8); /* a bit each of `opened`, half a byte of `reads` */
    g_assert(row->right_read >= 0 && row->right_read <= RB_READS_MAX);
    g_assert(row->ball_read >= 0 && row->ball_read <= RB_READS_MAX);
    return (RbPackedRest){
        .snap = row->snap,
        .points = row->points,
        .gain = (int16_t)CLAMP(row->gain, INT16_MIN, INT16_MAX),
        .release_ms = (int16_t)CLAMP(row->release_ms, -1, INT16_MAX),
        .flags =
            (uint8_t)((row->success ? SUCCEEDED : 0) | (row->has_points ? POINTED : 0) |
                      (row->pressured ? PRESSED : 0) | (row->in_ladder ? COUNTED : 0) |
                      (row->has_gain ? GAINED : 0)),
        .ending = (uint8_t)row->ending,
        .reads = (uint8_t)(row->right_read | row->ball_read << 4),
        .opened = row->opened,
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
            code = code != CODE_UNKNOWN
                       ? code
                       : add_code(packed, column, own.values[f], packed->n);
        }
        set_code(column, place, code);
    }
    put_in_lists(packed, place, row);
}

static void set_room(RbPacked *packed, int room)
{
    packed->room = room;
    packed->rest = g_renew(RbPackedRest, packed->rest, room + 1);
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        RbPackedColumn *column = &packed->columns[f];
        if (column->narrow != NULL) {
            column->narrow = g_renew(uint8_t, column->narrow, room + 1);
        } else {
            column->wide = g_renew(uint16_t, column->wide, room + 1);
        }
    }
}

static void make_room(RbPacked *packed, int n)
{
    if (packed->n + n > packed->room) {
        set_room(packed, packed->n + n + packed->room / 2);
    }
}

void rb_packed_trim(RbPacked *packed)
{
    set_room(packed, packed->n);
}

void rb_packed_append(RbPacked *packed, const RbPackedRow *row)
{
    make_room(packed, 1);
    put(packed, packed->n, row);
    packed->n++;
}

/* Codes of one dictionary are turned into those of the other, values that are new to it added
 * as they come. */
static void append_codes(RbPacked *packed, RbPackedColumn *to, const RbPackedColumn *from,
                         int first, int n)
{
    g_autofree int *codes = g_new0(int, from->n_values); /* 0: not met yet */
    for (int i = 0; i < n; i++) {
        const int code = rb_packed_code(from, first + i);
        if (code != CODE_UNKNOWN && codes[code] == 0) {
            const int known = find_code(to, from->values[code]);
            codes[code] = known != CODE_UNKNOWN
                              ? known
                              : add_code(packed, to, from->values[code], packed->n + i);
        }
        set_code(to, packed->n + i, codes[code]);
    }
}

void rb_packed_append_range(RbPacked *packed, const RbPacked *from, int first, int n)
{
    g_assert(first >= 0 && n >= 0 && first + n <= from->n);
    make_room(packed, n);
    memcpy(packed->rest + packed->n, from->rest + first, (size_t)n * sizeof *from->rest);
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        append_codes(packed, &packed->columns[f], &from->columns[f], first, n);
    }
    for (guint i = 0; i < from->lists->len; i++) {
        const RbPackedList *list = &g_array_index(from->lists, RbPackedList, i);
        for (guint j = 0; j < list->places->len; j++) {
            const int32_t place = g_array_index(list->places, int32_t, j) - first;
            if (place >= 0 && place < n) {
                const int32_t own = packed->n + place;
                g_array_append_val(places_of(packed, list->value), own);
            }
        }
    }
    packed->n += n;
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

RbSnapId rb_packed_get_snap(const RbPacked *packed, int place)
{
    g_assert(place >= 0 && place < packed->n);
    return packed->rest[place].snap;
}

bool rb_packed_is_counted(const RbPacked *packed, int place)
{
    g_assert(place >= 0 && place < packed->n);
    return (packed->rest[place].flags & COUNTED) != 0;
}

bool rb_packed_get_value(const RbPacked *packed, int place, RbField field, int64_t *value)
{
    g_assert(!rb_field_is_many(field) && place >= 0 && place < packed->n);
    const RbPackedColumn *column = &packed->columns[field];
    const int code = rb_packed_code(column, place);
    *value = column->values[code];
    return code != CODE_UNKNOWN;
}

void rb_packed_get_row(const RbPacked *packed, int place, RbDropback *row)
{
    const RbPackedRest *rest = &packed->rest[place];
    *row = (RbDropback){
        .snap = rest->snap,
        .game = { rb_packed_value(packed, RB_FIELD_GAME, place) },
        .quarterback = { rb_packed_value(packed, RB_FIELD_QUARTERBACK, place) },
        .concept = { rb_packed_value(packed, RB_FIELD_CONCEPT, place) },
        .coverage = { rb_packed_value(packed, RB_FIELD_COVERAGE, place) },
        .verdict = (RbVerdict)rb_packed_value(packed, RB_FIELD_VERDICT, place),
        .stage = (RbStage)rb_packed_value(packed, RB_FIELD_STAGE, place),
        .stage_read = (int)rb_packed_value(packed, RB_FIELD_READ, place),
        .right_read = rest->reads & 15,
        .ball_read = rest->reads >> 4,
        .number = (int)rb_packed_value(packed, NUMBER_COLUMN, place),
        .result = (RbResult)rb_packed_value(packed, RB_FIELD_RESULT, place),
        .ending = (RbEnding)rest->ending,
        .gain = rest->gain,
        .has_gain = (rest->flags & GAINED) != 0,
        .opened = rest->opened,
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
