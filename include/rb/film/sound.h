/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/film/reel.h"

/* The sound of a film, forward at its own speed, in step with the picture's clock; at any other
 * speed there is none. It has a thread and a helper process of its own, begun when first wanted;
 * no call here waits. A film without sound, a helper that dies or a sink that fails is silence,
 * never an error. */
typedef struct RbSound RbSound;

#define RB_SOUND_PAIRS_A_SECOND 48000

/* Where sound goes; called on the sound's thread. data: see rb_sound_open(). */
typedef struct {
    /* Pairs of left and right, -1 to 1. Waits until there is room. False: it is gone. */
    bool (*write)(void *data, const float *pairs, int n);
    /* How long until a pair written now is heard. */
    int64_t (*latency_us)(void *data);
    /* Forget what was written and is not heard yet. */
    void (*drop)(void *data);
    /* The last call. */
    void (*close)(void *data);
} RbSoundSink;

/* reel: of the same film; kept as long as it is needed. sink: static. data: the sink's, until
 * its close(). Returns: (transfer full): never NULL. */
RbSound *rb_sound_open(const char *film, RbReel *reel, const RbSoundSink *sink,
                       void *data);
void rb_sound_close(RbSound *sound); /* NULL is allowed */

/* From now on: what is heard at monotonic time `at_us` is film time `film_us`, and so on. */
void rb_sound_play(RbSound *sound, int64_t film_us, int64_t at_us);
void rb_sound_stop(RbSound *sound);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSound, rb_sound_close)
