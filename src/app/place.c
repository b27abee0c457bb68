/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "place.h"

#include "rb/work/bookmark.h"

#include "session-private.h"

/* How often a frame that changed is written. */
#define FRAME_MS 1000

typedef struct {
    RbWindow *window;   /* borrowed: the window owns this */
    RbSession *session; /* borrowed, with it */
    char *file;         /* owned */
    RbBookmark *kept;   /* owned, nullable: as written last */
    bool is_back;       /* the place read from the file has been gone to */
    guint timer;
} Place;

typedef struct {
    char *file;           /* owned */
    RbBookmark *bookmark; /* owned */
} KeepAsk;

static void keep_ask_free(void *pointer)
{
    KeepAsk *ask = pointer;
    g_free(ask->file);
    rb_bookmark_free(ask->bookmark);
    g_free(ask);
}

static void *keep(RbStoreSide *side, void *data, RbCancel *cancel, RbProgress *progress,
                  GError **error)
{
    (void)side;
    (void)cancel;
    (void)progress;
    static bool kept = true;
    const KeepAsk *ask = data;
    return rb_bookmark_save(ask->file, ask->bookmark, error) ? &kept : NULL;
}

/* A place that cannot be kept is no reason to disturb anybody. */
static void on_kept(void *result, const GError *error, void *owner)
{
    (void)result;
    (void)owner;
    if (error != NULL) {
        g_debug("%s", error->message);
    }
}

static RbBookmark *take_place(Place *place)
{
    g_autofree char *path =
        g_canonicalize_filename(rb_session_get_path(place->session), NULL);
    RbBookmark *now = rb_bookmark_new(path);
    const RbSheet *sheet = rb_session_get_sheet(place->session);
    now->person = g_strdup(rb_session_get_person(place->session));
    now->blind = place->session->blind;
    now->desk = g_strdup(rb_window_get_desk(place->window));
    now->game = sheet->snap->game;
    now->snap = sheet->snap->id;
    now->frame =
        rb_deck_get_frame(rb_chart_desk_get_deck(rb_window_get_chart(place->window)));
    return now;
}

static bool same(const RbBookmark *a, const RbBookmark *b)
{
    return g_strcmp0(a->library, b->library) == 0 &&
           g_strcmp0(a->person, b->person) == 0 && a->blind == b->blind &&
           g_strcmp0(a->desk, b->desk) == 0 && a->game.value == b->game.value &&
           a->snap.value == b->snap.value && a->frame == b->frame;
}

static bool has_place(const Place *place)
{
    return place->is_back && rb_session_get_sheet(place->session) != NULL &&
           rb_session_get_state(place->session) == RB_SESSION_OPEN;
}

static void keep_now(Place *place)
{
    if (!has_place(place)) {
        return;
    }
    RbBookmark *now = take_place(place);
    if (place->kept != NULL && same(place->kept, now)) {
        rb_bookmark_free(now);
        return;
    }
    rb_bookmark_free(place->kept);
    place->kept = now;
    KeepAsk *ask = g_new0(KeepAsk, 1);
    ask->file = g_strdup(place->file);
    ask->bookmark = take_place(place);
    rb_session_call(place->session, RB_CHANNEL_PLACE, keep, ask, keep_ask_free, NULL,
                    on_kept);
}

static gboolean on_timer(gpointer data)
{
    keep_now(data);
    return G_SOURCE_CONTINUE;
}

/* The first sheet of a library: the frame that was shown, when it is that snap. */
static void on_sheet(RbSession *session, Place *place)
{
    const RbSheet *sheet = rb_session_get_sheet(session);
    const RbBookmark *was = rb_session_get_place(session);
    if (sheet == NULL) {
        return;
    }
    if (!place->is_back && was != NULL && was->snap.value == sheet->snap->id.value &&
        was->frame >= 0) {
        rb_deck_show(rb_chart_desk_get_deck(rb_window_get_chart(place->window)),
                     was->frame);
    }
    place->is_back = true;
    keep_now(place);
}

static void on_state(RbSession *session, Place *place)
{
    const RbBookmark *was = rb_session_get_place(session);
    if (rb_session_get_state(session) == RB_SESSION_OPENING) {
        place->is_back = false;
    } else if (!place->is_back && was != NULL && was->desk != NULL &&
               rb_session_get_state(session) == RB_SESSION_OPEN) {
        rb_window_show_desk(place->window, was->desk);
    }
}

/* The library's thread ends with the window: this one is written at once. */
static void on_close(Place *place)
{
    g_autoptr(RbBookmark) now = has_place(place) ? take_place(place) : NULL;
    if (now != NULL) {
        rb_bookmark_save(place->file, now, NULL);
    }
    g_clear_handle_id(&place->timer, g_source_remove);
}

static void place_free(gpointer data)
{
    Place *place = data;
    g_clear_handle_id(&place->timer, g_source_remove);
    rb_bookmark_free(place->kept);
    g_free(place->file);
    g_free(place);
}

void rb_place_keep(RbWindow *window, RbSession *session)
{
    Place *place = g_new0(Place, 1);
    place->window = window;
    place->session = session;
    place->file = g_build_filename(g_get_user_state_dir(), "readbreak", "places", NULL);
    rb_session_set_places(session, place->file);
    place->timer = g_timeout_add(FRAME_MS, on_timer, place);
    g_object_set_data_full(G_OBJECT(window), "place", place, place_free);
    g_signal_connect_swapped(window, "unrealize", G_CALLBACK(on_close), place);
    g_signal_connect(session, "state", G_CALLBACK(on_state), place);
    g_signal_connect(session, "sheet", G_CALLBACK(on_sheet), place);
}
