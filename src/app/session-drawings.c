/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/film-drawings.h"

#include "session-private.h"

/* What is drawn over the film that is shown. */

/* RbClipId * → GPtrArray of RbFilmDrawing. */
static void *load(RbStoreSide *side, void *clip, RbCancel *cancel, RbProgress *progress,
                  GError **error)
{
    (void)cancel;
    (void)progress;
    return rb_store_side_has_library(side, error)
               ? rb_library_load_drawings(side->library, *(const RbClipId *)clip, error)
               : NULL;
}

static void *save(RbStoreSide *side, void *drawing, RbCancel *cancel,
                  RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    return rb_store_side_has_library(side, error) &&
                   rb_library_save_drawing(side->library, drawing, error)
               ? rb_words_answer_of_history(side, error)
               : NULL;
}

static void *take_off(RbStoreSide *side, void *id, RbCancel *cancel, RbProgress *progress,
                      GError **error)
{
    (void)cancel;
    (void)progress;
    return rb_store_side_has_library(side, error) &&
                   rb_library_remove_drawing(side->library, *(const RbFilmDrawingId *)id,
                                             error)
               ? rb_words_answer_of_history(side, error)
               : NULL;
}

static void free_list(void *list)
{
    g_ptr_array_unref(list);
}

static void on_drawings(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->drawings, g_ptr_array_unref);
        session->drawings = result;
        rb_session_emit(session, RB_SIGNAL_DRAWINGS);
    }
}

void rb_session_ask_drawings(RbSession *session)
{
    if (session->drawn_clip.value != 0 && session->state == RB_SESSION_OPEN) {
        rb_session_call(session, RB_CHANNEL_DRAWINGS, load,
                        g_memdup2(&session->drawn_clip, sizeof session->drawn_clip),
                        g_free, free_list, on_drawings);
    }
}

void rb_session_want_drawings(RbSession *session, RbClipId clip)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->drawn_clip = clip;
    g_clear_pointer(&session->drawings, g_ptr_array_unref);
    rb_session_ask_drawings(session);
}

const GPtrArray *rb_session_get_drawings(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), NULL);
    return session->drawings;
}

static void free_drawing(void *drawing)
{
    rb_film_drawing_free(drawing);
}

void rb_session_save_drawing(RbSession *session, RbFilmDrawing *drawing)
{
    rb_session_change(session, save, drawing, free_drawing);
}

void rb_session_remove_drawing(RbSession *session, RbFilmDrawingId id)
{
    rb_session_change(session, take_off, g_memdup2(&id, sizeof id), g_free);
}
