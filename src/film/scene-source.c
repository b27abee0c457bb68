/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene-source.h"

#include <math.h>
#include <stdlib.h>

static bool is_reference(const RbIndex *index, int64_t frame)
{
    const RbIndexPacket *packet = &index->packets[index->frames[frame].packet];
    return (packet->flags & RB_PACKET_NO_REFERENCE) == 0;
}

int rb_scene_group_frames(const RbIndex *index, int64_t from, int64_t to,
                          int64_t frames[SCENE_GROUP])
{
    int64_t all = 0;
    for (int64_t i = from; i < to; i++) {
        all += is_reference(index, i);
    }
    const int64_t step = all / SCENE_GROUP + 1;
    int n = 0;
    int64_t at = 0;
    for (int64_t i = from; i < to && n < SCENE_GROUP; i++) {
        if (is_reference(index, i) && at++ % step == 0) {
            frames[n++] = i;
        }
    }
    return n;
}

int64_t rb_scene_group_cost(const RbIndex *index, int64_t from, int64_t to)
{
    int64_t n = 0;
    for (int64_t i = from; i < to; i++) {
        n += is_reference(index, i);
    }
    return n;
}

static int compare_int(const void *a, const void *b)
{
    return *(const int *)a - *(const int *)b;
}

/* Around a packet, so that the picture's own detail and the encoder's rate cancel out. */
#define AROUND 8

double rb_scene_group_spike(const RbIndex *index, int64_t from, int64_t to)
{
    g_autofree int *sizes = g_new(int, (gsize)(to - from) + 1);
    int n = 0;
    for (int64_t i = from + 1; i < to; i++) {
        if (is_reference(index, i)) {
            sizes[n++] = index->packets[index->frames[i].packet].size;
        }
    }
    double most = 1;
    for (int i = 0; i < n; i++) {
        int around[2 * AROUND];
        int k = 0;
        for (int j = MAX(0, i - AROUND); j < MIN(n, i + AROUND) && k < 2 * AROUND; j++) {
            if (j != i) {
                around[k++] = sizes[j];
            }
        }
        if (k >= 4) {
            qsort(around, (size_t)k, sizeof around[0], compare_int);
            /* The upper quarter: packets of a layered group differ by kind. */
            most = fmax(most, sizes[i] / fmax(200, around[k * 3 / 4]));
        }
    }
    return most;
}
