/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/saved-filter.h"

RbSavedFilter *rb_saved_filter_new(const char *name, const RbFilter *filter)
{
    g_autofree char *folded = g_utf8_casefold(name, -1);
    RbSavedFilter *saved = g_new0(RbSavedFilter, 1);
    saved->id.value = rb_id_from_text("saved-filter", folded, NULL);
    saved->name = g_strdup(name);
    saved->filter = rb_filter_to_text(filter);
    return saved;
}

void rb_saved_filter_free(RbSavedFilter *saved)
{
    if (saved == NULL) {
        return;
    }
    g_free(saved->name);
    g_free(saved->filter);
    g_free(saved);
}
