/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"

#include "statement-private.h"

/* Queries built from filters are many; the rest are few: what is merged from other laptops has two
 * for each field of the shared tables. */
enum { IDLE_MAX = 768 };

struct RbStatement {
    RbStore *store;     /* borrowed */
    sqlite3_stmt *stmt; /* owned */
    int bound;
    int next_column; /* columns are mostly read in their order */
};

RbStatement *rb_statement_new(RbStore *store, const char *sql, GError **error)
{
    rb_confined_assert(&store->confined);
    gpointer key = NULL;
    gpointer idle = NULL;
    if (g_hash_table_steal_extended(store->statements, sql, &key, &idle)) {
        g_free(key);
    } else {
        sqlite3_stmt *fresh = NULL;
        const int code = sqlite3_prepare_v3(store->db, sql, -1, SQLITE_PREPARE_PERSISTENT,
                                            &fresh, NULL);
        if (code != SQLITE_OK) {
            rb_store_fail(store, code, error);
            return NULL;
        }
        idle = fresh;
    }
    RbStatement *statement = g_new0(RbStatement, 1);
    statement->store = store;
    statement->stmt = idle;
    return statement;
}

void rb_statement_free(RbStatement *statement)
{
    if (statement == NULL) {
        return;
    }
    GHashTable *idle = statement->store->statements;
    const char *sql = sqlite3_sql(statement->stmt);
    if (g_hash_table_contains(idle, sql) || g_hash_table_size(idle) >= IDLE_MAX) {
        sqlite3_finalize(statement->stmt);
    } else {
        /* A statement that is not reset keeps a snapshot and lets the WAL grow. */
        sqlite3_reset(statement->stmt);
        sqlite3_clear_bindings(statement->stmt);
        g_hash_table_insert(idle, g_strdup(sql), statement->stmt);
    }
    g_free(statement);
}

void rb_statement_drop_idle(RbStore *store)
{
    g_hash_table_remove_all(store->statements);
}

/* Binding fails only for a wrong place or for a text of gigabytes. */
static void bound(RbStatement *statement, int code)
{
    g_assert(code == SQLITE_OK);
    statement->bound++;
}

void rb_statement_bind_int(RbStatement *statement, int64_t value)
{
    bound(statement, sqlite3_bind_int64(statement->stmt, statement->bound + 1, value));
}

void rb_statement_bind_real(RbStatement *statement, double value)
{
    bound(statement, sqlite3_bind_double(statement->stmt, statement->bound + 1, value));
}

void rb_statement_bind_null(RbStatement *statement)
{
    bound(statement, sqlite3_bind_null(statement->stmt, statement->bound + 1));
}

void rb_statement_bind_id(RbStatement *statement, int64_t id)
{
    if (id == 0) {
        rb_statement_bind_null(statement);
    } else {
        rb_statement_bind_int(statement, id);
    }
}

void rb_statement_bind_text(RbStatement *statement, const char *t)
{
    bound(statement, sqlite3_bind_text(statement->stmt, statement->bound + 1, t, -1,
                                       SQLITE_TRANSIENT));
}

void rb_statement_bind_blob(RbStatement *statement, const void *data, size_t size)
{
    bound(statement, sqlite3_bind_blob64(statement->stmt, statement->bound + 1, data,
                                         size, SQLITE_TRANSIENT));
}

void rb_statement_bind_value(RbStatement *statement, const sqlite3_value *value)
{
    if (value == NULL) {
        rb_statement_bind_null(statement);
    } else {
        bound(statement,
              sqlite3_bind_value(statement->stmt, statement->bound + 1, value));
    }
}

void rb_statement_bind_word(RbStatement *statement, const RbWords *words, int value,
                            bool zero_unknown)
{
    const bool unknown = zero_unknown && value == 0;
    rb_statement_bind_text(statement, unknown ? NULL : rb_words_token(words, value));
}

RbStep rb_statement_step(RbStatement *statement, GError **error)
{
    rb_confined_assert(&statement->store->confined);
    statement->next_column = 0;
    const int code = sqlite3_step(statement->stmt);
    if (code == SQLITE_ROW) {
        return RB_STEP_ROW;
    }
    if (code == SQLITE_DONE) {
        return RB_STEP_DONE;
    }
    rb_store_fail(statement->store, code, error);
    sqlite3_reset(statement->stmt);
    return RB_STEP_ERROR;
}

bool rb_statement_run(RbStatement *statement, GError **error)
{
    RbStep step = RB_STEP_ROW;
    while (step == RB_STEP_ROW) {
        step = rb_statement_step(statement, error);
    }
    return step == RB_STEP_DONE;
}

void rb_statement_reset(RbStatement *statement)
{
    sqlite3_reset(statement->stmt);
    sqlite3_clear_bindings(statement->stmt);
    statement->bound = 0;
}

static int find_column(RbStatement *statement, const char *column)
{
    const int n = sqlite3_column_count(statement->stmt);
    for (int i = 0; i < n; i++) {
        const int at = (statement->next_column + i) % n;
        if (strcmp(sqlite3_column_name(statement->stmt, at), column) == 0) {
            statement->next_column = at + 1;
            return at;
        }
    }
    g_error("The query gives no column %s: %s", column, sqlite3_sql(statement->stmt));
}

bool rb_statement_is_null(RbStatement *statement, const char *column)
{
    const int at = find_column(statement, column);
    return sqlite3_column_type(statement->stmt, at) == SQLITE_NULL;
}

int64_t rb_statement_get_int(RbStatement *statement, const char *column)
{
    return rb_statement_get_int_or(statement, column, 0);
}

int64_t rb_statement_get_int_or(RbStatement *statement, const char *column,
                                int64_t fallback)
{
    const int at = find_column(statement, column);
    return sqlite3_column_type(statement->stmt, at) == SQLITE_NULL
               ? fallback
               : sqlite3_column_int64(statement->stmt, at);
}

const char *rb_statement_get_text(RbStatement *statement, const char *column)
{
    const int at = find_column(statement, column);
    return (const char *)sqlite3_column_text(statement->stmt, at);
}

const void *rb_statement_get_blob(RbStatement *statement, const char *column,
                                  size_t *size)
{
    const int at = find_column(statement, column);
    const void *data = sqlite3_column_blob(statement->stmt, at);
    *size = (size_t)sqlite3_column_bytes(statement->stmt, at);
    return data;
}

sqlite3_value *rb_statement_get_value(RbStatement *statement, const char *column)
{
    return sqlite3_column_value(statement->stmt, find_column(statement, column));
}

bool rb_statement_get_word(RbStatement *statement, const char *column,
                           const RbWords *words, int *value, GError **error)
{
    const char *token = rb_statement_get_text(statement, column);
    *value = 0;
    if (token == NULL || rb_words_parse(words, token, value)) {
        return true;
    }
    g_autofree char *path = g_filename_display_name(statement->store->path);
    return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
                        "The library %s holds \"%s\" where this version knows no such "
                        "%s; open it with the version that wrote it.",
                        path, token, _(words->name));
}
