/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/error.h"
#include "rb/work/error.h"
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
    if (side->library == NULL) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                     "No library is open: open one first.");
        return NULL;
    }
    RbWordsAnswer *answer = g_new0(RbWordsAnswer, 1);
    if (!rb_library_save_measure(side->library, ask->view, ask->measure, &answer->words,
                                 error)) {
        rb_words_answer_free(answer);
        return NULL;
    }
    return answer;
}

void rb_session_save_measure(RbSession *session, RbFieldView *view,
                             RbFilmMeasure *measure)
{
    Ask *ask = g_new(Ask, 1);
    *ask = (Ask){ view, measure };
    rb_session_change(session, save, ask, ask_free);
}
