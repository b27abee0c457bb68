/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gi18n.h>

#include "rb/base/error.h"

#include "session-private.h"

static void set_state(RbSession *session, RbSessionState state, const char *sentence)
{
    session->state = state;
    g_free(session->sentence);
    session->sentence = g_strdup(sentence);
    rb_session_emit(session, RB_SIGNAL_STATE);
}

static void on_open(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (result == NULL) {
        const char *sentence = rb_error_is_cancelled(error)
                                   ? _("Stopped. Nothing was kept.")
                                   : error->message;
        /* The library that was open before still is. */
        set_state(session, session->path != NULL ? RB_SESSION_OPEN : RB_SESSION_FAILED,
                  sentence);
        rb_session_say(session, sentence);
        return;
    }
    RbOpenAnswer *answer = result;
    rb_session_forget_library(session);
    g_free(session->path);
    g_free(session->person);
    session->path = g_steal_pointer(&answer->path);
    session->person = g_steal_pointer(&answer->person);
    rb_session_take_names(session, answer->names);
    const RbGameId game = answer->game;
    rb_bookmark_free(session->place);
    session->place = g_steal_pointer(&answer->place);
    session->blind = session->place != NULL && session->place->blind;
    rb_open_answer_free(answer);
    set_state(session, RB_SESSION_OPEN, NULL);
    rb_session_set_game(session, game);
    if (session->place != NULL) {
        session->snap_after_game = session->place->snap;
    }
    if (session->figures_wanted) {
        rb_session_ask_snapshot(session);
    }
}

static void on_open_news(double fraction, const char *what, void *owner)
{
    RbSession *session = owner;
    session->progress = fraction;
    g_free(session->what);
    session->what = g_strdup(what);
    rb_session_emit(session, RB_SIGNAL_STATE);
}

/* path: (transfer full). */
static void open_path(RbSession *session, char *path, bool make_demo, bool make_new)
{
    g_return_if_fail(session->bridge != NULL);
    RbOpenAsk *ask = g_new0(RbOpenAsk, 1);
    ask->path = path;
    ask->places = g_strdup(session->places);
    ask->make_demo = make_demo;
    ask->make_new = make_new;
    const RbBridgeCall request = { .channel = RB_CHANNEL_OPEN,
                                   .run = rb_errand_open,
                                   .data = ask,
                                   .free_data = rb_open_ask_free,
                                   .free_result = rb_open_answer_free,
                                   .done = on_open,
                                   .news = on_open_news };
    session->making_demo = make_demo;
    session->progress = -1;
    g_clear_pointer(&session->what, g_free);
    set_state(session, RB_SESSION_OPENING, NULL);
    rb_bridge_call(session->bridge, &request);
}

void rb_session_set_places(RbSession *session, const char *file)
{
    g_return_if_fail(RB_IS_SESSION(session));
    g_free(session->places);
    session->places = g_strdup(file);
}

const RbBookmark *rb_session_get_place(RbSession *session)
{
    return session->place;
}

static void *find_last(RbStoreSide *side, void *places, RbCancel *cancel,
                       RbProgress *progress, GError **error)
{
    (void)side;
    (void)cancel;
    (void)progress;
    (void)error;
    g_autoptr(RbBookmark) place = rb_bookmark_load(places, NULL);
    const bool there =
        place != NULL && g_file_test(place->library, G_FILE_TEST_IS_REGULAR);
    return there ? g_strdup(place->library) : NULL;
}

static void on_found_last(void *result, const GError *error, void *owner)
{
    (void)error;
    RbSession *session = owner;
    g_free(session->last);
    session->last = result;
    rb_session_emit(session, RB_SIGNAL_LAST_KNOWN);
}

void rb_session_ask_last(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (session->places != NULL) {
        rb_session_call(session, RB_CHANNEL_PLACE, find_last, g_strdup(session->places),
                        g_free, g_free, on_found_last);
    }
}

const char *rb_session_get_last(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), NULL);
    return session->last;
}

void rb_session_open(RbSession *session, const char *path)
{
    g_return_if_fail(RB_IS_SESSION(session));
    open_path(session, g_strdup(path), false, false);
}

void rb_session_make_library(RbSession *session, const char *path)
{
    g_return_if_fail(RB_IS_SESSION(session));
    open_path(session, g_strdup(path), false, true);
}

void rb_session_open_demo(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    open_path(
        session,
        g_build_filename(g_get_user_data_dir(), "readbreak", "demo.readbreak", NULL),
        true, false);
}

void rb_session_cancel(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (session->bridge != NULL) {
        rb_bridge_cancel(session->bridge, RB_CHANNEL_OPEN);
    }
}
