/* SPDX-License-Identifier: GPL-3.0-or-later */

#include "session-private.h"

/* What the films of the game show: for logging snaps by hand. */

/* RbGameId * → RbFilmLog. */
static void *load(RbStoreSide *side, void *game, RbCancel *cancel, RbProgress *progress,
                  GError **error)
{
    (void)cancel;
    (void)progress;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    return rb_library_load_film_log(side->library, *(const RbGameId *)game, error);
}

static void free_log(void *log)
{
    rb_film_log_free(log);
}

static void on_log(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (rb_session_went_well(session, result, error)) {
        rb_film_log_free(session->film_log);
        session->film_log = result;
        rb_session_emit(session, RB_SIGNAL_FILM_LOG);
    }
}

void rb_session_ask_film_log(RbSession *session)
{
    if (session->film_log_wanted && session->game.value != 0) {
        rb_session_call(session, RB_CHANNEL_FILM_LOG, load,
                        g_memdup2(&session->game, sizeof session->game), g_free, free_log,
                        on_log);
    }
}

void rb_session_want_film_log(RbSession *session, bool want)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->film_log_wanted = want;
    g_clear_pointer(&session->film_log, rb_film_log_free);
    rb_session_ask_film_log(session);
}

const RbFilmLog *rb_session_get_film_log(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), NULL);
    return session->film_log;
}
