/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>

#include "rb/work/rail.h"

/* The choices of one question: key, name, how likely. Rows are made once and used again.
 * Signal "chosen" (int index): clicked. */
#define RB_TYPE_RAIL_LIST (rb_rail_list_get_type())
G_DECLARE_FINAL_TYPE(RbRailList, rb_rail_list, RB, RAIL_LIST, GtkWidget)

RbRailList *rb_rail_list_new(void);
/* options: of RbOption, read at once. follows: the first one follows by rule. */
void rb_rail_list_set_options(RbRailList *list, const GPtrArray *options, bool follows);
int rb_rail_list_get_chosen(RbRailList *list);
void rb_rail_list_move(RbRailList *list, int step);
