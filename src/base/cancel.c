/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/cancel.h"

#include <stdatomic.h>

#include "rb/base/error.h"

struct RbCancel {
    atomic_int refs;
    atomic_bool cancelled;
    RbCancel *parent; /* owned reference, nullable */
};

RbCancel *rb_cancel_new(RbCancel *parent)
{
    RbCancel *cancel = g_new0(RbCancel, 1);
    atomic_init(&cancel->refs, 1);
    atomic_init(&cancel->cancelled, false);
    cancel->parent = parent != NULL ? rb_cancel_ref(parent) : NULL;
    return cancel;
}

RbCancel *rb_cancel_ref(RbCancel *cancel)
{
    atomic_fetch_add_explicit(&cancel->refs, 1, memory_order_relaxed);
    return cancel;
}

void rb_cancel_unref(RbCancel *cancel)
{
    if (cancel == NULL ||
        atomic_fetch_sub_explicit(&cancel->refs, 1, memory_order_acq_rel) != 1) {
        return;
    }
    rb_cancel_unref(cancel->parent);
    g_free(cancel);
}

void rb_cancel_cancel(RbCancel *cancel)
{
    atomic_store_explicit(&cancel->cancelled, true, memory_order_release);
}

bool rb_cancel_is_cancelled(const RbCancel *cancel)
{
    for (; cancel != NULL; cancel = cancel->parent) {
        if (atomic_load_explicit(&cancel->cancelled, memory_order_acquire)) {
            return true;
        }
    }
    return false;
}

bool rb_cancel_check(const RbCancel *cancel, GError **error)
{
    if (!rb_cancel_is_cancelled(cancel)) {
        return true;
    }
    return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_CANCELLED, "Cancelled.");
}
