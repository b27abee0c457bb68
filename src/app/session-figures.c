/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session-private.h"

static RbFiguresAsk *figures_ask(RbSession *session)
{
    RbFiguresAsk *ask = g_new0(RbFiguresAsk, 1);
    ask->snapshot = rb_snapshot_ref(session->snapshot);
    ask->filter = rb_filter_copy(session->filter);
    ask->concept = session->concept;
    ask->coverage = session->coverage;
    ask->measure = session->measure;
    ask->axis = session->axis;
    return ask;
}

static void on_ladder(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->ladder, rb_ladder_answer_free);
        session->ladder = result;
        rb_session_emit(session, RB_SIGNAL_LADDER);
    }
}

static void ask_ladder(RbSession *session)
{
    if (session->snapshot != NULL) {
        rb_session_call(session, RB_CHANNEL_LADDER, rb_errand_ladder,
                        figures_ask(session), rb_figures_ask_free, rb_ladder_answer_free,
                        on_ladder);
    }
}

static void on_table(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->table, rb_table_answer_free);
        session->table = result;
        rb_session_emit(session, RB_SIGNAL_FIGURES);
    }
}

static void ask_table(RbSession *session)
{
    if (session->snapshot != NULL) {
        rb_session_call(session, RB_CHANNEL_TABLE, rb_errand_table, figures_ask(session),
                        rb_figures_ask_free, rb_table_answer_free, on_table);
        ask_ladder(session);
        rb_session_ask_study(session);
    }
}

static void on_snapshot(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->snapshot, rb_snapshot_unref);
        session->snapshot = result;
        ask_table(session);
        rb_session_ask_quarterback(session);
    }
}

void rb_session_ask_snapshot(RbSession *session)
{
    session->snapshot_is_stale = false;
    RbSnapshot *before =
        session->snapshot != NULL ? rb_snapshot_ref(session->snapshot) : NULL;
    rb_session_call(session, RB_CHANNEL_SNAPSHOT, rb_errand_snapshot, before,
                    rb_errand_snapshot_free, rb_errand_snapshot_free, on_snapshot);
}

void rb_session_want_figures(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->figures_wanted = true;
    if (session->state == RB_SESSION_OPEN &&
        (session->snapshot == NULL || session->snapshot_is_stale)) {
        rb_session_ask_snapshot(session);
    }
}

void rb_session_take_filter(RbSession *session, RbFilter *filter)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_filter_free(session->filter);
    session->filter = filter;
    ask_table(session);
}

void rb_session_set_pairing(RbSession *session, RbConceptId concept, RbTermId coverage)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->concept = concept;
    session->coverage = coverage;
    ask_ladder(session);
}

void rb_session_set_measure(RbSession *session, RbMeasure measure)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (measure != session->measure) {
        session->measure = measure;
        ask_table(session);
    }
}

void rb_session_set_axis(RbSession *session, RbField axis)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (axis != session->axis) {
        session->axis = axis;
        session->coverage = (RbTermId){ 0 }; /* a value of the other axis */
        ask_table(session);
    }
}

const RbTableAnswer *rb_session_get_table(RbSession *session)
{
    return session->table;
}
