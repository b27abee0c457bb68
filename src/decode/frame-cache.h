/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavutil/frame.h>
#include <stdbool.h>
#include <stdint.h>

/* Decoded frames near the one shown, so that a step back inside a group costs nothing. Bounded
 * by bytes; the frame farthest from the newest request goes first. */
typedef struct {
    int64_t ordinal;
    AVFrame *frame; /* owned */
    int64_t bytes;
    bool doubtful;
} CachedFrame;

#define CACHED_FRAMES_MAX 1024

typedef struct {
    CachedFrame entries[CACHED_FRAMES_MAX];
    int n;
    int64_t bytes;
    int64_t budget;
} FrameCache;

/* NULL if it is not there. */
const CachedFrame *frame_cache_find(const FrameCache *cache, int64_t ordinal);
/* Keeps a reference to `frame`. `near`: the ordinal that is wanted now. */
void frame_cache_add(FrameCache *cache, int64_t ordinal, const AVFrame *frame,
                     bool doubtful, int64_t near);
/* The cached frame with the highest ordinal below `ordinal`, NULL if none. */
const CachedFrame *frame_cache_find_before(const FrameCache *cache, int64_t ordinal);
void frame_cache_clear(FrameCache *cache);
