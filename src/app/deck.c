/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "deck-private.h"

/* Films kept open: two angles of this game and of the one before. */
#define OPEN_MAX 4

G_DEFINE_FINAL_TYPE(RbDeck, rb_deck, G_TYPE_OBJECT)

enum { CHANGED, FRAME, N_SIGNALS };
static guint signals[N_SIGNALS];

void rb_deck_emit_changed(RbDeck *deck)
{
    g_signal_emit(deck, signals[CHANGED], 0);
}

void rb_deck_emit_frame(RbDeck *deck)
{
    g_signal_emit(deck, signals[FRAME], 0);
}

int64_t rb_deck_start_frame(const RbClip *clip)
{
    const RbMark *snap = rb_clip_find_mark(clip, RB_MARK_SNAP);
    return snap != NULL ? snap->frame : clip->first;
}

const RbClip *rb_deck_clip_at(const RbDeck *deck, int index)
{
    return deck->clips->pdata[index];
}

static int n_clips(const RbDeck *deck)
{
    return deck->clips != NULL ? (int)deck->clips->len : 0;
}

int rb_deck_find_angle(const RbDeck *deck, RbAngle angle)
{
    for (int i = 0; i < n_clips(deck); i++) {
        if (rb_deck_clip_at(deck, i)->angle == angle &&
            rb_deck_clip_at(deck, i)->film.value != 0) {
            return i;
        }
    }
    return -1;
}

static void on_changed(RbDeck *deck)
{
    rb_deck_align_second(deck);
    g_signal_emit(deck, signals[CHANGED], 0);
}

static void on_frame(RbDeck *deck)
{
    if (deck->second != NULL) {
        rb_projector_look(deck->second);
    }
    g_signal_emit(deck, signals[FRAME], 0);
}

/* A film that could not be read may be there again: its drive is connected by now. */
static bool is_to_be_tried_again(RbDeck *deck, RbProjector *projector)
{
    return rb_projector_get_state(projector) == RB_PROJECTOR_FAILED &&
           projector != deck->projector && projector != deck->second;
}

/* An open projector of that film, opened if need be. Returns: (transfer none). */
RbProjector *rb_deck_open_film(RbDeck *deck, const char *path)
{
    for (guint i = 0; i < deck->open->len; i++) {
        RbProjector *projector = deck->open->pdata[i];
        const char *its_path = g_object_get_data(G_OBJECT(projector), "path");
        if (g_str_equal(its_path, path) && is_to_be_tried_again(deck, projector)) {
            g_ptr_array_remove_index(deck->open, i);
            break;
        }
        if (g_str_equal(its_path, path)) {
            g_ptr_array_add(deck->open, g_object_ref(projector));
            g_ptr_array_remove_index(deck->open, i);
            return projector;
        }
    }
    if (deck->open->len >= OPEN_MAX) {
        g_ptr_array_remove_index(deck->open, 0);
    }
    RbProjector *projector = rb_projector_new(path);
    g_object_set_data_full(G_OBJECT(projector), "path", g_strdup(path), g_free);
    g_ptr_array_add(deck->open, projector);
    return projector;
}

static void leave_projector(RbDeck *deck)
{
    rb_deck_leave_second(deck);
    if (deck->projector == NULL) {
        return;
    }
    for (int i = 0; i < 2; i++) {
        g_signal_handler_disconnect(deck->projector, deck->handlers[i]);
    }
    rb_projector_play(deck->projector, 0);
    rb_projector_set_resting(deck->projector, true);
    deck->projector = NULL;
}

static void enter_projector(RbDeck *deck)
{
    const char *path = deck->paths->pdata[deck->shown];
    if (path[0] == '\0') {
        return;
    }
    deck->projector = rb_deck_open_film(deck, path);
    rb_projector_set_resting(deck->projector, false);
    deck->handlers[0] = g_signal_connect_swapped(deck->projector, "changed",
                                                 G_CALLBACK(on_changed), deck);
    deck->handlers[1] =
        g_signal_connect_swapped(deck->projector, "frame", G_CALLBACK(on_frame), deck);
    const RbClip *clip = rb_deck_clip_at(deck, deck->shown);
    rb_projector_set_limits(deck->projector, clip->first, clip->last);
    rb_projector_set_span(deck->projector, deck->span_first, deck->span_last);
    rb_projector_set_loop(deck->projector, deck->loop);
    rb_projector_set_close(deck->projector, deck->close);
    rb_deck_enter_second(deck);
}

/* The frame of the clip shown that lies `us` after its snap mark. */
static int64_t frame_at_moment(RbDeck *deck, int64_t us)
{
    const RbClip *clip = rb_deck_get_clip(deck);
    const RbMark *snap = rb_clip_find_mark(clip, RB_MARK_SNAP);
    RbReel *reel = rb_projector_get_reel(deck->projector);
    if (snap == NULL || rb_reel_get_frame_us(reel, snap->frame) < 0) {
        return rb_deck_start_frame(clip);
    }
    /* Half a millisecond over, so that rounding never lands on the frame before. */
    return rb_reel_find_frame_at(reel,
                                 rb_reel_get_frame_us(reel, snap->frame) + us + 500);
}

static void show_clip(RbDeck *deck, int index)
{
    /* The moment is kept from the clip shown before; a new snap has none. */
    int64_t us = 0;
    const bool moment = rb_deck_since_snap(deck, rb_deck_get_frame(deck), &us);
    const double speed = rb_deck_get_speed(deck);
    leave_projector(deck);
    deck->shown = index;
    deck->span_first = 0; /* a span belongs to its clip */
    deck->span_last = -1;
    enter_projector(deck);
    if (deck->projector != NULL) {
        rb_projector_show(deck->projector,
                          moment ? frame_at_moment(deck, us)
                                 : rb_deck_start_frame(rb_deck_clip_at(deck, index)));
        if (moment && speed != 0) {
            rb_projector_play(deck->projector, speed);
        }
    }
    on_changed(deck);
}

static bool same_clips(const RbDeck *deck, GPtrArray *clips, GPtrArray *paths)
{
    if (n_clips(deck) == 0 || n_clips(deck) != (int)clips->len) {
        return false;
    }
    for (int i = 0; i < n_clips(deck); i++) {
        const RbClip *clip = clips->pdata[i];
        if (clip->id.value != rb_deck_clip_at(deck, i)->id.value ||
            clip->first != rb_deck_clip_at(deck, i)->first ||
            clip->last != rb_deck_clip_at(deck, i)->last ||
            !g_str_equal(paths->pdata[i], deck->paths->pdata[i])) {
            return false;
        }
    }
    return true;
}

void rb_deck_set_clips(RbDeck *deck, GPtrArray *clips, GPtrArray *paths)
{
    g_return_if_fail(RB_IS_DECK(deck));
    g_return_if_fail(clips->len == paths->len);
    const bool same = same_clips(deck, clips, paths);
    const RbAngle angle = rb_deck_get_angle(deck);
    if (!same) {
        leave_projector(deck);
        deck->shown = -1;
    }
    g_ptr_array_ref(clips);
    g_ptr_array_ref(paths);
    g_clear_pointer(&deck->clips, g_ptr_array_unref);
    g_clear_pointer(&deck->paths, g_ptr_array_unref);
    deck->clips = clips;
    deck->paths = paths;
    if (same) {
        on_changed(deck);
        return;
    }
    static const RbAngle order[] = { RB_ANGLE_WIDE, RB_ANGLE_TIGHT, RB_ANGLE_OTHER };
    int index = rb_deck_find_angle(deck, angle);
    for (size_t i = 0; i < G_N_ELEMENTS(order) && index < 0; i++) {
        index = rb_deck_find_angle(deck, order[i]);
    }
    if (index >= 0) {
        show_clip(deck, index);
    } else {
        on_changed(deck);
    }
}

bool rb_deck_has_angle(RbDeck *deck, RbAngle angle)
{
    g_return_val_if_fail(RB_IS_DECK(deck), false);
    return rb_deck_find_angle(deck, angle) >= 0;
}

void rb_deck_set_angle(RbDeck *deck, RbAngle angle)
{
    g_return_if_fail(RB_IS_DECK(deck));
    const int index = rb_deck_find_angle(deck, angle);
    if (index >= 0 && index != deck->shown) {
        show_clip(deck, index);
    }
}

RbAngle rb_deck_get_angle(RbDeck *deck)
{
    const RbClip *clip = rb_deck_get_clip(deck);
    return clip != NULL ? clip->angle : RB_ANGLE_WIDE;
}

void rb_deck_switch_angle(RbDeck *deck)
{
    rb_deck_set_angle(deck, rb_deck_get_angle(deck) == RB_ANGLE_WIDE ? RB_ANGLE_TIGHT
                                                                     : RB_ANGLE_WIDE);
}

RbProjector *rb_deck_get_projector(RbDeck *deck)
{
    return deck->projector;
}

const RbClip *rb_deck_get_clip(RbDeck *deck)
{
    return deck->shown >= 0 ? rb_deck_clip_at(deck, deck->shown) : NULL;
}

bool rb_deck_is_film_missing(RbDeck *deck)
{
    return deck->shown >= 0 && deck->projector == NULL;
}

int64_t rb_deck_get_frame(RbDeck *deck)
{
    return deck->projector != NULL ? rb_projector_get_wanted(deck->projector) : -1;
}

void rb_deck_show(RbDeck *deck, int64_t frame)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_show(deck->projector, frame);
        on_frame(
            deck); /* the clock and the track follow at once; the picture when it comes */
    }
}

void rb_deck_step(RbDeck *deck, int frames)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_step(deck->projector, frames);
        on_frame(deck);
    }
}

void rb_deck_hold(RbDeck *deck, int direction)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_hold(deck->projector, direction);
        on_frame(deck);
    }
}

void rb_deck_let_go(RbDeck *deck)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_let_go(deck->projector);
        on_frame(deck);
    }
}

void rb_deck_scrub(RbDeck *deck, int64_t frame)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_scrub(deck->projector, frame);
        on_frame(deck);
    }
}

void rb_deck_scrub_end(RbDeck *deck)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_scrub_end(deck->projector);
        on_frame(deck);
    }
}

void rb_deck_play(RbDeck *deck, double speed)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_play(deck->projector, speed);
    }
}

double rb_deck_get_speed(RbDeck *deck)
{
    return deck->projector != NULL ? rb_projector_get_speed(deck->projector) : 0;
}

void rb_deck_toggle(RbDeck *deck)
{
    rb_deck_play(deck, rb_deck_get_speed(deck) == 0 ? 1 : 0);
}

double rb_deck_get_real_speed(RbDeck *deck)
{
    return deck->projector != NULL ? rb_projector_get_real_speed(deck->projector) : 0;
}

void rb_deck_shuttle(RbDeck *deck, int direction)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->projector != NULL) {
        rb_projector_shuttle(deck->projector, direction);
    }
}

void rb_deck_set_both(RbDeck *deck, bool both)
{
    g_return_if_fail(RB_IS_DECK(deck));
    if (deck->both == both) {
        return;
    }
    deck->both = both;
    rb_deck_leave_second(deck);
    if (deck->shown >= 0) {
        rb_deck_enter_second(deck);
    }
    on_changed(deck);
}

bool rb_deck_get_both(RbDeck *deck)
{
    return deck->both;
}

RbProjector *rb_deck_get_second(RbDeck *deck)
{
    return deck->second;
}

void rb_deck_set_close(RbDeck *deck, bool close)
{
    g_return_if_fail(RB_IS_DECK(deck));
    deck->close = close;
    if (deck->projector != NULL) {
        rb_projector_set_close(deck->projector, close);
    }
    if (deck->second != NULL) {
        rb_projector_set_close(deck->second, close);
    }
}

RbDeck *rb_deck_new(void)
{
    return g_object_new(RB_TYPE_DECK, NULL);
}

static void rb_deck_dispose(GObject *object)
{
    RbDeck *deck = RB_DECK(object);
    leave_projector(deck);
    deck->shown = -1;
    g_clear_pointer(&deck->open, g_ptr_array_unref);
    g_clear_pointer(&deck->clips, g_ptr_array_unref);
    g_clear_pointer(&deck->paths, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_deck_parent_class)->dispose(object);
}

static void rb_deck_class_init(RbDeckClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_deck_dispose;
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_DECK, G_SIGNAL_RUN_LAST, 0, NULL,
                                    NULL, NULL, G_TYPE_NONE, 0);
    signals[FRAME] = g_signal_new("frame", RB_TYPE_DECK, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                  NULL, G_TYPE_NONE, 0);
}

static void rb_deck_init(RbDeck *deck)
{
    deck->shown = -1;
    deck->beside = -1;
    deck->span_last = -1;
    deck->open = g_ptr_array_new_with_free_func(g_object_unref);
}
