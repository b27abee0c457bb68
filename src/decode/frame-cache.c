/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "frame-cache.h"

#include <libavutil/imgutils.h>
#include <stdlib.h>

#include "film/protocol.h"

/* Standing: so many frames back are made ready first, then so many ahead, then one ahead for every
 * four back. */
#define STEPS_BACK 3
#define AHEAD 16

const CachedFrame *frame_cache_find(const FrameCache *cache, int64_t ordinal)
{
    for (int i = 0; i < cache->n; i++) {
        if (cache->entries[i].ordinal == ordinal) {
            return &cache->entries[i];
        }
    }
    return NULL;
}

const CachedFrame *frame_cache_find_before(const FrameCache *cache, int64_t ordinal)
{
    const CachedFrame *best = NULL;
    for (int i = 0; i < cache->n; i++) {
        const CachedFrame *entry = &cache->entries[i];
        if (entry->ordinal < ordinal &&
            (best == NULL || entry->ordinal > best->ordinal)) {
            best = entry;
        }
    }
    return best;
}

bool frame_cache_take(FrameCache *cache, int64_t ordinal, AVFrame *frame, bool *doubtful)
{
    pthread_mutex_lock(&cache->lock);
    const CachedFrame *found = frame_cache_find(cache, ordinal);
    const bool taken = found != NULL && av_frame_ref(frame, found->frame) == 0;
    *doubtful = taken && found->doubtful;
    pthread_mutex_unlock(&cache->lock);
    return taken;
}

static void drop(FrameCache *cache, int i)
{
    cache->bytes -= cache->entries[i].bytes;
    av_frame_free(&cache->entries[i].frame);
    cache->entries[i] = cache->entries[--cache->n];
}

static bool is_kept(const FrameCache *cache, int64_t ordinal)
{
    return ordinal >= cache->keep_first && ordinal <= cache->keep_last;
}

/* Frames outside the span to keep go before those inside; of equals the farthest. */
static int find_worst(const FrameCache *cache, int64_t near)
{
    int worst = 0;
    for (int i = 1; i < cache->n; i++) {
        const int64_t one = cache->entries[i].ordinal;
        const int64_t other = cache->entries[worst].ordinal;
        const bool kept = is_kept(cache, one);
        if (kept != is_kept(cache, other) ? !kept
                                          : llabs(one - near) > llabs(other - near)) {
            worst = i;
        }
    }
    return worst;
}

void frame_cache_keep(FrameCache *cache, int64_t budget, int64_t first, int64_t last,
                      int64_t near)
{
    cache->budget = budget;
    cache->keep_first = first;
    cache->keep_last = last;
    pthread_mutex_lock(&cache->lock);
    while (cache->n > 1 && cache->bytes > cache->budget) {
        drop(cache, find_worst(cache, near));
    }
    pthread_mutex_unlock(&cache->lock);
}

/* True when another frame would only push out one of the span. */
static bool is_full(const FrameCache *cache)
{
    int64_t largest = 0;
    for (int i = 0; i < cache->n; i++) {
        if (!is_kept(cache, cache->entries[i].ordinal)) {
            return false;
        }
        largest = MAX(largest, cache->entries[i].bytes);
    }
    return cache->n == CACHED_FRAMES_MAX || cache->bytes + largest > cache->budget;
}

static int64_t first_missing(const FrameCache *cache, int64_t from, int64_t to)
{
    const int step = from <= to ? 1 : -1;
    for (int64_t i = from; i != to + step; i += step) {
        if (frame_cache_find(cache, i) == NULL) {
            return i;
        }
    }
    return -1;
}

int64_t frame_cache_next_missing(const FrameCache *cache, int64_t near, int direction)
{
    const int64_t first = cache->keep_first;
    const int64_t last = cache->keep_last;
    if (first > last || last - first >= CACHED_FRAMES_MAX || is_full(cache)) {
        return -1;
    }
    near = near < first ? first : near > last ? last : near;
    const int64_t after = first_missing(cache, near, last);
    const int64_t before = first_missing(cache, near, first);
    if (direction != 0) {
        return direction > 0 ? after : before;
    }
    if (after < 0 || before < 0) {
        return MAX(after, before);
    }
    const int64_t back = near - before;
    const bool some_ahead = back >= STEPS_BACK && after - near <= MAX(AHEAD, back / 4);
    return some_ahead ? after : before;
}

static void add(FrameCache *cache, int64_t ordinal, const AVFrame *frame, bool doubtful,
                int64_t near)
{
    if (frame_cache_find(cache, ordinal) != NULL) {
        return;
    }
    const int size = av_image_get_buffer_size((enum AVPixelFormat)frame->format,
                                              frame->width, frame->height, 64);
    if (size <= 0 || size > cache->budget) {
        return;
    }
    while (cache->n > 0 &&
           (cache->n == CACHED_FRAMES_MAX || cache->bytes + size > cache->budget)) {
        const int worst = find_worst(cache, near);
        const int64_t out = cache->entries[worst].ordinal;
        if (ordinal != near &&
            (out == near || (!is_kept(cache, ordinal) && is_kept(cache, out)))) {
            return; /* only on the way to what is wanted */
        }
        drop(cache, worst);
    }
    AVFrame *kept = av_frame_clone(frame);
    if (kept == NULL) {
        return;
    }
    cache->entries[cache->n++] =
        (CachedFrame){ ordinal, kept, size, doubtful, cache->run };
    cache->bytes += size;
}

void frame_cache_add(FrameCache *cache, int64_t ordinal, const AVFrame *frame,
                     bool doubtful, int64_t near)
{
    pthread_mutex_lock(&cache->lock);
    add(cache, ordinal, frame, doubtful, near);
    pthread_mutex_unlock(&cache->lock);
}

void frame_cache_drop_run(FrameCache *cache)
{
    pthread_mutex_lock(&cache->lock);
    for (int i = cache->n - 1; i >= 0; i--) {
        if (cache->entries[i].run == cache->run) {
            drop(cache, i);
        }
    }
    pthread_mutex_unlock(&cache->lock);
}

void frame_cache_clear(FrameCache *cache)
{
    pthread_mutex_lock(&cache->lock);
    while (cache->n > 0) {
        drop(cache, cache->n - 1);
    }
    pthread_mutex_unlock(&cache->lock);
}
