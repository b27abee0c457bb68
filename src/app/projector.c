/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "projector.h"

#include <glib/gi18n.h>
#include <math.h>

#include "rb/film/small-pictures.h"

#include "bridge.h"
#include "film-paintable.h"
#include "film-settings.h"
#include "film-sound.h"
#include "small-maker.h"

/* A film wider than this is made smaller by the helper before it travels. */
#define WIDEST 1920
#define TALLEST 1200

/* Decoded frames of a film that is open but not shown: bytes. */
#define RESTING (INT64_C(16) << 20)
/* How often the making of small pictures is looked after, ms: nobody waits for it. */
#define LOOK_AFTER_MS 500

struct _RbProjector {
    GObject parent_instance;
    RbReel *reel;         /* owned */
    RbFilmPlayer *player; /* owned */
    RbFilmSound *sound;   /* owned */
    bool follows;         /* another projector leads */
    bool resting;         /* it is open, but not shown */
    RbWaker *waker;       /* owned: the film has news */
    GSource *timer;       /* owned: a frame is due */
    char *sentence;       /* owned, nullable */
    GdkTexture *texture;  /* owned, nullable */
    RbRational pixel_shape;
    char *path;          /* owned */
    int64_t first;       /* of the clip */
    int64_t last;        /* INT64_MAX: no limit */
    RbSmallFilm *small;  /* owned, nullable */
    RbJob *making;       /* owned, nullable: of its file */
    int64_t small_first; /* span that is made or there */
    int64_t small_last;
    guint look_after;
    bool ready; /* the settings were used */
};

G_DEFINE_FINAL_TYPE(RbProjector, rb_projector, G_TYPE_OBJECT)

enum { CHANGED, FRAME, N_SIGNALS };
static guint signals[N_SIGNALS];

static void set_sentence(RbProjector *projector, const char *sentence)
{
    g_free(projector->sentence);
    projector->sentence = g_strdup(sentence);
}

static const char *remark_on(const RbPicture *picture)
{
    if (rb_picture_is_approximate(picture)) {
        return _(
            "The film is still being read: until that is done, the frame may be another "
            "than the one asked for.");
    }
    return rb_picture_is_doubtful(picture)
               ? _("The film is damaged before this frame: the picture may not be what the "
                   "camera saw.")
               : NULL;
}

static void take_picture(RbProjector *projector)
{
    RbPicture *picture = rb_film_player_get_picture(projector->player);
    if (picture == NULL) {
        return;
    }
    projector->pixel_shape = rb_picture_get_pixel_shape(picture);
    set_sentence(projector, remark_on(picture));
    g_clear_object(&projector->texture);
    projector->texture = rb_film_texture_new(rb_picture_ref(picture));
}

static void use_settings(RbProjector *projector);

/* Runs what is due now and sets the timer to what is due next. */
static void run(RbProjector *projector)
{
    int64_t next_us = INT64_MAX;
    const unsigned news =
        rb_film_player_tick(projector->player, g_get_monotonic_time(), &next_us);
    g_source_set_ready_time(projector->timer, next_us == INT64_MAX ? -1 : next_us);
    rb_film_sound_keep(projector->sound, projector->player, projector->follows);
    if ((news & RB_FILM_PLAYER_NEWS_PICTURE) != 0) {
        take_picture(projector);
    }
    const GError *fault = rb_film_player_get_fault(projector->player);
    if ((news & RB_FILM_PLAYER_NEWS_FAULT) != 0 && fault != NULL) {
        set_sentence(projector, fault->message);
    }
    if ((news & RB_FILM_PLAYER_NEWS_STATE) != 0 && !projector->ready &&
        rb_projector_get_state(projector) == RB_PROJECTOR_READY) {
        projector->ready = true;
        use_settings(projector);
    }
    if ((news & ~(unsigned)RB_FILM_PLAYER_NEWS_PICTURE) != 0) {
        g_signal_emit(projector, signals[CHANGED], 0);
    }
    if ((news & RB_FILM_PLAYER_NEWS_PICTURE) != 0) {
        g_signal_emit(projector, signals[FRAME], 0);
    }
}

static void look(void *data)
{
    RbProjector *projector = data;
    if (projector->player == NULL) {
        return;
    }
    g_object_ref(projector);
    run(projector);
    g_object_unref(projector);
}

static gboolean timer_dispatch(GSource *source, GSourceFunc callback, gpointer data)
{
    (void)source;
    callback(data);
    return G_SOURCE_CONTINUE;
}

static GSourceFuncs timer_functions = { .dispatch = timer_dispatch };

static gboolean on_timer(gpointer data)
{
    RbProjector *projector = data;
    g_source_set_ready_time(projector->timer, -1);
    look(projector);
    return G_SOURCE_CONTINUE;
}

/* ---- small pictures */

static void drop_small(RbProjector *projector)
{
    g_clear_handle_id(&projector->look_after, g_source_remove);
    if (projector->making != NULL) {
        rb_job_cancel(projector->making);
        g_clear_pointer(&projector->making, rb_job_unref);
    }
    if (projector->small != NULL) {
        rb_film_player_use_small(projector->player, NULL);
        g_clear_pointer(&projector->small, rb_small_film_close);
    }
    projector->small_first = 0;
    projector->small_last = -1;
}

static gboolean on_look_after(gpointer data)
{
    RbProjector *projector = data;
    if (!rb_job_is_done(projector->making)) {
        return G_SOURCE_CONTINUE;
    }
    projector->look_after = 0;
    g_autoptr(GError) error = NULL;
    g_autofree char *path = rb_job_take_result(projector->making, &error);
    g_clear_pointer(&projector->making, rb_job_unref);
    if (path == NULL) {
        g_message("%s", error->message); /* the film itself serves as well, if slower */
        return G_SOURCE_REMOVE;
    }
    if (path[0] == '\0') {
        return G_SOURCE_REMOVE;
    }
    projector->small = rb_small_film_open(
        path, projector->small_first, projector->small_last,
        rb_reel_get_frame_count(projector->reel), rb_reel_is_interlaced(projector->reel),
        rb_waker_wake, projector->waker);
    rb_film_player_use_small(projector->player, projector->small);
    return G_SOURCE_REMOVE;
}

/* The span of small pictures that the clip shown asks for is made, unless it is there. */
static void look_for_small(RbProjector *projector)
{
    RbFilmSettings *settings = rb_film_settings_get();
    const int64_t budget = rb_film_settings_get_disk(settings);
    const int64_t count = rb_reel_get_frame_count(projector->reel);
    const bool whole = rb_film_settings_get_whole(settings);
    const int64_t first = whole ? 0 : projector->first;
    const int64_t last = whole ? count - 1 : MIN(projector->last, count - 1);
    if (count <= 0 || budget == 0 || last < first ||
        (!whole && projector->last == INT64_MAX)) {
        drop_small(projector);
        return;
    }
    if (first == projector->small_first && last == projector->small_last) {
        return;
    }
    drop_small(projector);
    projector->small_first = first; /* looked at, whatever comes of it */
    projector->small_last = last;
    if (rb_small_is_needed(projector->reel, first, last)) {
        projector->making = rb_small_maker_start(projector->path, first, last, budget);
        projector->look_after = g_timeout_add(LOOK_AFTER_MS, on_look_after, projector);
    }
}

/* Two films at a time share the memory: the two angles. One that rests keeps next to nothing. */
static void use_settings(RbProjector *projector)
{
    int64_t budget = rb_film_settings_get_memory(rb_film_settings_get());
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(projector->reel);
    if (facts == NULL) {
        return;
    }
    budget = budget > 0 ? budget : rb_film_player_default_budget();
    rb_film_player_set_budget(projector->player,
                              projector->resting ? MIN(budget / 2, RESTING) : budget / 2,
                              (int64_t)facts->width * facts->height * 3 / 2);
    look_for_small(projector);
    look(projector);
}

static void set_options(RbProjector *projector, bool close)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_BGRA,
                                     .max_width = close ? 0 : WIDEST,
                                     .max_height = close ? 0 : TALLEST };
    rb_film_player_set_options(projector->player, &options);
}

void rb_projector_set_resting(RbProjector *projector, bool resting)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    if (projector->resting != resting) {
        projector->resting = resting;
        use_settings(projector);
    }
}

void rb_projector_look(RbProjector *projector)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    look(projector);
}

void rb_projector_show(RbProjector *projector, int64_t frame)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_show(projector->player, frame);
    look(projector);
}

void rb_projector_step(RbProjector *projector, int64_t frames)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_step(projector->player, frames);
    look(projector);
}

void rb_projector_hold(RbProjector *projector, int direction)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_hold(projector->player, direction, g_get_monotonic_time());
    look(projector);
}

void rb_projector_let_go(RbProjector *projector)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_let_go(projector->player);
    look(projector);
}

void rb_projector_scrub(RbProjector *projector, int64_t frame)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_scrub(projector->player, frame);
    look(projector);
}

void rb_projector_scrub_end(RbProjector *projector)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_scrub_end(projector->player);
    look(projector);
}

void rb_projector_play(RbProjector *projector, double speed)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_run(projector->player, (int)lround(speed * RB_FILM_PLAYER_NORMAL));
    look(projector);
}

void rb_projector_shuttle(RbProjector *projector, int direction)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_shuttle(projector->player, direction);
    look(projector);
}

void rb_projector_set_limits(RbProjector *projector, int64_t first, int64_t last)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_set_limits(projector->player, first, last);
    projector->first = first;
    projector->last = last;
    if (projector->ready) {
        look_for_small(projector);
    }
}

void rb_projector_set_span(RbProjector *projector, int64_t first, int64_t last)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_set_span(projector->player, first, last);
    look(projector);
}

void rb_projector_set_loop(RbProjector *projector, bool loop)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    rb_film_player_set_loop(projector->player, loop);
    look(projector);
}

void rb_projector_set_close(RbProjector *projector, bool close)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    set_options(projector, close);
    look(projector);
}

void rb_projector_follow(RbProjector *projector, RbProjector *leader, int64_t offset_us)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    projector->follows = leader != NULL;
    rb_film_player_follow(projector->player, leader != NULL ? leader->player : NULL,
                          offset_us);
    look(projector);
}

RbProjectorState rb_projector_get_state(RbProjector *projector)
{
    switch (rb_film_player_get_state(projector->player)) {
    case RB_FILM_PLAYER_WAITING:
        return RB_PROJECTOR_OPENING;
    case RB_FILM_PLAYER_FAILED:
        return RB_PROJECTOR_FAILED;
    case RB_FILM_PLAYER_STANDING:
    case RB_FILM_PLAYER_STEPPING:
    case RB_FILM_PLAYER_SCRUBBING:
    case RB_FILM_PLAYER_RUNNING:
        return RB_PROJECTOR_READY;
    }
    return RB_PROJECTOR_OPENING;
}

double rb_projector_get_progress(RbProjector *projector)
{
    return rb_film_player_get_progress(projector->player);
}

const char *rb_projector_get_sentence(RbProjector *projector)
{
    return projector->sentence;
}

RbReel *rb_projector_get_reel(RbProjector *projector)
{
    return projector->reel;
}

GdkTexture *rb_projector_get_texture(RbProjector *projector)
{
    return projector->texture;
}

RbRational rb_projector_get_pixel_shape(RbProjector *projector)
{
    return projector->pixel_shape;
}

int64_t rb_projector_get_frame(RbProjector *projector)
{
    return rb_film_player_get_shown(projector->player);
}

int64_t rb_projector_get_wanted(RbProjector *projector)
{
    return rb_film_player_get_wanted(projector->player);
}

int rb_projector_get_wanted_half(RbProjector *projector)
{
    return rb_film_player_get_wanted_half(projector->player);
}

bool rb_projector_is_exact(RbProjector *projector)
{
    return rb_film_player_is_exact(projector->player);
}

void rb_projector_get_counts(RbProjector *projector, RbFilmPlayerCounts *counts)
{
    rb_film_player_get_counts(projector->player, counts);
}

double rb_projector_get_speed(RbProjector *projector)
{
    return (double)rb_film_player_get_speed(projector->player) / RB_FILM_PLAYER_NORMAL;
}

double rb_projector_get_real_speed(RbProjector *projector)
{
    return (double)rb_film_player_get_real_speed(projector->player) /
           RB_FILM_PLAYER_NORMAL;
}

RbProjector *rb_projector_new(const char *path)
{
    RbProjector *projector = g_object_new(RB_TYPE_PROJECTOR, NULL);
    projector->path = g_strdup(path);
    projector->reel = rb_reel_open(path, rb_waker_wake, projector->waker);
    projector->player = rb_film_player_new(projector->reel);
    projector->sound = rb_film_sound_new(projector->path, projector->reel);
    set_options(projector, false);
    return projector;
}

static void rb_projector_dispose(GObject *object)
{
    RbProjector *projector = RB_PROJECTOR(object);
    if (projector->player != NULL) {
        drop_small(projector);
    }
    if (projector->timer != NULL) {
        g_source_destroy(projector->timer);
        g_clear_pointer(&projector->timer, g_source_unref);
    }
    g_clear_pointer(&projector->sound, rb_film_sound_free);
    g_clear_pointer(&projector->player, rb_film_player_free);
    g_clear_pointer(&projector->reel, rb_reel_close);
    g_clear_pointer(&projector->waker, rb_waker_free);
    g_clear_object(&projector->texture);
    G_OBJECT_CLASS(rb_projector_parent_class)->dispose(object);
}

static void rb_projector_finalize(GObject *object)
{
    g_free(RB_PROJECTOR(object)->sentence);
    g_free(RB_PROJECTOR(object)->path);
    G_OBJECT_CLASS(rb_projector_parent_class)->finalize(object);
}

static void rb_projector_class_init(RbProjectorClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_projector_dispose;
    G_OBJECT_CLASS(klass)->finalize = rb_projector_finalize;
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_PROJECTOR, G_SIGNAL_RUN_LAST, 0,
                                    NULL, NULL, NULL, G_TYPE_NONE, 0);
    signals[FRAME] = g_signal_new("frame", RB_TYPE_PROJECTOR, G_SIGNAL_RUN_LAST, 0, NULL,
                                  NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_projector_init(RbProjector *projector)
{
    projector->waker = rb_waker_new(look, projector);
    projector->timer = g_source_new(&timer_functions, sizeof(GSource));
    g_source_set_callback(projector->timer, on_timer, projector, NULL);
    g_source_set_ready_time(projector->timer, -1);
    g_source_set_static_name(projector->timer, "readbreak film timer");
    g_source_attach(projector->timer, NULL);
    projector->pixel_shape = (RbRational){ 1, 1 };
    projector->last = INT64_MAX;
    projector->small_last = -1;
    g_signal_connect_object(rb_film_settings_get(), "changed", G_CALLBACK(use_settings),
                            projector, G_CONNECT_SWAPPED);
}
