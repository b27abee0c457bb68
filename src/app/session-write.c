/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "session-private.h"

/* The history's words as a sentence. words: (nullable). */
static void say_change(RbSession *session, const char *words)
{
    if (words == NULL || words[0] == '\0') {
        rb_session_say(session, _("Nothing was different."));
        return;
    }
    char first[7] = { 0 };
    g_unichar_to_utf8(g_unichar_toupper(g_utf8_get_char(words)), first);
    g_autofree char *sentence = g_strconcat(first, g_utf8_next_char(words), NULL);
    rb_session_say(session, sentence);
}

static void on_changed(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (!rb_session_went_well(session, result, error)) {
        rb_session_ask_sheet(session); /* what is shown is what is stored */
        return;
    }
    RbWordsAnswer *answer = result;
    say_change(session, answer->words);
    rb_words_answer_free(answer);
    rb_session_refresh(session);
}

void rb_session_tag(RbSession *session, const char *field, const char *value)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (session->snap.value == 0) {
        return;
    }
    RbTagAsk *ask = g_new0(RbTagAsk, 1);
    ask->snap = session->snap;
    ask->field = g_strdup(field);
    ask->value = g_strdup(value);
    rb_session_call(session, RB_CHANNEL_CHANGE, rb_errand_tag, ask, rb_tag_ask_free,
                    rb_words_answer_free, on_changed);
}

void rb_session_change(RbSession *session, RbBridgeRun run, void *data,
                       GDestroyNotify free_data)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_call(session, RB_CHANNEL_CHANGE, run, data, free_data,
                    rb_words_answer_free, on_changed);
}

bool rb_session_is_changing(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), false);
    return session->bridge != NULL &&
           rb_bridge_is_busy(session->bridge, RB_CHANNEL_CHANGE);
}

/* A change is followed by its game's snaps, and those by the sheet. */
bool rb_session_is_behind(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), false);
    return rb_session_is_changing(session) ||
           (session->bridge != NULL &&
            (rb_bridge_is_busy(session->bridge, RB_CHANNEL_SNAPS) ||
             rb_bridge_is_busy(session->bridge, RB_CHANNEL_SHEET)));
}

void rb_session_undo(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_call(session, RB_CHANNEL_CHANGE, rb_errand_undo, NULL, NULL,
                    rb_words_answer_free, on_changed);
}

void rb_session_redo(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_call(session, RB_CHANNEL_CHANGE, rb_errand_redo, NULL, NULL,
                    rb_words_answer_free, on_changed);
}

void rb_session_find_films(RbSession *session, const char *folder)
{
    g_return_if_fail(RB_IS_SESSION(session));
    rb_session_say(session, _("Looking for films…"));
    rb_session_call(session, RB_CHANNEL_CHANGE, rb_errand_find_films, g_strdup(folder),
                    g_free, rb_words_answer_free, on_changed);
}
