/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

/* How many blocks of the picture move by themselves, over the time of a clip. */
typedef struct {
    int64_t us; /* of the later of the two pictures compared */
    float moving;
} SnapActivity;

typedef struct {
    int at;      /* the first of the activity; -1: there is none */
    double sure; /* 0 to 1 */
} SnapOnset;

/* The likeliest snap. A candidate's score is the sum of three logarithms: how much more moves
 * just after than just before, how much more in the second and a half after than before, and
 * how long it lasts. */
SnapOnset rb_snap_onset(const SnapActivity *activity, int n);

/* The step of a finer curve: the split of it into two levels that leaves the least squares. */
int rb_snap_step(const SnapActivity *activity, int n);
