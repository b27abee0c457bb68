/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/saved-filter.h"
#include "rb/store/store.h"

/* Filters kept by name. The pattern is that of staff.h. */
GPtrArray *rb_store_list_saved_filters(RbStore *store, GError **error); /* by name */
bool rb_store_save_saved_filter(RbStore *store, const RbSavedFilter *saved,
                                GError **error);
bool rb_store_remove_saved_filter(RbStore *store, RbSavedFilterId id, GError **error);
