/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/model/film.h"
#include "rb/work/library.h"

/* Snap marks proposed from the picture (rb/film/snap-finder.h) and written when accepted. */

typedef struct {
    RbClipId clip;
    RbSnapId snap;
    int number; /* of the snap in its game */
    RbAngle angle;
    int64_t frame; /* of the film; -1: nothing found, or its film is not here */
    RbTime time;
    double sure;
    int64_t marked; /* the frame of the snap mark that is there; -1: none */
} RbSnapProposal;

/* Looks at every clip of a game; with `all` at those that have a snap mark too, to compare.
 * Clips whose film is not in its place are counted in `missing`. Blocking: a worker's job.
 * Returns: (transfer full) (nullable): GArray of RbSnapProposal, by film and frame. */
GArray *rb_library_propose_snap_marks(RbLibrary *library, RbGameId game, bool all,
                                      int *missing, RbCancel *cancel,
                                      RbProgress *progress, GError **error);

/* Writes those that are at least this sure and have no snap mark yet, as one action.
 * written: (out). */
bool rb_library_save_snap_marks(RbLibrary *library, const GArray *proposals, double least,
                                int *written, GError **error);
