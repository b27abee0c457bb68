/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "film/index.h"
#include "source.h"

/* A run of the decoder over part of a film, to see whether what comes out is what the rules
 * said. The source's packets are numbered by the caller. */

enum { TRIAL_SEEN = 1, TRIAL_BROKEN = 2 };

typedef struct {
    Source *source; /* borrowed, with a decoder */
    GArray *frames; /* owned, of uint32_t: the packets whose frames came out, in order */
    uint8_t *state; /* owned, by packet: TRIAL_… */
    int64_t n_packets;
} Trial;

Trial *trial_new(Source *source, int64_t n_packets);
void trial_free(Trial *trial);

/* Feeds source->packet as number `packet` and takes what comes out. */
void trial_feed(Trial *trial, int64_t packet);
/* Takes what the decoder still keeps back; it must be flushed before it is used again. */
void trial_drain(Trial *trial);
uint32_t trial_frame(const Trial *trial, guint i);

/* Feeds packets `from` (source->packet is that one already) to `end` - 1. leave_out: (nullable):
 * by packet, not fed if set. Drains at the end if `end` is the film's. */
void trial_run(Trial *trial, int64_t from, int64_t end, const uint8_t *leave_out);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(Trial, trial_free)

/* True if decoding from the key packet before `packet` yields the frames of the index, in its
 * order, from that key to some frames behind `packet`. */
bool trial_around(Source *source, const RbIndex *index, int64_t packet);
