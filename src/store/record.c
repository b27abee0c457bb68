/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "record.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"

#include "statement-private.h"

/* clang-format off */
static const RbWord type_table[] = {
    [RB_ACTION_DO] = { "do", "Done" },
    [RB_ACTION_UNDO] = { "undo", "Undone" },
    [RB_ACTION_REDO] = { "redo", "Redone" },
    [RB_ACTION_FORGET] = { "forget", "Forgotten" },
};
/* clang-format on */
const RbWords rb_action_type_words = { N_("kind of action"), type_table,
                                       G_N_ELEMENTS(type_table) };

/* One action on its way into the history. */
typedef struct {
    RbStore *store; /* borrowed */
    int64_t laptop; /* whose action it is */
    int64_t number;
    int64_t stamp;
    int64_t first_seq;
    int64_t seq; /* of the next op */
} Recorder;

static bool ask_int(RbStore *store, const char *sql, int64_t *value, GError **error)
{
    return rb_sqlite_int(store->db, store->path, sql, 0, value, error);
}

static bool number_action(Recorder *recorder, GError **error)
{
    RbStore *store = recorder->store;
    g_autofree char *last_number =
        g_strdup_printf("SELECT max(number) FROM action WHERE laptop = %" G_GINT64_FORMAT,
                        recorder->laptop);
    g_autofree char *last_seq = g_strdup_printf(
        "SELECT max(seq) FROM op WHERE author = %" G_GINT64_FORMAT, recorder->laptop);
    int64_t seen = 0;
    if (!ask_int(store, last_number, &recorder->number, error) ||
        !ask_int(store, last_seq, &recorder->first_seq, error) ||
        !ask_int(store, "SELECT stamp FROM here", &seen, error)) {
        return false;
    }
    recorder->number++;
    recorder->seq = ++recorder->first_seq;
    /* The hybrid clock: the time of day, but later than anything this library has seen, so
     * that a wrong clock never puts a change before the one it replaces. */
    const int64_t now = g_get_real_time();
    recorder->stamp = MAX(now, seen + 1);
    return true;
}

static bool write_action(const Recorder *recorder, GError **error)
{
    const RbPending *pending = &recorder->store->pending;
    g_autoptr(RbStatement) insert = rb_statement_new(
        recorder->store,
        "INSERT INTO action (laptop, number, stamp, person, type, words, target_laptop,"
        " target_number, forget_table, forget_row, first_seq, changes, state)"
        " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, 0, 'done')",
        error);
    if (insert == NULL) {
        return false;
    }
    rb_statement_bind_int(insert, recorder->laptop);
    rb_statement_bind_int(insert, recorder->number);
    rb_statement_bind_int(insert, recorder->stamp);
    rb_statement_bind_id(insert, pending->person.value);
    rb_statement_bind_word(insert, &rb_action_type_words, (int)pending->type, false);
    rb_statement_bind_text(insert, pending->words != NULL ? pending->words : "");
    rb_statement_bind_id(insert, pending->target.laptop);
    rb_statement_bind_id(insert, pending->target.number);
    rb_statement_bind_text(insert, pending->table);
    rb_statement_bind_id(insert, pending->row);
    rb_statement_bind_int(insert, recorder->first_seq);
    return rb_statement_run(insert, error);
}

/* Takes the heads of a field away. base: (out) (transfer full) (nullable). */
static bool replace_heads(const Recorder *recorder, int64_t field, int64_t row,
                          char **base, GError **error)
{
    g_autoptr(RbStatement) take = rb_statement_new(
        recorder->store,
        "DELETE FROM head WHERE row_id = ? AND field = ? RETURNING author, seq", error);
    if (take == NULL) {
        return false;
    }
    rb_statement_bind_int(take, row);
    rb_statement_bind_int(take, field);
    g_autoptr(GArray) heads = g_array_new(FALSE, FALSE, sizeof(RbOpId));
    RbStep step;
    while ((step = rb_statement_step(take, error)) == RB_STEP_ROW) {
        const RbOpId head = { rb_statement_get_int(take, "author"),
                              rb_statement_get_int(take, "seq") };
        g_array_append_val(heads, head);
    }
    *base = rb_base_format(heads);
    return step == RB_STEP_DONE;
}

static bool write_head(const Recorder *recorder, int64_t field, int64_t row,
                       GError **error)
{
    g_autoptr(RbStatement) insert = rb_statement_new(
        recorder->store,
        "INSERT INTO head (row_id, field, author, seq, stamp) VALUES (?, ?, ?, ?, ?)",
        error);
    if (insert == NULL) {
        return false;
    }
    rb_statement_bind_int(insert, row);
    rb_statement_bind_int(insert, field);
    rb_statement_bind_int(insert, recorder->laptop);
    rb_statement_bind_int(insert, recorder->seq);
    rb_statement_bind_int(insert, recorder->stamp);
    return rb_statement_run(insert, error);
}

/* The op whose value undo or redo brings back into a field; zeros for any other. */
static RbOpId restored_op(const RbStore *store, int64_t field, int64_t row)
{
    for (guint i = 0; i < store->restored->len; i++) {
        const RbRestored *one = &g_array_index(store->restored, RbRestored, i);
        if (one->field == field && one->row == row) {
            return (RbOpId){ one->author, one->seq };
        }
    }
    return (RbOpId){ 0 };
}

/* old, new_: (nullable): NULL is SQL's NULL. */
static bool write_op(Recorder *recorder, int64_t field, int64_t row,
                     const sqlite3_value *old, const sqlite3_value *new_, GError **error)
{
    g_autofree char *base = NULL;
    if (!replace_heads(recorder, field, row, &base, error)) {
        return false;
    }
    g_autoptr(RbStatement) insert = rb_statement_new(
        recorder->store,
        "INSERT INTO op (author, seq, action, stamp, field, row_id, old, new, base,"
        " of_author, of_seq) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        error);
    if (insert == NULL) {
        return false;
    }
    rb_statement_bind_int(insert, recorder->laptop);
    rb_statement_bind_int(insert, recorder->seq);
    rb_statement_bind_int(insert, recorder->number);
    rb_statement_bind_int(insert, recorder->stamp);
    rb_statement_bind_int(insert, field);
    rb_statement_bind_int(insert, row);
    rb_statement_bind_value(insert, old);
    rb_statement_bind_value(insert, new_);
    rb_statement_bind_text(insert, base);
    const RbOpId of = restored_op(recorder->store, field, row);
    rb_statement_bind_id(insert, of.author);
    rb_statement_bind_id(insert, of.seq);
    if (!rb_statement_run(insert, error) || !write_head(recorder, field, row, error)) {
        return false;
    }
    recorder->seq++;
    return true;
}

int64_t rb_record_field(RbStore *store, const char *table, const char *column,
                        GError **error)
{
    g_autoptr(RbStatement) find = rb_statement_new(
        store, "SELECT id FROM field WHERE table_name = ? AND column_name = ?", error);
    if (find == NULL) {
        return 0;
    }
    rb_statement_bind_text(find, table);
    rb_statement_bind_text(find, column);
    const RbStep step = rb_statement_step(find, error);
    if (step != RB_STEP_DONE) {
        return step == RB_STEP_ROW ? rb_statement_get_int(find, "id") : 0;
    }
    g_autoptr(RbStatement) insert = rb_statement_new(
        store, "INSERT INTO field (table_name, column_name) VALUES (?, ?)", error);
    if (insert == NULL) {
        return 0;
    }
    rb_statement_bind_text(insert, table);
    rb_statement_bind_text(insert, column);
    return rb_statement_run(insert, error) ? sqlite3_last_insert_rowid(store->db) : 0;
}

/* The columns of a shared table in their order. Borrowed; NULL on failure. */
static const GPtrArray *columns_of(RbStore *store, const char *table, GError **error)
{
    GPtrArray *columns = g_hash_table_lookup(store->tables, table);
    if (columns != NULL) {
        return columns;
    }
    g_autoptr(RbStatement) query = rb_statement_new(
        store, "SELECT name FROM pragma_table_info(?) ORDER BY cid", error);
    if (query == NULL) {
        return NULL;
    }
    rb_statement_bind_text(query, table);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        g_ptr_array_add(names, g_strdup(rb_statement_get_text(query, "name")));
    }
    if (step == RB_STEP_ERROR) {
        return NULL;
    }
    columns = g_steal_pointer(&names);
    g_hash_table_insert(store->tables, g_strdup(table), columns);
    return columns;
}

static bool is_null(const sqlite3_value *value)
{
    return value == NULL || sqlite3_value_type((sqlite3_value *)value) == SQLITE_NULL;
}

/* One row of the change set. The id is the first column of every shared table. An inserted
 * row gives an op for each column that has a value; its `removed` has no old value, which
 * is how undo knows that the row was new. */
static bool record_row(Recorder *recorder, sqlite3_changeset_iter *change, GError **error)
{
    const char *table = NULL;
    int n = 0;
    int kind = 0;
    sqlite3changeset_op(change, &table, &n, &kind, NULL);
    g_assert(kind == SQLITE_INSERT || kind == SQLITE_UPDATE); /* rows are never deleted */
    const GPtrArray *columns = columns_of(recorder->store, table, error);
    if (columns == NULL) {
        return false;
    }
    g_assert(columns->len == (guint)n);
    sqlite3_value *id = NULL;
    if (kind == SQLITE_INSERT) {
        sqlite3changeset_new(change, 0, &id);
    } else {
        sqlite3changeset_old(change, 0, &id);
    }
    const int64_t row = sqlite3_value_int64(id);
    for (int i = 1; i < n; i++) {
        sqlite3_value *old = NULL;
        sqlite3_value *new_ = NULL;
        if (kind == SQLITE_UPDATE) {
            sqlite3changeset_old(change, i, &old);
        }
        sqlite3changeset_new(change, i, &new_);
        /* A column that was not changed has neither; a new NULL is no news. */
        if ((old == NULL && new_ == NULL) || (is_null(old) && is_null(new_))) {
            continue;
        }
        const int64_t field =
            rb_record_field(recorder->store, table, g_ptr_array_index(columns, i), error);
        if (field == 0 || !write_op(recorder, field, row, old, new_, error)) {
            return false;
        }
    }
    return true;
}

static bool record_changes(Recorder *recorder, void *changes, int size, GError **error)
{
    sqlite3_changeset_iter *change = NULL;
    int code = sqlite3changeset_start(&change, size, changes);
    while (code == SQLITE_OK && (code = sqlite3changeset_next(change)) == SQLITE_ROW) {
        if (!record_row(recorder, change, error)) {
            sqlite3changeset_finalize(change);
            return false;
        }
        code = SQLITE_OK;
    }
    sqlite3changeset_finalize(change);
    return code == SQLITE_DONE || rb_store_fail(recorder->store, code, error);
}

/* A settled field keeps its value, so no change was seen: its op is written here. */
static bool record_settled(Recorder *recorder, GError **error)
{
    RbStore *store = recorder->store;
    for (guint i = 0; i < store->settled->len; i++) {
        const RbSettled *settled = &g_array_index(store->settled, RbSettled, i);
        g_autoptr(RbStatement) query = rb_statement_new(
            store,
            "SELECT o.new AS value, count(*) OVER () AS heads FROM head h"
            " JOIN op o ON o.author = h.author AND o.seq = h.seq"
            " WHERE h.row_id = ? AND h.field = ?"
            " ORDER BY h.stamp DESC, h.author DESC LIMIT 1",
            error);
        if (query == NULL) {
            return false;
        }
        rb_statement_bind_int(query, settled->row);
        rb_statement_bind_int(query, settled->field);
        const RbStep step = rb_statement_step(query, error);
        if (step != RB_STEP_ROW || rb_statement_get_int(query, "heads") < 2) {
            if (step == RB_STEP_ERROR) {
                return false;
            }
            continue; /* the value changed, and its op has replaced the heads already */
        }
        sqlite3_value *value = sqlite3_value_dup(rb_statement_get_value(query, "value"));
        rb_statement_reset(query);
        const bool ok =
            write_op(recorder, settled->field, settled->row, value, value, error);
        sqlite3_value_free(value);
        if (!ok) {
            return false;
        }
    }
    return true;
}

static bool finish_action(const Recorder *recorder, GError **error)
{
    g_autofree char *sql = g_strdup_printf(
        "UPDATE action SET changes = %" G_GINT64_FORMAT
        " WHERE laptop = %" G_GINT64_FORMAT " AND number = %" G_GINT64_FORMAT ";"
        "UPDATE here SET stamp = max(stamp, %" G_GINT64_FORMAT ")",
        recorder->seq - recorder->first_seq, recorder->laptop, recorder->number,
        recorder->stamp);
    return rb_sqlite_exec(recorder->store->db, recorder->store->path, sql, error);
}

/* When a chart was changed last follows from its ops and those of its looks. */
bool rb_record_chart_changes(RbStore *store, int64_t author, int64_t first_seq,
                             GError **error)
{
    g_autoptr(RbStatement) update = rb_statement_new(
        store,
        "INSERT INTO chart_change (chart, stamp)"
        " SELECT DISTINCT CASE f.table_name WHEN 'chart' THEN o.row_id ELSE l.chart END AS"
        " changed, o.stamp"
        " FROM op o JOIN field f ON f.id = o.field"
        " LEFT JOIN look l ON l.id = o.row_id AND f.table_name = 'look'"
        " WHERE o.author = ? AND o.seq >= ? AND f.table_name IN ('chart', 'look')"
        " AND changed IS NOT NULL"
        " ON CONFLICT (chart) DO UPDATE SET stamp = max(stamp, excluded.stamp)",
        error);
    if (update == NULL) {
        return false;
    }
    rb_statement_bind_int(update, author);
    rb_statement_bind_int(update, first_seq);
    return rb_statement_run(update, error);
}

/* What is undone, done again, or passed by: an action that was undone before something else
 * was done is no longer the one to redo. */
static bool write_states(RbStore *store, GError **error)
{
    const RbPending *pending = &store->pending;
    const char *sql = NULL;
    switch (pending->type) {
    case RB_ACTION_DO:
        sql = "UPDATE action SET state = 'passed' WHERE type = 'do' AND state = 'undone'"
              " AND laptop IN (SELECT id FROM laptop WHERE mine = 1)";
        break;
    case RB_ACTION_UNDO:
        sql = "UPDATE action SET state = 'undone' WHERE laptop = ? AND number = ?";
        break;
    case RB_ACTION_REDO:
        sql = "UPDATE action SET state = 'done' WHERE laptop = ? AND number = ?";
        break;
    case RB_ACTION_FORGET:
        return true;
    }
    g_autoptr(RbStatement) update = rb_statement_new(store, sql, error);
    if (update == NULL) {
        return false;
    }
    if (pending->type != RB_ACTION_DO) {
        rb_statement_bind_int(update, pending->target.laptop);
        rb_statement_bind_int(update, pending->target.number);
    }
    return rb_statement_run(update, error);
}

/* A new library's first content, the same on every laptop that starts from it: its laptop is
 * named by the content, it was done at the dawn of time, and its ops stand in an order that
 * does not depend on how they were written. */
static bool number_seed(Recorder *recorder, GError **error)
{
    g_autofree char *content = rb_store_content_hash(recorder->store, error);
    if (content == NULL) {
        return false;
    }
    recorder->laptop = rb_id_from_text("seed", content, NULL);
    recorder->number = 1;
    recorder->stamp = RB_SEED_STAMP;
    recorder->first_seq = recorder->seq = 1;
    g_autofree char *sql =
        g_strdup_printf("INSERT INTO laptop (id, mine) VALUES (%" G_GINT64_FORMAT ", 1)",
                        recorder->laptop);
    return rb_sqlite_exec(recorder->store->db, recorder->store->path, sql, error);
}

static bool record_seed_table(Recorder *recorder, const char *table, GError **error)
{
    const GPtrArray *columns = columns_of(recorder->store, table, error);
    g_autofree char *sql = g_strdup_printf("SELECT * FROM \"%s\" ORDER BY id", table);
    g_autoptr(RbStatement) query =
        columns != NULL ? rb_statement_new(recorder->store, sql, error) : NULL;
    if (query == NULL) {
        return false;
    }
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        for (guint i = 1; i < columns->len; i++) {
            const char *column = g_ptr_array_index(columns, i);
            const int64_t field = rb_record_field(recorder->store, table, column, error);
            if (field == 0 ||
                (!rb_statement_is_null(query, column) &&
                 !write_op(recorder, field, rb_statement_get_int(query, "id"), NULL,
                           rb_statement_get_value(query, column), error))) {
                return false;
            }
        }
    }
    return step == RB_STEP_DONE;
}

static bool record_seed(Recorder *recorder, GError **error)
{
    bool ok = number_seed(recorder, error) && write_action(recorder, error);
    for (int i = 0; ok && rb_shared_tables[i] != NULL; i++) {
        ok = record_seed_table(recorder, rb_shared_tables[i], error);
    }
    return ok && finish_action(recorder, error);
}

bool rb_record_action(RbStore *store, bool *changed, GError **error)
{
    int size = 0;
    void *changes = NULL;
    const int code = sqlite3session_changeset(store->session, &size, &changes);
    g_clear_pointer(&store->session, sqlite3session_delete);
    if (code != SQLITE_OK) {
        return rb_store_fail(store, code, error);
    }
    *changed = size > 0 || store->settled->len > 0 || store->pending.type != RB_ACTION_DO;
    Recorder recorder = { .store = store, .laptop = store->laptop };
    const bool ok =
        !*changed || (store->pending.seed && record_seed(&recorder, error)) ||
        (!store->pending.seed && number_action(&recorder, error) &&
         write_action(&recorder, error) &&
         record_changes(&recorder, changes, size, error) &&
         record_settled(&recorder, error) && finish_action(&recorder, error) &&
         rb_record_chart_changes(store, store->laptop, recorder.first_seq, error) &&
         write_states(store, error));
    sqlite3_free(changes);
    return ok;
}
