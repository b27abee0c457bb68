/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/snap.h"

/* The chain check: do the snaps of one game follow from one another? Each fault is found
 * once, where it arises; the check goes on from what stands in the log after it, so one wrong
 * gain does not condemn the rest of the drive. */
typedef enum {
    RB_CHAIN_SPOT,
    RB_CHAIN_DOWN,
    RB_CHAIN_DISTANCE,
    RB_CHAIN_POSSESSION,
    RB_CHAIN_SCORE,
    RB_CHAIN_QUARTER, /* quarters never go back */
    RB_CHAIN_CLOCK, /* the clock of a quarter never goes up; expected is the bound, in s */
    RB_CHAIN_NUMBER, /* two snaps with one number */
    RB_CHAIN_VALUE, /* a value out of its own range, or two fields that exclude each other;
                       * expected is the nearest value that can be */
} RbChainField;

typedef struct {
    RbSnapId snap;
    int number;
    RbChainField field;
    int64_t expected; /* in the field's own unit; a team id for possession */
    int64_t found;
    char
        *sentence; /* owned: "Snap 34: the spot should be own 43 after a gain of 8, but is
                       * own 34." */
} RbFinding;

extern const RbWords rb_chain_field_words;

/* snaps: of one game, in any order (sorted inside by number, then id). What is not known is
 * not checked. Tries and kickoffs may be left out of a log. Some logs hold only one team's
 * snaps: `ours_only` lets possession pass to the other team and back unseen.
 * teams: the two of the game, ours first. Returns: (transfer full): GPtrArray of RbFinding:
 * first what is wrong in itself, then numbers, times and what does not follow, each in the
 * order of snaps. */
GPtrArray *rb_chain_check(const GPtrArray *snaps, const RbTeamId teams[2], bool ours_only,
                          RbRules rules);

void rb_finding_free(RbFinding *finding);
