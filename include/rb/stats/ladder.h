/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdint.h>

#include "rb/model/concept.h"
#include "rb/stats/columns.h"

/* The ladder: dropbacks spread over reads and the stages at which they ended. A partition:
 * the cells sum to the dropbacks, in count and in points. Only rows with in_ladder count. */
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

/* When a break is called clear or leaning: dropbacks that ended there, and the share of the
 * draws in which it came first again; never without excess. Set by simulation: an equal mix of
 * planted breaks of 0, 1, 2, 3 and 5 points over 8, 12, 20 and 40 dropbacks, 2,000 seasons of
 * each, three kinds of team (tests/stats/break-curve.c prints the whole curve).
 *
 *                         even team   heavy losses   lumpy stages   required
 *   clear    right when said  97.6 %         96.3 %         96.8 %     >= 95 %
 *            no break, said    0.6 %          0.6 %          0.7 %      <= 5 %
 *   leaning  right when said  75.3 %         70.2 %         68.8 %
 *            no break, said    8.1 %          8.0 %         11.5 %
 *
 * What it costs: of true breaks of 5 points, 53 % are called clear over 8 dropbacks and 7 %
 * over 40, where 5 points are lost among the rest. */
#define RB_BREAK_MIN 3
#define RB_BREAK_LEANING 0.60
#define RB_BREAK_CLEAR 0.90

/* rows: the pairing (or filter); others: the rest of the team's dropbacks. Only rows with
 * points have a cost: the others count in `dropbacks` and nowhere else. */
void rb_break_find(const RbDropback *rows, int n, const RbDropback *others, int n_others,
                   RbBreak *found);
/* The same with the others counted into their ladder already. */
void rb_break_find_against(const RbDropback *rows, int n, const RbLadder *others,
                           RbBreak *found);

RbCertainty rb_break_certainty(int dropbacks, double excess, double share);
