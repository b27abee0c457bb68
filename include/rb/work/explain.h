/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <jansson.h>
#include <stdbool.h>

#include "rb/work/tagging.h"

/* Why one decision is judged as it is, told in the order in which it was worked out: what was
 * called, the picture, each rule that matched with what it made of the order, the reads and what
 * was seen of them, the right read, the ball and the clock, the verdict. What a window and the
 * command line both show. */
typedef enum {
    RB_STEP_CALL,       /* what was called, and the side worked */
    RB_STEP_SHOWN,      /* the picture at the snap */
    RB_STEP_PLAYED,     /* the picture after it */
    RB_STEP_WRITTEN,    /* the order before any rule */
    RB_STEP_RULE,       /* a rule that matched; `order` is what it made */
    RB_STEP_ORDER,      /* the order in force */
    RB_STEP_SIDE,       /* the side the criteria pick */
    RB_STEP_ADJUSTMENT, /* the adjustment the picture requires, and whether it was made */
    RB_STEP_HOT,        /* the hot read in force */
    RB_STEP_READ,       /* one read: seen open or covered, and its clock */
    RB_STEP_RIGHT,      /* the right read */
    RB_STEP_BALL,       /* where the ball went, and when */
    RB_STEP_PRESSURE,
    RB_STEP_VERDICT,
    RB_STEP_SETTLE, /* the tag that would settle it */
} RbStepKind;

extern const RbWords rb_step_words;

typedef struct {
    RbStepKind kind;
    char *text;        /* owned: for people, without the kind's own word */
    int slot;          /* a read's; 0 none */
    int rule;          /* its number in the concept, from 1; 0 none */
    const char *owner; /* borrowed, nullable: the token of the rule's concept */
    bool has_order;
    RbOrder order; /* when has_order; borrows from the names */
} RbStep;

typedef struct {
    bool judged; /* false: not a pass play; then only the call and the picture are told */
    RbJudgment judgment;
    GPtrArray *steps;   /* owned, of RbStep */
    GPtrArray *reasons; /* owned, of char * */
} RbExplanation;

/* clips: (nullable): where the release was marked on film. The names must outlive it. */
void rb_explain(const RbNames *names, const RbSnap *snap, const RbChart *chart,
                const GPtrArray *clips, RbExplanation *explanation);
void rb_explanation_clear(RbExplanation *explanation);

/* {"judged", "verdict", "stage", "right_read", "ball_read", "steps": [{"step", "text", "read",
 *  "rule", "concept", "order": [{"read", "route", "dead", …}]}], "reasons": […], "settle": […]};
 * keys of a step that say nothing are left out. Returns: (transfer full). */
json_t *rb_json_explanation(const RbExplanation *explanation);
