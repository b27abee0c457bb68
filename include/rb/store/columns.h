/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/store/store.h"

/* Computed columns that a library keeps beside what they were computed from, so that the next
 * program need not compute them again. They belong to this copy of the library: never journaled,
 * never exchanged, and lost without loss. */

/* made_by: who reads must have made them. seen: (out) (transfer full): of RbSeen, how far the
 * history was. Returns: (transfer full) (nullable): NULL without `error` when there are none. */
GBytes *rb_store_load_columns(RbStore *store, const char *made_by, GArray **seen,
                              GError **error);
bool rb_store_keep_columns(RbStore *store, const char *made_by, const GArray *seen,
                           GBytes *columns, GError **error);
