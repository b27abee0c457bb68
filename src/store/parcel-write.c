/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "parcel-format.h"

static void put_u32(GByteArray *out, uint32_t value)
{
    const uint32_t wire = GUINT32_TO_LE(value);
    g_byte_array_append(out, (const guint8 *)&wire, sizeof wire);
}

static void put_i64(GByteArray *out, int64_t value)
{
    const int64_t wire = GINT64_TO_LE(value);
    g_byte_array_append(out, (const guint8 *)&wire, sizeof wire);
}

static void put_u8(GByteArray *out, guint8 value)
{
    g_byte_array_append(out, &value, 1);
}

static void put_text(GByteArray *out, const char *text)
{
    const size_t size = text != NULL ? strlen(text) : 0;
    put_u32(out, (uint32_t)size);
    if (size > 0) {
        g_byte_array_append(out, (const guint8 *)text, (guint)size);
    }
}

static void put_value(GByteArray *out, const RbCell *value)
{
    put_u8(out, (guint8)value->kind);
    switch (value->kind) {
    case RB_CELL_NONE:
        break;
    case RB_CELL_INT:
        put_i64(out, value->number);
        break;
    case RB_CELL_TEXT:
        put_text(out, value->text);
        break;
    }
}

static void put_op(GByteArray *out, const RbParcelOp *op)
{
    put_u32(out, op->field);
    put_i64(out, op->row);
    put_value(out, &op->old);
    put_value(out, &op->new_);
    put_u32(out, op->base->len);
    for (guint i = 0; i < op->base->len; i++) {
        put_i64(out, g_array_index(op->base, RbOpId, i).author);
        put_i64(out, g_array_index(op->base, RbOpId, i).seq);
    }
    put_i64(out, op->of.author);
    put_i64(out, op->of.seq);
}

static void put_action(GByteArray *out, const RbParcelAction *action)
{
    put_i64(out, action->stamp);
    put_i64(out, action->person);
    put_u8(out, (guint8)action->type);
    put_text(out, action->words);
    put_i64(out, action->target.laptop);
    put_i64(out, action->target.number);
    put_text(out, action->forget_table);
    put_i64(out, action->forget_row);
    put_u32(out, action->ops->len);
    for (guint i = 0; i < action->ops->len; i++) {
        put_op(out, g_ptr_array_index(action->ops, i));
    }
}

GBytes *rb_parcel_write(const RbParcel *parcel)
{
    GByteArray *out = g_byte_array_new();
    g_byte_array_append(out, (const guint8 *)RB_PARCEL_MAGIC, RB_PARCEL_MAGIC_SIZE);
    put_u32(out, (uint32_t)parcel->schema);
    put_i64(out, 0); /* the size, once it is known */
    put_i64(out, parcel->laptop);
    put_i64(out, parcel->first);
    put_i64(out, parcel->forgotten);
    put_i64(out, parcel->seq_before);
    put_u32(out, parcel->fields->len);
    for (guint i = 0; i < parcel->fields->len; i++) {
        const RbParcelField *field = g_ptr_array_index(parcel->fields, i);
        put_text(out, field->table);
        put_text(out, field->column);
    }
    put_u32(out, parcel->actions->len);
    for (guint i = 0; i < parcel->actions->len; i++) {
        put_action(out, g_ptr_array_index(parcel->actions, i));
    }
    const int64_t size = GINT64_TO_LE((int64_t)out->len + RB_PARCEL_SUM_SIZE);
    memcpy(out->data + RB_PARCEL_SIZE_AT, &size, sizeof size);
    guint8 sum[RB_PARCEL_SUM_SIZE];
    rb_parcel_sum(out->data, out->len, sum);
    g_byte_array_append(out, sum, sizeof sum);
    return g_byte_array_free_to_bytes(out);
}

void rb_parcel_sum(const guint8 *data, size_t size, guint8 *sum)
{
    g_autoptr(GChecksum) checksum = g_checksum_new(G_CHECKSUM_SHA256);
    g_checksum_update(checksum, data, (gssize)size);
    gsize length = RB_PARCEL_SUM_SIZE;
    g_checksum_get_digest(checksum, sum, &length);
}
