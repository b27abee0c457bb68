/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

/* Asks for one line of text in a popover. Signal "answered" (char *text): on Enter; whoever
 * hears it closes the popover, or says with rb_filter_ask_refuse() what is wrong. */
#define RB_TYPE_FILTER_ASK (rb_filter_ask_get_type())
G_DECLARE_FINAL_TYPE(RbFilterAsk, rb_filter_ask, RB, FILTER_ASK, GtkPopover)

RbFilterAsk *rb_filter_ask_new(void);
/* text: what stands there to begin with, all of it chosen. */
void rb_filter_ask_open(RbFilterAsk *ask, const char *question, const char *text);
void rb_filter_ask_refuse(RbFilterAsk *ask, const char *sentence);
