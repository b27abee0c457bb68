/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/base/error.h"

#include "session-private.h"

G_DEFINE_FINAL_TYPE(RbSession, rb_session, G_TYPE_OBJECT)

static guint signals[RB_SIGNALS];

void rb_session_emit(RbSession *session, RbSessionSignal signal)
{
    g_signal_emit(session, signals[signal], 0);
}

void rb_session_say(RbSession *session, const char *sentence)
{
    g_signal_emit(session, signals[RB_SIGNAL_SAID], 0, sentence);
}

bool rb_session_went_well(RbSession *session, const void *result, const GError *error)
{
    if (result == NULL && error != NULL && !rb_error_is_cancelled(error)) {
        rb_session_say(session, error->message);
    }
    return result != NULL;
}

void rb_session_call(RbSession *session, RbChannel channel, RbBridgeRun run, void *data,
                     GDestroyNotify free_data, GDestroyNotify free_result,
                     RbBridgeDone done)
{
    const RbBridgeCall request = { .channel = channel,
                                   .run = run,
                                   .data = data,
                                   .free_data = free_data,
                                   .free_result = free_result,
                                   .done = done };
    if (session->bridge != NULL) {
        rb_bridge_call(session->bridge, &request);
    } else if (free_data != NULL) {
        free_data(data);
    }
}

void rb_session_forget_library(RbSession *session)
{
    g_clear_pointer(&session->filmed, g_hash_table_unref);
    g_clear_pointer(&session->snaps, g_ptr_array_unref);
    g_clear_pointer(&session->sheet, rb_sheet_free);
    g_clear_pointer(&session->snapshot, rb_snapshot_unref);
    g_clear_pointer(&session->table, rb_table_answer_free);
    g_clear_pointer(&session->ladder, rb_ladder_answer_free);
    g_clear_pointer(&session->worklist, rb_worklist_answer_free);
    g_clear_pointer(&session->compared, rb_compare_answer_free);
    g_clear_pointer(&session->quarterback, rb_quarterback_answer_free);
    session->quarterback_chosen = (RbPlayerId){ 0 };
    g_clear_pointer(&session->quiz, rb_quiz_set_free);
    g_clear_pointer(&session->drawings, g_ptr_array_unref);
    session->drawn_clip = (RbClipId){ 0 };
    g_clear_pointer(&session->measures, rb_measures_answer_free);
    session->measured_snap = (RbSnapId){ 0 };
    session->ahead_of = (RbSnapId){ 0 };
    g_clear_pointer(&session->cutups, rb_cutups_answer_free);
    session->cutup = (RbCutupId){ 0 };
    g_clear_pointer(&session->review, rb_review_answer_free);
    g_clear_pointer(&session->log_plan, rb_log_answer_free);
    g_clear_pointer(&session->log_trouble, g_free);
    g_clear_pointer(&session->exchange, rb_exchange_answer_free);
    g_clear_pointer(&session->snap_search, rb_snap_search_free);
    g_clear_pointer(&session->film_log, rb_film_log_free);
    session->game = (RbGameId){ 0 };
    session->snap = (RbSnapId){ 0 };
}

void rb_session_set_game(RbSession *session, RbGameId game)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (game.value == session->game.value) {
        return;
    }
    session->game = game;
    session->snap = (RbSnapId){ 0 };
    g_clear_pointer(&session->film_log, rb_film_log_free);
    rb_session_ask_snaps(session);
    rb_session_ask_film_log(session);
    if (game.value == 0) {
        rb_session_emit(session, RB_SIGNAL_SNAPS);
        rb_session_ask_sheet(session);
    }
    rb_session_ask_review(session);
}

void rb_session_set_snap(RbSession *session, RbSnapId snap)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (snap.value != 0 && snap.value != session->snap.value) {
        session->snap = snap;
        rb_session_ask_sheet(session);
    }
}

void rb_session_open_snap(RbSession *session, RbSnapId id)
{
    g_return_if_fail(RB_IS_SESSION(session));
    RbDropback row;
    if (session->snapshot != NULL && rb_snapshot_find_row(session->snapshot, id, &row) &&
        row.game.value != session->game.value) {
        session->snap_after_game = id;
        rb_session_set_game(session, row.game);
    } else {
        rb_session_set_snap(session, id);
    }
    rb_session_emit(session, RB_SIGNAL_OPENED_SNAP);
}

void rb_session_get_pairing(RbSession *session, RbConceptId *concept, RbTermId *coverage)
{
    *concept = session->concept;
    *coverage = session->coverage;
}

RbSessionState rb_session_get_state(RbSession *session)
{
    return session->state;
}

const char *rb_session_get_sentence(RbSession *session)
{
    return session->sentence;
}

bool rb_session_is_making_demo(RbSession *session)
{
    return session->making_demo;
}

double rb_session_get_progress(RbSession *session, const char **what)
{
    *what = session->what;
    return session->progress;
}

const char *rb_session_get_path(RbSession *session)
{
    return session->path;
}

const char *rb_session_get_person(RbSession *session)
{
    return session->person;
}

RbNames *rb_session_get_names(RbSession *session)
{
    return session->names;
}

GPtrArray *rb_session_get_snaps(RbSession *session)
{
    return session->snaps;
}

GHashTable *rb_session_get_filmed(RbSession *session)
{
    return session->filmed;
}

const RbSheet *rb_session_get_sheet(RbSession *session)
{
    return session->sheet;
}

RbSnapshot *rb_session_get_snapshot(RbSession *session)
{
    return session->snapshot;
}

const RbPairings *rb_session_get_pairings(RbSession *session)
{
    return session->table != NULL ? &session->table->pairings : NULL;
}

const RbLadderAnswer *rb_session_get_ladder(RbSession *session)
{
    return session->ladder;
}

RbGameId rb_session_get_game(RbSession *session)
{
    return session->game;
}

RbSnapId rb_session_get_snap(RbSession *session)
{
    return session->snap;
}

const RbFilter *rb_session_get_filter(RbSession *session)
{
    return session->filter;
}

void rb_session_close(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    g_clear_handle_id(&session->watch_id, g_source_remove);
    g_clear_pointer(&session->bridge, rb_bridge_free);
}

RbSession *rb_session_new(void)
{
    return g_object_new(RB_TYPE_SESSION, NULL);
}

static void rb_session_finalize(GObject *object)
{
    RbSession *session = RB_SESSION(object);
    rb_session_close(session);
    rb_session_forget_library(session);
    g_clear_pointer(&session->names, rb_names_unref);
    rb_filter_free(session->filter);
    rb_filter_free(session->second);
    g_free(session->sentence);
    g_free(session->what);
    g_free(session->path);
    g_free(session->person);
    g_free(session->places);
    g_free(session->last);
    rb_bookmark_free(session->place);
    G_OBJECT_CLASS(rb_session_parent_class)->finalize(object);
}

static void rb_session_class_init(RbSessionClass *klass)
{
    static const char *const names[RB_SIGNALS] = {
        "state",       "names",    "snaps",       "sheet",    "figures",   "ladder",
        "quarterback", "said",     "opened-snap", "cutups",   "rail-seed", "review",
        "quiz",        "log",      "exchange",    "drawings", "film-log",  "study",
        "snap-search", "measures", "last-known"
    };
    G_OBJECT_CLASS(klass)->finalize = rb_session_finalize;
    for (int i = 0; i < RB_SIGNALS; i++) {
        const GType argument = i == RB_SIGNAL_SAID        ? G_TYPE_STRING
                               : i == RB_SIGNAL_RAIL_SEED ? G_TYPE_POINTER
                                                          : G_TYPE_NONE;
        signals[i] = argument != G_TYPE_NONE
                         ? g_signal_new(names[i], RB_TYPE_SESSION, G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 1, argument)
                         : g_signal_new(names[i], RB_TYPE_SESSION, G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 0);
    }
}

static void rb_session_init(RbSession *session)
{
    session->bridge = rb_bridge_new(session);
    session->filter = rb_filter_new();
    session->axis = RB_FIELD_COVERAGE;
    session->progress = -1;
    rb_session_watch(session);
}
