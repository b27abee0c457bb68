/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/filter.h"
#include "rb/model/ids.h"

/* A filter that the staff kept under a name: "Third and long, since the bye". */
typedef struct {
    RbSavedFilterId id;
    char *name; /* owned */
    char *
        filter; /* owned: see rb_filter_to_text(); may be one that this version cannot read */
} RbSavedFilter;

/* The id comes from the name, any case, so that two laptops which keep a filter under one name
 * keep one filter. Returns: (transfer full). */
RbSavedFilter *rb_saved_filter_new(const char *name, const RbFilter *filter);
void rb_saved_filter_free(RbSavedFilter *saved); /* NULL is allowed */

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSavedFilter, rb_saved_filter_free)
