/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/read/verdict.h"

/* A second engine without any cleverness, written from the words of the verdict table: it
 * judges one chart in which everything is known, and an unknown tag is tried with every value
 * it can have. It shares nothing with the engine but the types. */

typedef struct {
    RbVerdict verdict;
    RbStage stage;
    int right;
    int read; /* that the stage is booked on: the right one, the ball's, the last of the order */
} NaiveVerdict;

/* Everything known: what is left unknown is an error of the test. */
NaiveVerdict naive_judge(const RbReadContext *context, const RbChart *chart, bool success,
                         const RbReadSettings *settings);

/* Times, cushions and splits of the random charts stay below this, so that every value can be tried. */
enum { NAIVE_TIME_MAX = 16, NAIVE_CUSHION_MAX = 8, NAIVE_UNKNOWN_MAX = 48 };

typedef struct {
    RbTag tag;
    int n; /* values it can have */
} NaiveUnknown;

/* The unknown tags of a chart that a verdict (or, with `stages`, a stage) could use. */
int naive_unknowns(const RbReadContext *context, const RbChart *chart, bool stages,
                   NaiveUnknown unknowns[NAIVE_UNKNOWN_MAX]);
/* Gives the tag its value number `value`, 0 and up. */
void naive_set(const RbReadContext *context, const RbTag *tag, int value, RbSnap *snap,
               RbChart *chart);

/* Over every completion. Sets are bits of verdicts (or stages). */
typedef struct {
    uint32_t all;
    int n_unknowns;
    NaiveUnknown unknowns[NAIVE_UNKNOWN_MAX];
    uint32_t left[NAIVE_UNKNOWN_MAX][128]; /* with that tag set to that value */
    uint32_t rights;
    uint32_t reads;
    uint32_t read_left[NAIVE_UNKNOWN_MAX]
                      [128]; /* reads with that tag set to that value */
    long completions;
} NaiveSets;
/* False when there are more than `most` completions. */
bool naive_try_all(const RbReadContext *context, const RbChart *chart, bool success,
                   const RbReadSettings *settings, bool stages, long most,
                   NaiveSets *sets);
