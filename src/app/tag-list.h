/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/tagging.h"

/* The tags of one snap, made from the registry of tags. Up and Down move, Enter opens the
 * choices. Signal "answered" (char *field, char *value). */
#define RB_TYPE_TAG_LIST (rb_tag_list_get_type())
G_DECLARE_FINAL_TYPE(RbTagList, rb_tag_list, RB, TAG_LIST, GtkWidget)

/* sheet: (nullable): borrowed until the next call. */
void rb_tag_list_set_sheet(RbTagList *list, const RbSheet *sheet);
/* Moves to a tag by its token and opens its choices. False when it is not in the list. */
bool rb_tag_list_open(RbTagList *list, const char *token);
/* Gives the list the keyboard. */
void rb_tag_list_focus(RbTagList *list);
