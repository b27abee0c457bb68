/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/work/tagging.h"

/* How often a tag had each value in this library, under circumstances like those of the snap
 * at hand: down and distance, where on the field, the previous dropback, formation, and what is
 * tagged of the snap already. Counts in memory, nothing from anywhere else; the newest
 * RB_LIKELY_MAX dropbacks count, so that a question costs the same in a library of any size.
 *
 * A value's score is its share of the counts times, for every circumstance known, how often
 * that circumstance came with the value: P(v) * prod P(c | v). Both are smoothed: P(v) by half
 * a count for every value, P(c | v) = (n(c, v) + m P(c)) / (n(v) + m) with m = 2, the
 * m-estimate (B. Cestnik, "Estimating probabilities: a crucial task in machine learning",
 * ECAI 1990; formula from memory). It only orders choices: nothing is filled in by it. */
typedef struct RbLikely RbLikely;

#define RB_LIKELY_MAX 2000
#define RB_LIKELY_FIELDS_MAX 3

RbLikely *rb_likely_new(void);
void rb_likely_free(RbLikely *likely); /* NULL is allowed */

/* Takes in a charted snap, in place of what was known of that snap before. before: (nullable):
 * chart of the dropback before it in the game. */
void rb_likely_learn(RbLikely *likely, const RbNames *names, const RbSnap *snap,
                     const RbChart *chart, const RbChart *before);
/* How many snaps count. */
int rb_likely_count(const RbLikely *likely);

/* What is asked: one to three fields at once. */
typedef struct {
    const RbTaggable *fields[RB_LIKELY_FIELDS_MAX];
    int n;
} RbLikelyFields;

/* One combination of values of the fields asked for, with its share: 0 to 1 over all. */
typedef struct {
    char *values[RB_LIKELY_FIELDS_MAX]; /* owned: as rb_taggable_get() gives them */
    double share;
} RbLikelyValue;

void rb_likely_value_free(RbLikelyValue *value);

/* Every combination met so far in which all values are known, the likeliest first; the snap
 * itself is left out. Returns: (transfer full): of RbLikelyValue. */
GPtrArray *rb_likely_rank(const RbLikely *likely, const RbNames *names,
                          const RbSnap *snap, const RbChart *chart, const RbChart *before,
                          const RbLikelyFields *asked);

/* From the charts that count of every game of a library, the newest RB_LIKELY_MAX. Returns:
 * (transfer full) (nullable): with `error` set. */
RbLikely *rb_library_load_likely(RbLibrary *library, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbLikely, rb_likely_free)
