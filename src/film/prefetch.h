/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

#include "rb/film/reel.h"

/* Which frames the helper should hold decoded around the one shown. Decoding runs forward from
 * a key frame only, so going backward is done in chunks: a chunk is asked for while the one
 * before it is still being shown, and it begins on a key frame where there is one. */

typedef struct {
    int64_t frame; /* shown or wanted */
    int direction; /* -1, 0, 1 */
    int64_t first; /* of the clip: nothing outside is worth holding */
    int64_t last;
    int64_t frame_bytes; /* of one decoded frame */
    int64_t budget;      /* bytes */
    bool (*is_key)(void *data, int64_t frame);
    void *data;
} RbPrefetchAsk;

/* now: what is held. Returns true if `next` should be told to the helper; false: all is well. */
bool rb_prefetch_plan(const RbPrefetchAsk *ask, const RbReelKeep *now, RbReelKeep *next);

/* A quarter of the machine's memory, at most 1 GiB. */
int64_t rb_prefetch_default_budget(void);
