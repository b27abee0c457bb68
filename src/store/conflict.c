/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/history.h"

#include "record.h"
#include "statement-private.h"

static void head_free(void *data)
{
    RbHead *head = data;
    g_free(head->value);
    g_free(head);
}

void rb_conflict_free(RbConflict *conflict)
{
    if (conflict == NULL) {
        return;
    }
    g_free(conflict->table);
    g_free(conflict->column);
    g_ptr_array_unref(conflict->heads);
    g_free(conflict);
}

static RbConflict *conflict_of(RbStatement *row)
{
    RbConflict *conflict = g_new0(RbConflict, 1);
    conflict->table = g_strdup(rb_statement_get_text(row, "table_name"));
    conflict->column = g_strdup(rb_statement_get_text(row, "column_name"));
    conflict->row = rb_statement_get_int(row, "row_id");
    conflict->heads = g_ptr_array_new_with_free_func(head_free);
    return conflict;
}

static RbHead *head_of(RbStatement *row)
{
    RbHead *head = g_new0(RbHead, 1);
    head->laptop = rb_statement_get_int(row, "author");
    head->seq = rb_statement_get_int(row, "seq");
    head->person.value = rb_statement_get_int(row, "person");
    head->when_us = rb_statement_get_int(row, "stamp");
    head->value = g_strdup(rb_statement_get_text(row, "new"));
    return head;
}

GPtrArray *rb_store_list_conflicts(RbStore *store, GError **error)
{
    /* Heads with one value are no conflict: both laptops say the same. What a new library
     * started with is nobody's word against anybody's. */
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT f.table_name, f.column_name, h.row_id, h.author, h.seq, h.stamp,"
        " a.person, o.new FROM head h JOIN field f ON f.id = h.field"
        " JOIN op o ON o.author = h.author AND o.seq = h.seq"
        " JOIN action a ON a.laptop = o.author AND a.number = o.action"
        " WHERE (h.row_id, h.field) IN ("
        "  SELECT d.row_id, d.field FROM head d WHERE d.stamp > ?1 GROUP BY d.row_id, d.field"
        "  HAVING count(*) > 1 AND (SELECT count(DISTINCT quote(v.new)) FROM head e"
        "   JOIN op v ON v.author = e.author AND v.seq = e.seq"
        "   WHERE e.row_id = d.row_id AND e.field = d.field AND e.stamp > ?1) > 1)"
        " ORDER BY f.table_name, h.row_id, f.column_name, h.stamp DESC, h.author DESC",
        error);
    if (query == NULL) {
        return NULL;
    }
    rb_statement_bind_int(query, RB_SEED_STAMP);
    g_autoptr(GPtrArray) conflicts =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_conflict_free);
    RbConflict *last = NULL;
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        if (last == NULL || last->row != rb_statement_get_int(query, "row_id") ||
            g_strcmp0(last->table, rb_statement_get_text(query, "table_name")) != 0 ||
            g_strcmp0(last->column, rb_statement_get_text(query, "column_name")) != 0) {
            last = conflict_of(query);
            g_ptr_array_add(conflicts, last);
        }
        g_ptr_array_add(last->heads, head_of(query));
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&conflicts) : NULL;
}

/* Writes the value of a head into the row, which is no change if it is shown already. */
static bool write_value(RbStore *store, const RbConflict *conflict, const RbHead *head,
                        GError **error)
{
    g_autofree char *sql = g_strdup_printf(
        "UPDATE \"%s\" SET \"%s\" = (SELECT new FROM op WHERE author = ? AND seq = ?)"
        " WHERE id = ?",
        conflict->table, conflict->column);
    g_autoptr(RbStatement) update = rb_statement_new(store, sql, error);
    if (update == NULL) {
        return false;
    }
    rb_statement_bind_int(update, head->laptop);
    rb_statement_bind_int(update, head->seq);
    rb_statement_bind_int(update, conflict->row);
    return rb_statement_run(update, error);
}

bool rb_store_settle(RbStore *store, const RbConflict *conflict, int head, GError **error)
{
    rb_store_assert_in_action(store);
    g_assert(head >= 0 && (guint)head < conflict->heads->len);
    const RbHead *chosen = g_ptr_array_index(conflict->heads, (guint)head);
    const RbSettled settled = {
        .field = rb_record_field(store, conflict->table, conflict->column, error),
        .row = conflict->row,
    };
    if (settled.field == 0 || !write_value(store, conflict, chosen, error)) {
        return false;
    }
    /* The recorder sees a changed value by itself; an unchanged one must be told. */
    g_array_append_val(store->settled, settled);
    return true;
}
