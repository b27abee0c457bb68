/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/chain.h"
#include "rb/model/successor.h"

/* The chain check in four files: chain.c goes from snap to snap, chain-values.c looks at one
 * snap alone, chain-time.c at quarters and clocks, chain-expect.c says what must follow. */

/* One snap on its way through the check. `facts` is a shallow copy (penalties and note are
 * borrowed) in which impossible values are blanked and blanks filled with what must be. */
typedef struct {
    const RbSnap *snap; /* borrowed */
    RbSnap facts;
    RbSnap corrected; /* the facts with every finding set right */
    bool has_corrected;
} RbChainLink;

typedef struct {
    RbTeamId teams[2];
    bool ours_only;
    RbRules rules;
} RbChainGame;

/* What must hold for the snap after another one. */
typedef struct {
    RbTeamId team;       /* 0: either */
    bool is_exact;       /* spot, down and distance are those of `situation` */
    bool is_series;      /* a new series: first down and ten, or goal */
    bool is_kick;        /* a try or a free kick; its spot is exact when above 0 */
    bool is_open;        /* nothing is known about the series */
    bool score_may_grow; /* the other team had the ball unseen */
    bool try_may_count;  /* a try was not logged */
    RbSituation
        situation; /* score and spot from the view of `team`, or of the offense before */
} RbExpected;

typedef struct {
    RbChainField field;
    int64_t expected;
    int64_t found;
    bool wrong_phase; /* field is the down, and one of the two is no scrimmage down */
} RbMismatch;

#define RB_MISMATCHES_MAX 3

/* Returns: how many fields of `now` do not follow from `before`. expected: (out). */
int rb_chain_compare(const RbChainGame *game, const RbSnap *before, const RbSnap *now,
                     RbExpected *expected, RbMismatch mismatches[RB_MISMATCHES_MAX]);

/* "after a gain of 8": what came before, for a sentence. Returns: (transfer full). */
char *rb_chain_after_text(const RbSnap *before);

void rb_chain_add(GPtrArray *findings, const RbSnap *snap, RbChainField field,
                  int64_t expected, int64_t found, const char *format, ...)
    G_GNUC_PRINTF(6, 7);

/* Findings about one snap alone; blanks what cannot be in link->facts. */
void rb_chain_check_values(RbChainLink *link, RbRules rules, GPtrArray *findings);

/* Quarters and clocks of snaps in playing order; blanks those that run backwards. links: of
 * RbChainLink. */
void rb_chain_check_time(GPtrArray *links, GPtrArray *findings);
