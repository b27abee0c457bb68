/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/store/store.h"

#include "statement-private.h"

/* Every field of the text is preceded by its length, so that no two libraries with different
 * values give one text. */
static void feed(GChecksum *sum, const void *data, size_t size)
{
    g_autofree char *length = g_strdup_printf("%zu:", size);
    g_checksum_update(sum, (const guchar *)length, -1);
    g_checksum_update(sum, data, (gssize)size);
}

static void feed_value(GChecksum *sum, sqlite3_value *value)
{
    /* Integers as their digits; a type is told by its letter. */
    const int type = sqlite3_value_type(value);
    feed(sum, type == SQLITE_INTEGER ? "i" : "t", 1);
    const void *data = sqlite3_value_text(value);
    feed(sum, data, (size_t)sqlite3_value_bytes(value));
}

/* Columns in the order of their names and only those with a value, so that a column added
 * later, empty, leaves the hash as it was. */
static char *table_query(RbStore *store, const char *table, GPtrArray *columns,
                         GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT name FROM pragma_table_info(?) WHERE name NOT IN ('id', 'removed')"
        " ORDER BY name",
        error);
    if (query == NULL) {
        return NULL;
    }
    rb_statement_bind_text(query, table);
    GString *sql = g_string_new("SELECT id");
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        const char *name = rb_statement_get_text(query, "name");
        g_string_append_printf(sql, ", \"%s\"", name);
        g_ptr_array_add(columns, g_strdup(name));
    }
    g_string_append_printf(sql, " FROM \"%s\" WHERE removed = 0 ORDER BY id", table);
    return g_string_free(sql, step != RB_STEP_DONE);
}

/* A table of the first schema is named even when it is empty; one added later only when it is
 * not, so that adding it leaves the hash as it was. */
#define FIRST_TABLES 15

static bool feed_table(RbStore *store, const char *table, bool named, GChecksum *sum,
                       GError **error)
{
    g_autoptr(GPtrArray) columns = g_ptr_array_new_with_free_func(g_free);
    g_autofree char *sql = table_query(store, table, columns, error);
    g_autoptr(RbStatement) query =
        sql != NULL ? rb_statement_new(store, sql, error) : NULL;
    if (query == NULL) {
        return false;
    }
    if (named) {
        feed(sum, table, strlen(table));
    }
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        if (!named) {
            feed(sum, table, strlen(table));
            named = true;
        }
        feed_value(sum, rb_statement_get_value(query, "id"));
        for (guint i = 0; i < columns->len; i++) {
            const char *name = g_ptr_array_index(columns, i);
            if (!rb_statement_is_null(query, name)) {
                feed(sum, name, strlen(name));
                feed_value(sum, rb_statement_get_value(query, name));
            }
        }
    }
    return step == RB_STEP_DONE;
}

char *rb_store_content_hash(RbStore *store, GError **error)
{
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    for (int i = 0; rb_shared_tables[i] != NULL; i++) {
        if (!feed_table(store, rb_shared_tables[i], i < FIRST_TABLES, sum, error)) {
            return NULL;
        }
    }
    return g_strdup(g_checksum_get_string(sum));
}
