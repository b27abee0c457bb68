/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/measuring.h"

#include "session-private.h"

/* What is measured on the film of a snap. */

void rb_measures_answer_free(void *data)
{
    RbMeasuresAnswer *answer = data;
    if (answer != NULL) {
        g_clear_pointer(&answer->measures, g_ptr_array_unref);
        g_clear_pointer(&answer->views, g_ptr_array_unref);
        g_free(answer);
    }
}

static void free_view(void *view)
{
    rb_field_view_free(view);
}

/* The views on frames of this clip. */
static bool add_views(RbLibrary *library, const RbClip *clip, GPtrArray *views,
                      GError **error)
{
    g_autoptr(GPtrArray) of_film =
        rb_library_load_field_views(library, clip->film, error);
    for (guint i = 0; of_film != NULL && i < of_film->len; i++) {
        const RbFieldView *view = of_film->pdata[i];
        if (view->frame >= clip->first && view->frame <= clip->last) {
            g_ptr_array_add(views, rb_field_view_copy(view));
        }
    }
    return of_film != NULL;
}

/* RbSnapId * → RbMeasuresAnswer. */
static void *load(RbStoreSide *side, void *snap, RbCancel *cancel, RbProgress *progress,
                  GError **error)
{
    (void)cancel;
    (void)progress;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    RbMeasuresAnswer *answer = g_new0(RbMeasuresAnswer, 1);
    answer->snap = *(const RbSnapId *)snap;
    answer->views = g_ptr_array_new_with_free_func(free_view);
    answer->measures = rb_library_load_measures(side->library, answer->snap, error);
    g_autoptr(GPtrArray) clips =
        answer->measures != NULL
            ? rb_library_load_clips(side->library, answer->snap, error)
            : NULL;
    bool done = clips != NULL;
    for (guint i = 0; done && i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        done =
            clip->film.value == 0 || add_views(side->library, clip, answer->views, error);
    }
    if (!done) {
        g_clear_pointer(&answer, rb_measures_answer_free);
    }
    return answer;
}

static void on_measures(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        rb_measures_answer_free(session->measures);
        session->measures = result;
        rb_session_emit(session, RB_SIGNAL_MEASURES);
    }
}

void rb_session_ask_measures(RbSession *session)
{
    if (session->measured_snap.value != 0 && session->state == RB_SESSION_OPEN) {
        rb_session_call(session, RB_CHANNEL_MEASURES, load,
                        g_memdup2(&session->measured_snap, sizeof session->measured_snap),
                        g_free, rb_measures_answer_free, on_measures);
    }
}

void rb_session_want_measures(RbSession *session, RbSnapId snap)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->measured_snap = snap;
    g_clear_pointer(&session->measures, rb_measures_answer_free);
    rb_session_ask_measures(session);
    rb_session_emit(session, RB_SIGNAL_MEASURES);
}

const RbMeasuresAnswer *rb_session_get_measures(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), NULL);
    return session->measures;
}

static void *take_off(RbStoreSide *side, void *id, RbCancel *cancel, RbProgress *progress,
                      GError **error)
{
    (void)cancel;
    (void)progress;
    return rb_store_side_has_library(side, error) &&
                   rb_library_remove_measure(side->library, *(const RbFilmMeasureId *)id,
                                             error)
               ? rb_words_answer_of_history(side, error)
               : NULL;
}

void rb_session_remove_measure(RbSession *session, RbFilmMeasureId id)
{
    rb_session_change(session, take_off, g_memdup2(&id, sizeof id), g_free);
}

typedef struct {
    RbFieldView *view;      /* owned */
    RbFilmMeasure *measure; /* owned */
} Ask;

static void ask_free(void *data)
{
    Ask *ask = data;
    rb_field_view_free(ask->view);
    rb_film_measure_free(ask->measure);
    g_free(ask);
}

static void *save(RbStoreSide *side, void *data, RbCancel *cancel, RbProgress *progress,
                  GError **error)
{
    const Ask *ask = data;
    (void)cancel;
    (void)progress;
    char *words = NULL;
    return rb_store_side_has_library(side, error) &&
                   rb_library_save_measure(side->library, ask->view, ask->measure, &words,
                                           error)
               ? rb_words_answer_new(words)
               : NULL;
}

void rb_session_save_measure(RbSession *session, RbFieldView *view,
                             RbFilmMeasure *measure)
{
    Ask *ask = g_new(Ask, 1);
    *ask = (Ask){ view, measure };
    rb_session_change(session, save, ask, ask_free);
}
