/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/ahead.h"

#include "film-settings.h"
#include "session-private.h"
#include "small-maker.h"

/* Small pictures of the snaps that will be looked at next. */

#define SNAPS_AHEAD 3

/* RbSnapId * → GPtrArray of RbFilmSpan. */
static void *load(RbStoreSide *side, void *snap, RbCancel *cancel, RbProgress *progress,
                  GError **error)
{
    (void)cancel;
    (void)progress;
    return side->library != NULL
               ? rb_library_load_ahead(side->library, *(const RbSnapId *)snap,
                                       SNAPS_AHEAD, error)
               : NULL;
}

static void free_spans(void *spans)
{
    g_ptr_array_unref(spans);
}

static void on_spans(void *spans, const GError *error, void *owner)
{
    (void)owner;
    (void)error; /* nobody asked: the snap itself will say what is wrong */
    rb_small_maker_set_ahead(spans, rb_film_settings_get_disk(rb_film_settings_get()));
}

void rb_session_look_ahead(RbSession *session)
{
    RbFilmSettings *settings = rb_film_settings_get();
    if (session->ahead_of.value == session->snap.value) {
        return;
    }
    session->ahead_of = session->snap;
    if (rb_film_settings_get_disk(settings) == 0 ||
        rb_film_settings_get_whole(settings)) {
        rb_small_maker_set_ahead(NULL, 0);
        return;
    }
    rb_session_call(session, RB_CHANNEL_AHEAD, load,
                    g_memdup2(&session->snap, sizeof session->snap), g_free, free_spans,
                    on_spans);
}
