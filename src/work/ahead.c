/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/ahead.h"

#include "library-private.h"

void rb_film_span_free(RbFilmSpan *span)
{
    if (span != NULL) {
        g_free(span->path);
        g_free(span);
    }
}

static void free_span(void *span)
{
    rb_film_span_free(span);
}

static bool add_clips(RbLibrary *library, RbSnapId snap, GPtrArray *spans, GError **error)
{
    g_autoptr(GPtrArray) clips = rb_library_load_clips(library, snap, error);
    for (guint i = 0; clips != NULL && i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->film.value == 0) {
            continue;
        }
        GError *failure = NULL;
        char *path = rb_library_film_path(library, clip->film, &failure);
        if (failure != NULL) {
            g_propagate_error(error, failure);
            return false;
        }
        if (path != NULL) {
            RbFilmSpan *span = g_new(RbFilmSpan, 1);
            *span =
                (RbFilmSpan){ .path = path, .first = clip->first, .last = clip->last };
            g_ptr_array_add(spans, span);
        }
    }
    return clips != NULL;
}

GPtrArray *rb_library_load_ahead(RbLibrary *library, RbSnapId snap, int snaps,
                                 GError **error)
{
    g_autoptr(RbSnap) here = rb_library_load_snap(library, snap, error);
    g_autoptr(GPtrArray) all =
        here != NULL ? rb_library_load_snaps(library, here->game, error) : NULL;
    if (all == NULL) {
        return NULL;
    }
    g_autoptr(GPtrArray) spans = g_ptr_array_new_with_free_func(free_span);
    guint at = 0;
    while (at < all->len && ((const RbSnap *)all->pdata[at])->id.value != snap.value) {
        at++;
    }
    for (guint i = at + 1; i < all->len && i <= at + (guint)snaps; i++) {
        if (!add_clips(library, ((const RbSnap *)all->pdata[i])->id, spans, error)) {
            return NULL;
        }
    }
    return g_steal_pointer(&spans);
}
