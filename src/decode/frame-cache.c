/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "frame-cache.h"

#include <libavutil/imgutils.h>
#include <stdlib.h>

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

static void drop(FrameCache *cache, int i)
{
    cache->bytes -= cache->entries[i].bytes;
    av_frame_free(&cache->entries[i].frame);
    cache->entries[i] = cache->entries[--cache->n];
}

static void drop_farthest(FrameCache *cache, int64_t near)
{
    int farthest = 0;
    for (int i = 1; i < cache->n; i++) {
        if (llabs(cache->entries[i].ordinal - near) >
            llabs(cache->entries[farthest].ordinal - near)) {
            farthest = i;
        }
    }
    drop(cache, farthest);
}

void frame_cache_add(FrameCache *cache, int64_t ordinal, const AVFrame *frame,
                     bool doubtful, int64_t near)
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
        drop_farthest(cache, near);
    }
    AVFrame *kept = av_frame_clone(frame);
    if (kept == NULL) {
        return;
    }
    cache->entries[cache->n++] = (CachedFrame){ ordinal, kept, size, doubtful };
    cache->bytes += size;
}

void frame_cache_clear(FrameCache *cache)
{
    while (cache->n > 0) {
        drop(cache, cache->n - 1);
    }
}
