/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table-items.h"

struct _RbTableItem {
    GObject parent_instance;
    GPtrArray *rows;      /* owned reference: keeps `row` */
    const RbSnapRow *row; /* borrowed */
};

G_DEFINE_FINAL_TYPE(RbTableItem, rb_table_item, G_TYPE_OBJECT)

static guint changed;

const RbSnapRow *rb_table_item_get_row(RbTableItem *item)
{
    return item->row;
}

static void rb_table_item_finalize(GObject *object)
{
    g_clear_pointer(&RB_TABLE_ITEM(object)->rows, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_table_item_parent_class)->finalize(object);
}

static void rb_table_item_class_init(RbTableItemClass *klass)
{
    G_OBJECT_CLASS(klass)->finalize = rb_table_item_finalize;
    changed = g_signal_new("changed", RB_TYPE_TABLE_ITEM, G_SIGNAL_RUN_LAST, 0, NULL,
                           NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_table_item_init(RbTableItem *item)
{
    (void)item;
}

static void set_row(RbTableItem *item, GPtrArray *rows, guint i)
{
    g_clear_pointer(&item->rows, g_ptr_array_unref);
    item->rows = g_ptr_array_ref(rows);
    item->row = rows->pdata[i];
}

bool rb_table_items_take_values(GListStore *items, GPtrArray *rows)
{
    GListModel *model = G_LIST_MODEL(items);
    bool same = g_list_model_get_n_items(model) == rows->len;
    for (guint i = 0; same && i < rows->len; i++) {
        g_autoptr(RbTableItem) item = g_list_model_get_item(model, i);
        const RbSnapRow *row = rows->pdata[i];
        same =
            item->row->snap.value == row->snap.value && item->row->number == row->number;
    }
    for (guint i = 0; same && i < rows->len; i++) {
        g_autoptr(RbTableItem) item = g_list_model_get_item(model, i);
        set_row(item, rows, i);
        g_signal_emit(item, changed, 0);
    }
    return same;
}

void rb_table_items_replace(GListStore *items, GPtrArray *rows)
{
    g_autoptr(GPtrArray) fresh = g_ptr_array_new_with_free_func(g_object_unref);
    for (guint i = 0; i < rows->len; i++) {
        RbTableItem *item = g_object_new(RB_TYPE_TABLE_ITEM, NULL);
        set_row(item, rows, i);
        g_ptr_array_add(fresh, item);
    }
    g_list_store_splice(items, 0, g_list_model_get_n_items(G_LIST_MODEL(items)),
                        fresh->pdata, fresh->len);
}
