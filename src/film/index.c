/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "index.h"

#include <stdlib.h>
#include <string.h>

#include "protocol.h"

/* The start of the bytes. The numbers are in the machine's order: an index made elsewhere
 * fails the magic number and is made again. */
typedef struct {
    uint32_t magic;
    uint32_t version;
    int32_t base_num;
    int32_t base_den;
    int32_t rate_num;
    int32_t rate_den;
    int64_t n_packets;
    int64_t n_frames;
} Head;

#define MAGIC UINT32_C(0x58464252)

RbIndex *rb_index_new(int64_t n_packets, int64_t n_frames)
{
    RbIndex *index = g_new0(RbIndex, 1);
    index->n_packets = n_packets;
    index->n_frames = n_frames;
    index->packets = g_try_new0(RbIndexPacket, (gsize)n_packets);
    index->frames = g_try_new0(RbIndexFrame, (gsize)n_frames);
    index->us = g_try_new0(int64_t, (gsize)n_frames);
    if (index->packets == NULL || index->frames == NULL || index->us == NULL) {
        rb_index_free(index);
        return NULL;
    }
    return index;
}

void rb_index_free(RbIndex *index)
{
    if (index != NULL) {
        g_free(index->packets);
        g_free(index->frames);
        g_free(index->us);
        g_free(index);
    }
}

static int compare_int64(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a;
    const int64_t y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

static int64_t ticks_of_us(const RbIndex *index, int64_t us)
{
    int64_t ticks = 0;
    const RbTime time = { us, { 1, 1000000 } };
    return rb_time_rescale(time, index->base, &ticks, NULL) ? ticks : INT64_MAX;
}

static int64_t us_of_ticks(const RbIndex *index, int64_t ticks)
{
    return rb_time_diff_us((RbTime){ ticks, index->base }, (RbTime){ 0, index->base });
}

/* Saturates: times come from a file. */
static int64_t step_ticks(const RbIndex *index, int64_t i)
{
    int64_t step = 0;
    if (__builtin_sub_overflow(index->frames[i].pts, index->frames[i - 1].pts, &step)) {
        return INT64_MAX;
    }
    return step;
}

/* The median of the steps ahead; the header's rate when there are none. */
static int64_t usual_step(const RbIndex *index)
{
    g_autofree int64_t *steps = g_try_new(int64_t, (gsize)index->n_frames);
    size_t n = 0;
    for (int64_t i = 1; steps != NULL && i < index->n_frames; i++) {
        const int64_t step = step_ticks(index, i);
        if (step > 0) {
            steps[n++] = step;
        }
    }
    if (n > 0) {
        qsort(steps, n, sizeof *steps, compare_int64);
        return steps[n / 2];
    }
    /* No sign of any rate: a thirtieth, as most cameras have. */
    const RbRational rate = index->rate.num > 0 ? index->rate : (RbRational){ 30, 1 };
    int64_t ticks = 0;
    const RbTime frame = { 1, { rate.den, rate.num } };
    return rb_time_rescale(frame, index->base, &ticks, NULL) ? MAX(ticks, 1) : 1;
}

void rb_index_set_times(RbIndex *index)
{
    const int64_t usual = usual_step(index);
    const int64_t jump = MAX(ticks_of_us(index, 10000000),
                             usual > INT64_MAX / 50 ? INT64_MAX : usual * 50);
    int64_t at = 0;
    for (int64_t i = 0; i < index->n_frames; i++) {
        if (i > 0) {
            int64_t step = step_ticks(index, i);
            if (step < 0 || step > jump || step == INT64_MAX) {
                step = usual;
            }
            at = at > INT64_MAX / 2 - step ? at : at + step;
        }
        index->us[i] = us_of_ticks(index, at);
    }
    index->frame_us = MAX(1, us_of_ticks(index, usual));
    index->end_us = us_of_ticks(index, at > INT64_MAX / 2 - usual ? at : at + usual);
}

GByteArray *rb_index_to_bytes(const RbIndex *index)
{
    const Head head = {
        .magic = MAGIC,
        .version = RB_INDEX_VERSION,
        .base_num = index->base.num,
        .base_den = index->base.den,
        .rate_num = index->rate.num,
        .rate_den = index->rate.den,
        .n_packets = index->n_packets,
        .n_frames = index->n_frames,
    };
    GByteArray *bytes = g_byte_array_new();
    g_byte_array_append(bytes, (const guint8 *)&head, sizeof head);
    g_byte_array_append(bytes, (const guint8 *)index->packets,
                        (guint)((size_t)index->n_packets * sizeof *index->packets));
    g_byte_array_append(bytes, (const guint8 *)index->frames,
                        (guint)((size_t)index->n_frames * sizeof *index->frames));
    return bytes;
}

static bool head_is_sane(const Head *head, size_t n)
{
    if (head->magic != MAGIC || head->version != RB_INDEX_VERSION ||
        head->base_num <= 0 || head->base_den <= 0 || head->rate_num < 0 ||
        head->rate_den <= 0) {
        return false;
    }
    const int64_t most = RB_INDEX_BYTES_MAX / (int64_t)sizeof(RbIndexPacket);
    if (head->n_packets <= 0 || head->n_packets > most || head->n_frames <= 0 ||
        head->n_frames > head->n_packets) {
        return false;
    }
    return n == sizeof *head + (size_t)head->n_packets * sizeof(RbIndexPacket) +
                    (size_t)head->n_frames * sizeof(RbIndexFrame);
}

/* Every frame comes from a packet of its own. */
static bool contents_are_sane(const RbIndex *index)
{
    for (int64_t i = 0; i < index->n_packets; i++) {
        const RbIndexPacket *packet = &index->packets[i];
        if (packet->size < 0 || packet->pos < -1 ||
            (packet->flags & ~(uint32_t)RB_PACKET_FLAGS) != 0) {
            return false;
        }
    }
    g_autofree uint8_t *used = g_try_malloc0((gsize)index->n_packets);
    if (used == NULL) {
        return false;
    }
    for (int64_t i = 0; i < index->n_frames; i++) {
        const RbIndexFrame *frame = &index->frames[i];
        if (frame->packet >= index->n_packets || used[frame->packet] ||
            (frame->flags & ~(uint32_t)RB_FRAME_FLAGS) != 0 || frame->pts == RB_NO_TIME) {
            return false;
        }
        used[frame->packet] = 1;
    }
    return true;
}

RbIndex *rb_index_from_bytes(const void *bytes, size_t n)
{
    Head head;
    if (n < sizeof head) {
        return NULL;
    }
    memcpy(&head, bytes, sizeof head);
    if (!head_is_sane(&head, n)) {
        return NULL;
    }
    g_autoptr(RbIndex) index = rb_index_new(head.n_packets, head.n_frames);
    if (index == NULL) {
        return NULL;
    }
    index->base = (RbRational){ head.base_num, head.base_den };
    index->rate = (RbRational){ head.rate_num, head.rate_den };
    const char *at = (const char *)bytes + sizeof head;
    const size_t packet_bytes = (size_t)head.n_packets * sizeof *index->packets;
    memcpy(index->packets, at, packet_bytes);
    memcpy(index->frames, at + packet_bytes,
           (size_t)head.n_frames * sizeof *index->frames);
    if (!contents_are_sane(index)) {
        return NULL;
    }
    rb_index_set_times(index);
    return g_steal_pointer(&index);
}

int64_t rb_index_find_at(const RbIndex *index, int64_t us)
{
    int64_t low = 0; /* us[low] <= us, or low is 0 */
    int64_t high = index->n_frames;
    while (high - low > 1) {
        const int64_t middle = low + (high - low) / 2;
        if (index->us[middle] <= us) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return low;
}

int64_t rb_index_find_pts(const RbIndex *index, int64_t pts)
{
    for (int64_t i = 0; i < index->n_frames; i++) {
        if (index->frames[i].pts == pts) {
            return i;
        }
    }
    return -1;
}

bool rb_index_is_key(const RbIndex *index, int64_t frame)
{
    return (index->packets[index->frames[frame].packet].flags & RB_PACKET_KEY) != 0;
}
