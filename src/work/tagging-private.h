/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/store.h"
#include "rb/work/tagging.h"

/* Writes what goes with tags, inside their action. */
typedef bool (*RbTagAlong)(RbStore *store, void *data, GError **error);

/* As rb_library_tag(), and what `along` writes, in one action that the history tells with
 * `words`. */
bool rb_library_tag_with(RbLibrary *library, RbSnapId snap, const RbTagChange *changes,
                         int n, const char *words, RbTagAlong along, void *data,
                         GError **error);
