/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

/* A flag that long work polls. Safe from any thread. A child is cancelled when its parent
 * is, so closing a window cancels all it started. */
typedef struct RbCancel RbCancel;

/* parent: (nullable): kept alive by the child. Returns: (transfer full). */
RbCancel *rb_cancel_new(RbCancel *parent);
RbCancel *rb_cancel_ref(RbCancel *cancel);
void rb_cancel_unref(RbCancel *cancel); /* NULL is allowed */

void rb_cancel_cancel(RbCancel *cancel);

/* cancel: (nullable): NULL is never cancelled. */
bool rb_cancel_is_cancelled(const RbCancel *cancel);

/* True to go on; false with RB_BASE_ERROR_CANCELLED set when cancelled. */
bool rb_cancel_check(const RbCancel *cancel, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbCancel, rb_cancel_unref)
