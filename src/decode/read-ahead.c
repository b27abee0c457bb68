/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "ahead.h"
#include "frame-pool.h"
#include "read-private.h"

static bool must_leave(void *data)
{
    (void)data;
    return ahead_must_stop();
}

/* Nobody waits for a frame: decode one that may be asked for soon. What was begun goes on where
 * it was left when a message comes. */
static void decode_ahead(ReadRole *role)
{
    Reader *reader = &role->reader;
    const int64_t next =
        frame_cache_next_missing(&reader->cache, role->keep.near, role->keep.direction);
    role->ahead = false;
    if (next < 0 || next >= role->index->n_frames) {
        return;
    }
    const AVFrame *frame = NULL;
    bool doubtful = false;
    const int64_t asked = reader->asked;
    reader->asked = next; /* with its neighbours, not in haste */
    const ReaderResult result =
        reader_get(reader, next, must_leave, NULL, &frame, &doubtful);
    reader->asked = asked; /* a step from there is still a step */
    /* A frame that does not come is not tried again before the span changes. */
    role->ahead =
        result == READER_STOPPED ||
        (result == READER_FRAME && frame_cache_find(&reader->cache, next) != NULL);
}

/* Decoders hold some frames beside those of the cache: as many as these bytes, within reason. */
#define BESIDE_BYTES (INT64_C(64) << 20)
#define BESIDE_LEAST 8
#define BESIDE_MOST 24

static void want_buffers(const ReadRole *role, int64_t budget)
{
    const int64_t bytes = frame_pool_get_bytes();
    const int64_t most = MIN(role->index->n_frames, CACHED_FRAMES_MAX);
    if (bytes > 0) {
        const int64_t beside = CLAMP(BESIDE_BYTES / bytes, BESIDE_LEAST, BESIDE_MOST);
        frame_pool_want((int)(MIN(budget / bytes, most) + beside));
    }
}

/* With nothing to decode: one buffer, or one slot for pictures, is made ready. */
static void prepare(ReadRole *role)
{
    if (role->ring != NULL && role->slots_ready < role->ring_size.slots) {
        const uint64_t bytes = role->ring_size.slot_bytes;
        const bool can =
            frame_pool_populate(role->ring + bytes * role->slots_ready, bytes);
        role->slots_ready = can ? role->slots_ready + 1 : role->ring_size.slots;
        return;
    }
    role->preparing = frame_pool_prepare();
}

void read_use_keep(ReadRole *role, const RbAskKeep *keep)
{
    role->keep = *keep;
    if (role->reading) {
        const int64_t budget =
            keep->budget > 0 ? keep->budget : role->reader.cache.budget;
        if (reader_set_rough(&role->reader, keep->rough != 0)) {
            fields_close(&role->fields); /* they were made the other way */
        }
        frame_cache_keep(&role->reader.cache, budget, keep->first, keep->last,
                         keep->near);
        want_buffers(role, budget);
        role->ahead = true;
        role->preparing = true;
    }
}

/* On the other thread. */
bool read_work_ahead(void *data)
{
    ReadRole *role = data;
    if (role->ahead) {
        decode_ahead(role);
    } else if (role->preparing) {
        prepare(role);
    }
    return role->ahead || role->preparing;
}
