/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/stats/pairing.h"

/* Counts one row, whether it counts in the ladder or not; ids are left alone. */
void rb_tally_add(RbTally *tally, const RbDropback *row);
/* Adds the counts of another tally. */
void rb_tally_merge(RbTally *tally, const RbTally *other);
/* For qsort(): most dropbacks first, then by id. */
int rb_tally_compare(const void *a, const void *b);
