/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/chart.h"
#include "rb/model/concept.h"
#include "rb/model/snap.h"
#include "rb/model/vocabulary.h"

/* The order in force: which reads stand, in which order, on which side, against one picture.
 *
 * Reads of a call are addressed by slot, 1 and up: for a single, mirrored or split call the
 * slot is the read's number in the concept worked; for an across call the first concept keeps
 * its numbers and the second's follow after the first's highest. Tags (chart.looks[slot - 1],
 * ball_read, fault_read) use slots. */

/* Everything one judgment needs besides the chart. All borrowed. */
typedef struct {
    const RbSnap *snap;
    const RbConcept *first;  /* nullable: not tagged or not in the playbook */
    const RbConcept *second; /* nullable: split and across calls */
    const GPtrArray *terms;  /* of RbTerm: coverage families */
    const RbFootwork *footwork;
} RbReadContext;

typedef struct {
    int slot;
    const RbRead *read; /* borrowed from the concept */
    RbRoute route;      /* after conversion */
    RbRunner runner;    /* after a change of runner */
    RbSide side;        /* of the field; unknown when it cannot be told */
    bool dead;          /* dropped or converted into a clear-out by a rule */
    bool outlet;
    int clock_ms; /* -1: none */
    int tolerance_ms;
} RbRung;

/* What told the sides apart. */
typedef enum {
    RB_PICKED_BY_NOTHING,
    RB_PICKED_BY_RULE,
    RB_PICKED_BY_FREE_ACCESS,
    RB_PICKED_BY_ROTATION, /* away from it */
    RB_PICKED_BY_FIELD,
    RB_PICKED_BY_BOUNDARY,
} RbPickedBy;

typedef struct {
    RbRung rungs[RB_READS_MAX]; /* live ones in order, the outlet last, then the dead */
    int n;
    int live;             /* how many of them are in force */
    int hot_slot;         /* 0: no hot read in force */
    RbTermId required;    /* adjustment the picture shown requires; 0 none */
    RbSide required_side; /* side the criteria pick; unknown: either is right */
    RbPickedBy picked_by;
    uint64_t matched; /* bit i: rule i of the concept worked matched */
} RbOrder;

/* Works out the order for a chart in which every field the concept's rules use is known; a
 * field that is unknown makes its condition false here. Completions are verdict.c's work.
 * False when there is no concept to read. */
bool rb_order_in_force(const RbReadContext *context, const RbChart *chart,
                       RbOrder *order);

/* The same as it stands once the first `rules` rules were applied, counted like the bits of
 * `matched`: 0 is the concept as it is written. For who tells the order step by step. */
bool rb_order_after(const RbReadContext *context, const RbChart *chart, int rules,
                    RbOrder *order);

/* The rule behind bit `index` of an order's `matched`. owner: (out) (nullable): its concept;
 * number: (out) (nullable): its number there, from 1. Returns: (transfer none) (nullable). */
const RbRule *rb_order_rule(const RbReadContext *context, const RbOrder *order, int index,
                            const RbConcept **owner, int *number);

/* Slots of the call in the concept's own order, before any rule: what the rail asks about.
 * Returns the number written, at most RB_READS_MAX. */
int rb_order_slots(const RbReadContext *context, const RbChart *chart,
                   RbRung rungs[RB_READS_MAX]);
