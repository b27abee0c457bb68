/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/chain.h"

/* What would set a finding of the chain check right. Every proposal was tried: the game with it
 * has fewer findings. The slip may lie in the snap that is named or in one beside it, so there
 * are often several; the one that leaves the fewest findings and changes least comes first. */

typedef enum {
    RB_REPAIR_SET,    /* one snap's facts */
    RB_REPAIR_SWAP,   /* two snaps change places */
    RB_REPAIR_ADD,    /* a snap is missing */
    RB_REPAIR_REMOVE, /* a snap stands twice */
} RbRepairKind;

typedef struct {
    RbRepairKind kind;
    char *sentence; /* owned: "Set the gain of snap 33 to 5." */
    char *told;     /* owned: the same, for the history (rb/base/told.h) */
    GPtrArray
        *after; /* owned, of RbSnap: the changed snaps as they will be; a new id is new */
    RbSnapId removed; /* 0: none */
    int left;         /* findings of the game after it */
    int size;         /* how much it changes: for the order of proposals */
} RbRepair;

/* Arguments as for rb_chain_check(); findings: what it said, in whole. Returns: (transfer full):
 * GPtrArray of RbRepair, the best first; empty when nothing helps. */
GPtrArray *rb_chain_repairs(const GPtrArray *snaps, const RbTeamId teams[2],
                            bool ours_only, RbRules rules, const GPtrArray *findings,
                            const RbFinding *finding);
void rb_repair_free(RbRepair *repair); /* NULL is allowed */
