/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdint.h>

#include "rb/model/concept.h"
#include "rb/stats/columns.h"

/* The ladder: dropbacks spread over reads and the stages at which they ended. A partition:
 * the cells sum to the dropbacks, in count and in points. */
typedef struct {
    int dropbacks;
    int pointed; /* with points */
    double points;
} RbLadderCell;

typedef struct {
    RbLadderCell cells[RB_READS_MAX + 1][RB_STAGES]; /* [slot, 0 for none][stage] */
    int dropbacks;
    int pointed;
    double points;
} RbLadder;

void rb_ladder_build(const RbDropback *rows, int n, RbLadder *ladder);

/* True for the stages at which something went wrong: not success, not not-judged. */
bool rb_stage_is_failure(RbStage stage);

typedef enum {
    RB_CERTAINTY_NOT_SETTLED,
    RB_CERTAINTY_LEANING,
    RB_CERTAINTY_CLEAR,
} RbCertainty;
extern const RbWords rb_certainty_words;

/* The failing (read, stage) whose cost most exceeds the team's norm there. Cost is minus the
 * points booked there; the norm is the mean cost a dropback at that read and stage over the
 * other rows, times n. */
typedef struct {
    bool found; /* false: no failure at all */
    int read;
    RbStage stage;
    int dropbacks; /* that ended there */
    double points; /* booked there */
    double excess; /* points lost beyond the norm: positive is worse */
    double share;  /* of the bootstrap draws in which it came first again */
    RbCertainty certainty;
    int draws;
    uint64_t seed;
} RbBreak;

#define RB_BREAK_DRAWS 2000
#define RB_BREAK_SEED UINT64_C(20260901)

/* rows: the pairing (or filter); others: the rest of the team's dropbacks. */
void rb_break_find(const RbDropback *rows, int n, const RbDropback *others, int n_others,
                   RbBreak *found);
