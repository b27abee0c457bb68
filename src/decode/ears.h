/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavcodec/avcodec.h>
#include <stdbool.h>
#include <stdint.h>

#include "film/protocol.h"
#include "source.h"

/* The sound of one film, as pairs of samples at RB_SOUND_RATE, wherever on its clock. Every
 * decoded piece is placed by its own time, so a gap in the film is silence and nothing drifts. */
typedef struct {
    int fd; /* borrowed */
    bool tried;
    Source source;         /* its stream is the sound */
    AVCodecContext *codec; /* owned, NULL: none that can be decoded */
} Ears;

/* Opens what is needed on first use; false if the film has no sound that can be decoded. */
bool ears_open(Ears *ears);
/* Fills n pairs, silence where the film has nothing, from `start_s` of the container's clock on;
 * false for want of memory. */
bool ears_fill(Ears *ears, double start_s, float *pairs, int64_t n);
void ears_close(Ears *ears);
