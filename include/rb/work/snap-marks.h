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
    RbFilmId film;
    int64_t first; /* of the clip, both ends included */
    int64_t last;
    int64_t frame; /* of the film; -1: nothing found, or its film is not here */
    RbTime time;
    double sure;
    bool moved;     /* by a person: its time is not known yet */
    int64_t marked; /* the frame of the snap mark that is there; -1: none */
} RbSnapProposal;

/* The clips of a game that are looked at. */
typedef struct {
    GArray *proposals; /* owned, of RbSnapProposal: by film and frame */
    GPtrArray
        *paths; /* owned, of char *: the film of each; NULL: it is not in its place */
} RbSnapSearch;

/* Which clips: those without a snap mark; with `all` the others too, to compare. Returns:
 * (transfer full) (nullable). */
RbSnapSearch *rb_library_start_snap_search(RbLibrary *library, RbGameId game, bool all,
                                           RbCancel *cancel, GError **error);
/* Some of another one's clips: those whose place in `chosen` is true. Returns: (transfer full). */
RbSnapSearch *rb_snap_search_choose(const RbSnapSearch *search, const bool *chosen);
/* The times of marks that were moved. Waits for the films. */
bool rb_snap_search_tell_times(RbSnapSearch *search, RbCancel *cancel, GError **error);
/* Looks at the clips. Needs no library, and any thread that may wait. */
bool rb_snap_search_run(RbSnapSearch *search, RbCancel *cancel, RbProgress *progress,
                        GError **error);
void rb_snap_search_free(RbSnapSearch *search); /* NULL is allowed */

/* Both at once: looks at every clip of a game; with `all` at those that have a snap mark too, to compare.
 * Clips whose film is not in its place are counted in `missing`. Blocking: a worker's job.
 * Returns: (transfer full) (nullable): GArray of RbSnapProposal, by film and frame. */
GArray *rb_library_propose_snap_marks(RbLibrary *library, RbGameId game, bool all,
                                      int *missing, RbCancel *cancel,
                                      RbProgress *progress, GError **error);

/* Writes those that are at least this sure and have no snap mark yet, as one action.
 * written: (out). */
bool rb_library_save_snap_marks(RbLibrary *library, const GArray *proposals, double least,
                                int *written, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSnapSearch, rb_snap_search_free)
