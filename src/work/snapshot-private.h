/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/work/snapshot.h"

#include "library-private.h"

/* How a snapshot is put together, before it is shared: for its own files. */

/* Where to find a snap's chart and clips. Keys and values are borrowed from the lists. */
typedef struct {
    GHashTable *chart_of; /* owned: snap id to RbChart */
    GHashTable *clips_of; /* owned: snap id to GPtrArray of RbClip */
} RbSnapTags;

RbSnapTags rb_snap_tags_new(const GPtrArray *charts, const GPtrArray *clips);
void rb_snap_tags_clear(RbSnapTags *tags);

/* Without a row. options: (nullable). packed: (transfer full) (nullable): rows to start with. */
RbSnapshot *rb_snapshot_new(const RbNames *names, const RbSnapshotOptions *options,
                            RbPacked *packed);
/* To be changed until it is shared. */
RbPacked *rb_snapshot_edit_packed(RbSnapshot *snapshot);
bool rb_snapshot_wants_game(const RbSnapshot *snapshot, const RbGame *game);
/* Judges snaps and appends those that are wanted. keep: their details too. */
void rb_snapshot_add(RbSnapshot *snapshot, const GPtrArray *snaps, const RbSnapTags *tags,
                     bool keep);
/* Judges snaps that have a row, for their details only. */
void rb_snapshot_hold(const RbSnapshot *snapshot, const GPtrArray *snaps,
                      const RbSnapTags *tags);
/* Place of a snap; -1 when it is not here. */
int rb_snapshot_place_of(const RbSnapshot *snapshot, RbSnapId snap);

/* Up to where the history of its library is in a snapshot: of RbSeen; NULL for one that was not
 * taken from this library. set: before the snapshot is shared; takes references. */
const GArray *rb_snapshot_get_seen(const RbSnapshot *snapshot, const RbLibrary *library);
void rb_snapshot_set_source(RbSnapshot *snapshot, RbLibrary *library, GArray *seen);
RbSnapshotOptions rb_snapshot_get_options(const RbSnapshot *snapshot);

/* snapshot-take.c: reads the details of the game of a snap, which has a row. */
void rb_snapshot_fetch(const RbSnapshot *snapshot, RbLibrary *library, RbSnapId snap);

/* snapshot-cache.c: the columns as the library keeps them, with how far its history is in them
 * (seen: (out) (transfer full)). NULL when there are none that hold for these options and this
 * program. Returns: (transfer full) (nullable). */
RbPacked *rb_snapshot_load_columns(RbLibrary *library, const RbSnapshotOptions *options,
                                   GArray **seen);
/* Keeps them; what cannot be kept now is kept another time, so no failure is told. */
void rb_snapshot_keep_columns(const RbSnapshot *snapshot, RbLibrary *library);
