/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/rational.h"

/* What a film is, known as soon as it is open and before its index is made (fields marked
 * "indexed" are then still unknown). A value: rb_film_facts_free(). */
typedef struct {
    char *container;    /* owned: "mov,mp4", "mpegts" … */
    char *codec;        /* owned: "h264", "mpeg2video" … */
    char *pixel_format; /* owned: "yuv420p", "yuv420p10le" … */
    int width;          /* as coded */
    int height;
    RbRational pixel_shape; /* width : height of one pixel as coded; 1:1 when not said */
    int rotation; /* degrees clockwise to turn the coded picture upright: 0 90 180 270 */
    int shown_width; /* upright and with square pixels */
    int shown_height;
    bool interlaced;
    RbRational rate; /* average frames a second; 0/1 when not known. For words, never for
                             finding a frame */
    RbRational time_base; /* seconds a tick of every pts of this film */
    int64_t
        duration_us; /* header's until indexed, then last frame's end minus first frame */
    int64_t frames;  /* indexed; -1 before */
    bool has_audio;
    char *audio_codec; /* owned, nullable */
    int64_t bytes;     /* size of the file */
    GPtrArray *doubts; /* owned, of owned char *: sentences; never NULL */
} RbFilmFacts;

RbFilmFacts *rb_film_facts_copy(const RbFilmFacts *facts);
void rb_film_facts_free(RbFilmFacts *facts);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilmFacts, rb_film_facts_free)
