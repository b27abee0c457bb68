/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/stats/columns.h"

/* A dropback with every field drawn over its whole range, impossible mixes included: what must
 * add up must add up for any input. Points are multiples of 1/8, so that sums are exact in
 * any order. Concepts and coverages 0 (not tagged) to `kinds`. */
RbDropback rb_random_dropback(RbRandom *random, int kinds);

/* n of them. Returns: (transfer full). */
RbDropback *rb_random_dropbacks(RbRandom *random, int n, int kinds);
