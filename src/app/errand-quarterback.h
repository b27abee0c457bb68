/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/quarterback.h"

#include "bridge.h"

/* RbQuarterbackAsk → RbQuarterbackAnswer, on the library's thread. */
typedef struct {
    RbSnapshot *snapshot;   /* owned reference */
    RbPlayerId quarterback; /* 0: all of them together */
} RbQuarterbackAsk;

typedef struct {
    RbPlayerId quarterback;
    RbQuarterback *figures;                   /* owned */
    GPtrArray *groups[RB_QUARTERBACK_FIELDS]; /* owned, of RbDecisionGroup */
    RbSelection *selection;                   /* owned: the snaps behind every figure */
    GHashTable *filmed;   /* owned, nullable: not known. Those of them that have film */
    GArray *quarterbacks; /* owned, of RbPlayerId: who has dropbacks, most first */
} RbQuarterbackAnswer;

void rb_quarterback_ask_free(void *ask);
void rb_quarterback_answer_free(void *answer);
void *rb_errand_quarterback(RbStoreSide *side, void *ask, RbCancel *cancel,
                            RbProgress *progress, GError **error);
