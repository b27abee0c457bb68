/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-logger.h"

#include <glib/gi18n.h>

#include "rb/film/reel.h"

#include "film-log-errand.h"

struct _RbFilmLogger {
    GObject parent_instance;
    RbSession *session; /* owned */
    RbDeck *deck;       /* owned */
    bool on;
    RbFilmId film;      /* shown; 0: none yet */
    GPtrArray *shown;   /* owned, nullable: the one clip the deck has: all of the film */
    GHashTable *places; /* owned: film id to the frame where it was left */
    bool at_proposal;   /* go to the proposal as soon as the film can tell where it is */

    bool begun; /* a clip has its start, and waits for its end */
    RbMoment start;
    bool has_mark[RB_MARK_END + 1];
    RbMoment marks[RB_MARK_END + 1];

    RbSnapId next; /* of the next clip; 0: a new snap */
    bool guessed;
    RbClipGuess guess;
    RbClipId held; /* the clip that held the frame when it was last told */
};

G_DEFINE_FINAL_TYPE(RbFilmLogger, rb_film_logger, G_TYPE_OBJECT)

enum { CHANGED, N_SIGNALS };
static guint signals[N_SIGNALS];

static void tell(RbFilmLogger *logger)
{
    g_signal_emit(logger, signals[CHANGED], 0);
}

const RbFilmLog *rb_film_logger_get_log(RbFilmLogger *logger)
{
    return logger->on ? rb_session_get_film_log(logger->session) : NULL;
}

static int film_index(RbFilmLogger *logger)
{
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    for (guint i = 0; log != NULL && i < log->films->len; i++) {
        if (((const RbFilm *)log->films->pdata[i])->id.value == logger->film.value) {
            return (int)i;
        }
    }
    return -1;
}

const RbFilm *rb_film_logger_get_film(RbFilmLogger *logger)
{
    const int index = film_index(logger);
    return index >= 0 ? rb_film_logger_get_log(logger)->films->pdata[index] : NULL;
}

static RbReel *reel_of(RbFilmLogger *logger)
{
    RbProjector *projector = rb_deck_get_projector(logger->deck);
    return projector != NULL ? rb_projector_get_reel(projector) : NULL;
}

const RbClip *rb_film_logger_get_clip(RbFilmLogger *logger)
{
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    return log != NULL ? rb_film_log_clip_at(log, logger->film,
                                             rb_deck_get_frame_at_hand(logger->deck))
                       : NULL;
}

const RbMoment *rb_film_logger_get_start(RbFilmLogger *logger)
{
    return logger->begun ? &logger->start : NULL;
}

const RbMoment *rb_film_logger_get_mark(RbFilmLogger *logger, RbMarkKind kind)
{
    return logger->begun && logger->has_mark[kind] ? &logger->marks[kind] : NULL;
}

RbSnapId rb_film_logger_get_next(RbFilmLogger *logger)
{
    return logger->next;
}

static int64_t frame_at(RbFilmLogger *logger, int64_t us)
{
    int64_t frame = -1;
    rb_deck_find_moment(logger->deck, us, &frame, NULL);
    return frame;
}

bool rb_film_logger_get_proposal(RbFilmLogger *logger, int64_t *first, int64_t *last)
{
    *first = logger->guessed ? frame_at(logger, logger->guess.first_us) : -1;
    *last = logger->guessed ? frame_at(logger, logger->guess.last_us) : -1;
    return *first >= 0 && *last > *first;
}

static void guess_next(RbFilmLogger *logger)
{
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    logger->next =
        log != NULL ? rb_next_unlogged(log->clips, logger->film) : (RbSnapId){ 0 };
    logger->guessed =
        logger->next.value != 0 &&
        rb_guess_clip(log->clips, logger->film, logger->next, &logger->guess);
}

/* The deck's one clip gets the marks of what is worked on: the clip that is begun, else the logged
 * one that holds the frame. */
static void give_marks(RbFilmLogger *logger, RbClip *clip)
{
    const RbClip *held = rb_film_logger_get_clip(logger);
    g_array_set_size(clip->marks, 0);
    for (int kind = 0; kind <= RB_MARK_END && logger->begun; kind++) {
        if (logger->has_mark[kind]) {
            const RbMark mark = { .kind = (RbMarkKind)kind,
                                  .frame = logger->marks[kind].frame,
                                  .time = logger->marks[kind].time };
            g_array_append_val(clip->marks, mark);
        }
    }
    if (!logger->begun && held != NULL && held->marks->len > 0) {
        g_array_append_vals(clip->marks, held->marks->data, held->marks->len);
    }
    logger->held = held != NULL ? held->id : (RbClipId){ 0 };
}

static void free_clip(void *clip)
{
    rb_clip_free(clip);
}

static int64_t last_frame(RbFilmLogger *logger)
{
    RbReel *reel = reel_of(logger);
    const int64_t n = reel != NULL ? rb_reel_get_frames_so_far(reel) : 0;
    return n > 0 ? n - 1 : INT64_MAX;
}

/* Gives the deck the clip as it is now. The same film keeps its moment. */
static void show_film(RbFilmLogger *logger, bool anew)
{
    const int index = film_index(logger);
    const RbFilm *film = rb_film_logger_get_film(logger);
    if (film == NULL) {
        return;
    }
    if (anew) {
        g_clear_pointer(&logger->shown, g_ptr_array_unref);
        logger->shown = g_ptr_array_new_with_free_func(free_clip);
        RbClip *clip = rb_clip_new((RbClipId){ film->id.value }, (RbSnapId){ 0 },
                                   film->id, film->angle);
        clip->last = INT64_MAX;
        g_ptr_array_add(logger->shown, clip);
    }
    RbClip *clip = logger->shown->pdata[0];
    give_marks(logger, clip);
    clip->last = anew ? clip->last : last_frame(logger);
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    g_ptr_array_add(paths, g_strdup(rb_film_logger_get_log(logger)->paths->pdata[index]));
    rb_deck_set_clips(logger->deck, logger->shown, paths);
}

static void go_to_proposal(RbFilmLogger *logger)
{
    int64_t first = 0;
    int64_t last = 0;
    if (logger->at_proposal && rb_film_logger_get_proposal(logger, &first, &last)) {
        const bool snap = logger->guess.has_mark[RB_MARK_SNAP];
        logger->at_proposal = false;
        rb_deck_show(logger->deck,
                     snap ? frame_at(logger, logger->guess.mark_us[RB_MARK_SNAP])
                          : first);
    }
}

static void give_up_draft(RbFilmLogger *logger)
{
    logger->begun = false;
    for (int kind = 0; kind <= RB_MARK_END; kind++) {
        logger->has_mark[kind] = false;
    }
}

/* After the last clip of the film; its start when there is none. */
static int64_t first_place(RbFilmLogger *logger)
{
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    int64_t place = 0;
    for (guint i = 0; i < log->clips->len; i++) {
        const RbClip *clip = log->clips->pdata[i];
        place = clip->film.value == logger->film.value ? MAX(place, clip->last) : place;
    }
    return place;
}

static void use_film(RbFilmLogger *logger, RbFilmId film)
{
    if (logger->film.value != 0 && rb_deck_get_frame(logger->deck) >= 0) {
        int64_t *place = g_new(int64_t, 1);
        *place = rb_deck_get_frame(logger->deck);
        g_hash_table_replace(logger->places,
                             g_memdup2(&logger->film.value, sizeof(int64_t)), place);
    }
    give_up_draft(logger);
    logger->film = film;
    guess_next(logger);
    show_film(logger, true);
    const int64_t *place = g_hash_table_lookup(logger->places, &film.value);
    logger->at_proposal = logger->guessed;
    rb_deck_show(logger->deck, place != NULL ? *place : first_place(logger));
    go_to_proposal(logger);
    tell(logger);
}

void rb_film_logger_next_film(RbFilmLogger *logger)
{
    g_return_if_fail(RB_IS_FILM_LOGGER(logger));
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    if (log != NULL && log->films->len > 1) {
        const guint next = (guint)(film_index(logger) + 1) % log->films->len;
        use_film(logger, ((const RbFilm *)log->films->pdata[next])->id);
    }
}

void rb_film_logger_go(RbFilmLogger *logger, RbSnapId snap)
{
    g_return_if_fail(RB_IS_FILM_LOGGER(logger));
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    for (guint i = 0; log != NULL && i < log->clips->len; i++) {
        const RbClip *clip = log->clips->pdata[i];
        const RbMark *mark = rb_clip_find_mark(clip, RB_MARK_SNAP);
        if (clip->snap.value == snap.value && clip->film.value == logger->film.value) {
            rb_deck_show(logger->deck, mark != NULL ? mark->frame : clip->first);
            return;
        }
    }
}

static void nearer(int64_t frame, int64_t now, int direction, int64_t *best)
{
    const bool that_way = direction < 0 ? frame < now : frame > now;
    if (that_way && (*best < 0 || ABS(frame - now) < ABS(*best - now))) {
        *best = frame;
    }
}

void rb_film_logger_jump(RbFilmLogger *logger, int direction)
{
    g_return_if_fail(RB_IS_FILM_LOGGER(logger));
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    const int64_t now = rb_deck_get_frame(logger->deck);
    int64_t best = -1;
    for (guint i = 0; log != NULL && i < log->clips->len; i++) {
        const RbClip *clip = log->clips->pdata[i];
        if (clip->film.value != logger->film.value) {
            continue;
        }
        nearer(clip->first, now, direction, &best);
        nearer(clip->last, now, direction, &best);
        for (guint j = 0; j < clip->marks->len; j++) {
            nearer(g_array_index(clip->marks, RbMark, j).frame, now, direction, &best);
        }
    }
    if (logger->begun) {
        nearer(logger->start.frame, now, direction, &best);
    }
    if (best >= 0) {
        rb_deck_show(logger->deck, best);
    }
}

/* The frame at hand, once the whole film is numbered; by_field: of interlaced film the field. */
static bool moment_at_hand(RbFilmLogger *logger, bool by_field, RbMoment *moment,
                           char **sentence)
{
    RbReel *reel = reel_of(logger);
    moment->frame = rb_deck_get_frame_at_hand(logger->deck);
    if (reel == NULL) {
        *sentence = g_strdup(_("There is no film here to mark."));
        return false;
    }
    if (rb_reel_get_frame_count(reel) < 0 || moment->frame < 0 ||
        !rb_deck_get_moment(logger->deck, moment->frame, by_field, &moment->time)) {
        *sentence = g_strdup(_("The film is still being read: its frames have their "
                               "numbers when that is done; try again in a moment."));
        return false;
    }
    return true;
}

bool rb_film_logger_begin(RbFilmLogger *logger, char **sentence)
{
    RbMoment moment;
    if (!moment_at_hand(logger, false, &moment, sentence)) {
        return false;
    }
    give_up_draft(logger);
    logger->begun = true;
    logger->start = moment;
    show_film(logger, false);
    tell(logger);
    return true;
}

bool rb_film_logger_mark(RbFilmLogger *logger, RbMarkKind kind)
{
    RbMoment moment;
    g_autofree char *sentence = NULL;
    if (!logger->begun || !moment_at_hand(logger, true, &moment, &sentence) ||
        moment.frame < logger->start.frame) {
        return false;
    }
    logger->has_mark[kind] = true;
    logger->marks[kind] = moment;
    show_film(logger, false);
    tell(logger);
    return true;
}

/* ---- what is written */

static RbLogClipAsk *ask_new(RbFilmLogger *logger, RbMoment first, RbMoment last)
{
    return rb_log_clip_ask_new(rb_film_logger_get_log(logger)->game,
                               rb_film_logger_get_film(logger), first, last);
}

static void send(RbFilmLogger *logger, RbLogClipAsk *ask)
{
    give_up_draft(logger);
    rb_session_change(logger->session, rb_errand_log_clip, ask, g_free);
    tell(logger);
}

bool rb_film_logger_end(RbFilmLogger *logger, char **sentence)
{
    RbMoment moment;
    if (!logger->begun || !moment_at_hand(logger, false, &moment, sentence)) {
        return false;
    }
    if (moment.frame <= logger->start.frame) {
        *sentence = g_strdup(_("This frame is not after the clip's start: go on to its "
                               "end, or start it anew."));
        return false;
    }
    RbLogClipAsk *ask = ask_new(logger, logger->start, moment);
    for (int kind = 0; kind <= RB_MARK_END; kind++) {
        if (logger->has_mark[kind] && logger->marks[kind].frame <= moment.frame) {
            rb_log_clip_ask_mark(ask, (RbMarkKind)kind, logger->marks[kind]);
        }
    }
    send(logger, ask);
    return true;
}

static bool moment_of(RbFilmLogger *logger, int64_t frame, RbMoment *moment)
{
    RbReel *reel = reel_of(logger);
    moment->frame = frame;
    return reel != NULL && frame >= 0 &&
           rb_reel_get_frame_time(reel, frame, &moment->time);
}

bool rb_film_logger_accept(RbFilmLogger *logger, char **sentence)
{
    RbMoment first;
    RbMoment last;
    if (!rb_film_logger_get_proposal(logger, &first.frame, &last.frame) ||
        !moment_of(logger, first.frame, &first) ||
        !moment_of(logger, last.frame, &last)) {
        *sentence =
            g_strdup(_("Nothing is proposed here: no other film shows a snap that "
                       "this one lacks."));
        return false;
    }
    RbLogClipAsk *ask = ask_new(logger, first, last);
    ask->snap = logger->next;
    for (int kind = 0; kind <= RB_MARK_END; kind++) {
        RbMoment mark;
        if (logger->guess.has_mark[kind] &&
            rb_deck_find_moment(logger->deck, logger->guess.mark_us[kind], &mark.frame,
                                &mark.time) &&
            mark.frame >= first.frame && mark.frame <= last.frame) {
            rb_log_clip_ask_mark(ask, (RbMarkKind)kind, mark);
        }
    }
    logger->at_proposal = true; /* on to the next one */
    send(logger, ask);
    return true;
}

bool rb_film_logger_drop(RbFilmLogger *logger)
{
    g_return_val_if_fail(RB_IS_FILM_LOGGER(logger), false);
    const bool was = logger->begun;
    give_up_draft(logger);
    if (was) {
        show_film(logger, false);
        tell(logger);
    }
    return was;
}

/* ---- what happens elsewhere */

static void on_log(RbFilmLogger *logger)
{
    const RbFilmLog *log = rb_film_logger_get_log(logger);
    if (log == NULL) {
        return;
    }
    if (film_index(logger) < 0) {
        logger->film.value = 0;
        if (log->films->len > 0) {
            use_film(logger, ((const RbFilm *)log->films->pdata[0])->id);
        }
        tell(logger);
        return;
    }
    guess_next(logger);
    show_film(logger, false);
    go_to_proposal(logger);
    tell(logger);
}

/* The film tells its length, or the frame came to another clip. */
static void on_deck(RbFilmLogger *logger)
{
    if (!logger->on || logger->shown == NULL || film_index(logger) < 0) {
        return;
    }
    const RbClip *held = rb_film_logger_get_clip(logger);
    const int64_t id = held != NULL ? held->id.value : 0;
    const RbClip *clip = logger->shown->pdata[0];
    go_to_proposal(logger);
    if (clip->last != last_frame(logger) || id != logger->held.value) {
        show_film(logger, false);
        tell(logger);
    }
}

void rb_film_logger_set_on(RbFilmLogger *logger, bool on)
{
    g_return_if_fail(RB_IS_FILM_LOGGER(logger));
    if (logger->on == on) {
        return;
    }
    logger->on = on;
    logger->film.value = 0;
    give_up_draft(logger);
    g_clear_pointer(&logger->shown, g_ptr_array_unref);
    rb_session_want_film_log(logger->session, on);
    tell(logger);
}

bool rb_film_logger_is_on(RbFilmLogger *logger)
{
    return logger->on;
}

RbFilmLogger *rb_film_logger_new(RbSession *session, RbDeck *deck)
{
    RbFilmLogger *logger = g_object_new(RB_TYPE_FILM_LOGGER, NULL);
    logger->session = g_object_ref(session);
    logger->deck = g_object_ref(deck);
    g_signal_connect_object(session, "film-log", G_CALLBACK(on_log), logger,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(deck, "changed", G_CALLBACK(on_deck), logger,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(deck, "frame", G_CALLBACK(on_deck), logger,
                            G_CONNECT_SWAPPED);
    return logger;
}

static void rb_film_logger_dispose(GObject *object)
{
    RbFilmLogger *logger = RB_FILM_LOGGER(object);
    g_clear_object(&logger->session);
    g_clear_object(&logger->deck);
    g_clear_pointer(&logger->shown, g_ptr_array_unref);
    g_clear_pointer(&logger->places, g_hash_table_unref);
    G_OBJECT_CLASS(rb_film_logger_parent_class)->dispose(object);
}

static void rb_film_logger_class_init(RbFilmLoggerClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_film_logger_dispose;
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_FILM_LOGGER, G_SIGNAL_RUN_LAST, 0,
                                    NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_film_logger_init(RbFilmLogger *logger)
{
    logger->places = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, g_free);
}
