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
#define PEAK 1.2         /* times the largest of its neighbours */
#define PACKET_LEAST 200 /* bytes; smaller ones differ by chance */

/* The upper quarter of sizes[from, to) without i: packets of a layered group differ by kind. 0 if
 * they are too few to tell. */
static double usual_size(const int *sizes, int64_t from, int64_t to, int64_t i)
{
    int around[2 * AROUND];
    int k = 0;
    for (int64_t j = from; j < to && k < 2 * AROUND; j++) {
        if (j != i) {
            around[k++] = sizes[j];
        }
    }
    if (k < 4) {
        return 0;
    }
    qsort(around, (size_t)k, sizeof around[0], compare_int);
    return fmax(PACKET_LEAST, around[k * 3 / 4]);
}

/* A packet that stands out from its neighbours on both sides. */
static bool is_peak(const int *sizes, int64_t n, int64_t i)
{
    int most = 0;
    for (int64_t j = MAX(0, i - 2); j < MIN(n, i + 3); j++) {
        most = j != i ? MAX(most, sizes[j]) : most;
    }
    return sizes[i] > PEAK * most;
}

/* Where a peak parts calm from busy it is measured by the calmer side: a cut to a camera that pans
 * faster makes a packet little larger than those that follow. */
static double spike_of(const int *sizes, int64_t n, int64_t i)
{
    const int64_t from = MAX(0, i - AROUND);
    const int64_t to = MIN(n, i + AROUND);
    const double usual = usual_size(sizes, from, to, i);
    const double before = usual_size(sizes, from, i, i);
    const double after = usual_size(sizes, i + 1, to, i);
    if (usual <= 0) {
        return 1;
    }
    const bool parted = before > 0 && after > 0 && is_peak(sizes, n, i);
    return sizes[i] / (parted ? fmin(usual, fmin(before, after)) : usual);
}

float *rb_scene_spikes_new(const RbIndex *index)
{
    float *spikes = g_new0(float, index->n_frames + 1);
    g_autofree int *sizes = g_new(int, index->n_frames + 1);
    g_autofree int64_t *frames = g_new(int64_t, index->n_frames + 1);
    int64_t n = 0;
    for (int64_t i = 0; i < index->n_frames; i++) {
        if (is_reference(index, i) && !rb_index_is_key(index, i)) {
            sizes[n] = index->packets[index->frames[i].packet].size;
            frames[n++] = i;
        }
    }
    for (int64_t i = 0; i < n; i++) {
        spikes[frames[i]] = (float)spike_of(sizes, n, i);
    }
    return spikes;
}
