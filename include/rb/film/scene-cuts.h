/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/reel.h"

/* Where the camera of a long recording was stopped and started again: by the jump of its clock, by
 * a picture that follows from nothing in the one before, or by a fade. A flash, a pan, a zoom or a
 * post that passes before the camera is none of these.
 *
 * Few frames are decoded. One key frame about every half second is compared with the next. Where
 * the picture may have changed (a group that ended early, a packet far larger than those around
 * it, or two keys that no shift and no zoom makes alike) the frames between them that others are
 * decoded from are looked at, the most suspicious places first, as long as the whole stays
 * within RB_SCENE_SHARE of the film. Decoding runs in the helper, as ever; what comes back is
 * small and grey. */

#define RB_SCENE_SHARE 0.148

typedef enum {
    RB_SCENE_CLOCK,   /* the film's clock jumps */
    RB_SCENE_PICTURE, /* one frame follows from nothing before */
    RB_SCENE_FADE,    /* one shot fades into the other */
} RbSceneKind;

typedef struct {
    int64_t frame; /* the first of the new shot; of a fade its middle */
    RbSceneKind kind;
    double sure; /* 0 to 1 */
} RbSceneCut;

typedef struct {
    int64_t frames;
    int64_t decoded; /* packets given to the decoder */
    int looked_into; /* places where single frames were looked at */
    int left;        /* places that stayed unsettled, since the share was used up */
} RbSceneStats;

/* reel: ready, polled by nobody else. cuts: (out) (transfer full): GArray of RbSceneCut, by
 * frame. stats: (out) (nullable). Blocking: a worker's job. cancel, progress: (nullable). */
bool rb_scene_find_cuts(RbReel *reel, GArray **cuts, RbSceneStats *stats,
                        RbCancel *cancel, RbProgress *progress, GError **error);
