/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "packed-private.h"

/* Head, what has no dictionary, then each column: its values, then its codes; then each list: its
 * value, then its places. All as they lie in memory: a cache is read by the program that wrote it or not at all. */
typedef struct {
    char magic[8];
    int32_t n;
    int32_t fields;
    int32_t rest_size;
    int32_t lists;
} Head;

typedef struct {
    int32_t n_values;
    int32_t width; /* bytes a code */
} ColumnHead;

typedef struct {
    int64_t value;
    int64_t n; /* places */
} ListHead;

static const char magic[8] = "RBPACK3";

static void append(GByteArray *out, const void *data, size_t size)
{
    g_byte_array_append(out, data, (guint)size);
}

GBytes *rb_packed_to_bytes(const RbPacked *packed)
{
    const size_t n = (size_t)packed->n;
    GByteArray *out = g_byte_array_sized_new((guint)rb_packed_get_size(packed));
    Head head = { .n = packed->n,
                  .fields = RB_FIELDS,
                  .rest_size = (int32_t)sizeof *packed->rest,
                  .lists = (int32_t)packed->lists->len };
    memcpy(head.magic, magic, sizeof magic);
    append(out, &head, sizeof head);
    append(out, packed->rest, n * sizeof *packed->rest);
    for (int f = 0; f < RB_PACKED_COLUMNS; f++) {
        const RbPackedColumn *column = &packed->columns[f];
        const bool narrow = column->narrow != NULL;
        const ColumnHead own = { column->n_values, narrow ? 1 : 2 };
        append(out, &own, sizeof own);
        append(out, column->values, (size_t)own.n_values * sizeof *column->values);
        append(out, narrow ? (const void *)column->narrow : column->wide,
               n * (size_t)own.width);
    }
    for (guint i = 0; i < packed->lists->len; i++) {
        const RbPackedList *list = &g_array_index(packed->lists, RbPackedList, i);
        const ListHead own = { list->value, list->places->len };
        append(out, &own, sizeof own);
        append(out, list->places->data, list->places->len * sizeof(int32_t));
    }
    return g_byte_array_free_to_bytes(out);
}

/* What is left to read. */
typedef struct {
    const uint8_t *at;
    size_t left;
} Source;

static bool take(Source *source, void *to, size_t size)
{
    if (source->left < size) {
        return false;
    }
    memcpy(to, source->at, size);
    source->at += size;
    source->left -= size;
    return true;
}

/* Every code must have a value. */
static bool codes_hold(const RbPackedColumn *column, int n)
{
    int most = 0;
    for (int i = 0; i < n; i++) {
        const int code = column->narrow != NULL ? column->narrow[i] : column->wide[i];
        most = MAX(most, code);
    }
    return most < column->n_values;
}

static bool take_column(Source *source, RbPackedColumn *column, int n)
{
    ColumnHead head;
    if (!take(source, &head, sizeof head) || head.n_values < 1 ||
        head.n_values > WIDE_MAX || (head.width != 1 && head.width != 2) ||
        source->left / sizeof *column->values < (size_t)head.n_values) {
        return false;
    }
    const size_t size = (size_t)n * (size_t)head.width;
    g_free(column->values);
    column->n_values = column->room = head.n_values;
    column->values = g_new(int64_t, head.n_values);
    if (head.width == 2) {
        g_clear_pointer(&column->narrow, g_free);
        column->wide = g_new(uint16_t, n + 1);
    }
    return take(source, column->values, (size_t)head.n_values * sizeof *column->values) &&
           take(source, head.width == 1 ? (void *)column->narrow : column->wide, size) &&
           codes_hold(column, n);
}

/* Every place must be one of the dropbacks. */
static bool take_list(Source *source, RbPacked *packed)
{
    ListHead head;
    if (!take(source, &head, sizeof head) || head.n < 0 || head.n > packed->n ||
        source->left / sizeof(int32_t) < (size_t)head.n) {
        return false;
    }
    const RbPackedList list = {
        head.value, g_array_sized_new(FALSE, FALSE, sizeof(int32_t), (guint)head.n)
    };
    g_array_set_size(list.places, (guint)head.n);
    g_array_append_val(packed->lists, list);
    bool good = take(source, list.places->data, (size_t)head.n * sizeof(int32_t));
    for (int64_t i = 0; good && i < head.n; i++) {
        const int32_t place = g_array_index(list.places, int32_t, i);
        good = place >= 0 && place < packed->n;
    }
    return good;
}

/* Values that index tables must be inside them. */
static bool values_hold(const RbPacked *packed)
{
    static const struct {
        RbField field;
        int64_t end;
    } limits[] = { { RB_FIELD_STAGE, RB_STAGES },
                   { RB_FIELD_READ, RB_READS_MAX + 1 },
                   { RB_FIELD_VERDICT, RB_VERDICTS },
                   { RB_FIELD_RESULT, RB_RESULT_NO_PLAY + 1 } };
    for (size_t i = 0; i < G_N_ELEMENTS(limits); i++) {
        const RbPackedColumn *column = &packed->columns[limits[i].field];
        for (int code = 0; code < column->n_values; code++) {
            if (column->values[code] < 0 || column->values[code] >= limits[i].end) {
                return false;
            }
        }
    }
    return true;
}

static bool rest_holds(const RbPackedRest *rest, int n)
{
    for (int i = 0; i < n; i++) {
        if (rest[i].ending > RB_ENDING_TOUCHDOWN_AGAINST ||
            (rest[i].reads & 15) > RB_READS_MAX || rest[i].reads >> 4 > RB_READS_MAX) {
            return false;
        }
    }
    return true;
}

RbPacked *rb_packed_from_bytes(const void *data, size_t size)
{
    Source source = { data, size };
    Head head;
    if (!take(&source, &head, sizeof head) ||
        memcmp(head.magic, magic, sizeof magic) != 0 || head.fields != RB_FIELDS ||
        head.rest_size != (int32_t)sizeof(RbPackedRest) || head.n < 0 ||
        source.left / sizeof(RbPackedRest) < (size_t)head.n) {
        return NULL;
    }
    g_autoptr(RbPacked) packed = rb_packed_new(head.n);
    packed->n = head.n;
    bool good = take(&source, packed->rest, (size_t)head.n * sizeof *packed->rest);
    good = good && rest_holds(packed->rest, packed->n);
    for (int f = 0; good && f < RB_PACKED_COLUMNS; f++) {
        good = take_column(&source, &packed->columns[f], head.n);
    }
    for (int i = 0; good && i < head.lists; i++) {
        good = take_list(&source, packed);
    }
    return good && source.left == 0 && values_hold(packed) ? g_steal_pointer(&packed)
                                                           : NULL;
}
