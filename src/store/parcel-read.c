/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/error.h"

#include "parcel-format.h"
#include "scripts.h"

/* The end of the year 2199 in microseconds: a time beyond it is a fault, and the hybrid clock,
 * which follows the greatest seen, stays far from overflow. */
#define STAMP_MAX INT64_C(7258118400000000)

/* The bytes not yet taken. A fault ends it: everything after gives zeros, and the parcel is
 * refused once, at the end. */
typedef struct {
    const guint8 *data;
    size_t left;
    bool bad;
} Reader;

static bool take(Reader *reader, void *out, size_t size)
{
    if (reader->bad || reader->left < size) {
        reader->bad = true;
        memset(out, 0, size);
        return false;
    }
    memcpy(out, reader->data, size);
    reader->data += size;
    reader->left -= size;
    return true;
}

static uint32_t take_u32(Reader *reader)
{
    uint32_t wire = 0;
    take(reader, &wire, sizeof wire);
    return GUINT32_FROM_LE(wire);
}

static int64_t take_i64(Reader *reader)
{
    int64_t wire = 0;
    take(reader, &wire, sizeof wire);
    return GINT64_FROM_LE(wire);
}

static guint8 take_u8(Reader *reader)
{
    guint8 value = 0;
    take(reader, &value, 1);
    return value;
}

/* An id, a number or nothing. */
static int64_t take_natural(Reader *reader)
{
    const int64_t value = take_i64(reader);
    reader->bad = reader->bad || value < 0;
    return value;
}

/* Returns: (transfer full): "" after a fault. */
static char *take_text(Reader *reader)
{
    const uint32_t size = take_u32(reader);
    if (reader->bad || size > reader->left ||
        !g_utf8_validate_len((const char *)reader->data, size, NULL)) {
        reader->bad = true;
        return g_strdup("");
    }
    char *text = g_strndup((const char *)reader->data, size);
    reader->data += size;
    reader->left -= size;
    return text;
}

/* How many of something follow, each of at least `size` bytes: a number that cannot be true is
 * refused before anything is made for it. */
static uint32_t take_count(Reader *reader, size_t size)
{
    const uint32_t n = take_u32(reader);
    if (reader->bad || n > reader->left / size) {
        reader->bad = true;
        return 0;
    }
    return n;
}

static void take_value(Reader *reader, RbCell *value)
{
    switch (take_u8(reader)) {
    case RB_CELL_NONE:
        break;
    case RB_CELL_INT:
        value->kind = RB_CELL_INT;
        value->number = take_i64(reader);
        break;
    case RB_CELL_TEXT:
        value->kind = RB_CELL_TEXT;
        value->text = take_text(reader);
        break;
    default:
        reader->bad = true;
    }
}

/* Both numbers or neither. */
static RbOpId take_op_id(Reader *reader)
{
    const RbOpId id = { take_natural(reader), take_natural(reader) };
    reader->bad = reader->bad || (id.author == 0) != (id.seq == 0);
    return id;
}

static void take_op(Reader *reader, const RbParcel *parcel, RbParcelAction *action)
{
    RbParcelOp *op = rb_parcel_op_new();
    g_ptr_array_add(action->ops, op);
    op->field = take_u32(reader);
    op->row = take_natural(reader);
    take_value(reader, &op->old);
    take_value(reader, &op->new_);
    const uint32_t n = take_count(reader, 16);
    for (uint32_t i = 0; i < n; i++) {
        const RbOpId id = take_op_id(reader);
        reader->bad = reader->bad || id.author == 0;
        g_array_append_val(op->base, id);
    }
    op->of = take_op_id(reader);
    reader->bad = reader->bad || op->field >= parcel->fields->len || op->row == 0;
}

static void take_action(Reader *reader, RbParcel *parcel)
{
    RbParcelAction *action = rb_parcel_action_new();
    g_ptr_array_add(parcel->actions, action);
    action->stamp = take_natural(reader);
    action->person = take_natural(reader);
    const guint8 type = take_u8(reader);
    reader->bad = reader->bad || type > RB_ACTION_FORGET;
    action->type = reader->bad ? RB_ACTION_DO : (RbActionType)type;
    action->words = take_text(reader);
    action->target.laptop = take_natural(reader);
    action->target.number = take_natural(reader);
    action->forget_table = take_text(reader);
    action->forget_row = take_natural(reader);
    const uint32_t n = take_count(reader, 4 + 8 + 2 + 4 + 16);
    for (uint32_t i = 0; i < n && !reader->bad; i++) {
        take_op(reader, parcel, action);
    }
}

/* An undo or redo says of what, and nothing else does; only a forgetting names a row. Times
 * never go back on one laptop. */
static bool is_sensible(const RbParcel *parcel)
{
    int64_t stamp = 0;
    for (guint i = 0; i < parcel->actions->len; i++) {
        const RbParcelAction *action = g_ptr_array_index(parcel->actions, i);
        const bool reverses =
            action->type == RB_ACTION_UNDO || action->type == RB_ACTION_REDO;
        const bool has_target = action->target.laptop > 0 && action->target.number > 0;
        const bool has_row = action->forget_table[0] != '\0' && action->forget_row > 0;
        if (reverses != has_target || (action->type == RB_ACTION_FORGET) != has_row ||
            action->stamp <= stamp || action->stamp > STAMP_MAX) {
            return false;
        }
        stamp = action->stamp;
    }
    return parcel->actions->len > 0;
}

static void take_body(Reader *reader, RbParcel *parcel)
{
    parcel->laptop = take_natural(reader);
    parcel->first = take_natural(reader);
    parcel->forgotten = take_natural(reader);
    parcel->seq_before = take_natural(reader);
    const uint32_t fields = take_count(reader, 8);
    for (uint32_t i = 0; i < fields && !reader->bad; i++) {
        g_autofree char *table = take_text(reader);
        g_autofree char *column = take_text(reader);
        /* A name twice would give one field two numbers. */
        reader->bad = reader->bad || rb_parcel_add_field(parcel, table, column) != i;
    }
    const uint32_t actions = take_count(reader, 8 * 6 + 1 + 4 * 3);
    for (uint32_t i = 0; i < actions && !reader->bad; i++) {
        take_action(reader, parcel);
    }
    const int64_t room = INT64_MAX / 2; /* numbers can be added without overflow */
    reader->bad = reader->bad || reader->left != 0 || parcel->laptop == 0 ||
                  parcel->first == 0 || parcel->first > room ||
                  parcel->seq_before > room || !is_sensible(parcel);
}

static RbParcel *damaged(const char *name, GError **error)
{
    rb_error_set(
        error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
        "The file %s is not whole, or not somebody's work from Readbreak, so nothing "
        "of it was taken; ask for it to be sent again.",
        name);
    return NULL;
}

/* The frame: magic, size and checksum. schema: (out). */
static bool check_frame(const guint8 *data, size_t size, uint32_t *schema, size_t *start)
{
    Reader reader = { data, size, false };
    char magic[RB_PARCEL_MAGIC_SIZE];
    take(&reader, magic, sizeof magic);
    *schema = take_u32(&reader);
    const int64_t said = take_i64(&reader);
    *start = size - reader.left;
    if (reader.bad || memcmp(magic, RB_PARCEL_MAGIC, sizeof magic) != 0 ||
        said != (int64_t)size || reader.left < RB_PARCEL_SUM_SIZE ||
        size > RB_PARCEL_SIZE_MAX) {
        return false;
    }
    guint8 sum[RB_PARCEL_SUM_SIZE];
    rb_parcel_sum(data, size - sizeof sum, sum);
    return memcmp(sum, data + size - sizeof sum, sizeof sum) == 0;
}

RbParcel *rb_parcel_parse_with(GBytes *bytes, const char *name, int schema,
                               GError **error)
{
    gsize size = 0;
    const guint8 *data = g_bytes_get_data(bytes, &size);
    uint32_t version = 0;
    size_t start = 0;
    if (!check_frame(data, size, &version, &start) || version == 0 ||
        version > G_MAXINT32) {
        return damaged(name, error);
    }
    if ((int)version > schema) {
        rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_NEWER,
                     "The file %s was written by a newer version of Readbreak and waits; "
                     "update this laptop, then receive again.",
                     name);
        return NULL;
    }
    g_autoptr(RbParcel) parcel = rb_parcel_new();
    parcel->schema = (int)version;
    Reader reader = { data + start, size - start - RB_PARCEL_SUM_SIZE, false };
    take_body(&reader, parcel);
    return reader.bad ? damaged(name, error) : g_steal_pointer(&parcel);
}

RbParcel *rb_parcel_parse(GBytes *bytes, const char *name, GError **error)
{
    return rb_parcel_parse_with(bytes, name, rb_schema_n, error);
}
