/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/reel.h"

/* The moment of a clip at which the ball leaves the ground, told from the picture: many men who
 * stood still start at once, and do not stop soon. One man in motion is not many, a shift and a
 * false start are over soon, and men who walk up to the line did not stand still before.
 *
 * Measured is how much of the picture moves by itself from one frame to the next (blocks that
 * the camera's own motion, found by least squares, does not explain). About 30 pictures a second
 * are looked at, then every frame about the likeliest moment. */

typedef struct {
    int64_t frame; /* of the film; -1: nothing like a snap was seen */
    double sure;   /* 0 to 1: the share of such answers that are right to four frames */
} RbSnapFound;

/* reel: ready, polled by nobody else. first, last: frames of the clip, both ends included.
 * Blocking: a worker's job. cancel, progress: (nullable). found: (out). */
bool rb_snap_find(RbReel *reel, int64_t first, int64_t last, RbSnapFound *found,
                  RbCancel *cancel, RbProgress *progress, GError **error);
