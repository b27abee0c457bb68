/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which side should be worked: from the picture shown, never from what was done. */
#include "inquiry.h"

static bool has_side_rule(const RbConcept *concept)
{
    for (guint i = 0; i < concept->rules->len; i++) {
        const RbRule *rule = g_ptr_array_index(concept->rules, i);
        if (rule->action == RB_DO_SIDE) {
            return true;
        }
    }
    return false;
}

bool rb_call_offers_side(const RbReadContext *context, const RbChart *chart)
{
    switch (chart->call.kind) {
    case RB_CALL_MIRRORED:
    case RB_CALL_SPLIT:
        return true;
    case RB_CALL_ACROSS:
        return false;
    case RB_CALL_UNKNOWN:
    case RB_CALL_SINGLE:
        break;
    }
    /* A full-field concept with criteria is worked to one side or the other. */
    const RbConcept *concept = context->first;
    return concept != NULL && concept->full_field &&
           (concept->picks->len > 0 || has_side_rule(concept));
}

/* LEFT and RIGHT are those; the read's side is the strong side, the other side the weak. */
static RbSide named_side(RbInquiry *inquiry, RbWhere where)
{
    int64_t strong = RB_SIDE_UNKNOWN;
    switch (where) {
    case RB_WHERE_LEFT:
        return RB_SIDE_LEFT;
    case RB_WHERE_RIGHT:
        return RB_SIDE_RIGHT;
    case RB_WHERE_READ_SIDE:
        rb_inquiry_ask(inquiry, RB_VAR_STRONG, &strong);
        return (RbSide)strong;
    case RB_WHERE_OTHER_SIDE:
        rb_inquiry_ask(inquiry, RB_VAR_STRONG, &strong);
        break;
    }
    return rb_side_other((RbSide)strong);
}

bool rb_side_rule_matches(RbInquiry *inquiry, const RbRule *rule, RbSide *named)
{
    *named = named_side(inquiry, rule->where);
    return *named != RB_SIDE_UNKNOWN &&
           rb_rule_matches(inquiry, rule, (RbRuleSide){ *named, false });
}

static RbSide side_by_rules(RbInquiry *inquiry, const RbConcept *concept)
{
    RbSide picked = RB_SIDE_UNKNOWN;
    for (guint i = 0; i < concept->rules->len; i++) {
        const RbRule *rule = g_ptr_array_index(concept->rules, i);
        RbSide named = RB_SIDE_UNKNOWN;
        if (rule->action == RB_DO_SIDE && rb_side_rule_matches(inquiry, rule, &named)) {
            picked = named;
        }
    }
    return picked;
}

static bool is_free(RbInquiry *inquiry, int i, int cushion_tenths)
{
    int64_t technique = 0;
    int64_t cushion = 0;
    return rb_inquiry_ask(inquiry, RB_VAR_TECHNIQUE_SHOWN_LEFT + i, &technique) &&
           technique == RB_TECHNIQUE_OFF &&
           rb_inquiry_ask(inquiry, RB_VAR_CUSHION_LEFT + i, &cushion) &&
           cushion >= cushion_tenths;
}

static RbSide side_by_pick(RbInquiry *inquiry, const RbPick *pick)
{
    int64_t value = 0;
    switch (pick->kind) {
    case RB_PICK_FREE_ACCESS: {
        const bool left = is_free(inquiry, 0, pick->cushion_tenths);
        const bool right = is_free(inquiry, 1, pick->cushion_tenths);
        return left == right ? RB_SIDE_UNKNOWN : left ? RB_SIDE_LEFT : RB_SIDE_RIGHT;
    }
    case RB_PICK_AWAY_FROM_ROTATION:
        if (!rb_inquiry_ask(inquiry, RB_VAR_ROTATION_SHOWN, &value) ||
            value == RB_ROTATION_NONE) {
            return RB_SIDE_UNKNOWN;
        }
        return value == RB_ROTATION_LEFT ? RB_SIDE_RIGHT : RB_SIDE_LEFT;
    case RB_PICK_FIELD:
        rb_inquiry_ask(inquiry, RB_VAR_HASH, &value);
        return rb_side_other(rb_hash_boundary((RbHash)value));
    case RB_PICK_BOUNDARY:
        rb_inquiry_ask(inquiry, RB_VAR_HASH, &value);
        break;
    }
    return rb_hash_boundary((RbHash)value);
}

static RbPickedBy picked_by(RbPickKind kind)
{
    switch (kind) {
    case RB_PICK_FREE_ACCESS:
        return RB_PICKED_BY_FREE_ACCESS;
    case RB_PICK_AWAY_FROM_ROTATION:
        return RB_PICKED_BY_ROTATION;
    case RB_PICK_FIELD:
        return RB_PICKED_BY_FIELD;
    case RB_PICK_BOUNDARY:
        break;
    }
    return RB_PICKED_BY_BOUNDARY;
}

/* What one concept picks: the staff's own rules before the criteria, and of those the first
 * that tells the sides apart. */
static RbSide side_by_concept(RbInquiry *inquiry, const RbConcept *concept,
                              RbPickedBy *by)
{
    *by = RB_PICKED_BY_NOTHING;
    if (concept == NULL) {
        return RB_SIDE_UNKNOWN;
    }
    RbSide side = side_by_rules(inquiry, concept);
    *by = side != RB_SIDE_UNKNOWN ? RB_PICKED_BY_RULE : RB_PICKED_BY_NOTHING;
    for (guint i = 0; i < concept->picks->len && side == RB_SIDE_UNKNOWN; i++) {
        const RbPick *pick = &g_array_index(concept->picks, RbPick, i);
        side = side_by_pick(inquiry, pick);
        *by = side != RB_SIDE_UNKNOWN ? picked_by(pick->kind) : RB_PICKED_BY_NOTHING;
    }
    return side;
}

RbSide rb_pick_side(RbInquiry *inquiry, RbPickedBy *by)
{
    const RbReadContext *context = inquiry->facts->context;
    const RbChart *chart = inquiry->facts->chart;
    *by = RB_PICKED_BY_NOTHING;
    if (!rb_call_offers_side(context, chart)) {
        return RB_SIDE_UNKNOWN;
    }
    const RbSide first = side_by_concept(inquiry, context->first, by);
    if (chart->call.kind != RB_CALL_SPLIT) {
        return first;
    }
    /* Two concepts that pick against each other leave either side right. */
    RbPickedBy second_by = RB_PICKED_BY_NOTHING;
    const RbSide second = side_by_concept(inquiry, context->second, &second_by);
    if (first == RB_SIDE_UNKNOWN) {
        *by = second_by;
        return second;
    }
    if (second == RB_SIDE_UNKNOWN || first == second) {
        return first;
    }
    *by = RB_PICKED_BY_NOTHING;
    return RB_SIDE_UNKNOWN;
}
