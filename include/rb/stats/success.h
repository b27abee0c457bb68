/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/model/snap.h"

/* Success of one snap: gain of at least so many percent of the distance, by down.
 * 40/60/100/100: B. Carroll, P. Palmer, J. Thorn, "The Hidden Game of Football", 1988.
 * 50/70/100/100: B. Connelly, "Study Hall", 2013. */
typedef struct {
    int percent[4]; /* by down, first to fourth */
} RbSuccessProfile;

RbSuccessProfile rb_success_profile_default(void); /* 40/60/100/100 */
RbSuccessProfile rb_success_profile_college(void); /* 50/70/100/100 */

/* Integers throughout: 0.7 x 10 is not 7 in binary. */
bool rb_success_gain(RbSuccessProfile profile, int down, int distance, int gain);

/* A touchdown always succeeds, a turnover or safety never does; a ball that nobody caught
 * gains nothing. False in `known` when down, distance or gain are missing or a penalty wiped
 * the play out (the snap then does not count as a success). */
bool rb_success_snap(RbSuccessProfile profile, const RbSnap *snap, bool *known);
