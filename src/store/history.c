/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/history.h"

#include "record.h"
#include "statement-private.h"

void rb_history_entry_free(RbHistoryEntry *entry)
{
    if (entry == NULL) {
        return;
    }
    g_free(entry->who);
    g_free(entry->words);
    g_free(entry);
}

void rb_change_free(RbChange *change)
{
    if (change == NULL) {
        return;
    }
    g_free(change->table);
    g_free(change->column);
    g_free(change->old);
    g_free(change->new_);
    g_free(change);
}

static RbHistoryEntry *read_entry(RbStatement *row, GError **error)
{
    int type = 0;
    if (!rb_statement_get_word(row, "type", &rb_action_type_words, &type, error)) {
        return NULL;
    }
    RbHistoryEntry *entry = g_new0(RbHistoryEntry, 1);
    entry->id.laptop = rb_statement_get_int(row, "laptop");
    entry->id.number = rb_statement_get_int(row, "number");
    entry->type = (RbActionType)type;
    entry->person.value = rb_statement_get_int(row, "person");
    entry->who = g_strdup(rb_statement_get_text(row, "who"));
    entry->words = g_strdup(rb_statement_get_text(row, "words"));
    entry->when_us = rb_statement_get_int(row, "stamp");
    entry->target.laptop = rb_statement_get_int(row, "target_laptop");
    entry->target.number = rb_statement_get_int(row, "target_number");
    entry->undone = rb_statement_get_int(row, "undone") != 0;
    entry->changes = (int)rb_statement_get_int(row, "changes");
    return entry;
}

GPtrArray *rb_store_list_history(RbStore *store, int64_t before_us, int limit,
                                 GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT a.laptop, a.number, a.type, a.person, coalesce(p.name, '') AS who,"
        " a.words, a.stamp, a.target_laptop, a.target_number,"
        " a.state IN ('undone', 'passed') AS undone, a.changes"
        " FROM action a LEFT JOIN person p ON p.id = a.person"
        " WHERE a.stamp < ? ORDER BY a.stamp DESC, a.laptop DESC LIMIT ?",
        error);
    if (query == NULL) {
        return NULL;
    }
    rb_statement_bind_int(query, before_us);
    rb_statement_bind_int(query, limit);
    g_autoptr(GPtrArray) entries =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_history_entry_free);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        RbHistoryEntry *entry = read_entry(query, error);
        if (entry == NULL) {
            return NULL;
        }
        g_ptr_array_add(entries, entry);
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&entries) : NULL;
}

static RbChange *read_change(RbStatement *row)
{
    RbChange *change = g_new0(RbChange, 1);
    change->table = g_strdup(rb_statement_get_text(row, "table_name"));
    change->row = rb_statement_get_int(row, "row_id");
    change->column = g_strdup(rb_statement_get_text(row, "column_name"));
    change->old = g_strdup(rb_statement_get_text(row, "old"));
    change->new_ = g_strdup(rb_statement_get_text(row, "new"));
    return change;
}

GPtrArray *rb_store_list_changes(RbStore *store, RbActionId action, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT f.table_name, o.row_id, f.column_name, o.old, o.new FROM action a"
        " JOIN op o ON o.author = a.laptop AND o.seq >= a.first_seq"
        " AND o.seq < a.first_seq + a.changes"
        " JOIN field f ON f.id = o.field WHERE a.laptop = ? AND a.number = ?"
        " ORDER BY o.seq",
        error);
    if (query == NULL) {
        return NULL;
    }
    rb_statement_bind_int(query, action.laptop);
    rb_statement_bind_int(query, action.number);
    g_autoptr(GPtrArray) changes =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_change_free);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        g_ptr_array_add(changes, read_change(query));
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&changes) : NULL;
}
