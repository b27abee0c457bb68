/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/read/order.h"

/* Tags that can be unknown and matter to a verdict. Those of one read carry its slot, those of
 * one side the side. */
typedef enum {
    RB_TAG_NONE,
    RB_TAG_CONCEPT,
    RB_TAG_SIDE_WORKED,
    RB_TAG_SHELL,
    RB_TAG_ROTATION_SHOWN,
    RB_TAG_TECHNIQUE_SHOWN,
    RB_TAG_CUSHION,
    RB_TAG_SPLIT, /* of the outside receiver */
    RB_TAG_LEVERAGE,
    RB_TAG_COVERAGE,
    RB_TAG_ROTATION_PLAYED,
    RB_TAG_TECHNIQUE_PLAYED,
    RB_TAG_SAFETY_OVER,
    RB_TAG_RUSHERS,
    RB_TAG_UNBLOCKED,
    RB_TAG_ADJUSTMENT,
    RB_TAG_LOOK,
    RB_TAG_BALL,
    RB_TAG_RELEASE,
    RB_TAG_PRESSURE,
    RB_TAG_CONTACT,
    RB_TAG_MOVEMENT,
    RB_TAG_THROW,
    RB_TAG_CATCH,
    RB_TAG_FAULT,
    RB_TAG_HASH,
    RB_TAG_DOWN,
    RB_TAG_DISTANCE,
    RB_TAG_WIDTH,
    RB_TAG_FORMATION,
    RB_TAG_STRONG,
} RbTagKind;

extern const RbWords rb_tag_words;

typedef struct {
    RbTagKind kind;
    int slot;    /* looks */
    RbSide side; /* sided tags */
} RbTag;

/* Reasons: sentence parts with values, put into words by rb_reason_text (English; app
 * translates by kind). */
typedef enum {
    RB_REASON_RULE,    /* rule `index` of concept `concept` applied to read `slot` */
    RB_REASON_ORDER,   /* the order in force */
    RB_REASON_OPEN,    /* read `slot` was open */
    RB_REASON_COVERED, /* read `slot` was covered */
    RB_REASON_DEAD,    /* read `slot` was dead by rule */
    RB_REASON_NOTHING_OPEN,
    RB_REASON_BALL,       /* the ball went to read `slot` at `ms` */
    RB_REASON_BALL_OTHER, /* ball: hot, off-script, scramble, sack, thrown away */
    RB_REASON_CLOCK,      /* read `slot` leaves by `ms` plus `extra_ms` */
    RB_REASON_PRESSURE,   /* pressure came at `ms` */
    RB_REASON_ADJUSTMENT, /* the picture required `term` and it was not made */
    RB_REASON_SIDE,       /* the criteria pick `side`; value: RbPickedBy */
    RB_REASON_HOT,        /* read `slot` was hot */
    RB_REASON_FAULT,      /* fault `value` touched read `slot` */
    RB_REASON_CUSHION,    /* of `side`, measured: `value` tenths of a yard, and `extra` */
    RB_REASON_SPLIT,      /* of the outside receiver of `side`, likewise */
    RB_REASON_SETTLE, /* the tag `tag` would settle it; of a measured one with these */
    RB_REASON_NO_CONCEPT,
} RbReasonKind;

typedef struct {
    RbReasonKind kind;
    int slot;
    int index;
    int ms;
    int extra_ms;
    int value;
    int extra;
    RbSide side;
    RbTermId term;
    RbTag tag;
} RbReason;

typedef struct {
    RbVerdict verdict;
    RbStage stage; /* not judged too while it, or the read of a failure, is not settled */
    int stage_read; /* slot the stage is booked on; 0 none */
    int right_slot; /* the right read; 0: none was open, or not settled */
    int ball_slot;  /* read the ball went to; 0 none */
    RbOrder order;  /* in force; of the first completion while ungraded */
    RbTag settle; /* the tag to ask for; kind RB_TAG_NONE when verdict and stage stand */
    RbReason reasons[14];
    int n_reasons;
} RbJudgment;

/* "The picture shown picks the left side: the field." side: left or right. Translated. */
const char *rb_picked_text(RbSide side, RbPickedBy by);

/* Settings a staff can edit. */
typedef struct {
    int held_after_last_ms; /* sacked this long after the last clock with nothing open: held */
} RbReadSettings;

RbReadSettings rb_read_settings_default(void); /* 1,000 ms */

/* Judges one dropback: verdict, reasons, stage. success: whether the snap succeeded (stats).
 * Never fails: what cannot be told is RB_VERDICT_UNGRADED with `settle` set. */
void rb_judge(const RbReadContext *context, const RbChart *chart, bool success,
              const RbReadSettings *settings, RbJudgment *judgment);

#define RB_OPEN_TAGS_MAX 48

/* The unknown tags that still matter: each that some completion of the others asks for, in the
 * order in which a person meets them (picture, then what was done). None when verdict and stage
 * stand: so a rail that asks only these stops asking as soon as the answer is known. A call
 * without a concept asks for that alone. Returns how many. */
int rb_judge_open_tags(const RbReadContext *context, const RbChart *chart, bool success,
                       const RbReadSettings *settings, RbTag tags[RB_OPEN_TAGS_MAX]);

/* One sentence. Returns: (transfer full). */
char *rb_reason_text(const RbReadContext *context, const RbJudgment *judgment,
                     const RbReason *reason);
/* "coverage", "read 2", "right corner's technique": what a person is asked for.
 * Returns: (transfer full). */
char *rb_tag_text(const RbTag *tag);
