/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "row.h"

/* A list of rows by their id, to hang their children on. Borrows the values. The struct's
 * first member is its id. Returns: (transfer full). */
GHashTable *rb_children_index(const GPtrArray *values);

/* NULL when the id is not among them. */
void *rb_children_find(GHashTable *index, int64_t id);

/* Runs a query with its ids bound and calls `take` for every row. */
typedef bool (*RbTakeRow)(RbStatement *row, void *data, GError **error);
bool rb_children_read(RbStore *store, const char *sql, const int64_t *ids, int n_ids,
                      RbTakeRow take, void *data, GError **error);
