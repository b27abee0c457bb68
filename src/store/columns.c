/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/columns.h"

#include "rb/store/statement.h"
#include "rb/store/touched.h"

GBytes *rb_store_load_columns(RbStore *store, const char *made_by, GArray **seen,
                              GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(
        store, "SELECT seen, columns FROM judged WHERE id = 1 AND made_by = ?", error);
    if (query == NULL) {
        return NULL;
    }
    rb_statement_bind_text(query, made_by);
    if (rb_statement_step(query, error) != RB_STEP_ROW) {
        return NULL;
    }
    size_t size = 0;
    const void *data = rb_statement_get_blob(query, "seen", &size);
    *seen = g_array_new(FALSE, FALSE, sizeof(RbSeen));
    g_array_append_vals(*seen, data, (guint)(size / sizeof(RbSeen)));
    data = rb_statement_get_blob(query, "columns", &size);
    return g_bytes_new(data, size);
}

bool rb_store_keep_columns(RbStore *store, const char *made_by, const GArray *seen,
                           GBytes *columns, GError **error)
{
    gsize size = 0;
    const void *data = g_bytes_get_data(columns, &size);
    g_autoptr(RbStatement) statement = rb_statement_new(
        store,
        "INSERT OR REPLACE INTO judged (id, made_by, seen, columns) VALUES (1, ?, ?, ?)",
        error);
    if (statement == NULL) {
        return false;
    }
    rb_statement_bind_text(statement, made_by);
    rb_statement_bind_blob(statement, seen->data, seen->len * sizeof(RbSeen));
    rb_statement_bind_blob(statement, data, size);
    return rb_statement_run(statement, error);
}
