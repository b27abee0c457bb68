/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "children.h"

GHashTable *rb_children_index(const GPtrArray *values)
{
    /* The key is the id at the head of each value. */
    GHashTable *index = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < values->len; i++) {
        g_hash_table_add(index, g_ptr_array_index(values, i));
    }
    return index;
}

void *rb_children_find(GHashTable *index, int64_t id)
{
    return g_hash_table_lookup(index, &id);
}

bool rb_children_read(RbStore *store, const char *sql, const int64_t *ids, int n_ids,
                      RbTakeRow take, void *data, GError **error)
{
    g_autoptr(RbStatement) query = rb_statement_new(store, sql, error);
    if (query == NULL) {
        return false;
    }
    for (int i = 0; i < n_ids; i++) {
        rb_statement_bind_int(query, ids[i]);
    }
    RbStep step;
    while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
        if (!take(query, data, error)) {
            return false;
        }
    }
    return step == RB_STEP_DONE;
}
