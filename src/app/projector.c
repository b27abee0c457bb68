/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "projector.h"

#include <glib/gi18n.h>

#include "bridge.h"
#include "film-paintable.h"

#define PACE_MS 15
/* A film wider than this is made smaller by the helper before it travels. */
#define WIDEST 1920
#define TALLEST 1200

struct _RbProjector {
    GObject parent_instance;
    RbReel *reel;   /* owned */
    RbWaker *waker; /* owned */
    RbProjectorState state;
    double progress;
    char *sentence;      /* owned, nullable */
    GdkTexture *texture; /* owned, nullable */
    RbRational pixel_shape;
    int64_t frame;
    int64_t wanted;
    int64_t first;
    int64_t last;    /* INT64_MAX: no limit */
    uint64_t serial; /* of the request or playback under way; 0 none */
    double speed;    /* 0: standing */
    /* pacing of every speed but the film's own */
    guint pace_id;
    int64_t pace_start_us; /* on the monotonic clock */
    int64_t pace_from_us;  /* on the film's clock */
};

G_DEFINE_FINAL_TYPE(RbProjector, rb_projector, G_TYPE_OBJECT)

enum { CHANGED, FRAME, N_SIGNALS };
static guint signals[N_SIGNALS];

static const RbFrameOptions frame_options = { .pixels = RB_PIXELS_BGRA,
                                              .max_width = WIDEST,
                                              .max_height = TALLEST };

static void set_sentence(RbProjector *projector, const char *sentence)
{
    g_free(projector->sentence);
    projector->sentence = g_strdup(sentence);
}

static int64_t clamp_frame(RbProjector *projector, int64_t frame)
{
    const int64_t count = rb_reel_get_frame_count(projector->reel);
    int64_t last = projector->last;
    if (count > 0 && last > count - 1) {
        last = count - 1;
    }
    return CLAMP(frame, projector->first, MAX(last, projector->first));
}

static void request(RbProjector *projector, int64_t frame)
{
    projector->wanted = clamp_frame(projector, frame);
    projector->serial =
        rb_reel_request_frame(projector->reel, projector->wanted, &frame_options);
}

static void stop_pacing(RbProjector *projector)
{
    g_clear_handle_id(&projector->pace_id, g_source_remove);
}

static void set_speed(RbProjector *projector, double speed)
{
    if (projector->speed != speed) {
        projector->speed = speed;
        g_signal_emit(projector, signals[CHANGED], 0);
    }
}

static bool at_an_end(const RbProjector *projector, int64_t frame)
{
    return projector->speed > 0 ? frame >= projector->last : frame <= projector->first;
}

static void take_picture(RbProjector *projector, RbReelEvent *event)
{
    RbPicture *picture = g_steal_pointer(&event->picture);
    const int64_t ordinal = rb_picture_get_ordinal(picture);
    const bool playing = projector->speed != 0;
    if (playing &&
        ordinal > projector->last) { /* a late frame went past the clip's end */
        rb_picture_unref(picture);
        set_speed(projector, 0);
        request(projector, projector->last);
        return;
    }
    projector->frame = ordinal;
    projector->pixel_shape = rb_picture_get_pixel_shape(picture);
    set_sentence(projector, rb_picture_is_doubtful(picture)
                                ? _("The film is damaged before this frame: the picture "
                                    "may not be what the camera saw.")
                                : NULL);
    g_clear_object(&projector->texture);
    projector->texture = rb_film_texture_new(picture);
    if (playing) {
        projector->wanted = ordinal;
    }
    if (projector->speed != 1) {
        projector->serial = 0;
    }
    if (playing && at_an_end(projector, ordinal)) {
        rb_reel_pause(projector->reel);
        stop_pacing(projector);
        set_speed(projector, 0);
    }
    g_signal_emit(projector, signals[FRAME], 0);
}

static void take_error(RbProjector *projector, const RbReelEvent *event)
{
    set_sentence(projector, event->error->message);
    projector->serial = 0;
    stop_pacing(projector);
    projector->speed = 0;
    if (event->final) {
        projector->state = RB_PROJECTOR_FAILED;
    }
    g_signal_emit(projector, signals[CHANGED], 0);
}

static void on_wake(void *data)
{
    RbProjector *projector = data;
    g_object_ref(projector);
    RbReelEvent event;
    while (projector->reel != NULL &&
           rb_reel_poll(projector->reel, &event) != RB_REEL_NOTHING) {
        switch (event.kind) {
        case RB_REEL_NOTHING:
        case RB_REEL_OPENED:
            break;
        case RB_REEL_PROGRESS:
            projector->progress = event.fraction;
            g_signal_emit(projector, signals[CHANGED], 0);
            break;
        case RB_REEL_READY:
            projector->state = RB_PROJECTOR_READY;
            g_signal_emit(projector, signals[CHANGED], 0);
            break;
        case RB_REEL_FRAME:
            take_picture(projector, &event);
            break;
        case RB_REEL_STOPPED:
            if (projector->speed == 1) {
                set_speed(projector, 0);
            }
            break;
        case RB_REEL_ERROR:
            take_error(projector, &event);
            break;
        }
        rb_reel_event_clear(&event);
    }
    g_object_unref(projector);
}

/* Speeds the reel does not play by itself: ask for the frame that is due, one at a time. */
static gboolean on_pace(gpointer data)
{
    RbProjector *projector = data;
    if (projector->serial != 0) {
        return G_SOURCE_CONTINUE; /* the last one has not come: leave frames out */
    }
    const int64_t passed = g_get_monotonic_time() - projector->pace_start_us;
    int64_t due_us =
        projector->pace_from_us + (int64_t)(projector->speed * (double)passed);
    due_us = MAX(due_us, 0);
    const int64_t due = rb_reel_find_frame_at(projector->reel, due_us);
    if (due >= 0 && clamp_frame(projector, due) != projector->frame) {
        request(projector, due);
    } else if (at_an_end(projector, projector->frame)) {
        projector->pace_id = 0;
        set_speed(projector, 0);
        return G_SOURCE_REMOVE;
    }
    return G_SOURCE_CONTINUE;
}

void rb_projector_show(RbProjector *projector, int64_t frame)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    stop_pacing(projector);
    set_speed(projector, 0);
    request(projector, frame);
}

void rb_projector_play(RbProjector *projector, double speed)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    stop_pacing(projector);
    if (projector->state != RB_PROJECTOR_READY || projector->frame < 0) {
        return;
    }
    if (speed == 0) {
        rb_reel_pause(projector->reel);
        projector->serial = 0;
        set_speed(projector, 0);
        return;
    }
    int64_t from = projector->frame;
    if (speed > 0 && from >= projector->last) {
        from = projector->first; /* played out: again from the start */
    }
    set_speed(projector, speed);
    if (speed == 1) {
        projector->serial = rb_reel_play(projector->reel, from, &frame_options);
        return;
    }
    rb_reel_pause(projector->reel);
    projector->serial = 0;
    projector->pace_start_us = g_get_monotonic_time();
    projector->pace_from_us = rb_reel_get_frame_us(projector->reel, from);
    projector->pace_id = g_timeout_add(PACE_MS, on_pace, projector);
}

void rb_projector_set_limits(RbProjector *projector, int64_t first, int64_t last)
{
    g_return_if_fail(RB_IS_PROJECTOR(projector));
    projector->first = MAX(first, 0);
    projector->last = last;
}

RbProjectorState rb_projector_get_state(RbProjector *projector)
{
    return projector->state;
}

double rb_projector_get_progress(RbProjector *projector)
{
    return projector->progress;
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
    return projector->frame;
}

int64_t rb_projector_get_wanted(RbProjector *projector)
{
    return projector->wanted;
}

double rb_projector_get_speed(RbProjector *projector)
{
    return projector->speed;
}

RbProjector *rb_projector_new(const char *path)
{
    RbProjector *projector = g_object_new(RB_TYPE_PROJECTOR, NULL);
    projector->reel = rb_reel_open(path, rb_waker_wake, projector->waker);
    return projector;
}

static void rb_projector_dispose(GObject *object)
{
    RbProjector *projector = RB_PROJECTOR(object);
    stop_pacing(projector);
    g_clear_pointer(&projector->reel, rb_reel_close);
    g_clear_pointer(&projector->waker, rb_waker_free);
    g_clear_object(&projector->texture);
    G_OBJECT_CLASS(rb_projector_parent_class)->dispose(object);
}

static void rb_projector_finalize(GObject *object)
{
    g_free(RB_PROJECTOR(object)->sentence);
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
    projector->waker = rb_waker_new(on_wake, projector);
    projector->progress = -1;
    projector->frame = -1;
    projector->wanted = -1;
    projector->last = INT64_MAX;
    projector->pixel_shape = (RbRational){ 1, 1 };
}
