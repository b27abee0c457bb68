/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/cancel.h"
#include "rb/work/library.h"

/* What other programs read of a library: the views of schema 5. What is tagged they show as it is
 * at any moment; what is judged, as this part last wrote it. */

/* Judges what was changed since and writes it, with the options that everything starts with; a
 * library whose history did not go on is left alone. cancel: (nullable). */
bool rb_library_refresh_open_data(RbLibrary *library, RbCancel *cancel, GError **error);

/* A view, as documented. */
typedef struct {
    const char *name;
    const char *holds; /* one row a what */
} RbOpenView;
const RbOpenView *rb_open_views(int *n);

/* Rows of one of them; -1 with `error`. */
int64_t rb_library_count_view(RbLibrary *library, const RbOpenView *view, GError **error);
