/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "log-keys.h"

#include <glib/gi18n.h>
#include <inttypes.h>

#include "rb/film/reel.h"
#include "rb/work/logging.h"

#include "errands.h"
#include "film-keys.h"
#include "film-logger.h"

typedef enum {
    DO_MARK,
    DO_FIRST, /* the clip starts at this frame */
    DO_LAST,
    DO_SPLIT,
    DO_JOIN,      /* with the snap's next clip of the same film */
    DO_MOVE,      /* to the snap before or after */
    DO_CUT_EARLY, /* noted, or taken back */
    DO_NOT_FILMED,
} What;

/* One change, for the library's thread. */
typedef struct {
    What what;
    RbClipId clip;
    RbClipId other; /* join */
    RbSnapId snap;  /* split, move, not filmed */
    RbMarkKind kind;
    RbAngle angle;
    bool yes;
    RbMoment before; /* split: the frame before */
    RbMoment moment;
} LogAsk;

static bool run(RbLibrary *library, const LogAsk *ask, GError **error)
{
    switch (ask->what) {
    case DO_MARK:
        return rb_library_set_mark(library, ask->clip, ask->kind, ask->moment.frame,
                                   ask->moment.time, rb_reel_get_index_version(), error);
    case DO_FIRST:
    case DO_LAST:
        return rb_library_set_clip_end(library, ask->clip, ask->what == DO_LAST,
                                       ask->moment, error);
    case DO_SPLIT:
        return rb_library_split_clip(library, ask->clip, ask->before, ask->moment,
                                     ask->snap, NULL, error);
    case DO_JOIN:
        return rb_library_join_clips(library, ask->clip, ask->other, error);
    case DO_MOVE:
        return rb_library_move_clip(library, ask->clip, ask->snap, error);
    case DO_CUT_EARLY:
        return rb_library_set_cut_early(library, ask->clip, ask->yes ? RB_YES : RB_NO,
                                        error);
    case DO_NOT_FILMED:
        return rb_library_set_not_filmed(library, ask->snap, ask->angle, ask->yes, error);
    }
    g_assert_not_reached();
}

/* What the window says of it. */
static char *words_of(const LogAsk *ask)
{
    switch (ask->what) {
    case DO_MARK:
        return g_strdup_printf(_("mark “%s” set at frame %" PRId64),
                               rb_words_label(&rb_mark_words, (int)ask->kind),
                               ask->moment.frame);
    case DO_FIRST:
        return g_strdup_printf(_("the clip starts at frame %" PRId64), ask->moment.frame);
    case DO_LAST:
        return g_strdup_printf(_("the clip ends at frame %" PRId64), ask->moment.frame);
    case DO_SPLIT:
        return g_strdup_printf(_("clip split; a new snap begins at frame %" PRId64),
                               ask->moment.frame);
    case DO_JOIN:
        return g_strdup(_("two clips joined"));
    case DO_MOVE:
        return g_strdup(_("clip moved to the snap beside"));
    case DO_CUT_EARLY:
        return g_strdup(ask->yes ? _("noted: cut early") : _("noted: not cut early"));
    case DO_NOT_FILMED:
        return g_strdup(ask->yes ? _("noted: one angle only")
                                 : _("the note of one angle only is taken back"));
    }
    g_assert_not_reached();
}

static void *log_errand(RbStoreSide *side, void *data, RbCancel *cancel,
                        RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const LogAsk *ask = data;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    if (!run(side->library, ask, error)) {
        return NULL;
    }
    rb_library_has_changed(side->library); /* the window reads again anyway */
    return rb_words_answer_new(words_of(ask));
}

/* A mark is of the field at hand where the frame has two; a clip begins and ends with whole
 * frames. False while the film does not tell. */
static bool moment_at(RbDeck *deck, int64_t frame, What what, RbMoment *moment)
{
    moment->frame = frame;
    return rb_deck_get_moment(deck, frame, what == DO_MARK, &moment->time);
}

static void send(RbWindow *window, const LogAsk *ask)
{
    rb_session_change(rb_window_get_session(window), log_errand,
                      g_memdup2(ask, sizeof *ask), g_free);
}

static RbFilmLogger *logger_of(RbWindow *window)
{
    return rb_chart_desk_get_logger(rb_window_get_chart(window));
}

/* The clip that keys work on: the snap's that is shown; on a whole film the one that holds the
 * frame. (nullable) */
static const RbClip *clip_of(RbWindow *window)
{
    RbFilmLogger *logger = logger_of(window);
    return rb_film_logger_is_on(logger)
               ? rb_film_logger_get_clip(logger)
               : rb_deck_get_clip(rb_chart_desk_get_deck(rb_window_get_chart(window)));
}

/* Whether a log key may act now: on the Chart desk, and once however long it is held. */
static bool may_act(RbWindow *window)
{
    return g_strcmp0(rb_window_get_desk(window), "chart") == 0 &&
           !rb_film_keys_is_held(window);
}

/* The clip and the frame at hand; false, with a sentence, when there is none. */
static bool begin(RbWindow *window, What what, LogAsk *ask)
{
    *ask = (LogAsk){ .what = what };
    if (!may_act(window)) {
        return false;
    }
    RbDeck *deck = rb_chart_desk_get_deck(rb_window_get_chart(window));
    const RbClip *clip = clip_of(window);
    RbProjector *projector = rb_deck_get_projector(deck);
    if (clip == NULL || projector == NULL) {
        rb_window_say(window, rb_film_logger_is_on(logger_of(window))
                                  ? _("No logged clip holds this frame: say first where "
                                      "one starts.")
                                  : _("There is no film here to mark."));
        return false;
    }
    ask->clip = clip->id;
    const int64_t frame = rb_deck_get_frame_at_hand(deck);
    if (!moment_at(deck, frame, what, &ask->moment)) {
        rb_window_say(window, _("The film does not tell the time of this frame yet; try "
                                "again in a moment."));
        return false;
    }
    (void)moment_at(deck, frame - 1, what, &ask->before);
    return true;
}

static void on_mark(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    LogAsk ask;
    int kind = 0;
    if (!rb_words_parse(&rb_mark_words, g_variant_get_string(value, NULL), &kind) ||
        !may_act(data) || rb_film_logger_mark(logger_of(data), (RbMarkKind)kind)) {
        return;
    }
    if (begin(data, DO_MARK, &ask)) {
        ask.kind = (RbMarkKind)kind;
        send(data, &ask);
    }
}

static void tell(RbWindow *window, bool done, const char *sentence)
{
    if (!done && sentence != NULL) {
        rb_window_say(window, sentence);
    }
}

/* On a whole film: outside every logged clip a start begins one and an end ends it; inside, and
 * with none begun, they move that clip's own. */
static bool take_end(RbWindow *window, bool last)
{
    RbFilmLogger *logger = logger_of(window);
    const bool begun = rb_film_logger_get_start(logger) != NULL;
    if (!rb_film_logger_is_on(logger) || (!begun && clip_of(window) != NULL)) {
        return false;
    }
    g_autofree char *sentence = NULL;
    const bool done = last ? rb_film_logger_end(logger, &sentence)
                           : rb_film_logger_begin(logger, &sentence);
    if (!done && sentence == NULL) {
        sentence = g_strdup(_("No clip is begun here: say first where it starts."));
    }
    tell(window, done, sentence);
    return true;
}

/* 0: the clip starts here; 1: it ends here. */
static void on_end(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    LogAsk ask;
    const bool last = g_variant_get_int32(value) != 0;
    if (may_act(data) && !take_end(data, last) &&
        begin(data, last ? DO_LAST : DO_FIRST, &ask)) {
        send(data, &ask);
    }
}

static void on_film(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (may_act(data)) {
        rb_chart_desk_log_film(rb_window_get_chart(data),
                               !rb_film_logger_is_on(logger_of(data)));
    }
}

static void on_accept(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    g_autofree char *sentence = NULL;
    if (may_act(data) && rb_film_logger_is_on(logger_of(data))) {
        tell(data, rb_film_logger_accept(logger_of(data), &sentence), sentence);
    }
}

static void on_split(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    LogAsk ask;
    if (begin(data, DO_SPLIT, &ask)) {
        send(data, &ask);
    }
}

static const RbClip *next_of_film(const GPtrArray *clips, const RbClip *clip)
{
    const RbClip *next = NULL;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *other = clips->pdata[i];
        if (other->film.value == clip->film.value && other->first > clip->first &&
            (next == NULL || other->first < next->first)) {
            next = other;
        }
    }
    return next;
}

/* The clips beside the one that is worked on. */
static const GPtrArray *clips_of(RbWindow *window)
{
    const RbFilmLog *log = rb_film_logger_get_log(logger_of(window));
    return log != NULL ? log->clips
                       : rb_session_get_sheet(rb_window_get_session(window))->clips;
}

static void on_join(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    LogAsk ask;
    if (!begin(data, DO_JOIN, &ask)) {
        return;
    }
    const RbClip *next = next_of_film(clips_of(data), clip_of(data));
    if (next == NULL) {
        rb_window_say(data,
                      _("This snap has no other clip of the film after this one; move "
                        "one here first."));
        return;
    }
    ask.other = next->id;
    send(data, &ask);
}

static void on_move(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    LogAsk ask;
    if (!begin(data, DO_MOVE, &ask)) {
        return;
    }
    const GPtrArray *snaps = rb_session_get_snaps(rb_window_get_session(data));
    const RbSnapId now = clip_of(data)->snap;
    const int step = g_variant_get_int32(value);
    for (guint i = 0; i < snaps->len; i++) {
        const int there = (int)i + step;
        if (((const RbSnap *)snaps->pdata[i])->id.value == now.value && there >= 0 &&
            there < (int)snaps->len) {
            ask.snap = ((const RbSnap *)snaps->pdata[there])->id;
            send(data, &ask);
            return;
        }
    }
    rb_window_say(data, _("There is no snap on that side to move the clip to."));
}

static void on_cut_early(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    LogAsk ask;
    if (begin(data, DO_CUT_EARLY, &ask)) {
        ask.yes = clip_of(data)->cut_early != RB_YES;
        send(data, &ask);
    }
}

/* Of the angle that is not shown. */
static void on_one_angle(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    LogAsk ask;
    if (!begin(data, DO_NOT_FILMED, &ask)) {
        return;
    }
    const RbClip *shown = clip_of(data);
    const GPtrArray *clips = clips_of(data);
    ask.snap = shown->snap;
    ask.angle = shown->angle == RB_ANGLE_WIDE ? RB_ANGLE_TIGHT : RB_ANGLE_WIDE;
    ask.yes = true;
    for (guint i = 0; i < clips->len; i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->snap.value == ask.snap.value && clip->angle == ask.angle &&
            clip->film.value == 0) {
            ask.yes = false;
        }
    }
    send(data, &ask);
}

void rb_log_keys_add(RbWindow *window)
{
    static const GActionEntry entries[] = {
        { .name = "mark", .activate = on_mark, .parameter_type = "s" },
        { .name = "end", .activate = on_end, .parameter_type = "i" },
        { .name = "film", .activate = on_film },
        { .name = "accept", .activate = on_accept },
        { .name = "split", .activate = on_split },
        { .name = "join", .activate = on_join },
        { .name = "move", .activate = on_move, .parameter_type = "i" },
        { .name = "cut-early", .activate = on_cut_early },
        { .name = "one-angle", .activate = on_one_angle },
    };
    g_autoptr(GSimpleActionGroup) group = g_simple_action_group_new();
    g_action_map_add_action_entries(G_ACTION_MAP(group), entries, G_N_ELEMENTS(entries),
                                    window);
    gtk_widget_insert_action_group(GTK_WIDGET(window), "log", G_ACTION_GROUP(group));
}
