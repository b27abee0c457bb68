/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/snapshot.h"

/* Up to where the history of the library that lies at `library` is in a snapshot: of RbSeen; NULL
 * for one that was not taken from there. set: before the snapshot is shared; takes a reference. */
const GArray *rb_snapshot_get_seen(const RbSnapshot *snapshot, const char *library);
void rb_snapshot_set_seen(RbSnapshot *snapshot, const char *library, GArray *seen);
RbSnapshotOptions rb_snapshot_get_options(const RbSnapshot *snapshot);
