/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"

#include "forget.h"
#include "parcel-check.h"
#include "parcel-merge.h"
#include "statement-private.h"

static bool resolve_fields(RbMerge *merge, GError **error)
{
    for (guint i = merge->fields->len; i < merge->parcel->fields->len; i++) {
        const RbParcelField *field = g_ptr_array_index(merge->parcel->fields, i);
        const int64_t id =
            rb_record_field(merge->store, field->table, field->column, error);
        if (id == 0) {
            return false;
        }
        g_array_append_val(merge->fields, id);
    }
    return true;
}

/* An identity that this very file had goes on elsewhere: the file was copied, and what is
 * done there is no longer this one's to undo or to send. */
static bool write_laptop(RbMerge *merge, GError **error)
{
    g_autofree char *sql =
        g_strdup_printf("INSERT INTO laptop (id, mine) VALUES (%" G_GINT64_FORMAT ", 0)"
                        " ON CONFLICT (id) DO UPDATE SET mine = 0",
                        merge->parcel->laptop);
    return rb_sqlite_exec(merge->store->db, merge->store->path, sql, error);
}

static bool write_action(RbMerge *merge, const RbParcelAction *action, int64_t number,
                         GError **error)
{
    g_autoptr(RbStatement) insert = rb_statement_new(
        merge->store,
        "INSERT INTO action (laptop, number, stamp, person, type, words, target_laptop,"
        " target_number, forget_table, forget_row, first_seq, changes, state)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 'done')",
        error);
    if (insert == NULL) {
        return false;
    }
    rb_statement_bind_int(insert, merge->parcel->laptop);
    rb_statement_bind_int(insert, number);
    rb_statement_bind_int(insert, action->stamp);
    rb_statement_bind_id(insert, action->person);
    rb_statement_bind_word(insert, &rb_action_type_words, (int)action->type, false);
    rb_statement_bind_text(insert, action->words);
    rb_statement_bind_id(insert, action->target.laptop);
    rb_statement_bind_id(insert, action->target.number);
    rb_statement_bind_text(insert, action->forget_row != 0 ? action->forget_table : NULL);
    rb_statement_bind_id(insert, action->forget_row);
    rb_statement_bind_int(insert, merge->seq + 1);
    rb_statement_bind_int(insert, action->ops->len);
    return rb_statement_run(insert, error);
}

static void bind_value(RbStatement *statement, const RbCell *value)
{
    switch (value->kind) {
    case RB_CELL_NONE:
        rb_statement_bind_null(statement);
        return;
    case RB_CELL_INT:
        rb_statement_bind_int(statement, value->number);
        return;
    case RB_CELL_TEXT:
        rb_statement_bind_text(statement, value->text);
        return;
    }
}

static bool write_op(RbMerge *merge, const RbParcelAction *action, const RbParcelOp *op,
                     int64_t number, GError **error)
{
    g_autoptr(RbStatement) insert = rb_statement_new(
        merge->store,
        "INSERT INTO op (author, seq, action, stamp, field, row_id, old, new, base,"
        " of_author, of_seq) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        error);
    if (insert == NULL) {
        return false;
    }
    g_autofree char *base = rb_base_format(op->base);
    rb_statement_bind_int(insert, merge->parcel->laptop);
    rb_statement_bind_int(insert, merge->seq);
    rb_statement_bind_int(insert, number);
    rb_statement_bind_int(insert, action->stamp);
    rb_statement_bind_int(insert, g_array_index(merge->fields, int64_t, op->field));
    rb_statement_bind_int(insert, op->row);
    bind_value(insert, &op->old);
    bind_value(insert, &op->new_);
    rb_statement_bind_text(insert, base);
    rb_statement_bind_id(insert, op->of.author);
    rb_statement_bind_id(insert, op->of.seq);
    return rb_statement_run(insert, error);
}

/* The op takes the place of those it replaced; heads it did not know of stay beside it. */
static bool write_heads(RbMerge *merge, const RbParcelAction *action,
                        const RbParcelOp *op, GError **error)
{
    const int64_t field = g_array_index(merge->fields, int64_t, op->field);
    g_autoptr(RbStatement) take = rb_statement_new(
        merge->store,
        "DELETE FROM head WHERE row_id = ? AND field = ? AND author = ? AND seq = ?",
        error);
    if (take == NULL) {
        return false;
    }
    for (guint i = 0; i < op->base->len; i++) {
        const RbOpId *replaced = &g_array_index(op->base, RbOpId, i);
        rb_statement_bind_int(take, op->row);
        rb_statement_bind_int(take, field);
        rb_statement_bind_int(take, replaced->author);
        rb_statement_bind_int(take, replaced->seq);
        if (!rb_statement_run(take, error)) {
            return false;
        }
        rb_statement_reset(take);
    }
    g_autoptr(RbStatement) insert = rb_statement_new(
        merge->store,
        "INSERT INTO head (row_id, field, author, seq, stamp) VALUES (?, ?, ?, ?, ?)",
        error);
    if (insert == NULL) {
        return false;
    }
    rb_statement_bind_int(insert, op->row);
    rb_statement_bind_int(insert, field);
    rb_statement_bind_int(insert, merge->parcel->laptop);
    rb_statement_bind_int(insert, merge->seq);
    rb_statement_bind_int(insert, action->stamp);
    return rb_statement_run(insert, error);
}

/* Shows the greatest head. The names come from the schema: rb_parcel_check(). */
static bool show_head(RbMerge *merge, const RbParcelOp *op, GError **error)
{
    const RbParcelField *name = g_ptr_array_index(merge->parcel->fields, op->field);
    g_autofree char *make =
        g_strdup_printf("INSERT OR IGNORE INTO \"%s\" (id) VALUES (?)", name->table);
    g_autofree char *write = g_strdup_printf(
        "UPDATE \"%s\" SET \"%s\" = (SELECT o.new FROM head h JOIN op o"
        " ON o.author = h.author AND o.seq = h.seq WHERE h.row_id = ?1 AND h.field = ?2"
        " ORDER BY h.stamp DESC, h.author DESC LIMIT 1) WHERE id = ?1",
        name->table, name->column);
    g_autoptr(RbStatement) insert = rb_statement_new(merge->store, make, error);
    g_autoptr(RbStatement) update =
        insert != NULL ? rb_statement_new(merge->store, write, error) : NULL;
    if (update == NULL) {
        return false;
    }
    rb_statement_bind_int(insert, op->row);
    rb_statement_bind_int(update, op->row);
    rb_statement_bind_int(update, g_array_index(merge->fields, int64_t, op->field));
    return rb_statement_run(insert, error) && rb_statement_run(update, error);
}

/* An op that is here already but was sent again with a forgotten name taken out. */
static bool clean_op(RbMerge *merge, const RbParcelOp *op, int64_t seq, GError **error)
{
    const bool cleaned =
        (op->old.kind == RB_CELL_TEXT && strstr(op->old.text, RB_FORGOTTEN) != NULL) ||
        (op->new_.kind == RB_CELL_TEXT && strstr(op->new_.text, RB_FORGOTTEN) != NULL);
    if (!cleaned) {
        return true;
    }
    g_autoptr(RbStatement) update = rb_statement_new(
        merge->store,
        "UPDATE op SET old = ?, new = ? WHERE author = ? AND seq = ? AND row_id = ?"
        " AND field = ?",
        error);
    if (update == NULL) {
        return false;
    }
    bind_value(update, &op->old);
    bind_value(update, &op->new_);
    rb_statement_bind_int(update, merge->parcel->laptop);
    rb_statement_bind_int(update, seq);
    rb_statement_bind_int(update, op->row);
    rb_statement_bind_int(update, g_array_index(merge->fields, int64_t, op->field));
    return rb_statement_run(update, error) && show_head(merge, op, error);
}

/* Takes forgotten names out of what came before from this laptop, now that it knows. */
static bool clean_known(RbMerge *merge, GError **error)
{
    int64_t seq = merge->parcel->seq_before;
    for (guint i = 0; i < merge->parcel->actions->len; i++) {
        const RbParcelAction *action = g_ptr_array_index(merge->parcel->actions, i);
        for (guint j = 0;
             rb_merge_is_in(merge, rb_merge_number(merge, i)) && j < action->ops->len;
             j++) {
            if (!clean_op(merge, g_ptr_array_index(action->ops, j), ++seq, error)) {
                return false;
            }
        }
    }
    return true;
}

static bool apply_action(RbMerge *merge, const RbParcelAction *action, int64_t number,
                         GError **error)
{
    if (!write_action(merge, action, number, error)) {
        return false;
    }
    for (guint i = 0; i < action->ops->len; i++) {
        const RbParcelOp *op = g_ptr_array_index(action->ops, i);
        merge->seq++;
        if (!write_op(merge, action, op, number, error) ||
            !write_heads(merge, action, op, error) || !show_head(merge, op, error)) {
            return false;
        }
    }
    merge->report->actions++;
    merge->report->fields += action->ops->len;
    return true;
}

/* An action is undone or done by the last that undid or redid it, on whatever laptop. What
 * was undone and then passed by on its own laptop stays so here. */
static bool write_state(RbMerge *merge, const RbParcelAction *action, GError **error)
{
    if (action->target.laptop == 0) {
        return true;
    }
    g_autoptr(RbStatement) update = rb_statement_new(
        merge->store,
        "UPDATE action SET state = (SELECT CASE r.type WHEN 'undo' THEN 'undone' ELSE"
        " 'done' END FROM action r WHERE r.target_laptop = ?1 AND r.target_number = ?2"
        " ORDER BY r.stamp DESC, r.laptop DESC LIMIT 1)"
        " WHERE laptop = ?1 AND number = ?2",
        error);
    if (update == NULL) {
        return false;
    }
    rb_statement_bind_int(update, action->target.laptop);
    rb_statement_bind_int(update, action->target.number);
    return rb_statement_run(update, error);
}

static bool see_stamp(RbMerge *merge, int64_t stamp, GError **error)
{
    g_autofree char *sql = g_strdup_printf(
        "UPDATE here SET stamp = max(stamp, %" G_GINT64_FORMAT ")", stamp);
    return rb_sqlite_exec(merge->store->db, merge->store->path, sql, error);
}

static bool apply_new(RbMerge *merge, GError **error)
{
    const int64_t first_seq = merge->seq + 1;
    int64_t stamp = 0;
    for (guint i = 0; i < merge->ready; i++) {
        const RbParcelAction *action = g_ptr_array_index(merge->parcel->actions, i);
        stamp = action->stamp;
        if (!rb_merge_is_in(merge, rb_merge_number(merge, i)) &&
            (!apply_action(merge, action, rb_merge_number(merge, i), error) ||
             !write_state(merge, action, error))) {
            return false;
        }
    }
    return rb_record_chart_changes(merge->store, merge->parcel->laptop, first_seq,
                                   error) &&
           see_stamp(merge, stamp, error);
}

/* This very laptop's work that this library does not know: the file was set back to an older
 * state of itself. To go on numbering would give two actions one number. */
static bool check_not_set_back(const RbMerge *merge, GError **error)
{
    if (merge->parcel->laptop != merge->store->laptop) {
        return true;
    }
    g_autofree char *name = g_filename_display_name(merge->store->path);
    return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_EXISTS,
                        "The library %s was set back: the folder holds later work of its "
                        "own; copy it to another name, open the copy and receive again.",
                        name);
}

/* merged: (out): false when there is nothing to write. */
static bool merge_inside(RbMerge *merge, const char *name, bool *merged, GError **error)
{
    const RbParcelRange range = rb_parcel_range(merge->parcel);
    merge->known = rb_store_last_action(merge->store, range.laptop, error);
    if (merge->known < 0) {
        return false;
    }
    *merged = merge->parcel->forgotten > 0 &&
              range.first <= merge->known; /* it may clean what is known */
    if (*merged && (!resolve_fields(merge, error) || !clean_known(merge, error))) {
        return false;
    }
    if (range.last <= merge->known) {
        merge->report->outcome = RB_PARCEL_KNOWN;
        return true;
    }
    if (!check_not_set_back(merge, error) || !rb_merge_count_ready(merge, error)) {
        return false;
    }
    if (merge->ready == 0 ||
        rb_merge_is_in(merge, rb_merge_number(merge, merge->ready - 1))) {
        return true;
    }
    *merged = true;
    return rb_merge_check_numbers(merge, name, error) && resolve_fields(merge, error) &&
           write_laptop(merge, error) && apply_new(merge, error) &&
           rb_forget_again(merge->store, error);
}

static bool touches_forgotten(const RbParcel *parcel)
{
    for (guint i = 0; i < parcel->actions->len; i++) {
        const RbParcelAction *action = g_ptr_array_index(parcel->actions, i);
        if (action->type == RB_ACTION_FORGET) {
            return true;
        }
    }
    return false;
}

bool rb_store_apply_parcel(RbStore *store, const RbParcel *parcel, const char *name,
                           RbParcelReport *report, GError **error)
{
    *report = (RbParcelReport){ .outcome = RB_PARCEL_APPLIED };
    if (!rb_parcel_check(parcel, name, error) ||
        !rb_store_begin_unrecorded(store, error)) {
        return false;
    }
    RbMerge merge = {
        .store = store,
        .parcel = parcel,
        .report = report,
        .last_seqs = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free),
        .last_numbers =
            g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free),
        .fields = g_array_new(FALSE, FALSE, sizeof(int64_t)),
    };
    bool merged = false;
    bool ok = merge_inside(&merge, name, &merged, error);
    g_hash_table_unref(merge.last_seqs);
    g_hash_table_unref(merge.last_numbers);
    g_array_unref(merge.fields);
    if (ok && merged) {
        ok = rb_store_commit_unrecorded(store, error);
    } else {
        rb_store_rollback(store);
    }
    /* Backups keep the name until now. */
    return ok &&
           (!merged || !touches_forgotten(parcel) || rb_forget_in_backups(store, error));
}
