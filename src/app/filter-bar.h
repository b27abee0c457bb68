/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/model/filter.h"
#include "rb/work/names.h"

/* The filter as chips: a press removes one, "Add" offers fields and their values.
 * Signal "changed": ask rb_filter_bar_dup_filter(). Signals "save" and "forget" (char *name): to
 * keep the filter under that name, or to forget the one that has it. */
#define RB_TYPE_FILTER_BAR (rb_filter_bar_get_type())
G_DECLARE_FINAL_TYPE(RbFilterBar, rb_filter_bar, RB, FILTER_BAR, GtkWidget)

/* names: a reference is taken. filter: copied. dropbacks: how many it accepts; -1 unknown. */
void rb_filter_bar_set(RbFilterBar *bar, RbNames *names, const RbFilter *filter,
                       int dropbacks);
/* A word before the chips: which side of a comparison this is. */
void rb_filter_bar_set_title(RbFilterBar *bar, const char *title);
RbFilter *rb_filter_bar_dup_filter(RbFilterBar *bar);
