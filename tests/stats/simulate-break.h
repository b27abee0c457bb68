/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/stats/ladder.h"

/* Seasons with a known break, to set and to check the thresholds of rb_break_find.
 *
 * A team of RB_SIM_OTHERS dropbacks and one pairing of n. Where a dropback ends is drawn from
 * shares common to the team; its points from a normal law of the stage with a share of
 * turnovers. In the pairing, one (read, stage) is planted: its share and, where that cannot
 * carry it, its cost are raised until the expected excess over the norm is `points` over the n
 * dropbacks. Shares and costs are our own, in the range of professional play (a dropback
 * succeeds on about 45 %, a sack costs about 1.7 points, an interception 4 and more): common
 * practice, no source. */

enum { RB_SIM_OTHERS = 190 };

/* How the team's snaps end. */
typedef enum {
    RB_SIM_EVEN, /* as said above */
    RB_SIM_HEAVY, /* every snap's cost spread half again as wide, turnovers cost half more */
    RB_SIM_LUMPY, /* two stages far commoner than the rest */
    RB_SIM_TEAMS,
} RbSimTeam;

typedef struct {
    int read;
    RbStage stage;
} RbSimPlanted;

/* rows: of n, filled; others: of RB_SIM_OTHERS, filled. points 0: nothing planted. */
void rb_sim_season(RbRandom *random, RbSimTeam team, double points, RbDropback *rows,
                   int n, RbDropback *others, RbSimPlanted *planted);

/* Counts of one cell of the operating curve. */
typedef struct {
    int seasons;
    int first;         /* planted cell named */
    int said[3];       /* by certainty */
    int said_right[3]; /* and the planted cell named */
} RbSimCount;

extern const double rb_sim_points[5]; /* 0, 1, 2, 3, 5 */
extern const int rb_sim_sizes[4];     /* 8, 12, 20, 40 */

/* Runs `seasons` of each points and size. */
void rb_sim_run(RbSimTeam team, uint64_t seed, int seasons, RbSimCount counts[5][4]);

/* The two rates that bind: `clear` right in at least 95 % of the times it is said, and wrongly said in at most
 * 5 % of the pairings with no real break. */
double rb_sim_right(RbSimCount counts[5][4], RbCertainty certainty);
double rb_sim_false(RbSimCount counts[5][4], RbCertainty certainty);
