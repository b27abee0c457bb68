/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/filters.h"

#include "tables.h"

static const RbColumn columns[] = {
    RB_NAME(RbSavedFilter, name, "name"),
    RB_NAME(RbSavedFilter, filter, "filter"),
};

static void *make(void)
{
    g_autoptr(RbFilter) every = rb_filter_new();
    return rb_saved_filter_new("", every);
}

const RbTable rb_saved_filter_table = {
    "saved_filter",        "saved filter", columns,
    G_N_ELEMENTS(columns), make,           (GDestroyNotify)rb_saved_filter_free,
};

GPtrArray *rb_store_list_saved_filters(RbStore *store, GError **error)
{
    return rb_row_list(store, &rb_saved_filter_table,
                       "WHERE t.removed = 0 ORDER BY t.name COLLATE NOCASE, t.id", NULL,
                       0, error);
}

bool rb_store_save_saved_filter(RbStore *store, const RbSavedFilter *saved,
                                GError **error)
{
    return rb_row_save(store, &rb_saved_filter_table, saved, error);
}

bool rb_store_remove_saved_filter(RbStore *store, RbSavedFilterId id, GError **error)
{
    return rb_row_remove(store, &rb_saved_filter_table, id.value, error);
}
