/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session-private.h"

/* The cut-ups of the library, read while somebody looks at them. */

static void on_cutups(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (!rb_session_went_well(session, result, error)) {
        return;
    }
    rb_cutups_answer_free(session->cutups);
    session->cutups = result;
    session->cutup = session->cutups->plan != NULL ? session->cutups->plan->cutup->id
                                                   : (RbCutupId){ 0 };
    rb_session_emit(session, RB_SIGNAL_CUTUPS);
}

void rb_session_ask_cutups(RbSession *session)
{
    if (session->cutups_wanted) {
        rb_session_call(session, RB_CHANNEL_CUTUPS, rb_errand_cutups,
                        g_memdup2(&session->cutup, sizeof session->cutup), g_free,
                        rb_cutups_answer_free, on_cutups);
    }
}

void rb_session_want_cutups(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->cutups_wanted = true;
    rb_session_ask_cutups(session);
}

void rb_session_choose_cutup(RbSession *session, RbCutupId id)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->cutup = id;
    rb_session_want_cutups(session);
}

const RbCutupsAnswer *rb_session_get_cutups(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), NULL);
    return session->cutups;
}

void rb_session_change_cutup(RbSession *session, RbCutupAsk *ask)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_change(session, rb_errand_change_cutup, ask, rb_cutup_ask_free);
}

void rb_session_make_cutup(RbSession *session, RbCutupAsk *ask)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->cutup = ask->id;
    session->cutups_wanted = true;
    rb_session_change_cutup(session, ask);
}
