/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "forget.h"

#include <string.h>

#include "rb/base/told.h"
#include "rb/store/backup.h"
#include "rb/store/history.h"

#include "backup-private.h"
#include "record.h"
#include "statement-private.h"

/* Columns in which people write freely. Tokens and other people's names are left alone. */
static const struct {
    const char *table;
    const char *column;
} free_text[] = {
    { "snap", "note" },         { "chart", "note" },       { "film", "title" },
    { "game", "title" },        { "concept", "name" },     { "term", "name" },
    { "revision", "document" }, { "setting", "value" },    { "cutup", "name" },
    { "cutup", "note" },        { "cutup_entry", "note" }, { "saved_filter", "name" },
    { "drawing", "words" },
};

static bool is_inside_word(const char *text, const char *at, size_t size)
{
    const gunichar before =
        at > text ? g_utf8_get_char_validated(g_utf8_find_prev_char(text, at), -1) : ' ';
    const gunichar after = g_utf8_get_char_validated(at + size, -1);
    return g_unichar_isalnum(before) || (at[size] != '\0' && g_unichar_isalnum(after));
}

/* SQL function scrub(text, name): the text with the name, as whole words, replaced. */
static void scrub(sqlite3_context *context, int n, sqlite3_value **values)
{
    g_assert(n == 2);
    const char *text = (const char *)sqlite3_value_text(values[0]);
    const char *name = (const char *)sqlite3_value_text(values[1]);
    if (text == NULL || name == NULL || name[0] == '\0') {
        sqlite3_result_value(context, values[0]);
        return;
    }
    g_autoptr(GString) result = g_string_new(NULL);
    const size_t size = strlen(name);
    const char *from = text;
    for (const char *at = text; (at = strstr(at, name)) != NULL; at += size) {
        if (!is_inside_word(text, at, size)) {
            g_string_append_len(result, from, at - from);
            g_string_append(result, RB_FORGOTTEN);
            from = at + size;
        }
    }
    g_string_append(result, from);
    sqlite3_result_text(context, result->str, (int)result->len, SQLITE_TRANSIENT);
}

/* Runs SQL written with sqlite3_mprintf(), which quotes; frees it. */
static bool run(sqlite3 *db, const char *path, char *sql, GError **error)
{
    const bool ok = rb_sqlite_exec(db, path, sql, error);
    sqlite3_free(sql);
    return ok;
}

/* Every name the row ever had, from itself and from its history. */
static bool collect_names(sqlite3 *db, const char *path, const char *table, int64_t row,
                          GPtrArray *names, GError **error)
{
    char *sql = sqlite3_mprintf(
        "SELECT name FROM \"%w\" WHERE id = %lld AND name <> '' UNION"
        " SELECT value FROM (SELECT old AS value, field, row_id FROM op UNION"
        "  SELECT new, field, row_id FROM op) o JOIN field f ON f.id = o.field"
        " WHERE f.table_name = %Q AND f.column_name = 'name' AND o.row_id = %lld"
        " AND typeof(value) = 'text' AND value <> ''",
        table, (long long)row, table, (long long)row);
    sqlite3_stmt *query = NULL;
    int code = sqlite3_prepare_v2(db, sql, -1, &query, NULL);
    sqlite3_free(sql);
    while (code == SQLITE_OK && (code = sqlite3_step(query)) == SQLITE_ROW) {
        g_ptr_array_add(names, g_strdup((const char *)sqlite3_column_text(query, 0)));
        code = SQLITE_OK;
    }
    const bool ok = code == SQLITE_DONE || rb_sqlite_error(error, db, code, path);
    sqlite3_finalize(query);
    return ok;
}

static bool remove_name(sqlite3 *db, const char *path, const char *name, GError **error)
{
    if (!run(db, path,
             sqlite3_mprintf("UPDATE action SET words = scrub(words, %Q)"
                             " WHERE instr(words, %Q) > 0",
                             name, name),
             error)) {
        return false;
    }
    for (size_t i = 0; i < G_N_ELEMENTS(free_text); i++) {
        const char *table = free_text[i].table;
        const char *column = free_text[i].column;
        char *rows = sqlite3_mprintf("UPDATE \"%w\" SET \"%w\" = scrub(\"%w\", %Q)"
                                     " WHERE instr(\"%w\", %Q) > 0",
                                     table, column, column, name, column, name);
        char *ops = sqlite3_mprintf(
            "UPDATE op SET old = scrub(old, %Q), new = scrub(new, %Q) WHERE field ="
            " (SELECT id FROM field WHERE table_name = %Q AND column_name = %Q)"
            " AND (instr(old, %Q) > 0 OR instr(new, %Q) > 0)",
            name, name, table, column, name, name);
        const bool ok = run(db, path, rows, error);
        if (!run(db, path, ops, ok ? error : NULL) || !ok) {
            return false;
        }
    }
    return true;
}

/* names: of the row; more may come from this very file. */
static bool remove_names(sqlite3 *db, const char *path, const char *table, int64_t row,
                         GPtrArray *names, GError **error)
{
    sqlite3_create_function(db, "scrub", 2, SQLITE_UTF8 | SQLITE_DETERMINISTIC, NULL,
                            scrub, NULL, NULL);
    if (!collect_names(db, path, table, row, names, error) ||
        !run(db, path,
             sqlite3_mprintf("UPDATE \"%w\" SET name = NULL WHERE id = %lld;"
                             "UPDATE op SET old = NULL, new = NULL WHERE row_id = %lld"
                             " AND field = (SELECT id FROM field WHERE table_name = %Q"
                             " AND column_name = 'name')",
                             table, (long long)row, (long long)row, table),
             error)) {
        return false;
    }
    for (guint i = 0; i < names->len; i++) {
        if (!remove_name(db, path, g_ptr_array_index(names, i), error)) {
            return false;
        }
    }
    return true;
}

/* A backup of another schema cannot be changed safely; it goes. */
static bool forget_in_backup(const char *path, int version, const char *table,
                             int64_t row, GPtrArray *names, GError **error)
{
    g_autoptr(sqlite3) db = NULL;
    int64_t found = 0;
    const int code =
        sqlite3_open_v2(path, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
    if (code != SQLITE_OK) {
        return rb_sqlite_error(error, db, code, path);
    }
    if (!rb_sqlite_int(db, path, "PRAGMA user_version", 0, &found, error)) {
        return false;
    }
    if (found != version) {
        return rb_backup_delete(path, error);
    }
    return rb_sqlite_exec(db, path, "PRAGMA secure_delete = ON; BEGIN IMMEDIATE",
                          error) &&
           remove_names(db, path, table, row, names, error) &&
           rb_sqlite_exec(db, path, "COMMIT", error);
}

static bool forget_in_backups(RbStore *store, const char *table, int64_t row,
                              GPtrArray *names, GError **error)
{
    g_autoptr(GPtrArray) backups = rb_backup_list(store->path, error);
    for (guint i = 0; backups != NULL && i < backups->len; i++) {
        if (!forget_in_backup(g_ptr_array_index(backups, i), store->version, table, row,
                              names, error)) {
            return false;
        }
    }
    return backups != NULL;
}

static bool forget(RbStore *store, RbPersonId by, const char *table, int64_t row,
                   GError **error)
{
    g_autofree char *words = rb_told("A name was forgotten");
    const RbPending pending = {
        .type = RB_ACTION_FORGET,
        .person = by,
        .words = rb_told_to_keep(words),
        .table = table,
        .row = row,
    };
    if (!rb_store_begin_pending(store, pending, error)) {
        return false;
    }
    /* The name must not come into the history by being taken out. */
    sqlite3session_enable(store->session, 0);
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    if (!remove_names(store->db, store->path, table, row, names, error)) {
        rb_store_rollback(store);
        return false;
    }
    return rb_store_commit(store, error) &&
           rb_sqlite_exec(store->db, store->path, "PRAGMA wal_checkpoint(TRUNCATE)",
                          error) &&
           forget_in_backups(store, table, row, names, error);
}

/* A name that was forgotten: its row. */
typedef struct {
    char *table; /* owned */
    int64_t row;
} Forgotten;

static void forgotten_free(void *data)
{
    Forgotten *forgotten = data;
    g_free(forgotten->table);
    g_free(forgotten);
}

static GPtrArray *list_forgotten(RbStore *store, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT DISTINCT forget_table, forget_row FROM action WHERE type = 'forget'"
        " AND forget_table IN ('player', 'person')",
        error);
    if (query == NULL) {
        return NULL;
    }
    g_autoptr(GPtrArray) list = g_ptr_array_new_with_free_func(forgotten_free);
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        Forgotten *forgotten = g_new0(Forgotten, 1);
        forgotten->table = g_strdup(rb_statement_get_text(query, "forget_table"));
        forgotten->row = rb_statement_get_int(query, "forget_row");
        g_ptr_array_add(list, forgotten);
    }
    return step == RB_STEP_DONE ? g_steal_pointer(&list) : NULL;
}

bool rb_forget_again(RbStore *store, GError **error)
{
    g_autoptr(GPtrArray) list = list_forgotten(store, error);
    bool ok = list != NULL;
    for (guint i = 0; ok && i < list->len; i++) {
        const Forgotten *forgotten = g_ptr_array_index(list, i);
        g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
        ok = remove_names(store->db, store->path, forgotten->table, forgotten->row, names,
                          error);
    }
    return ok;
}

bool rb_forget_in_backups(RbStore *store, GError **error)
{
    g_autoptr(GPtrArray) list = list_forgotten(store, error);
    bool ok = list != NULL && rb_sqlite_exec(store->db, store->path,
                                             "PRAGMA wal_checkpoint(TRUNCATE)", error);
    for (guint i = 0; ok && i < list->len; i++) {
        const Forgotten *forgotten = g_ptr_array_index(list, i);
        g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
        ok = forget_in_backups(store, forgotten->table, forgotten->row, names, error);
    }
    return ok;
}

bool rb_store_forget_player(RbStore *store, RbPersonId by, RbPlayerId id, GError **error)
{
    return forget(store, by, "player", id.value, error);
}

bool rb_store_forget_person(RbStore *store, RbPersonId by, RbPersonId id, GError **error)
{
    return forget(store, by, "person", id.value, error);
}
