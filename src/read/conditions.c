/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Does a rule match the picture? An unknown that is not guessed makes its condition false,
 * negated or not. */
#include "inquiry.h"

bool rb_action_is_shown(RbActionKind action)
{
    switch (action) {
    case RB_DO_FRONT:
    case RB_DO_REQUIRE_ADJUSTMENT:
    case RB_DO_RUNNER:
    case RB_DO_SIDE:
        return true;
    case RB_DO_DROP:
    case RB_DO_CONVERT:
    case RB_DO_HOT:
        break;
    }
    return false;
}

bool rb_condition_is_played(RbConditionKind kind)
{
    switch (kind) {
    case RB_IF_COVERAGE:
    case RB_IF_FAMILY:
    case RB_IF_SAFETY_OVER:
    case RB_IF_RUSHERS_AT_LEAST:
    case RB_IF_UNBLOCKED:
        return true;
    case RB_IF_SHELL:
    case RB_IF_TECHNIQUE:
    case RB_IF_CUSHION_AT_MOST:
    case RB_IF_CUSHION_AT_LEAST:
    case RB_IF_SPLIT_AT_MOST:
    case RB_IF_SPLIT_AT_LEAST:
    case RB_IF_LEVERAGE:
    case RB_IF_ROTATION:
    case RB_IF_HASH:
    case RB_IF_FIELD_SIDE:
    case RB_IF_DOWN:
    case RB_IF_DISTANCE_AT_MOST:
    case RB_IF_DISTANCE_AT_LEAST:
    case RB_IF_WIDTH:
    case RB_IF_FORMATION:
    case RB_IF_STRONG_SIDE:
        break;
    }
    return false;
}

RbSide rb_rule_side(RbInquiry *inquiry, RbRuleSide side)
{
    if (side.fixed != RB_SIDE_UNKNOWN) {
        return side.fixed;
    }
    int64_t value = RB_SIDE_UNKNOWN;
    if (!rb_inquiry_ask(inquiry, RB_VAR_SIDE, &value)) {
        return RB_SIDE_UNKNOWN;
    }
    return side.flipped ? rb_side_other((RbSide)value) : (RbSide)value;
}

static RbSide place(RbInquiry *inquiry, RbWhere where, RbRuleSide side)
{
    switch (where) {
    case RB_WHERE_LEFT:
        return RB_SIDE_LEFT;
    case RB_WHERE_RIGHT:
        return RB_SIDE_RIGHT;
    case RB_WHERE_OTHER_SIDE:
        return rb_side_other(rb_rule_side(inquiry, side));
    case RB_WHERE_READ_SIDE:
        break;
    }
    return rb_rule_side(inquiry, side);
}

typedef enum { NO, YES, UNKNOWN } Answer;

static Answer answer(bool holds)
{
    return holds ? YES : NO;
}

static Answer equals(RbInquiry *inquiry, RbVar var, int64_t wanted)
{
    int64_t value = 0;
    return rb_inquiry_ask(inquiry, var, &value) ? answer(value == wanted) : UNKNOWN;
}

static Answer at_least(RbInquiry *inquiry, RbVar var, int64_t low)
{
    int64_t value = 0;
    return rb_inquiry_ask(inquiry, var, &value) ? answer(value >= low) : UNKNOWN;
}

static Answer at_most(RbInquiry *inquiry, RbVar var, int64_t high)
{
    int64_t value = 0;
    return rb_inquiry_ask(inquiry, var, &value) ? answer(value <= high) : UNKNOWN;
}

static Answer is_family(RbInquiry *inquiry, int64_t family)
{
    int64_t coverage = 0;
    if (!rb_inquiry_ask(inquiry, RB_VAR_COVERAGE, &coverage)) {
        return UNKNOWN;
    }
    const GPtrArray *terms = inquiry->facts->context->terms;
    const RbTerm *term =
        terms != NULL ? rb_vocabulary_find(terms, (RbTermId){ coverage }) : NULL;
    return answer(term != NULL && (int64_t)term->family == family);
}

/* Rotation left and right are numbered one above the sides of that name. */
static Answer rotates(RbInquiry *inquiry, RbVar var, RbSide side, bool toward)
{
    const RbSide wanted = toward ? side : rb_side_other(side);
    return equals(inquiry, var,
                  wanted == RB_SIDE_LEFT ? RB_ROTATION_LEFT : RB_ROTATION_RIGHT);
}

static Answer is_field_side(RbInquiry *inquiry, RbSide side, bool wide)
{
    int64_t hash = 0;
    if (!rb_inquiry_ask(inquiry, RB_VAR_HASH, &hash)) {
        return UNKNOWN;
    }
    const RbSide boundary = rb_hash_boundary((RbHash)hash);
    const RbSide wanted = wide ? rb_side_other(boundary) : boundary;
    return answer(boundary != RB_SIDE_UNKNOWN && wanted == side);
}

/* Variables of the two sides are numbered left, right. */
static RbVar sided(RbVar left, RbSide side)
{
    return side == RB_SIDE_LEFT ? left : left + 1;
}

static Answer on_side(RbInquiry *inquiry, const RbCondition *condition, RbSide side,
                      bool is_shown)
{
    const int64_t value = condition->value;
    switch ((int)condition->kind) {
    case RB_IF_TECHNIQUE:
        return equals(
            inquiry,
            sided(is_shown ? RB_VAR_TECHNIQUE_SHOWN_LEFT : RB_VAR_TECHNIQUE_PLAYED_LEFT,
                  side),
            value);
    case RB_IF_CUSHION_AT_MOST:
        return at_most(inquiry, sided(RB_VAR_CUSHION_LEFT, side), value);
    case RB_IF_CUSHION_AT_LEAST:
        return at_least(inquiry, sided(RB_VAR_CUSHION_LEFT, side), value);
    case RB_IF_SPLIT_AT_MOST:
        return at_most(inquiry, sided(RB_VAR_SPLIT_LEFT, side), value);
    case RB_IF_SPLIT_AT_LEAST:
        return at_least(inquiry, sided(RB_VAR_SPLIT_LEFT, side), value);
    case RB_IF_LEVERAGE:
        return equals(inquiry, sided(RB_VAR_LEVERAGE_LEFT, side), value);
    case RB_IF_SAFETY_OVER:
        return equals(inquiry, sided(RB_VAR_SAFETY_LEFT, side), value);
    case RB_IF_ROTATION:
        return rotates(inquiry, is_shown ? RB_VAR_ROTATION_SHOWN : RB_VAR_ROTATION_PLAYED,
                       side, value == 1);
    case RB_IF_UNBLOCKED:
        return equals(inquiry, RB_VAR_UNBLOCKED, side);
    case RB_IF_FIELD_SIDE:
        return is_field_side(inquiry, side, value == 1);
    default: /* RB_IF_STRONG_SIDE */
        return equals(inquiry, RB_VAR_STRONG, value == 1 ? side : rb_side_other(side));
    }
}

static Answer holds(RbInquiry *inquiry, const RbRule *rule, const RbCondition *condition,
                    RbRuleSide rule_side)
{
    const int64_t value = condition->value;
    switch (condition->kind) {
    case RB_IF_SHELL:
        return equals(inquiry, RB_VAR_SHELL, value);
    case RB_IF_COVERAGE:
        return equals(inquiry, RB_VAR_COVERAGE, value);
    case RB_IF_FAMILY:
        return is_family(inquiry, value);
    case RB_IF_RUSHERS_AT_LEAST:
        return at_least(inquiry, RB_VAR_RUSHERS, value);
    case RB_IF_HASH:
        return equals(inquiry, RB_VAR_HASH, value);
    case RB_IF_DOWN:
        return equals(inquiry, RB_VAR_DOWN, value);
    case RB_IF_DISTANCE_AT_MOST:
        return at_most(inquiry, RB_VAR_DISTANCE, value);
    case RB_IF_DISTANCE_AT_LEAST:
        return at_least(inquiry, RB_VAR_DISTANCE, value);
    case RB_IF_WIDTH:
        return equals(inquiry, RB_VAR_WIDTH, value);
    case RB_IF_FORMATION:
        return equals(inquiry, RB_VAR_FORMATION, value);
    case RB_IF_TECHNIQUE:
    case RB_IF_CUSHION_AT_MOST:
    case RB_IF_CUSHION_AT_LEAST:
    case RB_IF_SPLIT_AT_MOST:
    case RB_IF_SPLIT_AT_LEAST:
    case RB_IF_LEVERAGE:
    case RB_IF_SAFETY_OVER:
    case RB_IF_ROTATION:
    case RB_IF_UNBLOCKED:
    case RB_IF_FIELD_SIDE:
    case RB_IF_STRONG_SIDE:
        break;
    }
    const RbSide side = place(inquiry, condition->where, rule_side);
    if (side == RB_SIDE_UNKNOWN) {
        return UNKNOWN;
    }
    return on_side(inquiry, condition, side, rb_action_is_shown(rule->action));
}

bool rb_rule_matches(RbInquiry *inquiry, const RbRule *rule, RbRuleSide side)
{
    const bool is_shown = rb_action_is_shown(rule->action);
    for (guint i = 0; i < rule->conditions->len; i++) {
        const RbCondition *condition = &g_array_index(rule->conditions, RbCondition, i);
        if (is_shown && rb_condition_is_played(condition->kind)) {
            return false; /* it cannot be known in time */
        }
    }
    for (guint i = 0; i < rule->conditions->len; i++) {
        const RbCondition *condition = &g_array_index(rule->conditions, RbCondition, i);
        const Answer found = holds(inquiry, rule, condition, side);
        if (found == UNKNOWN || (found == YES) == condition->negated) {
            return false;
        }
    }
    return true;
}
