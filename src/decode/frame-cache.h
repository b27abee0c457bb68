/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <libavutil/frame.h>
#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>

/* Decoded frames near the one shown, so that a step back inside a group costs nothing. Bounded
 * by bytes; the frame farthest from the newest request goes first. */
typedef struct {
    int64_t ordinal;
    AVFrame *frame; /* owned */
    int64_t bytes;
    bool doubtful;
    int64_t run; /* the cache's when it was added */
} CachedFrame;

#define CACHED_FRAMES_MAX 1024

/* One thread at a time owns it; frame_cache_take() alone may be called by another. */
typedef struct {
    pthread_mutex_t lock; /* held while entries change */
    CachedFrame entries[CACHED_FRAMES_MAX];
    int n;
    int64_t bytes;
    int64_t budget;
    int64_t keep_first; /* frames of this span go last; first > last: no span */
    int64_t keep_last;
    int64_t run; /* counts the beginnings of decoding */
} FrameCache;

/* NULL if it is not there. */
const CachedFrame *frame_cache_find(const FrameCache *cache, int64_t ordinal);
/* By any thread: a reference into `frame`. False if it is not there. */
bool frame_cache_take(FrameCache *cache, int64_t ordinal, AVFrame *frame, bool *doubtful);
/* Keeps a reference to `frame`. `near`: the ordinal that is wanted now. */
void frame_cache_add(FrameCache *cache, int64_t ordinal, const AVFrame *frame,
                     bool doubtful, int64_t near);
/* The cached frame with the highest ordinal below `ordinal`, NULL if none. */
const CachedFrame *frame_cache_find_before(const FrameCache *cache, int64_t ordinal);
/* Changes what is held; drops what is too much at once. budget: at most this many bytes. */
void frame_cache_keep(FrameCache *cache, int64_t budget, int64_t first, int64_t last,
                      int64_t near);
/* The frame of the span to be decoded next: the nearest missing one the way the film runs. Standing
 * first those just before `near`, which decoding cannot make cheap, then some ahead, and farther on
 * both sides. -1 if none is missing or no more fit. direction: -1, 0, 1. */
int64_t frame_cache_next_missing(const FrameCache *cache, int64_t near, int direction);
/* Drops what was added in this run: its numbers were wrong. */
void frame_cache_drop_run(FrameCache *cache);
void frame_cache_clear(FrameCache *cache);
