/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/columns.h"

#include "judged-by.h"
#include "snapshot-private.h"

/* The judging code of this program and the options, by which columns are known again.
 * Returns: (transfer full). */
static char *made_by(const RbSnapshotOptions *options)
{
    const RbSuccessProfile *profile = &options->profile;
    g_autoptr(GString) text = g_string_new(RB_JUDGED_BY);
    g_string_append_printf(text, " %d %d", options->practice,
                           options->settings.held_after_last_ms);
    for (size_t i = 0; i < G_N_ELEMENTS(profile->percent); i++) {
        g_string_append_printf(text, " %d", profile->percent[i]);
    }
    return g_string_free(g_steal_pointer(&text), FALSE);
}

RbPacked *rb_snapshot_load_columns(RbLibrary *library, const RbSnapshotOptions *options,
                                   GArray **seen)
{
    g_autofree char *wanted = made_by(options);
    g_autoptr(GError) failure = NULL;
    g_autoptr(GArray) known = NULL;
    g_autoptr(GBytes) bytes =
        rb_store_load_columns(rb_library_store(library), wanted, &known, &failure);
    gsize size = 0;
    const void *data = bytes != NULL ? g_bytes_get_data(bytes, &size) : NULL;
    RbPacked *packed = data != NULL ? rb_packed_from_bytes(data, size) : NULL;
    if (packed != NULL) {
        *seen = g_steal_pointer(&known);
    }
    return packed;
}

void rb_snapshot_keep_columns(const RbSnapshot *snapshot, RbLibrary *library)
{
    RbStore *store = rb_library_store(library);
    const RbSnapshotOptions options = rb_snapshot_get_options(snapshot);
    const GArray *seen = rb_snapshot_get_seen(snapshot, library);
    g_autofree char *own = made_by(&options);
    g_autoptr(GBytes) bytes = rb_packed_to_bytes(rb_snapshot_get_packed(snapshot));
    g_autoptr(GError) failure = NULL;
    if (rb_store_is_read_only(store) || rb_store_is_in_action(store) || seen == NULL) {
        return;
    }
    if (!rb_store_keep_columns(store, own, seen, bytes, &failure)) {
        g_debug("Judged columns not kept: %s", failure->message);
    }
}
