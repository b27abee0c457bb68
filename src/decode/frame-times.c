/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "frame-times.h"

#include <stdlib.h>

#include "film/protocol.h"

static int compare_int64(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a;
    const int64_t y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* Where the container gives decoding times only, those of the shown packets, in order, are the
 * times of the frames in order. */
static bool times_from_dts(RbIndex *index)
{
    g_autofree int64_t *times = g_new(int64_t, (gsize)index->n_frames);
    for (int64_t i = 0; i < index->n_frames; i++) {
        times[i] = index->packets[index->frames[i].packet].dts;
        if (times[i] == RB_NO_TIME) {
            return false;
        }
    }
    qsort(times, (size_t)index->n_frames, sizeof *times, compare_int64);
    for (int64_t i = 0; i < index->n_frames; i++) {
        index->frames[i].pts = times[i];
    }
    return true;
}

static int64_t ticks_a_frame(const RbIndex *index)
{
    const RbRational rate = index->rate.num > 0 ? index->rate : (RbRational){ 30, 1 };
    int64_t ticks = 0;
    const RbTime frame = { 1, { rate.den, rate.num } };
    return rb_time_rescale(frame, index->base, &ticks, NULL) && ticks > 0 ? ticks : 1;
}

/* Fills the gaps: from the frame before by the usual step, or evenly up to the next time that
 * the film gives. */
static void times_between(RbIndex *index)
{
    const int64_t step = ticks_a_frame(index);
    RbIndexFrame *frames = index->frames;
    for (int64_t i = 0; i < index->n_frames; i++) {
        if (frames[i].pts != RB_NO_TIME) {
            continue;
        }
        int64_t next = i;
        while (next < index->n_frames && frames[next].pts == RB_NO_TIME) {
            next++;
        }
        const bool closed = i > 0 && next < index->n_frames &&
                            frames[next].pts > frames[i - 1].pts &&
                            frames[next].pts - frames[i - 1].pts < step * 1000;
        const int64_t gap = next - i + 1;
        const int64_t from = i > 0                    ? frames[i - 1].pts
                             : next < index->n_frames ? frames[next].pts - gap * step
                                                      : -step;
        const int64_t span = closed ? frames[next].pts - from : gap * step;
        for (int64_t j = i; j < next; j++) {
            frames[j].pts = from + span * (j - i + 1) / gap;
            frames[j].flags |= RB_FRAME_TIME_MADE_UP;
        }
        i = next;
    }
}

bool frame_times_set(RbIndex *index)
{
    int64_t missing = 0;
    for (int64_t i = 0; i < index->n_frames; i++) {
        /* Not the decoder's guess, which depends on where decoding started. */
        index->frames[i].pts = index->packets[index->frames[i].packet].pts;
        missing += index->frames[i].pts == RB_NO_TIME;
    }
    if (missing == 0 || (missing == index->n_frames && times_from_dts(index))) {
        return false;
    }
    times_between(index);
    return true;
}
