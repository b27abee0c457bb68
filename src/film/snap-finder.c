/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/film/snap-finder.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>
#include <string.h>

#include "rb/film/frames.h"

#include "reel-private.h"
#include "snap-look.h"
#include "snap-onset.h"

#define STEP_US 30000    /* pictures compared are at least this far apart */
#define FINE_BEFORE 12   /* steps of the fine look: before the likeliest moment … */
#define FINE_AFTER 8     /* … and after it */
#define NOTICED 1.0      /* levels of 255 by which a block must change to count */
#define ABOVE_OTHERS 2.5 /* … and as many times what a usual block changes */

/* Enough for the frames of a group of 4K film. */
#define CACHE_BYTES (INT64_C(768) << 20)

typedef struct {
    RbReel *reel;
    const RbIndex *index; /* borrowed */
    RbCancel *cancel;
} Finder;

/* Frames to look at, the views of them, and what moves from each to the next. */
typedef struct {
    GArray *frames;               /* of int64_t */
    float (*blocks)[SNAP_BLOCKS]; /* owned: of frames 1, 2, … */
} Run;

static bool get_view(const Finder *finder, int64_t frame, bool alone, SnapView *view,
                     GError **error)
{
    const RbFrameOptions small = { .pixels = RB_PIXELS_GRAY,
                                   .max_width = SNAP_WIDTH,
                                   .max_height = SNAP_HEIGHT,
                                   .stretch = true,
                                   .as_coded = true,
                                   .alone = alone };
    GError *failure = NULL;
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(finder->reel, frame, &small, finder->cancel, 0, &failure);
    if (picture == NULL && rb_cancel_check(finder->cancel, NULL)) {
        g_clear_error(&failure);
        return true; /* a frame that cannot be had is as the one before */
    }
    if (picture == NULL) {
        g_propagate_error(error, failure);
        return false;
    }
    size_t stride = 0;
    const uint8_t *plane = rb_picture_get_plane(picture, 0, &stride);
    for (int y = 0; y < SNAP_HEIGHT; y++) {
        memcpy(view->pixels + y * SNAP_WIDTH, plane + (size_t)y * stride, SNAP_WIDTH);
    }
    return true;
}

static int64_t key_of(const RbIndex *index, int64_t frame)
{
    while (frame > 0 && !rb_index_is_key(index, frame)) {
        frame--;
    }
    return frame;
}

/* At the first frame of a group of pictures the last of the list in it is asked for. On the way
 * to it the helper decodes what the others are decoded from, passes over what they are not, and
 * keeps them. */
static bool ask_ahead(const Finder *finder, const GArray *frames, int at, GError **error)
{
    const int64_t *list = (const int64_t *)(void *)frames->data;
    const int64_t key = key_of(finder->index, list[at]);
    if (at > 0 && list[at - 1] >= key) {
        return true;
    }
    int last = at;
    while (last + 1 < (int)frames->len && key_of(finder->index, list[last + 1]) == key) {
        last++;
    }
    SnapView unused;
    return last == at || get_view(finder, list[last], true, &unused, error);
}

/* Compares each frame with the one `apart` before it in the list. */
static bool look(const Finder *finder, Run *run, int apart, bool sparse,
                 RbProgress *progress, GError **error)
{
    const int n = (int)run->frames->len;
    g_autofree SnapView *views = g_new0(SnapView, apart + 1);
    SnapCamera camera = { 0, 0, 0 };
    run->blocks = g_malloc0((gsize)n * sizeof *run->blocks);
    for (int i = 0; i < n; i++) {
        SnapView *now = &views[i % (apart + 1)];
        if (!rb_cancel_check(finder->cancel, error) ||
            (sparse && !ask_ahead(finder, run->frames, i, error)) ||
            !get_view(finder, g_array_index(run->frames, int64_t, i), sparse, now,
                      error)) {
            return false;
        }
        if (i >= apart) {
            const SnapView *before = &views[(i - apart) % (apart + 1)];
            rb_snap_camera_fit(before, now, &camera);
            rb_snap_blocks(before, now, &camera, run->blocks[i]);
        }
        rb_progress_set(progress, (double)i / n, _("looking for the snap"));
    }
    return true;
}

static int compare_float(const void *a, const void *b)
{
    const float x = *(const float *)a;
    const float y = *(const float *)b;
    return (x > y) - (x < y);
}

/* What each block changes by while nobody moves there: grain, and trees in the wind. */
static void find_floor(const Run *run, int apart, float floor[SNAP_BLOCKS])
{
    const int n = (int)run->frames->len - apart;
    g_autofree float *values = g_new(float, MAX(n, 1));
    for (int k = 0; k < SNAP_BLOCKS; k++) {
        for (int i = 0; i < n; i++) {
            values[i] = run->blocks[i + apart][k];
        }
        qsort(values, (size_t)MAX(n, 0), sizeof *values, compare_float);
        floor[k] = n > 0 ? values[n / 5] : 0;
    }
}

/* A block moves if it changes by more than grain and by more than most others do: an encoder's
 * key picture and a flash change all of them. */
static float count_moving(const float blocks[SNAP_BLOCKS], const float floor[SNAP_BLOCKS])
{
    float over[SNAP_BLOCKS];
    float sorted[SNAP_BLOCKS];
    for (int k = 0; k < SNAP_BLOCKS; k++) {
        over[k] = MAX(blocks[k] - floor[k], 0);
    }
    memcpy(sorted, over, sizeof over);
    qsort(sorted, SNAP_BLOCKS, sizeof *sorted, compare_float);
    const double least = NOTICED + ABOVE_OTHERS * sorted[SNAP_BLOCKS / 2];
    int moving = 0;
    for (int k = 0; k < SNAP_BLOCKS; k++) {
        moving += over[k] > least;
    }
    return (float)moving;
}

static SnapActivity *measure(const Finder *finder, const Run *run, int apart,
                             const float floor[SNAP_BLOCKS], int *n)
{
    *n = MAX((int)run->frames->len - apart, 0);
    SnapActivity *activity = g_new0(SnapActivity, *n + 1);
    for (int i = 0; i < *n; i++) {
        const int64_t frame = g_array_index(run->frames, int64_t, i + apart);
        activity[i].us = finder->index->us[frame];
        activity[i].moving = count_moving(run->blocks[i + apart], floor);
    }
    return activity;
}

static void run_clear(Run *run)
{
    g_clear_pointer(&run->frames, g_array_unref);
    g_free(run->blocks);
}

/* Frames that others are decoded from cost least, if there are enough of them. */
static GArray *coarse_frames(const Finder *finder, int64_t first, int64_t last)
{
    const RbIndex *index = finder->index;
    GArray *frames = g_array_new(FALSE, FALSE, sizeof(int64_t));
    int64_t before = INT64_MIN / 2;
    for (int64_t i = first; i <= last; i++) {
        const unsigned flags = index->packets[index->frames[i].packet].flags;
        const int64_t since = index->us[i] - before;
        const bool cheap = (flags & RB_PACKET_NO_REFERENCE) == 0;
        if (since >= (cheap ? STEP_US : 2 * STEP_US)) {
            g_array_append_val(frames, i);
            before = index->us[i];
        }
    }
    return frames;
}

/* Every frame about the likeliest, compared over the same time as before. */
static bool look_finely(const Finder *finder, int64_t about, int64_t first, int64_t last,
                        const float floor[SNAP_BLOCKS], int64_t *frame, GError **error)
{
    const int apart = (int)MAX(
        (STEP_US + finder->index->frame_us / 2) / MAX(finder->index->frame_us, 1), 1);
    Run run = { .frames = g_array_new(FALSE, FALSE, sizeof(int64_t)) };
    for (int64_t i = MAX(first, about - FINE_BEFORE - apart);
         i <= MIN(last, about + FINE_AFTER); i++) {
        g_array_append_val(run.frames, i);
    }
    const bool ok = look(finder, &run, apart, false, NULL, error);
    if (ok) {
        int n = 0;
        g_autofree SnapActivity *activity = measure(finder, &run, apart, floor, &n);
        const int at = rb_snap_step(activity, n);
        *frame = g_array_index(run.frames, int64_t, at + apart);
    }
    run_clear(&run);
    return ok;
}

bool rb_snap_find(RbReel *reel, int64_t first, int64_t last, RbSnapFound *found,
                  RbCancel *cancel, RbProgress *progress, GError **error)
{
    *found = (RbSnapFound){ -1, 0 };
    rb_mutex_lock(&reel->lock);
    const Finder finder = { reel, reel->index, cancel };
    rb_mutex_unlock(&reel->lock);
    g_assert(finder.index != NULL); /* the caller waited for it */
    last = MIN(last, finder.index->n_frames - 1);
    const RbReelKeep keep = { .first = 0, .last = -1, .budget = CACHE_BYTES };
    rb_reel_keep(reel, &keep);
    Run run = { .frames = coarse_frames(&finder, MAX(first, 0), last) };
    bool ok = look(&finder, &run, 1, true, progress, error);
    if (ok && run.frames->len > 2) {
        float floor[SNAP_BLOCKS];
        int n = 0;
        find_floor(&run, 1, floor);
        g_autofree SnapActivity *activity = measure(&finder, &run, 1, floor, &n);
        const SnapOnset onset = rb_snap_onset(activity, n);
        if (onset.at >= 0) {
            found->sure = onset.sure;
            ok = look_finely(&finder, g_array_index(run.frames, int64_t, onset.at + 1),
                             MAX(first, 0), last, floor, &found->frame, error);
        }
    }
    run_clear(&run);
    return ok;
}
