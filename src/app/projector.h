/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/film/player.h"

/* One open film on the main thread: asks its reel for frames and hands out what came. Never
 * waits. Signals: "changed" (state, progress, playing, error), "frame" (a new picture, or the
 * same one is no longer the one wanted). */
typedef enum {
    RB_PROJECTOR_OPENING, /* not one frame can be shown yet */
    RB_PROJECTOR_READY,
    RB_PROJECTOR_FAILED, /* rb_projector_get_sentence() says why */
} RbProjectorState;

#define RB_TYPE_PROJECTOR (rb_projector_get_type())
G_DECLARE_FINAL_TYPE(RbProjector, rb_projector, RB, PROJECTOR, GObject)

RbProjector *rb_projector_new(const char *path);

RbProjectorState rb_projector_get_state(RbProjector *projector);
/* Of the index, 0 to 1; negative when it is not known. */
double rb_projector_get_progress(RbProjector *projector);
/* What is wrong with the film or with this frame, one sentence. (nullable) */
const char *rb_projector_get_sentence(RbProjector *projector);
RbReel *rb_projector_get_reel(RbProjector *projector);

/* The newest picture. (nullable) */
GdkTexture *rb_projector_get_texture(RbProjector *projector);
RbRational rb_projector_get_pixel_shape(RbProjector *projector);
/* The frame shown; -1 before the first. */
int64_t rb_projector_get_frame(RbProjector *projector);
/* The frame asked for last, whether it came or not; -1 before the first. */
int64_t rb_projector_get_wanted(RbProjector *projector);
/* 1 when that is the second field of an interlaced frame; else 0. */
int rb_projector_get_wanted_half(RbProjector *projector);

/* Frames outside are never shown: the clip. */
void rb_projector_set_limits(RbProjector *projector, int64_t first, int64_t last);

/* Shows exactly this frame as soon as it is there; the newest wish wins. Stops playing. */
void rb_projector_show(RbProjector *projector, int64_t frame);
void rb_projector_step(RbProjector *projector, int64_t frames);
/* A step key is held down, until rb_projector_let_go(). direction: -1, 1. */
void rb_projector_hold(RbProjector *projector, int direction);
void rb_projector_let_go(RbProjector *projector);
/* A pointer moves over the film; the nearest picture there is is shown until the frame comes. */
void rb_projector_scrub(RbProjector *projector, int64_t frame);
void rb_projector_scrub_end(RbProjector *projector);

/* Plays from the frame shown; speed: 1 is the film's own, negative plays backward, 0 stops;
 * from an eighth to eight times, in eighths. */
void rb_projector_play(RbProjector *projector, double speed);
void rb_projector_shuttle(RbProjector *projector, int direction);
double rb_projector_get_speed(RbProjector *projector); /* 0: standing */
/* The speed it really has: less where decoding cannot keep up. */
double rb_projector_get_real_speed(RbProjector *projector);

/* The span that is played; first > last: the limits. */
void rb_projector_set_span(RbProjector *projector, int64_t first, int64_t last);
void rb_projector_set_loop(RbProjector *projector, bool loop);

/* True when the picture is the frame that is wanted, and no stand-in for it. */
bool rb_projector_is_exact(RbProjector *projector);
void rb_projector_get_counts(RbProjector *projector, RbFilmPlayerCounts *counts);

/* Pictures as large as the film has them: for looking closely. */
void rb_projector_set_close(RbProjector *projector, bool close);

/* Shows what `leader` shows, `offset_us` later on its own film; NULL: on its own again. The
 * leader must outlive this or be replaced first. */
void rb_projector_follow(RbProjector *projector, RbProjector *leader, int64_t offset_us);
/* It stays open but is not shown: it gives up its memory for frames until it is again. */
void rb_projector_set_resting(RbProjector *projector, bool resting);
/* The leader moved: look at once. */
void rb_projector_look(RbProjector *projector);
