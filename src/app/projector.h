/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/film/reel.h"

/* One open film on the main thread: asks its reel for frames and hands out what came. Never
 * waits. Signals: "changed" (state, progress, playing, error), "frame" (a new picture). */
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

/* Frames outside are never shown: the clip. */
void rb_projector_set_limits(RbProjector *projector, int64_t first, int64_t last);

/* Shows exactly this frame as soon as it is there; the newest wish wins. Stops playing. */
void rb_projector_show(RbProjector *projector, int64_t frame);

/* Plays from the frame shown; speed: 1 is the film's own, negative plays backward, 0 stops. */
void rb_projector_play(RbProjector *projector, double speed);
double rb_projector_get_speed(RbProjector *projector); /* 0: standing */
