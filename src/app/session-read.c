/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/error.h"

#include "rail-errands.h"
#include "session-private.h"

/* How often the window asks whether another window or the command line changed the library. */
#define WATCH_S 2

void rb_session_take_names(RbSession *session, RbNames *names)
{
    if (names == session->names) {
        return;
    }
    g_clear_pointer(&session->names, rb_names_unref);
    session->names = rb_names_ref(names);
    rb_session_emit(session, RB_SIGNAL_NAMES);
}

static bool has_snap(const RbSession *session, RbSnapId id)
{
    for (guint i = 0; session->snaps != NULL && i < session->snaps->len; i++) {
        const RbSnap *snap = session->snaps->pdata[i];
        if (snap->id.value == id.value) {
            return true;
        }
    }
    return false;
}

static void on_snaps(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (!rb_session_went_well(session, result, error)) {
        return;
    }
    RbSnapsAnswer *answer = result;
    rb_session_take_names(session, answer->names);
    g_clear_pointer(&session->snaps, g_ptr_array_unref);
    session->snaps = g_ptr_array_ref(answer->snaps);
    g_clear_pointer(&session->filmed, g_hash_table_unref);
    session->filmed = g_hash_table_ref(answer->filmed);
    const RbSnapId first = answer->first;
    rb_snaps_answer_free(answer);
    rb_session_emit(session, RB_SIGNAL_SNAPS);
    RbSnapId snap = session->snap_after_game;
    session->snap_after_game = (RbSnapId){ 0 };
    if (!has_snap(session, snap)) {
        snap = has_snap(session, session->snap) ? session->snap : first;
    }
    session->snap = snap;
    rb_session_ask_sheet(session);
}

static void on_only_names(void *result, const GError *error, void *owner)
{
    if (rb_session_went_well(owner, result, error)) {
        rb_session_take_names(owner, result);
        rb_names_unref(result);
    }
}

/* Names come with the snaps; without a game there are none. */
void rb_session_ask_snaps(RbSession *session)
{
    if (session->game.value == 0) {
        rb_session_call(session, RB_CHANNEL_SNAPS, rb_errand_names, NULL, NULL,
                        rb_errand_names_free, on_only_names);
    } else {
        rb_session_call(session, RB_CHANNEL_SNAPS, rb_errand_snaps,
                        g_memdup2(&session->game, sizeof session->game), g_free,
                        rb_snaps_answer_free, on_snaps);
    }
}

static void on_sheet(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (!rb_session_went_well(session, result, error)) {
        return;
    }
    g_clear_pointer(&session->sheet, rb_sheet_free);
    session->sheet = result;
    rb_session_take_names(session, session->sheet->names);
    rb_session_emit(session, RB_SIGNAL_SHEET);
    rb_session_look_ahead(session);
}

void rb_session_ask_sheet(RbSession *session)
{
    if (session->snap.value == 0) {
        g_clear_pointer(&session->sheet, rb_sheet_free);
        rb_session_emit(session, RB_SIGNAL_SHEET);
        return;
    }
    rb_session_call(session, RB_CHANNEL_SHEET, rb_errand_sheet,
                    g_memdup2(&session->snap, sizeof session->snap), g_free,
                    rb_errand_sheet_free, on_sheet);
}

void rb_session_refresh(RbSession *session)
{
    session->snapshot_is_stale = true;
    rb_session_ask_snaps(session);
    if (session->figures_wanted) {
        rb_session_ask_snapshot(session);
    }
    rb_session_ask_cutups(session);
    rb_session_ask_review(session);
    rb_session_ask_drawings(session);
    rb_session_ask_measures(session);
    rb_session_ask_film_log(session);
}

static void on_watch(void *result, const GError *error, void *owner)
{
    (void)error; /* a watch that failed says nothing: the next real call will */
    if (result != NULL && *(const bool *)result) {
        rb_session_refresh(owner);
        rb_session_ask_rail_seed(
            owner); /* the list of required tags may be another one */
    }
}

static gboolean watch(gpointer data)
{
    RbSession *session = data;
    if (session->state == RB_SESSION_OPEN &&
        !rb_bridge_is_busy(session->bridge, RB_CHANNEL_WATCH)) {
        rb_session_call(session, RB_CHANNEL_WATCH, rb_errand_watch, NULL, NULL, NULL,
                        on_watch);
    }
    return G_SOURCE_CONTINUE;
}

void rb_session_watch(RbSession *session)
{
    session->watch_id = g_timeout_add_seconds(WATCH_S, watch, session);
}
