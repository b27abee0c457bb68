/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session-private.h"

static void on_worklist(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->worklist, rb_worklist_answer_free);
        session->worklist = result;
        rb_session_emit(session, RB_SIGNAL_STUDY);
    }
}

static void on_compared(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->compared, rb_compare_answer_free);
        session->compared = result;
        rb_session_emit(session, RB_SIGNAL_STUDY);
    }
}

static void ask_worklist(RbSession *session)
{
    RbFiguresAsk *ask = g_new0(RbFiguresAsk, 1);
    ask->snapshot = rb_snapshot_ref(session->snapshot);
    ask->filter = rb_filter_copy(session->filter);
    rb_session_call(session, RB_CHANNEL_STUDY, rb_errand_worklist, ask,
                    rb_figures_ask_free, rb_worklist_answer_free, on_worklist);
}

static void ask_compare(RbSession *session)
{
    RbCompareAsk *ask = g_new0(RbCompareAsk, 1);
    ask->snapshot = rb_snapshot_ref(session->snapshot);
    ask->first = rb_filter_copy(session->filter);
    ask->second = rb_filter_copy(session->second);
    rb_session_call(session, RB_CHANNEL_STUDY, rb_errand_compare, ask,
                    rb_compare_ask_free, rb_compare_answer_free, on_compared);
}

void rb_session_ask_study(RbSession *session)
{
    if (session->snapshot == NULL) {
        return;
    }
    switch (session->study) {
    case RB_STUDY_TABLE:
        break;
    case RB_STUDY_WORKLIST:
        ask_worklist(session);
        break;
    case RB_STUDY_COMPARE:
        ask_compare(session);
        break;
    }
}

void rb_session_want_study(RbSession *session, RbStudy study)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (study == RB_STUDY_COMPARE && session->second == NULL) {
        session->second = rb_filter_copy(session->filter);
    }
    session->study = study;
    rb_session_ask_study(session);
}

void rb_session_take_second_filter(RbSession *session, RbFilter *filter)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_filter_free(session->second);
    session->second = filter;
    rb_session_ask_study(session);
}

const RbFilter *rb_session_get_second_filter(RbSession *session)
{
    return session->second;
}

const RbWorklistAnswer *rb_session_get_worklist(RbSession *session)
{
    return session->worklist;
}

const RbCompareAnswer *rb_session_get_compared(RbSession *session)
{
    return session->compared;
}

void rb_session_save_filter(RbSession *session, const char *name, const RbFilter *filter)
{
    g_return_if_fail(RB_IS_SESSION(session));
    RbSaveFilterAsk *ask = g_new0(RbSaveFilterAsk, 1);
    ask->name = g_strdup(name);
    ask->filter = filter != NULL ? rb_filter_copy(filter) : NULL;
    rb_session_change(session, rb_errand_save_filter, ask, rb_save_filter_ask_free);
}
