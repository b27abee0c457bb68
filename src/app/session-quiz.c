/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session-private.h"

/* The quiz: a round of questions is read once and stays as it is until the next is asked for. */

static void on_set(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->quiz, rb_quiz_set_free);
        session->quiz = result;
        rb_session_emit(session, RB_SIGNAL_QUIZ);
    }
}

void rb_session_want_quiz(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (session->snapshot == NULL) {
        return;
    }
    RbQuizWant *want = g_new0(RbQuizWant, 1);
    want->snapshot = rb_snapshot_ref(session->snapshot);
    want->quarterback = session->quarterback_chosen;
    rb_session_call(session, RB_CHANNEL_QUIZ, rb_errand_quiz, want, rb_quiz_want_free,
                    rb_quiz_set_free, on_set);
}

const RbQuizSet *rb_session_get_quiz(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), NULL);
    return session->quiz;
}

static void on_kept(void *result, const GError *error, void *owner)
{
    if (rb_session_went_well(owner, result, error)) {
        rb_words_answer_free(result);
    }
}

void rb_session_keep_quiz(RbSession *session, RbQuizAnswer *answer)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_call(session, RB_CHANNEL_CHANGE, rb_errand_keep_quiz, answer,
                    rb_quiz_answer_free_data, rb_words_answer_free, on_kept);
}
