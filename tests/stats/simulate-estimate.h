/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/stats/estimate.h"

/* Seasons whose true rates are known: 8 concepts by 7 coverages, 1 to 30 dropbacks a pairing
 * (few pairings are common), logits drawn with spreads that are themselves drawn from the
 * model's prior, or fixed. */

enum { RB_SIM_CELLS = 56, RB_SIM_BANDS = 4 };

/* Counts over cells, by band of dropbacks: 1 to 2, 3 to 5, 6 to 10, more. */
typedef struct {
    int cells;
    int covered;        /* true rate inside the 80 % interval */
    double squared;     /* error of the estimate, summed */
    double squared_raw; /* of x / n */
    double below;       /* probability of being below the season's rate, summed */
    int truly_below;    /* how many were */
} RbSimBand;

/* spread: of all three effects; 0: each drawn from a half-normal of scale 0.5. */
void rb_sim_estimates(uint64_t seed, int seasons, double spread,
                      RbSimBand bands[RB_SIM_BANDS]);
