/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/read/verdict.h"

/* How the engine looks at tags that may be unknown.
 *
 * Every tag that can matter is one variable with a small integer value. The judging code asks
 * for a variable only when it needs it. A known one is answered from the chart; an unknown one
 * is answered with the first value of its domain, and the choice is kept on a trail. Running
 * the same code again after rb_inquiry_next() gives the next completion, and so on until all
 * have been seen. A tag that is never asked never multiplies the completions, so the search is
 * a decision tree over the tags that matter, and yet exact. */

typedef enum {
    /* The picture, the situation and the side: they shape the order in force. */
    RB_VAR_SIDE, /* RbSide: the side worked, or the side of a call that has but one */
    RB_VAR_SHELL,
    RB_VAR_ROTATION_SHOWN,
    RB_VAR_TECHNIQUE_SHOWN_LEFT,
    RB_VAR_TECHNIQUE_SHOWN_RIGHT,
    RB_VAR_CUSHION_LEFT,
    RB_VAR_CUSHION_RIGHT,
    RB_VAR_SPLIT_LEFT,
    RB_VAR_SPLIT_RIGHT,
    RB_VAR_LEVERAGE_LEFT,
    RB_VAR_LEVERAGE_RIGHT,
    RB_VAR_COVERAGE, /* term id */
    RB_VAR_ROTATION_PLAYED,
    RB_VAR_TECHNIQUE_PLAYED_LEFT,
    RB_VAR_TECHNIQUE_PLAYED_RIGHT,
    RB_VAR_SAFETY_LEFT,
    RB_VAR_SAFETY_RIGHT,
    RB_VAR_RUSHERS,
    RB_VAR_UNBLOCKED, /* RbSide of the rusher; unknown means that there is none */
    RB_VAR_HASH,
    RB_VAR_DOWN,
    RB_VAR_DISTANCE,
    RB_VAR_WIDTH,
    RB_VAR_FORMATION, /* term id */
    RB_VAR_STRONG,    /* RbSide; unknown means even */
    /* What was done with it. */
    RB_VAR_ADJUSTMENT, /* term id; 0 none made; RB_OTHER_TERM one no rule names */
    RB_VAR_LOOK_1,
    RB_VAR_LOOK_8 = RB_VAR_LOOK_1 + RB_READS_MAX - 1,
    RB_VAR_BALL,     /* slot thrown to, or one of RB_BALL_TO_… below */
    RB_VAR_RELEASE,  /* ms after the snap; of a sack: when it happened */
    RB_VAR_PRESSURE, /* ms after the snap; RB_NEVER without pressure */
    RB_VAR_CONTACT,
    RB_VAR_THROW,
    RB_VAR_CATCH,
    RB_VAR_FAULT, /* slot touched; 0 none; RB_FAULT_WHOLE the whole play */
    RB_VARS,
} RbVar;
#define RB_VAR_FIRST_JUDGED RB_VAR_ADJUSTMENT

#define RB_OTHER_TERM (-1)
#define RB_FAULT_WHOLE (RB_READS_MAX + 1)
#define RB_NEVER (INT64_C(1) << 40)
#define RB_LATEST_MS                                                                     \
    1000000000 /* stands for every time after the last one that matters */

/* Values of RB_VAR_BALL beyond the slots. */
enum {
    RB_BALL_TO_NOBODY = RB_READS_MAX + 1, /* a read that the call does not have */
    RB_BALL_TO_HOT,
    RB_BALL_TO_OFF_SCRIPT,
    RB_BALL_TO_SCRAMBLE,
    RB_BALL_TO_SACK,
    RB_BALL_TO_AWAY,
};

enum { RB_DOMAIN_MAX = 96 };

/* What an unknown variable can be, up to differences that no comparison sees. */
typedef struct {
    int n;
    int64_t values[RB_DOMAIN_MAX];
    uint32_t
        outcomes[RB_DOMAIN_MAX]; /* seen with that value: a set of verdicts or stages */
} RbDomain;

typedef struct {
    const RbReadContext *context;
    const RbChart *chart;
    RbReadSettings settings;
    bool success;
    bool known[RB_VARS];
    int64_t value[RB_VARS];
    bool asked[RB_VARS]; /* its domain is built */
    RbDomain domain[RB_VARS];
    uint32_t unasked[RB_VARS]; /* outcomes of completions that did not ask for it */
    uint32_t outcomes;         /* of all completions */
} RbFacts;

/* Flattens a chart. Domains are left for later: most charts never need one. */
void rb_facts_init(RbFacts *facts, const RbReadContext *context, const RbChart *chart);
void rb_facts_forget_outcomes(RbFacts *facts);
/* Bit s is set when the call has slot s, in any of its concepts. */
uint32_t rb_facts_slots(const RbFacts *facts);

/* domains.c: the domain of an unknown variable, built when it is first asked for. */
RbDomain *rb_domain_get(RbFacts *facts, RbVar var);

typedef struct {
    RbFacts *facts;
    bool guess;           /* false: an unknown variable is simply not answered… */
    bool missed;          /* …and that happened */
    int chosen[RB_VARS];  /* index in the domain; -1: not on the trail */
    RbVar trail[RB_VARS]; /* in the order in which they were asked */
    int n;
} RbInquiry;

void rb_inquiry_init(RbInquiry *inquiry, RbFacts *facts, bool guess);
/* False only without guessing, when the variable is unknown. */
bool rb_inquiry_ask(RbInquiry *inquiry, RbVar var, int64_t *value);
/* The value if it is already settled, else 0; never makes a choice. */
int64_t rb_inquiry_peek(const RbInquiry *inquiry, RbVar var);
/* Moves on to the next completion; false after the last. */
bool rb_inquiry_next(RbInquiry *inquiry);
/* Books outcomes on every variable from `first` to before `end`. */
void rb_inquiry_record(const RbInquiry *inquiry, RbVar first, RbVar end,
                       uint32_t outcomes);

/* The concepts that an order is built from, in reading order. */
typedef struct {
    const RbConcept *concept;
    int offset;   /* slot = number + offset */
    bool flipped; /* lies on the other side than RB_VAR_SIDE says */
} RbPart;

/* Returns how many parts; 0 when the concept worked is not known. */
int rb_parts_of_call(RbInquiry *inquiry, RbPart parts[2]);
/* The slot of a read's number; 0 when it has none. */
int rb_part_slot(const RbPart *part, int number);

/* conditions.c. The side a rule speaks of: fixed, or RB_VAR_SIDE, flipped or not. */
typedef struct {
    RbSide fixed;
    bool flipped;
} RbRuleSide;
RbSide rb_rule_side(RbInquiry *inquiry, RbRuleSide side); /* unknown without an answer */
bool rb_rule_matches(RbInquiry *inquiry, const RbRule *rule, RbRuleSide side);
/* True when the action must be decided from what is shown before the snap. */
bool rb_action_is_shown(RbActionKind action);
/* True when the condition speaks of something only seen after the snap. */
bool rb_condition_is_played(RbConditionKind kind);

/* pick.c. True when the call lets the quarterback choose a side. */
bool rb_call_offers_side(const RbReadContext *context, const RbChart *chart);
/* The side that rules and criteria pick; unknown when either is right. */
RbSide rb_pick_side(RbInquiry *inquiry, RbPickedBy *by);
bool rb_side_rule_matches(RbInquiry *inquiry, const RbRule *rule, RbSide *named);

/* plan.c. The order in force and what else the picture settles. */
typedef struct {
    bool has_concept;
    bool wrong_side;
    int hot_named; /* slot of the last hot rule, in force or not; 0 none */
    RbOrder order;
} RbPlan;
void rb_plan_make(RbInquiry *inquiry, RbPlan *plan);
bool rb_plan_equal(const RbPlan *a, const RbPlan *b); /* to every verdict */

/* decide.c: one completion. */
typedef struct {
    RbVerdict verdict;
    const RbRung *ball; /* nullable: the read it went to; set when `has_ball` */
    bool has_ball;
    const RbRung *right; /* nullable; set when `has_right` */
    bool has_right;
    bool right_in_time; /* the right read came before the pressure */
    bool fault_open;    /* the fault is not known: it could still have spoiled this */
} RbDecision;
void rb_decide(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision);
/* Sets ball and right read if they are not there yet. */
void rb_decide_right(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision);
bool rb_rung_is_open(RbInquiry *inquiry, const RbRung *rung);
bool rb_ball_is_throw(int64_t ball);

/* stage.c */
RbStage rb_stage_of(RbInquiry *inquiry, const RbPlan *plan, const RbDecision *decision);

/* reasons.c */
void rb_reasons_fill(const RbFacts *facts, RbJudgment *judgment);
RbTag rb_var_tag(RbVar var);
