/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/error.h"
#include "rb/store/history.h"

#include "record.h"
#include "statement-private.h"

/* Which action undo and redo would take. The newest done one, and the oldest undone one:
 * actions are undone from the newest back, so that is the one undone last. Actions of the
 * identities that this file had before count as its own. */
#define MINE " AND laptop IN (SELECT id FROM laptop WHERE mine = 1)"
/* What the program did by itself (a new library's words) nobody takes back. */
#define FOR_UNDO                                                                         \
    "SELECT laptop, number, words FROM action WHERE type = 'do' AND state = 'done'"      \
    " AND person IS NOT NULL" MINE " ORDER BY stamp DESC LIMIT 1"
#define FOR_REDO                                                                         \
    "SELECT laptop, number, words FROM action WHERE type = 'do'"                         \
    " AND state = 'undone'" MINE " ORDER BY stamp LIMIT 1"

/* words: (out) (transfer full) (nullable): NULL when there is no such action. */
static bool find_action(RbStore *store, const char *sql, RbActionId *id, char **words,
                        GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, error);
    if (query == NULL) {
        return false;
    }
    const RbStep step = rb_statement_step(query, error);
    if (step == RB_STEP_ROW) {
        id->laptop = rb_statement_get_int(query, "laptop");
        id->number = rb_statement_get_int(query, "number");
        *words = g_strdup(rb_statement_get_text(query, "words"));
    }
    return step != RB_STEP_ERROR;
}

bool rb_store_peek_undo(RbStore *store, char **undo_words, char **redo_words,
                        GError **error)
{
    RbActionId id = { 0 };
    *undo_words = NULL;
    *redo_words = NULL;
    return find_action(store, FOR_UNDO, &id, undo_words, error) &&
           find_action(store, FOR_REDO, &id, redo_words, error);
}

/* The action whose ops are to be taken back: the last that undid or redid the one meant,
 * else that itself. */
static bool find_last(RbStore *store, RbActionId meant, RbActionId *last, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT laptop, number FROM action WHERE target_laptop = ? AND target_number = ?"
        " ORDER BY stamp DESC, laptop DESC LIMIT 1",
        error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, meant.laptop);
    rb_statement_bind_int(query, meant.number);
    const RbStep step = rb_statement_step(query, error);
    *last = meant;
    if (step == RB_STEP_ROW) {
        last->laptop = rb_statement_get_int(query, "laptop");
        last->number = rb_statement_get_int(query, "number");
    }
    return step != RB_STEP_ERROR;
}

/* One op to be taken back. */
typedef struct {
    RbOpId state; /* itself, or the older op whose value it had brought back */
    RbOpId prior; /* the same of what it replaced; zeros for nothing */
    char *base;   /* owned, nullable */
    int64_t field;
    int64_t row;
    char *table;         /* owned */
    char *column;        /* owned */
    sqlite3_value *old;  /* owned */
    sqlite3_value *new_; /* owned */
    bool made_row;       /* it is the `removed` of a row that was new */
} Op;

static void op_free(void *data)
{
    Op *op = data;
    g_free(op->base);
    g_free(op->table);
    g_free(op->column);
    sqlite3_value_free(op->old);
    sqlite3_value_free(op->new_);
    g_free(op);
}

static GPtrArray *read_ops(RbStore *store, RbActionId action, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT coalesce(o.of_author, o.author) AS author, coalesce(o.of_seq, o.seq) AS"
        " seq, o.base, o.field, o.row_id, f.table_name, f.column_name, o.old, o.new,"
        " f.column_name = 'removed' AND o.old IS NULL AS made_row FROM action a"
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
    g_autoptr(GPtrArray) ops = g_ptr_array_new_with_free_func(op_free);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        Op *op = g_new0(Op, 1);
        g_ptr_array_add(ops, op);
        op->state.author = rb_statement_get_int(query, "author");
        op->state.seq = rb_statement_get_int(query, "seq");
        op->base = g_strdup(rb_statement_get_text(query, "base"));
        op->field = rb_statement_get_int(query, "field");
        op->row = rb_statement_get_int(query, "row_id");
        op->table = g_strdup(rb_statement_get_text(query, "table_name"));
        op->column = g_strdup(rb_statement_get_text(query, "column_name"));
        op->old = sqlite3_value_dup(rb_statement_get_value(query, "old"));
        op->new_ = sqlite3_value_dup(rb_statement_get_value(query, "new"));
        op->made_row = rb_statement_get_int(query, "made_row") != 0;
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&ops) : NULL;
}

static bool same_op(RbOpId a, RbOpId b)
{
    return a.author == b.author && a.seq == b.seq;
}

/* Is the field still as this op left it? Undone and redone since is as it left it. */
static bool is_shown(RbStore *store, const Op *op, bool *shown, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT coalesce(o.of_author, o.author) AS author, coalesce(o.of_seq, o.seq) AS"
        " seq FROM head h JOIN op o ON o.author = h.author AND o.seq = h.seq"
        " WHERE h.row_id = ? AND h.field = ? ORDER BY h.stamp DESC, h.author DESC LIMIT 1",
        error);
    if (query == NULL) {
        return false;
    }
    rb_statement_bind_int(query, op->row);
    rb_statement_bind_int(query, op->field);
    const RbStep step = rb_statement_step(query, error);
    *shown = step == RB_STEP_ROW &&
             same_op(op->state, (RbOpId){ rb_statement_get_int(query, "author"),
                                          rb_statement_get_int(query, "seq") });
    return step != RB_STEP_ERROR;
}

/* What the field was before the op: the greatest of the ops it replaced. */
static bool find_prior(RbStore *store, Op *op, GError **error)
{
    g_autoptr(GArray) base = g_array_new(FALSE, FALSE, sizeof(RbOpId));
    rb_base_parse(op->base, base);
    int64_t stamp = 0;
    int64_t author = 0;
    for (guint i = 0; i < base->len; i++) {
        const RbOpId *replaced = &g_array_index(base, RbOpId, i);
        g_autoptr(RbStatement) query = rb_statement_new(
            store,
            "SELECT stamp, author AS own, coalesce(of_author, author) AS author,"
            " coalesce(of_seq, seq) AS seq FROM op WHERE author = ? AND seq = ?",
            error);
        if (query == NULL) {
            return false;
        }
        rb_statement_bind_int(query, replaced->author);
        rb_statement_bind_int(query, replaced->seq);
        const RbStep step = rb_statement_step(query, error);
        if (step == RB_STEP_ERROR) {
            return false;
        }
        if (step == RB_STEP_DONE) {
            continue;
        }
        const int64_t its_stamp = rb_statement_get_int(query, "stamp");
        const int64_t its_author = rb_statement_get_int(query, "own");
        if (its_stamp > stamp || (its_stamp == stamp && its_author > author)) {
            stamp = its_stamp;
            author = its_author;
            op->prior.author = rb_statement_get_int(query, "author");
            op->prior.seq = rb_statement_get_int(query, "seq");
        }
    }
    return true;
}

/* Writes the old value by name. A row that the op made is hidden instead. */
static bool write_old(RbStore *store, Op *op, GError **error)
{
    if (!find_prior(store, op, error)) {
        return false;
    }
    const RbRestored restored = { op->field, op->row, op->prior.author, op->prior.seq };
    g_array_append_val(store->restored, restored);
    g_autofree char *sql = g_strdup_printf("UPDATE \"%s\" SET \"%s\" = ? WHERE id = ?",
                                           op->table, op->column);
    g_autoptr(RbStatement) update = rb_statement_new(store, sql, error);
    if (update == NULL) {
        return false;
    }
    if (op->made_row) {
        rb_statement_bind_int(update, 1);
    } else {
        rb_statement_bind_value(update, op->old);
    }
    rb_statement_bind_int(update, op->row);
    return rb_statement_run(update, error);
}

static RbChange *skipped_change(const Op *op)
{
    RbChange *change = g_new0(RbChange, 1);
    change->table = g_strdup(op->table);
    change->row = op->row;
    change->column = g_strdup(op->column);
    change->old = g_strdup((const char *)sqlite3_value_text(op->old));
    change->new_ = g_strdup((const char *)sqlite3_value_text(op->new_));
    return change;
}

/* The rows that these ops made: to take such an op back is to hide its row, and what else
 * was written into it stays for redo. */
static GHashTable *rows_made(const GPtrArray *ops)
{
    GHashTable *made = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (guint i = 0; i < ops->len; i++) {
        const Op *op = g_ptr_array_index(ops, i);
        if (op->made_row) {
            g_hash_table_add(made,
                             g_strdup_printf("%s %" G_GINT64_FORMAT, op->table, op->row));
        }
    }
    return made;
}

static bool take_back(RbStore *store, RbActionId action, GPtrArray *skipped,
                      GError **error)
{
    g_autoptr(GPtrArray) ops = read_ops(store, action, error);
    if (ops == NULL) {
        return false;
    }
    g_autoptr(GHashTable) made = rows_made(ops);
    for (guint i = 0; i < ops->len; i++) {
        Op *op = g_ptr_array_index(ops, i);
        g_autofree char *key =
            g_strdup_printf("%s %" G_GINT64_FORMAT, op->table, op->row);
        if (!op->made_row && g_hash_table_contains(made, key)) {
            continue;
        }
        bool shown = false;
        if (!is_shown(store, op, &shown, error) ||
            (shown && !write_old(store, op, error))) {
            return false;
        }
        if (!shown) {
            g_ptr_array_add(skipped, skipped_change(op));
        }
    }
    return true;
}

/* Everything is looked up inside the transaction, so that another program's undo cannot come
 * between. sql: which action is meant. */
static bool reverse(RbStore *store, RbActionType type, RbPersonId person, const char *sql,
                    char **words, GPtrArray **skipped, GError **error)
{
    const RbPending pending = { .type = type, .person = person };
    if (!rb_store_begin_pending(store, pending, error)) {
        return false;
    }
    g_autoptr(GPtrArray) left =
        g_ptr_array_new_with_free_func((GDestroyNotify)rb_change_free);
    g_autofree char *found = NULL;
    RbActionId meant = { 0 };
    RbActionId last = { 0 };
    bool ok = find_action(store, sql, &meant, &found, error);
    if (ok && found == NULL) {
        g_autofree char *name = g_filename_display_name(store->path);
        ok = rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_NOTHING,
                          "There is nothing to %s in the library %s.",
                          type == RB_ACTION_UNDO ? "undo" : "redo", name);
    }
    ok = ok && find_last(store, meant, &last, error) &&
         take_back(store, last, left, error);
    if (!ok) {
        rb_store_rollback(store);
        return false;
    }
    store->pending.target = meant;
    store->pending.words = g_strdup(found);
    if (!rb_store_commit(store, error)) {
        return false;
    }
    if (words != NULL) {
        *words = g_steal_pointer(&found);
    }
    if (skipped != NULL) {
        *skipped = g_steal_pointer(&left);
    }
    return true;
}

bool rb_store_undo(RbStore *store, RbPersonId person, char **words, GPtrArray **skipped,
                   GError **error)
{
    return reverse(store, RB_ACTION_UNDO, person, FOR_UNDO, words, skipped, error);
}

bool rb_store_redo(RbStore *store, RbPersonId person, char **words, GPtrArray **skipped,
                   GError **error)
{
    return reverse(store, RB_ACTION_REDO, person, FOR_REDO, words, skipped, error);
}

bool rb_store_undo_action(RbStore *store, RbPersonId person, RbActionId action,
                          GPtrArray **skipped, GError **error)
{
    g_autofree char *sql = g_strdup_printf(
        "SELECT laptop, number, words FROM action WHERE type = 'do' AND state = 'done'"
        " AND laptop = %" G_GINT64_FORMAT " AND number = %" G_GINT64_FORMAT,
        action.laptop, action.number);
    return reverse(store, RB_ACTION_UNDO, person, sql, NULL, skipped, error);
}
