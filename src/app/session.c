/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "session.h"

#include <glib/gi18n.h>

#include "rb/base/error.h"

/* How often the window asks whether another window or the command line changed the library. */
#define WATCH_S 2

struct _RbSession {
    GObject parent_instance;
    RbBridge *bridge; /* owned, nullable: closed */
    guint watch_id;

    RbSessionState state;
    bool making_demo;
    char *sentence;  /* owned, nullable */
    double progress; /* of opening; negative: not known */
    char *what;      /* owned, nullable */
    char *path;      /* owned, nullable */
    char *person;    /* owned, nullable */

    RbNames *names;     /* owned, nullable */
    GPtrArray *snaps;   /* owned, nullable */
    GHashTable *filmed; /* owned, nullable */
    RbSheet *sheet;     /* owned, nullable */
    RbGameId game;
    RbSnapId snap;
    RbSnapId snap_after_game; /* to be chosen when the game's snaps are there */

    RbSnapshot *snapshot; /* owned, nullable */
    bool snapshot_is_stale;
    bool figures_wanted;
    RbFilter *filter;       /* owned */
    RbTableAnswer *table;   /* owned, nullable */
    RbLadderAnswer *ladder; /* owned, nullable */
    RbConceptId concept;
    RbTermId coverage;
};

G_DEFINE_FINAL_TYPE(RbSession, rb_session, G_TYPE_OBJECT)

enum { STATE, NAMES, SNAPS, SHEET, FIGURES, LADDER, SAID, OPENED_SNAP, N_SIGNALS };
static guint signals[N_SIGNALS];

static void ask_sheet(RbSession *session);
static void ask_snapshot(RbSession *session);
static void ask_ladder(RbSession *session);

static void emit(RbSession *session, int signal)
{
    g_signal_emit(session, signals[signal], 0);
}

static void say(RbSession *session, const char *sentence)
{
    g_signal_emit(session, signals[SAID], 0, sentence);
}

/* True when the answer is there; else says why not, unless somebody cancelled. */
static bool went_well(RbSession *session, const void *result, const GError *error)
{
    if (result == NULL && error != NULL && !rb_error_is_cancelled(error)) {
        say(session, error->message);
    }
    return result != NULL;
}

static void call(RbSession *session, RbChannel channel, RbBridgeRun run, void *data,
                 GDestroyNotify free_data, GDestroyNotify free_result, RbBridgeDone done)
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

static void set_names(RbSession *session, RbNames *names)
{
    if (names == session->names) {
        return;
    }
    g_clear_pointer(&session->names, rb_names_unref);
    session->names = rb_names_ref(names);
    emit(session, NAMES);
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
    if (!went_well(session, result, error)) {
        return;
    }
    RbSnapsAnswer *answer = result;
    set_names(session, answer->names);
    g_clear_pointer(&session->snaps, g_ptr_array_unref);
    session->snaps = g_ptr_array_ref(answer->snaps);
    g_clear_pointer(&session->filmed, g_hash_table_unref);
    session->filmed = g_hash_table_ref(answer->filmed);
    const RbSnapId first = answer->first;
    rb_snaps_answer_free(answer);
    emit(session, SNAPS);
    RbSnapId snap = session->snap_after_game;
    session->snap_after_game = (RbSnapId){ 0 };
    if (!has_snap(session, snap)) {
        snap = has_snap(session, session->snap) ? session->snap : first;
    }
    session->snap = snap;
    ask_sheet(session);
}

static void on_only_names(void *result, const GError *error, void *owner)
{
    if (went_well(owner, result, error)) {
        set_names(owner, result);
        rb_names_unref(result);
    }
}

/* Names come with the snaps; without a game there are none. */
static void ask_snaps(RbSession *session)
{
    if (session->game.value == 0) {
        call(session, RB_CHANNEL_SNAPS, rb_errand_names, NULL, NULL, rb_errand_names_free,
             on_only_names);
    } else {
        call(session, RB_CHANNEL_SNAPS, rb_errand_snaps,
             g_memdup2(&session->game, sizeof session->game), g_free,
             rb_snaps_answer_free, on_snaps);
    }
}

static void on_sheet(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (!went_well(session, result, error)) {
        return;
    }
    g_clear_pointer(&session->sheet, rb_sheet_free);
    session->sheet = result;
    set_names(session, session->sheet->names);
    emit(session, SHEET);
}

static void ask_sheet(RbSession *session)
{
    if (session->snap.value == 0) {
        g_clear_pointer(&session->sheet, rb_sheet_free);
        emit(session, SHEET);
        return;
    }
    call(session, RB_CHANNEL_SHEET, rb_errand_sheet,
         g_memdup2(&session->snap, sizeof session->snap), g_free, rb_errand_sheet_free,
         on_sheet);
}

/* Something in the library is different: what is shown is read again. */
static void refresh(RbSession *session)
{
    session->snapshot_is_stale = true;
    ask_snaps(session);
    if (session->figures_wanted) {
        ask_snapshot(session);
    }
}

static void on_watch(void *result, const GError *error, void *owner)
{
    (void)error; /* a watch that failed says nothing: the next real call will */
    if (result != NULL && *(const bool *)result) {
        refresh(owner);
    }
}

static gboolean watch(gpointer data)
{
    RbSession *session = data;
    if (session->state == RB_SESSION_OPEN &&
        !rb_bridge_is_busy(session->bridge, RB_CHANNEL_WATCH)) {
        call(session, RB_CHANNEL_WATCH, rb_errand_watch, NULL, NULL, NULL, on_watch);
    }
    return G_SOURCE_CONTINUE;
}

static void set_state(RbSession *session, RbSessionState state, const char *sentence)
{
    session->state = state;
    g_free(session->sentence);
    session->sentence = g_strdup(sentence);
    emit(session, STATE);
}

static void forget_library(RbSession *session)
{
    g_clear_pointer(&session->filmed, g_hash_table_unref);
    g_clear_pointer(&session->snaps, g_ptr_array_unref);
    g_clear_pointer(&session->sheet, rb_sheet_free);
    g_clear_pointer(&session->snapshot, rb_snapshot_unref);
    g_clear_pointer(&session->table, rb_table_answer_free);
    g_clear_pointer(&session->ladder, rb_ladder_answer_free);
    session->game = (RbGameId){ 0 };
    session->snap = (RbSnapId){ 0 };
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
        say(session, sentence);
        return;
    }
    RbOpenAnswer *answer = result;
    forget_library(session);
    g_free(session->path);
    g_free(session->person);
    session->path = g_steal_pointer(&answer->path);
    session->person = g_steal_pointer(&answer->person);
    set_names(session, answer->names);
    const RbGameId game = answer->game;
    rb_open_answer_free(answer);
    set_state(session, RB_SESSION_OPEN, NULL);
    rb_session_set_game(session, game);
    if (session->figures_wanted) {
        ask_snapshot(session);
    }
}

static void on_open_news(double fraction, const char *what, void *owner)
{
    RbSession *session = owner;
    session->progress = fraction;
    g_free(session->what);
    session->what = g_strdup(what);
    emit(session, STATE);
}

static void open_path(RbSession *session, char *path, bool make_demo)
{
    g_return_if_fail(session->bridge != NULL);
    RbOpenAsk *ask = g_new0(RbOpenAsk, 1);
    ask->path = path;
    ask->make_demo = make_demo;
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

void rb_session_open(RbSession *session, const char *path)
{
    g_return_if_fail(RB_IS_SESSION(session));
    open_path(session, g_strdup(path), false);
}

void rb_session_open_demo(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    open_path(
        session,
        g_build_filename(g_get_user_data_dir(), "readbreak", "demo.readbreak", NULL),
        true);
}

void rb_session_cancel(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (session->bridge != NULL) {
        rb_bridge_cancel(session->bridge, RB_CHANNEL_OPEN);
    }
}

void rb_session_set_game(RbSession *session, RbGameId game)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (game.value == session->game.value) {
        return;
    }
    session->game = game;
    session->snap = (RbSnapId){ 0 };
    ask_snaps(session);
    if (game.value == 0) {
        emit(session, SNAPS);
        ask_sheet(session);
    }
}

void rb_session_set_snap(RbSession *session, RbSnapId snap)
{
    g_return_if_fail(RB_IS_SESSION(session));
    if (snap.value != 0 && snap.value != session->snap.value) {
        session->snap = snap;
        ask_sheet(session);
    }
}

void rb_session_open_snap(RbSession *session, RbSnapId id)
{
    g_return_if_fail(RB_IS_SESSION(session));
    const RbSnap *snap =
        session->snapshot != NULL ? rb_snapshot_find_snap(session->snapshot, id) : NULL;
    if (snap != NULL && snap->game.value != session->game.value) {
        session->snap_after_game = id;
        rb_session_set_game(session, snap->game);
    } else {
        rb_session_set_snap(session, id);
    }
    emit(session, OPENED_SNAP);
}

/* The history's words as a sentence. words: (nullable). */
static void say_change(RbSession *session, const char *words)
{
    if (words == NULL || words[0] == '\0') {
        say(session, _("Nothing was different."));
        return;
    }
    char first[7] = { 0 };
    g_unichar_to_utf8(g_unichar_toupper(g_utf8_get_char(words)), first);
    g_autofree char *sentence = g_strconcat(first, g_utf8_next_char(words), NULL);
    say(session, sentence);
}

static void on_changed(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (!went_well(session, result, error)) {
        ask_sheet(session); /* what is shown is what is stored */
        return;
    }
    RbWordsAnswer *answer = result;
    say_change(session, answer->words);
    rb_words_answer_free(answer);
    refresh(session);
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
    call(session, RB_CHANNEL_CHANGE, rb_errand_tag, ask, rb_tag_ask_free,
         rb_words_answer_free, on_changed);
}

void rb_session_change(RbSession *session, RbBridgeRun run, void *data,
                       GDestroyNotify free_data)
{
    g_return_if_fail(RB_IS_SESSION(session));
    call(session, RB_CHANNEL_CHANGE, run, data, free_data, rb_words_answer_free,
         on_changed);
}

bool rb_session_is_changing(RbSession *session)
{
    g_return_val_if_fail(RB_IS_SESSION(session), false);
    return session->bridge != NULL &&
           rb_bridge_is_busy(session->bridge, RB_CHANNEL_CHANGE);
}

void rb_session_undo(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    call(session, RB_CHANNEL_CHANGE, rb_errand_undo, NULL, NULL, rb_words_answer_free,
         on_changed);
}

void rb_session_redo(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    call(session, RB_CHANNEL_CHANGE, rb_errand_redo, NULL, NULL, rb_words_answer_free,
         on_changed);
}

void rb_session_find_films(RbSession *session, const char *folder)
{
    g_return_if_fail(RB_IS_SESSION(session));
    say(session, _("Looking for films…"));
    call(session, RB_CHANNEL_CHANGE, rb_errand_find_films, g_strdup(folder), g_free,
         rb_words_answer_free, on_changed);
}

static RbFiguresAsk *figures_ask(RbSession *session)
{
    RbFiguresAsk *ask = g_new0(RbFiguresAsk, 1);
    ask->snapshot = rb_snapshot_ref(session->snapshot);
    ask->filter = rb_filter_copy(session->filter);
    ask->concept = session->concept;
    ask->coverage = session->coverage;
    return ask;
}

static void on_ladder(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (went_well(session, result, error)) {
        g_clear_pointer(&session->ladder, rb_ladder_answer_free);
        session->ladder = result;
        emit(session, LADDER);
    }
}

static void ask_ladder(RbSession *session)
{
    if (session->snapshot != NULL) {
        call(session, RB_CHANNEL_LADDER, rb_errand_ladder, figures_ask(session),
             rb_figures_ask_free, rb_ladder_answer_free, on_ladder);
    }
}

static void on_table(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (went_well(session, result, error)) {
        g_clear_pointer(&session->table, rb_table_answer_free);
        session->table = result;
        emit(session, FIGURES);
    }
}

static void ask_table(RbSession *session)
{
    if (session->snapshot != NULL) {
        call(session, RB_CHANNEL_TABLE, rb_errand_table, figures_ask(session),
             rb_figures_ask_free, rb_table_answer_free, on_table);
        ask_ladder(session);
    }
}

static void on_snapshot(void *result, const GError *error, void *owner)
{
    RbSession *session = owner;
    if (went_well(session, result, error)) {
        g_clear_pointer(&session->snapshot, rb_snapshot_unref);
        session->snapshot = result;
        ask_table(session);
    }
}

static void ask_snapshot(RbSession *session)
{
    session->snapshot_is_stale = false;
    call(session, RB_CHANNEL_SNAPSHOT, rb_errand_snapshot, NULL, NULL,
         rb_errand_snapshot_free, on_snapshot);
}

void rb_session_want_figures(RbSession *session)
{
    g_return_if_fail(RB_IS_SESSION(session));
    session->figures_wanted = true;
    if (session->state == RB_SESSION_OPEN &&
        (session->snapshot == NULL || session->snapshot_is_stale)) {
        ask_snapshot(session);
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
    forget_library(session);
    g_clear_pointer(&session->names, rb_names_unref);
    rb_filter_free(session->filter);
    g_free(session->sentence);
    g_free(session->what);
    g_free(session->path);
    g_free(session->person);
    G_OBJECT_CLASS(rb_session_parent_class)->finalize(object);
}

static void rb_session_class_init(RbSessionClass *klass)
{
    static const char *const names[N_SIGNALS] = { "state", "names",      "snaps",
                                                  "sheet", "figures",    "ladder",
                                                  "said",  "opened-snap" };
    G_OBJECT_CLASS(klass)->finalize = rb_session_finalize;
    for (int i = 0; i < N_SIGNALS; i++) {
        signals[i] = i == SAID
                         ? g_signal_new(names[i], RB_TYPE_SESSION, G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING)
                         : g_signal_new(names[i], RB_TYPE_SESSION, G_SIGNAL_RUN_LAST, 0,
                                        NULL, NULL, NULL, G_TYPE_NONE, 0);
    }
}

static void rb_session_init(RbSession *session)
{
    session->bridge = rb_bridge_new(session);
    session->filter = rb_filter_new();
    session->progress = -1;
    session->watch_id = g_timeout_add_seconds(WATCH_S, watch, session);
}
