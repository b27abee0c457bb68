/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session-private.h"

static void on_answer(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->quarterback, rb_quarterback_answer_free);
        session->quarterback = result;
        rb_session_emit(session, RB_SIGNAL_QUARTERBACK);
    }
}

void rb_session_ask_quarterback(RbSession *session)
{
    if (session->snapshot == NULL || !session->quarterback_wanted) {
        return;
    }
    RbQuarterbackAsk *ask = g_new0(RbQuarterbackAsk, 1);
    ask->snapshot = rb_snapshot_ref(session->snapshot);
    ask->quarterback = session->quarterback_chosen;
    rb_session_call(session, RB_CHANNEL_QUARTERBACK, rb_errand_quarterback, ask,
                    rb_quarterback_ask_free, rb_quarterback_answer_free, on_answer);
}

void rb_session_want_quarterback(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->quarterback_wanted = true;
    if (session->snapshot != NULL && !session->snapshot_is_stale) {
        rb_session_ask_quarterback(session);
    } else {
        rb_session_want_figures(session);
    }
}

void rb_session_set_quarterback(RbSession *session, RbPlayerId quarterback)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->quarterback_chosen = quarterback;
    rb_session_ask_quarterback(session);
}

const RbQuarterbackAnswer *rb_session_get_quarterback(RbSession *session)
{
    return session->quarterback;
}
