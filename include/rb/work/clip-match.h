/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

/* Which clip of one camera shows the same snap as which clip of the other. Pure: no files, no
 * library.
 *
 * Both lists are in the order in which they were filmed. An alignment goes through both from the
 * front: each step pairs one clip with one, or leaves one alone. Its cost is the sum over its
 * steps: a gap RB_MATCH_GAP; a pair of lengths d seconds apart 2 ln(1 + d^2 / 2 s^2), a heavy
 * tailed error, since an operator starts late now and then; RB_MATCH_NUMBER more when both names
 * are numbered and differ. The pairs given are those of the cheapest alignment (dynamic
 * programming as by Needleman and Wunsch, J. Mol. Biol. 48, 1970); how sure each is, is its share
 * of exp(-cost) over all alignments, by the forward and backward sums. */

#define RB_MATCH_GAP 3.0
#define RB_MATCH_NUMBER 8.0
#define RB_MATCH_NEIGHBOUR 1.0 /* less for a pair that lies side by side in one folder */

typedef struct {
    int64_t length_us;
    int number; /* of the snap, in the file's name; -1: not numbered */
    int place;  /* in a folder that holds both angles; -1: none */
} RbMatchClip;

typedef struct {
    int wide;    /* -1: this snap was not filmed by that camera, or the clip is none */
    int tight;   /* -1 likewise; never both */
    double sure; /* 0 to 1: share of all alignments that have this very step */
} RbMatchStep;

/* Usual difference of length of two clips of one snap, in seconds, told from the lists: the
 * median over the clips of the shorter list of the smallest difference to a clip nearly as far
 * along; between 0.02 and 1.5. */
double rb_match_spread(const RbMatchClip *wide, int n_wide, const RbMatchClip *tight,
                       int n_tight);

/* True if equal numbers mean equal snaps: most numbers are in both lists, and the lengths of
 * clips with the same number agree. Two cameras that each count their own clips fail this as
 * soon as one of them missed a snap. */
bool rb_match_numbers_hold(const RbMatchClip *wide, int n_wide, const RbMatchClip *tight,
                           int n_tight);

/* Returns: (transfer full): GArray of RbMatchStep, in order; each clip is in exactly one. */
GArray *rb_match_clips(const RbMatchClip *wide, int n_wide, const RbMatchClip *tight,
                       int n_tight);
