/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/work/snapshot.h"

#include "library-private.h"

RbSnapshot *rb_snapshot_take(RbLibrary *library, const RbSnapshotOptions *options,
                             RbCancel *cancel, GError **error)
{
    const RbGameId all = { 0 };
    RbStore *store = rb_library_store(library);
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    g_autoptr(GPtrArray) snaps =
        names != NULL ? rb_store_list_snaps(store, all, error) : NULL;
    g_autoptr(GPtrArray) charts =
        snaps != NULL ? rb_store_list_counting_charts(store, all, error) : NULL;
    g_autoptr(GPtrArray) clips =
        charts != NULL ? rb_store_list_game_clips(store, all, error) : NULL;
    return clips != NULL
               ? rb_snapshot_build(names, snaps, charts, clips, options, cancel, error)
               : NULL;
}
