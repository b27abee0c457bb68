/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/likely.h"
#include "rb/work/tagging.h"

/* What the rail has seen of a game and what it makes of it: the snap and the chart before the one
 * that is asked about, and how likely answers are. Main thread. */
typedef struct {
    RbLikely *likely;   /* owned, nullable: not there yet */
    GHashTable *charts; /* owned: snap id to RbChart: dropbacks seen here */
} RbRailMemory;

void rb_rail_memory_init(RbRailMemory *memory);
void rb_rail_memory_clear(RbRailMemory *memory);
/* Another library: nothing of it was seen. */
void rb_rail_memory_forget(RbRailMemory *memory);
/* likely: (transfer full). */
void rb_rail_memory_take_likely(RbRailMemory *memory, RbLikely *likely);

/* The snap before it in the game. snaps: (nullable), of RbSnap in order. Returns: (transfer none)
 * (nullable). */
const RbSnap *rb_rail_memory_snap_before(const GPtrArray *snaps, const RbSnap *snap);
/* The chart of the nearest dropback before it that was seen here. Returns the same. */
const RbChart *rb_rail_memory_chart_before(const RbRailMemory *memory,
                                           const GPtrArray *snaps, const RbSnap *snap);
/* A sheet was shown. */
void rb_rail_memory_see(RbRailMemory *memory, const RbSheet *sheet);
/* Nothing is left to ask of it: it counts for the next ones. */
void rb_rail_memory_learn(RbRailMemory *memory, const GPtrArray *snaps,
                          const RbSheet *sheet);
