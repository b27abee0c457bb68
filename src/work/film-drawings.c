/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/film-drawings.h"

#include <glib/gi18n-lib.h>

#include "rb/base/ids.h"
#include "rb/base/told.h"
#include "rb/store/film-drawing.h"
#include "rb/store/films.h"

#include "library-private.h"

GPtrArray *rb_library_load_drawings(RbLibrary *library, RbClipId clip, GError **error)
{
    return rb_store_list_film_drawings(rb_library_store(library), clip, error);
}

/* "an arrow drawn over snap 34". Returns: told (transfer full) (nullable). */
static char *words_for(RbLibrary *library, RbClipId clip_id, bool drawn, GError **error)
{
    g_autoptr(RbClip) clip =
        rb_store_load_clip(rb_library_store(library), clip_id, error);
    g_autoptr(RbSnap) snap =
        clip != NULL ? rb_library_load_snap(library, clip->snap, error) : NULL;
    if (snap == NULL) {
        return NULL;
    }
    return drawn ? rb_told("drawing over snap %d", snap->number)
                 : rb_told("drawing taken off snap %d", snap->number);
}

static bool end(RbLibrary *library, bool done, GError **error)
{
    if (!done) {
        rb_library_rollback(library);
        return false;
    }
    return rb_library_commit(library, false, error);
}

bool rb_library_save_drawing(RbLibrary *library, const RbFilmDrawing *drawing,
                             GError **error)
{
    if (!rb_film_drawing_check(drawing, error)) {
        return false;
    }
    g_autofree char *words = words_for(library, drawing->clip, true, error);
    if (words == NULL || !rb_library_begin(library, words, error)) {
        return false;
    }
    g_autoptr(RbFilmDrawing) kept = rb_film_drawing_copy(drawing);
    kept->id.value = kept->id.value != 0 ? kept->id.value : rb_id_random();
    return end(library,
               rb_store_save_film_drawing(rb_library_store(library), kept, error), error);
}

bool rb_library_remove_drawing(RbLibrary *library, RbFilmDrawingId id, GError **error)
{
    RbStore *store = rb_library_store(library);
    GError *failure = NULL;
    g_autoptr(RbFilmDrawing) drawing = rb_store_load_film_drawing(store, id, &failure);
    if (drawing == NULL) {
        return rb_library_not_found(error, failure, _("This drawing is gone already."));
    }
    g_autofree char *words = words_for(library, drawing->clip, false, error);
    return words != NULL && rb_library_begin(library, words, error) &&
           end(library, rb_store_remove_film_drawing(store, id, error), error);
}
