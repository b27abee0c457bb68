/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <inttypes.h>

#include "rb/base/error.h"

#include "parcel.h"
#include "statement-private.h"

int64_t rb_store_last_action(RbStore *store, int64_t laptop, GError **error)
{
    int64_t last = -1;
    g_autofree char *sql = g_strdup_printf(
        "SELECT max(number) FROM action WHERE laptop = %" G_GINT64_FORMAT, laptop);
    return rb_sqlite_int(store->db, store->path, sql, 0, &last, error) ? last : -1;
}

int64_t rb_store_count_forgotten(RbStore *store, GError **error)
{
    int64_t n = -1;
    return rb_sqlite_int(store->db, store->path,
                         "SELECT count(*) FROM action WHERE type = 'forget'", 0, &n,
                         error)
               ? n
               : -1;
}

GArray *rb_store_own_ranges(RbStore *store, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT l.id, coalesce(max(a.number), 0) AS last FROM laptop l"
        " LEFT JOIN action a ON a.laptop = l.id WHERE l.mine = 1 GROUP BY l.id"
        " ORDER BY l.id",
        error);
    if (query == NULL) {
        return NULL;
    }
    g_autoptr(GArray) ranges = g_array_new(FALSE, FALSE, sizeof(RbParcelRange));
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const RbParcelRange range = {
            .laptop = rb_statement_get_int(query, "id"),
            .first = 1,
            .last = rb_statement_get_int(query, "last"),
        };
        g_array_append_val(ranges, range);
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&ranges) : NULL;
}

static RbCell value_of(RbStatement *row, const char *column)
{
    sqlite3_value *value = rb_statement_get_value(row, column);
    switch (sqlite3_value_type(value)) {
    case SQLITE_NULL:
        return (RbCell){ .kind = RB_CELL_NONE };
    case SQLITE_INTEGER:
        return (RbCell){ .kind = RB_CELL_INT, .number = sqlite3_value_int64(value) };
    default: /* shared columns hold nothing else: a test walks the schema */
        return (RbCell){ .kind = RB_CELL_TEXT,
                         .text = g_strdup((const char *)sqlite3_value_text(value)) };
    }
}

static bool pack_ops(RbStore *store, RbParcel *parcel, RbParcelAction *action,
                     int64_t number, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT f.table_name, f.column_name, o.row_id, o.old, o.new, o.base, o.of_author,"
        " o.of_seq FROM action a JOIN op o ON o.author = a.laptop AND o.seq >= a.first_seq"
        " AND o.seq < a.first_seq + a.changes JOIN field f ON f.id = o.field"
        " WHERE a.laptop = ? AND a.number = ? ORDER BY o.seq",
        error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, parcel->laptop);
    rb_statement_bind_int(query, number);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        RbParcelOp *op = rb_parcel_op_new();
        g_ptr_array_add(action->ops, op);
        op->field =
            rb_parcel_add_field(parcel, rb_statement_get_text(query, "table_name"),
                                rb_statement_get_text(query, "column_name"));
        op->row = rb_statement_get_int(query, "row_id");
        op->old = value_of(query, "old");
        op->new_ = value_of(query, "new");
        rb_base_parse(rb_statement_get_text(query, "base"), op->base);
        op->of.author = rb_statement_get_int(query, "of_author");
        op->of.seq = rb_statement_get_int(query, "of_seq");
    }
    return step == RB_STEP_DONE;
}

static bool pack_actions(RbStore *store, RbParcel *parcel, const RbParcelRange *range,
                         GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT number, stamp, person, type, words, target_laptop, target_number,"
        " forget_table, forget_row, first_seq FROM action"
        " WHERE laptop = ? AND number BETWEEN ? AND ? ORDER BY number",
        error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, range->laptop);
    rb_statement_bind_int(query, range->first);
    rb_statement_bind_int(query, range->last);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        RbParcelAction *action = rb_parcel_action_new();
        g_ptr_array_add(parcel->actions, action);
        if (parcel->actions->len == 1) {
            parcel->seq_before = rb_statement_get_int(query, "first_seq") - 1;
        }
        int type = 0;
        if (!rb_statement_get_word(query, "type", &rb_action_type_words, &type, error)) {
            return false;
        }
        action->type = (RbActionType)type;
        action->stamp = rb_statement_get_int(query, "stamp");
        action->person = rb_statement_get_int(query, "person");
        action->words = g_strdup(rb_statement_get_text(query, "words"));
        action->target.laptop = rb_statement_get_int(query, "target_laptop");
        action->target.number = rb_statement_get_int(query, "target_number");
        action->forget_table = g_strdup(rb_statement_get_text(query, "forget_table"));
        action->forget_row = rb_statement_get_int(query, "forget_row");
        if (!pack_ops(store, parcel, action, rb_statement_get_int(query, "number"),
                      error)) {
            return false;
        }
    }
    return step == RB_STEP_DONE;
}

GBytes *rb_store_pack(RbStore *store, const RbParcelRange *range, GError **error)
{
    g_autoptr(RbParcel) parcel = rb_parcel_new();
    parcel->schema = store->version;
    parcel->laptop = range->laptop;
    parcel->first = range->first;
    parcel->forgotten = rb_store_count_forgotten(store, error);
    if (parcel->forgotten < 0 || !pack_actions(store, parcel, range, error)) {
        return NULL;
    }
    if ((int64_t)parcel->actions->len != range->last - range->first + 1) {
        rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_UNKNOWN,
                     "The library does not hold the actions %" PRId64 " to %" PRId64
                     " any more; send again.",
                     range->first, range->last);
        return NULL;
    }
    return rb_parcel_write(parcel);
}
