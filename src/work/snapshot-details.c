/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "snapshot-details.h"

#include <stdatomic.h>

#include "rb/base/thread.h"

/* Shared by the snapshots that follow one another. */
typedef struct {
    RbDetail detail; /* first, so that a pointer to it is one to this */
    atomic_int refs;
} Entry;

struct RbDetails {
    RbMutex mutex;
    GHashTable *entries; /* owned: snap id (in the entry) to Entry, a reference each */
};

static void entry_unref(void *pointer)
{
    Entry *entry = pointer;
    if (atomic_fetch_sub_explicit(&entry->refs, 1, memory_order_acq_rel) == 1) {
        rb_snap_free(entry->detail.snap);
        rb_chart_free(entry->detail.chart);
        g_free(entry);
    }
}

RbDetails *rb_details_new(void)
{
    RbDetails *details = g_new0(RbDetails, 1);
    rb_mutex_init(&details->mutex);
    details->entries =
        g_hash_table_new_full(g_int64_hash, g_int64_equal, NULL, entry_unref);
    return details;
}

void rb_details_free(RbDetails *details)
{
    if (details != NULL) {
        g_hash_table_unref(details->entries);
        rb_mutex_clear(&details->mutex);
        g_free(details);
    }
}

RbDetails *rb_details_copy(RbDetails *details)
{
    RbDetails *copy = rb_details_new();
    GHashTableIter iter;
    gpointer value = NULL;
    rb_mutex_lock(&details->mutex);
    g_hash_table_iter_init(&iter, details->entries);
    while (g_hash_table_iter_next(&iter, NULL, &value)) {
        Entry *entry = value;
        atomic_fetch_add_explicit(&entry->refs, 1, memory_order_relaxed);
        g_hash_table_insert(copy->entries, &entry->detail.snap->id.value, entry);
    }
    rb_mutex_unlock(&details->mutex);
    return copy;
}

guint rb_details_get_count(RbDetails *details)
{
    rb_mutex_lock(&details->mutex);
    const guint n = g_hash_table_size(details->entries);
    rb_mutex_unlock(&details->mutex);
    return n;
}

void rb_details_put(RbDetails *details, RbSnap *snap, RbChart *chart,
                    const RbJudgment *judgment)
{
    Entry *entry = g_new0(Entry, 1);
    atomic_init(&entry->refs, 1);
    entry->detail = (RbDetail){ snap, chart, *judgment };
    rb_mutex_lock(&details->mutex);
    const bool there = g_hash_table_contains(details->entries, &snap->id.value);
    if (!there) {
        g_hash_table_insert(details->entries, &snap->id.value, entry);
    }
    rb_mutex_unlock(&details->mutex);
    if (there) {
        entry_unref(entry);
    }
}

void rb_details_drop(RbDetails *details, RbSnapId snap)
{
    rb_mutex_lock(&details->mutex);
    g_hash_table_remove(details->entries, &snap.value);
    rb_mutex_unlock(&details->mutex);
}

const RbDetail *rb_details_find(RbDetails *details, RbSnapId snap)
{
    rb_mutex_lock(&details->mutex);
    const RbDetail *detail = g_hash_table_lookup(details->entries, &snap.value);
    rb_mutex_unlock(&details->mutex);
    return detail;
}
