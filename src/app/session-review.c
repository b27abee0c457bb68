/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "session-private.h"

static void on_review(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        g_clear_pointer(&session->review, rb_review_answer_free);
        session->review = result;
        rb_session_emit(session, RB_SIGNAL_REVIEW);
    }
}

void rb_session_ask_review(RbSession *session)
{
    const RbReviewAsk *wanted = &session->review_wanted;
    const bool needs_game = wanted->page != RB_REVIEW_HISTORY;
    if (wanted->page == RB_REVIEW_NONE || session->state != RB_SESSION_OPEN ||
        (needs_game && session->game.value == 0)) {
        return;
    }
    RbReviewAsk *ask = g_memdup2(wanted, sizeof *wanted);
    ask->game = session->game;
    rb_session_call(session, RB_CHANNEL_REVIEW, rb_errand_review, ask, g_free,
                    rb_review_answer_free, on_review);
}

void rb_session_want_review(RbSession *session, const RbReviewAsk *wanted)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->review_wanted = *wanted;
    rb_session_ask_review(session);
}

const RbReviewAnswer *rb_session_get_review(RbSession *session)
{
    return session->review;
}

void rb_session_tag_snaps(RbSession *session, GArray *snaps, const char *field,
                          const char *value)
{
    g_return_if_fail(RB_IS_SESSION(session));
    RbManyAsk *ask = g_new0(RbManyAsk, 1);
    ask->snaps = snaps;
    ask->field = g_strdup(field);
    ask->value = g_strdup(value);
    rb_session_change(session, rb_errand_tag_snaps, ask, rb_many_ask_free);
}

void rb_session_settle(RbSession *session, const RbDifference *difference,
                       RbPersonId first, RbPersonId second, const char *value)
{
    g_return_if_fail(RB_IS_SESSION(session));
    RbSettleAsk *ask = g_new0(RbSettleAsk, 1);
    ask->snap = difference->snap;
    ask->first = first;
    ask->second = second;
    ask->field = g_strdup(difference->field->token);
    ask->value = g_strdup(value);
    rb_session_change(session, rb_errand_settle, ask, rb_settle_ask_free);
}

void rb_session_work_as(RbSession *session, const char *person, bool blind)
{
    g_return_if_fail(RB_IS_SESSION(session));
    g_return_if_fail(person != NULL && *person != '\0');
    RbWhoAsk *ask = g_new0(RbWhoAsk, 1);
    ask->person = g_strdup(person);
    ask->blind = blind;
    if (g_strcmp0(person, session->person) != 0) {
        g_free(session->person);
        session->person = g_strdup(person);
    }
    session->blind = blind;
    rb_session_change(session, rb_errand_who, ask, rb_who_ask_free);
    rb_session_emit(session, RB_SIGNAL_STATE);
}
