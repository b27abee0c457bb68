/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/rail.h"

/* One question of the rail: rail-steps.c has the table, rail-options.c makes the choices. */
typedef struct {
    const char *token;
    const char *label;
    RbAskPass pass;
    const char *fields[RB_LIKELY_FIELDS_MAX]; /* asked together */
    bool sides;                               /* the two fields are left and right */
    bool fact; /* asked of every snap, not only of a dropback */
} RbStep;

const RbStep *rb_rail_steps(int *n);

/* The options of a step, in the order of the lists; keys given, not ranked. fields: those of
 * the step that are asked. */
GPtrArray *rb_rail_options(const RbStep *step, const RbRailView *view,
                           const RbLikelyFields *fields);
/* Gives shares by what is likely and puts the likeliest first. */
void rb_rail_rank(GPtrArray *options, const RbRailView *view,
                  const RbLikelyFields *fields);
/* Keys by the order of the lists, so that they keep their places whatever is likely. */
void rb_rail_give_keys(GPtrArray *options);
/* Of a concept's ways to be called the likeliest gets its key, the next the capital. */
void rb_rail_share_keys(GPtrArray *options);

RbOption *rb_option_new(const char *label);
/* Returns the option. A tag that is there already stays. */
RbOption *rb_option_add(RbOption *option, const char *field, const char *value);
