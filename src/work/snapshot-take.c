/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/store/touched.h"
#include "rb/work/snapshot.h"

#include "library-private.h"
#include "snapshot-private.h"

/* More snaps than this are read all at once rather than one by one. */
#define FOLLOWED_MAX 200

RbSnapshot *rb_snapshot_take(RbLibrary *library, const RbSnapshotOptions *options,
                             RbCancel *cancel, GError **error)
{
    const RbGameId all = { 0 };
    RbStore *store = rb_library_store(library);
    /* First of all: what another laptop adds while this reads is then followed later. */
    g_autoptr(GArray) seen = rb_store_list_seen(store, error);
    g_autoptr(RbNames) names =
        seen != NULL ? rb_library_load_names(library, error) : NULL;
    g_autoptr(GPtrArray) snaps =
        names != NULL ? rb_store_list_snaps(store, all, error) : NULL;
    g_autoptr(GPtrArray) charts =
        snaps != NULL ? rb_store_list_counting_charts(store, all, error) : NULL;
    g_autoptr(GPtrArray) clips =
        charts != NULL ? rb_store_list_game_clips(store, all, error) : NULL;
    RbSnapshot *snapshot = clips != NULL ? rb_snapshot_build(names, snaps, charts, clips,
                                                             options, cancel, error)
                                         : NULL;
    if (snapshot != NULL) {
        rb_snapshot_set_seen(snapshot, rb_library_get_path(library), seen);
    }
    return snapshot;
}

static void free_snap(void *snap)
{
    rb_snap_free(snap);
}

static void free_chart(void *chart)
{
    rb_chart_free(chart);
}

static void free_clip(void *clip)
{
    rb_clip_free(clip);
}

/* What is read again: lists as rb_snapshot_follow() wants them. */
typedef struct {
    GPtrArray *snaps;
    GPtrArray *charts;
    GPtrArray *clips;
} Again;

static void move_all(GPtrArray *from, GPtrArray *to)
{
    while (from->len > 0) {
        g_ptr_array_add(to, g_ptr_array_steal_index(from, 0));
    }
}

/* A snap that is gone is left out, which leaves less than was asked for. */
static bool read_again(RbLibrary *library, const RbNames *names, RbSnapId id,
                       const Again *again, GError **error)
{
    RbStore *store = rb_library_store(library);
    g_autoptr(RbSnap) snap = rb_store_load_snap(store, id, NULL);
    if (snap == NULL) {
        return true;
    }
    const RbGame *game = rb_names_find_game(names, snap->game);
    g_autoptr(GPtrArray) charts = rb_library_load_charts(library, id, error);
    g_autoptr(GPtrArray) clips =
        charts != NULL ? rb_store_list_clips(store, id, error) : NULL;
    if (clips == NULL) {
        return false;
    }
    const RbChart *counts =
        rb_chart_that_counts(charts, game != NULL ? game->lead : (RbPersonId){ 0 });
    if (counts != NULL) {
        g_ptr_array_add(again->charts, rb_chart_copy(counts));
    }
    move_all(clips, again->clips);
    g_ptr_array_add(again->snaps, g_steal_pointer(&snap));
    return true;
}

/* NULL without `error` when a new snapshot is needed. */
static RbSnapshot *follow(RbLibrary *library, const RbSnapshot *before,
                          const GArray *touched, GError **error)
{
    g_autoptr(GPtrArray) snaps = g_ptr_array_new_with_free_func(free_snap);
    g_autoptr(GPtrArray) charts = g_ptr_array_new_with_free_func(free_chart);
    g_autoptr(GPtrArray) clips = g_ptr_array_new_with_free_func(free_clip);
    const Again again = { snaps, charts, clips };
    for (guint i = 0; i < touched->len; i++) {
        if (!read_again(library, rb_snapshot_get_names(before),
                        g_array_index(touched, RbSnapId, i), &again, error)) {
            return NULL;
        }
    }
    return snaps->len == touched->len ? rb_snapshot_follow(before, snaps, charts, clips)
                                      : NULL;
}

RbSnapshot *rb_snapshot_take_after(RbLibrary *library, const RbSnapshot *before,
                                   RbCancel *cancel, GError **error)
{
    RbStore *store = rb_library_store(library);
    const GArray *seen = rb_snapshot_get_seen(before, rb_library_get_path(library));
    bool everything = seen == NULL;
    g_autoptr(GArray) now = rb_store_list_seen(store, error);
    g_autoptr(GArray) touched =
        now != NULL && !everything
            ? rb_store_list_touched(store, seen, &everything, error)
            : NULL;
    if (now == NULL || (touched == NULL && !everything)) {
        return NULL;
    }
    if (!everything && touched->len == 0) {
        return rb_snapshot_ref(before);
    }
    if (!everything && touched->len <= FOLLOWED_MAX) {
        GError *failure = NULL;
        RbSnapshot *next = follow(library, before, touched, &failure);
        if (next != NULL) {
            rb_snapshot_set_seen(next, rb_library_get_path(library), now);
            return next;
        }
        if (failure != NULL) {
            g_propagate_error(error, failure);
            return NULL;
        }
    }
    const RbSnapshotOptions options = rb_snapshot_get_options(before);
    return rb_snapshot_take(library, &options, cancel, error);
}
