/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/work/snap-rows.h"

/* One row of the table of snaps as a list model wants it. Signal "changed": it has other values. */
#define RB_TYPE_TABLE_ITEM (rb_table_item_get_type())
G_DECLARE_FINAL_TYPE(RbTableItem, rb_table_item, RB, TABLE_ITEM, GObject)

const RbSnapRow *rb_table_item_get_row(RbTableItem *item);

/* rows: of RbSnapRow; kept. The same snaps in the same order get their new values where they stand.
 * Returns false when other snaps came, and changes nothing then. */
bool rb_table_items_take_values(GListStore *items, GPtrArray *rows);
void rb_table_items_replace(GListStore *items, GPtrArray *rows);
