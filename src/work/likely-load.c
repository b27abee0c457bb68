/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/snaps.h"
#include "rb/work/likely.h"

#include "library-private.h"

static const RbSnap *find_snap(GHashTable *by_id, RbSnapId id)
{
    return g_hash_table_lookup(by_id, &id.value);
}

RbLikely *rb_library_load_likely(RbLibrary *library, GError **error)
{
    const RbGameId all = { 0 };
    RbStore *store = rb_library_store(library);
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(GPtrArray) snaps =
        names != NULL ? rb_store_list_snaps(store, all, error) : NULL;
    g_autoptr(GPtrArray) charts =
        snaps != NULL ? rb_store_list_counting_charts(store, all, error) : NULL;
    if (charts == NULL) {
        return NULL;
    }
    g_autoptr(GHashTable) by_id = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < snaps->len; i++) {
        RbSnap *snap = snaps->pdata[i];
        g_hash_table_insert(by_id, &snap->id.value, snap);
    }
    RbLikely *likely = rb_likely_new();
    const guint from = charts->len > RB_LIKELY_MAX ? charts->len - RB_LIKELY_MAX : 0;
    const RbSnap *last = NULL;
    for (guint i = from; i < charts->len; i++) {
        const RbChart *chart = charts->pdata[i];
        const RbSnap *snap = find_snap(by_id, chart->snap);
        if (snap == NULL) {
            continue;
        }
        const bool same_game = last != NULL && last->game.value == snap->game.value;
        rb_likely_learn(likely, names, snap, chart,
                        same_game ? charts->pdata[i - 1] : NULL);
        last = snap;
    }
    return likely;
}
