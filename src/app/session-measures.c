/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/measuring.h"

#include "session-private.h"

/* What is measured on the film that is shown. */

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
