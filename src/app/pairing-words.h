/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "session.h"

/* What the Pairings desk says about a table and a ladder, in words: without widgets. Texts are
 * (transfer full) unless it is said otherwise. */

/* A column, by what goes across. Returns: (transfer none). */
const char *rb_across_name(const RbNames *names, RbField axis, RbTermId id);
/* How to read a cell, how many pairings are flagged, what is left out. */
char *rb_table_legend(const RbTableAnswer *table);
/* "Curl-flat against Cover 2". */
char *rb_ladder_heading(const RbNames *names, const RbLadderAnswer *answer);
/* "14 dropbacks, -4.3 points, -0.31 a dropback". */
char *rb_ladder_sums(const RbLadder *ladder);
/* "Curl-flat against Cover 2, read 2, eyes". read: 0 and below any; stage: below 0 any. */
char *rb_ladder_part_name(const char *heading, int read, int stage);
/* "6 snaps: Read 2, eyes. Enter plays one, …". */
char *rb_snaps_listed(int n, int read, int stage);
