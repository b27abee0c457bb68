/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "exclude.h"

#include "terms.h"

bool rb_book_action_is_shown(RbActionKind action)
{
    return action == RB_DO_FRONT || action == RB_DO_REQUIRE_ADJUSTMENT ||
           action == RB_DO_RUNNER || action == RB_DO_SIDE;
}

bool rb_book_condition_is_played(RbConditionKind kind)
{
    return kind == RB_IF_COVERAGE || kind == RB_IF_FAMILY || kind == RB_IF_SAFETY_OVER ||
           kind == RB_IF_RUSHERS_AT_LEAST || kind == RB_IF_UNBLOCKED;
}

/* The values a condition allows of its field, as a range or as one word in or out. */
typedef struct {
    int64_t low;
    int64_t high;
} Range;

static bool is_numeric(RbConditionKind kind)
{
    return kind == RB_IF_CUSHION_AT_MOST || kind == RB_IF_CUSHION_AT_LEAST ||
           kind == RB_IF_RUSHERS_AT_LEAST || kind == RB_IF_DISTANCE_AT_MOST ||
           kind == RB_IF_DISTANCE_AT_LEAST;
}

/* One field has two kinds of condition: they are named by the first. */
static RbConditionKind field_of(RbConditionKind kind)
{
    if (kind == RB_IF_CUSHION_AT_LEAST) {
        return RB_IF_CUSHION_AT_MOST;
    }
    return kind == RB_IF_DISTANCE_AT_LEAST ? RB_IF_DISTANCE_AT_MOST : kind;
}

static Range range_of(const RbCondition *condition)
{
    const bool is_most = condition->kind == RB_IF_CUSHION_AT_MOST ||
                         condition->kind == RB_IF_DISTANCE_AT_MOST;
    if (is_most != condition->negated) {
        /* at most v, or not at least v */
        return (Range){ INT64_MIN, condition->value - (condition->negated ? 1 : 0) };
    }
    return (Range){ condition->value + (condition->negated ? 1 : 0), INT64_MAX };
}

static bool same_field(const RbCondition *a, const RbCondition *b)
{
    return field_of(a->kind) == field_of(b->kind) &&
           (!rb_book_condition_form(a->kind)->sided || a->where == b->where);
}

/* A coverage has one family; conditions on both are about one thing. */
static bool coverage_against_family(const RbCondition *a, const RbCondition *b,
                                    const GPtrArray *terms, bool *same)
{
    if (a->kind != RB_IF_COVERAGE || b->kind != RB_IF_FAMILY || a->negated) {
        return false;
    }
    const RbTerm *term = rb_vocabulary_find(terms, (RbTermId){ a->value });
    *same = term != NULL && (int64_t)term->family == b->value;
    return true;
}

/* Flags with two opposite values are both false without rotation or in the middle, so the
 * negation of one is not the other; words are told apart only by their values. */
static bool words_exclude(const RbCondition *a, const RbCondition *b)
{
    if (a->negated && b->negated) {
        return false;
    }
    if (a->negated != b->negated) {
        return a->value == b->value;
    }
    return a->value != b->value;
}

bool rb_book_excludes(const RbCondition *a, const RbCondition *b, const GPtrArray *terms)
{
    bool same = false;
    if (coverage_against_family(a, b, terms, &same) ||
        coverage_against_family(b, a, terms, &same)) {
        const bool negated = a->kind == RB_IF_FAMILY ? a->negated : b->negated;
        return same == negated;
    }
    if (!same_field(a, b)) {
        return false;
    }
    if (is_numeric(a->kind)) {
        const Range x = range_of(a);
        const Range y = range_of(b);
        return x.low > y.high || y.low > x.high;
    }
    return words_exclude(a, b);
}

bool rb_book_implies(const RbCondition *a, const RbCondition *b, const GPtrArray *terms)
{
    bool same = false;
    if (coverage_against_family(a, b, terms, &same)) {
        return same != b->negated;
    }
    if (!same_field(a, b)) {
        return false;
    }
    if (is_numeric(a->kind)) {
        const Range x = range_of(a);
        const Range y = range_of(b);
        return x.low >= y.low && x.high <= y.high;
    }
    if (a->negated == b->negated) {
        return a->value == b->value;
    }
    return b->negated && a->value != b->value;
}
