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
           kind == RB_IF_SPLIT_AT_MOST || kind == RB_IF_SPLIT_AT_LEAST ||
           kind == RB_IF_RUSHERS_AT_LEAST || kind == RB_IF_DISTANCE_AT_MOST ||
           kind == RB_IF_DISTANCE_AT_LEAST;
}

/* One field has two kinds of condition: they are named by the first. */
static RbConditionKind field_of(RbConditionKind kind)
{
    if (kind == RB_IF_CUSHION_AT_LEAST) {
        return RB_IF_CUSHION_AT_MOST;
    }
    if (kind == RB_IF_SPLIT_AT_LEAST) {
        return RB_IF_SPLIT_AT_MOST;
    }
    return kind == RB_IF_DISTANCE_AT_LEAST ? RB_IF_DISTANCE_AT_MOST : kind;
}

static Range range_of(const RbCondition *condition)
{
    const bool is_most = condition->kind == RB_IF_CUSHION_AT_MOST ||
                         condition->kind == RB_IF_SPLIT_AT_MOST ||
                         condition->kind == RB_IF_DISTANCE_AT_MOST;
    if (is_most != condition->negated) {
        /* at most v, or not at least v */
        return (Range){ INT64_MIN, condition->value - (condition->negated ? 1 : 0) };
    }
    return (Range){ condition->value + (condition->negated ? 1 : 0), INT64_MAX };
}

/* The same said of the other of two sides: away from one is toward the other. */
static RbWhere opposite(RbWhere where)
{
    switch (where) {
    case RB_WHERE_READ_SIDE:
        return RB_WHERE_OTHER_SIDE;
    case RB_WHERE_OTHER_SIDE:
        return RB_WHERE_READ_SIDE;
    case RB_WHERE_LEFT:
        return RB_WHERE_RIGHT;
    case RB_WHERE_RIGHT:
        break;
    }
    return RB_WHERE_LEFT;
}

/* One of the ways in which the same condition can be said: of its own or the left side, and of a
 * safety without "not". */
static RbCondition plainly(const RbCondition *condition)
{
    RbCondition plain = *condition;
    if (plain.kind == RB_IF_SAFETY_OVER && plain.negated) {
        plain.negated = false;
        plain.value = plain.value == RB_YES ? RB_NO : RB_YES;
    }
    if (plain.kind == RB_IF_UNBLOCKED) {
        plain.value = 1;
    }
    const bool of_two_sides =
        plain.kind == RB_IF_ROTATION || plain.kind == RB_IF_UNBLOCKED ||
        plain.kind == RB_IF_FIELD_SIDE || plain.kind == RB_IF_STRONG_SIDE;
    if (of_two_sides &&
        (plain.where == RB_WHERE_OTHER_SIDE || plain.where == RB_WHERE_RIGHT)) {
        plain.where = opposite(plain.where);
        plain.value = plain.value == 1 ? 0 : 1;
    }
    if (plain.kind == RB_IF_FIELD_SIDE && plain.where == RB_WHERE_LEFT) {
        plain.kind = RB_IF_HASH; /* the left is the field from the right hash */
        plain.where = RB_WHERE_READ_SIDE;
        plain.value = plain.value == 1 ? RB_HASH_RIGHT : RB_HASH_LEFT;
    }
    return plain;
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

/* In the middle there is neither field nor boundary. */
static bool middle_against_side(const RbCondition *a, const RbCondition *b)
{
    return a->kind == RB_IF_HASH && a->value == RB_HASH_MIDDLE && !a->negated &&
           b->kind == RB_IF_FIELD_SIDE && !b->negated;
}

bool rb_book_is_impossible(const RbCondition *condition)
{
    const RbConditionForm *form = rb_book_condition_form(condition->kind);
    if (!is_numeric(condition->kind)) {
        return false;
    }
    const Range range = range_of(condition);
    return range.low > form->high || range.high < form->low;
}

bool rb_book_excludes(const RbCondition *one, const RbCondition *other,
                      const GPtrArray *terms)
{
    const RbCondition plain[] = { plainly(one), plainly(other) };
    const RbCondition *a = &plain[0];
    const RbCondition *b = &plain[1];
    bool same = false;
    if (coverage_against_family(a, b, terms, &same) ||
        coverage_against_family(b, a, terms, &same)) {
        const bool negated = a->kind == RB_IF_FAMILY ? a->negated : b->negated;
        return same == negated;
    }
    if (middle_against_side(a, b) || middle_against_side(b, a)) {
        return true;
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

bool rb_book_implies(const RbCondition *given, const RbCondition *wanted,
                     const GPtrArray *terms)
{
    RbCondition denied = *wanted;
    denied.negated = !denied.negated;
    return rb_book_is_impossible(&denied) || rb_book_excludes(given, &denied, terms);
}
