/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session-private.h"

static void on_log(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    g_clear_pointer(&session->log_plan, rb_log_answer_free);
    g_free(session->log_trouble);
    session->log_trouble = error != NULL ? g_strdup(error->message) : NULL;
    session->log_plan = result;
    rb_session_emit(session, RB_SIGNAL_LOG);
}

void rb_session_plan_log(RbSession *session, const RbLogAsk *ask)
{
    g_return_if_fail(RB_IS_SESSION(session));
    RbLogAsk *copy = rb_log_ask_copy(ask);
    copy->game = session->game;
    if (session->game.value == 0) {
        rb_log_ask_free(copy);
        return;
    }
    rb_session_call(session, RB_CHANNEL_LOG, rb_errand_plan_log, copy, rb_log_ask_free,
                    rb_log_answer_free, on_log);
}

void rb_session_apply_log(RbSession *session, const RbLogAsk *ask)
{
    g_return_if_fail(RB_IS_SESSION(session));
    RbLogAsk *copy = rb_log_ask_copy(ask);
    copy->game = session->game;
    rb_session_change(session, rb_errand_apply_log, copy, rb_log_ask_free);
}

const RbLogPlan *rb_session_get_log_plan(RbSession *session)
{
    return session->log_plan;
}

const char *rb_session_get_log_trouble(RbSession *session)
{
    return session->log_trouble;
}

static void on_snap_search(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        rb_snap_search_free(session->snap_search);
        session->snap_search = result;
        rb_session_emit(session, RB_SIGNAL_SNAP_SEARCH);
    }
}

void rb_session_want_snap_search(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_call(session, RB_CHANNEL_SNAP_SEARCH, rb_errand_start_snap_search,
                    g_memdup2(&session->game, sizeof session->game), g_free,
                    rb_snap_search_answer_free, on_snap_search);
}

RbSnapSearch *rb_session_steal_snap_search(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), NULL);
    return g_steal_pointer(&session->snap_search);
}

void rb_session_save_snap_marks(RbSession *session, RbSnapSearch *found)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_change(session, rb_errand_save_snap_marks, found,
                      rb_snap_search_answer_free);
}

static void on_exchange(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->exchange, rb_exchange_answer_free);
        session->exchange = result;
        rb_session_emit(session, RB_SIGNAL_EXCHANGE);
    }
}

void rb_session_want_exchange(RbSession *session, const char *folder)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_call(session, RB_CHANNEL_EXCHANGE, rb_errand_exchange, g_strdup(folder),
                    g_free, rb_exchange_answer_free, on_exchange);
}

const RbExchangeAnswer *rb_session_get_exchange(RbSession *session)
{
    return session->exchange;
}
