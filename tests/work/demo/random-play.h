/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"

#include "plan.h"

/* Any play that the choreographer may be asked for, sensible or not. */
RbDemoPlay random_play(RbRandom *random);
/* A curl that is open and caught, from the gun, by the left #1. */
RbDemoPlay sample_play(void);

/* The play as it is filmed. Returns: (transfer full). plan: (out). */
RbDemoAction *act_out(const RbDemoPlay *play, uint64_t seed, RbDemoPlan *plan);
