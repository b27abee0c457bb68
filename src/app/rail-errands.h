/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/rail.h"

#include "session.h"

/* What the rail asks of the library's thread. */

/* Tags of one snap in one action → RbWordsAnswer. */
void *rb_tags_ask_new(RbSnapId snap, const GPtrArray *tags);
void rb_tags_ask_free(void *ask);
void *rb_errand_tags(RbStoreSide *side, void *ask, RbCancel *cancel, RbProgress *progress,
                     GError **error);

/* What the rail starts from: NULL → RbRailSeed. */
typedef struct {
    RbLikely *likely; /* owned, nullable: taken by who needs it */
    char *required;   /* owned */
} RbRailSeed;
void rb_rail_seed_free(void *seed);
void *rb_errand_rail_seed(RbStoreSide *side, void *nothing, RbCancel *cancel,
                          RbProgress *progress, GError **error);

/* Answered by the session's signal "rail-seed" (RbRailSeed *). */
void rb_session_ask_rail_seed(RbSession *session);
