/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/tagging.h"

/* One tag of a snap in the list: its name and its value. */
#define RB_TYPE_TAG_ROW (rb_tag_row_get_type())
G_DECLARE_FINAL_TYPE(RbTagRow, rb_tag_row, RB, TAG_ROW, GtkListBoxRow)

/* field: of the registry, static. */
RbTagRow *rb_tag_row_new(const RbTaggable *field);
const RbTaggable *rb_tag_row_get_field(RbTagRow *row);
/* value: for people; known: false greys it. asked: this tag would settle the verdict. */
void rb_tag_row_set_value(RbTagRow *row, const char *value, bool known, bool asked);
