/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Why: parts in the order in which a coach would say them. */
#include "inquiry.h"

enum { REASONS_MAX = G_N_ELEMENTS(((RbJudgment *)0)->reasons), RULES_MAX = 4 };

/* The last place is kept for what would settle it. */
static void add(RbJudgment *judgment, const RbReason *reason)
{
    if (judgment->n_reasons < REASONS_MAX - 1 || reason->kind == RB_REASON_SETTLE) {
        judgment->reasons[judgment->n_reasons++] = *reason;
    }
}

static const RbRung *rung_of(const RbOrder *order, int slot)
{
    for (int i = 0; i < order->n; i++) {
        if (order->rungs[i].slot == slot) {
            return &order->rungs[i];
        }
    }
    return NULL;
}

static RbLook look_at(const RbFacts *facts, int slot)
{
    return slot >= 1 && slot <= RB_READS_MAX ? facts->chart->looks[slot - 1]
                                             : RB_LOOK_UNKNOWN;
}

static void add_rules(RbJudgment *judgment)
{
    uint64_t left = judgment->order.matched;
    for (int n = 0; left != 0 && n < RULES_MAX; n++) {
        add(judgment,
            &(RbReason){ .kind = RB_REASON_RULE, .index = __builtin_ctzll(left) });
        left &= left - 1;
    }
}

/* A cushion or split on one side, as the chart has it. */
typedef struct {
    RbTagKind tag;
    RbReasonKind reason;
    RbConditionKind most;
    RbConditionKind least;
} Yards;

static const Yards yards[] = {
    { RB_TAG_CUSHION, RB_REASON_CUSHION, RB_IF_CUSHION_AT_MOST, RB_IF_CUSHION_AT_LEAST },
    { RB_TAG_SPLIT, RB_REASON_SPLIT, RB_IF_SPLIT_AT_MOST, RB_IF_SPLIT_AT_LEAST },
};

static bool asks_free_access(const RbConcept *concept)
{
    for (guint i = 0; i < concept->picks->len; i++) {
        if (g_array_index(concept->picks, RbPick, i).kind == RB_PICK_FREE_ACCESS) {
            return true;
        }
    }
    return false;
}

static bool asks(const RbConcept *concept, const Yards *of)
{
    if (concept == NULL) {
        return false;
    }
    for (guint r = 0; r < concept->rules->len; r++) {
        const RbRule *rule = g_ptr_array_index(concept->rules, r);
        for (guint i = 0; i < rule->conditions->len; i++) {
            const RbConditionKind kind =
                g_array_index(rule->conditions, RbCondition, i).kind;
            if (kind == of->most || kind == of->least) {
                return true;
            }
        }
    }
    return of->tag == RB_TAG_CUSHION && asks_free_access(concept);
}

/* Tenths of a yard and their plus or minus; false when it was not measured. */
static bool get_measured(const RbFacts *facts, RbTagKind tag, RbSide side, int *tenths,
                         int *pm)
{
    const RbPictureShown *shown = &facts->chart->shown;
    const RbSideShown *one = side == RB_SIDE_LEFT ? &shown->left : &shown->right;
    const bool is_cushion = tag == RB_TAG_CUSHION;
    *tenths = is_cushion ? one->cushion_tenths : one->split_tenths;
    *pm = is_cushion ? one->cushion_pm_tenths : one->split_pm_tenths;
    return *tenths >= 0 && *pm > 0;
}

/* Measured ones, where the playbook asks for one; the one that leaves the verdict open is told with
 * what would settle it. */
static void add_measured(const RbFacts *facts, const Yards *of, RbJudgment *judgment)
{
    if (!asks(facts->context->first, of) && !asks(facts->context->second, of)) {
        return;
    }
    for (RbSide side = RB_SIDE_LEFT; side <= RB_SIDE_RIGHT; side++) {
        RbReason reason = { .kind = of->reason, .side = side };
        const bool settles =
            judgment->settle.kind == of->tag && judgment->settle.side == side;
        if (get_measured(facts, of->tag, side, &reason.value, &reason.extra) &&
            !settles) {
            add(judgment, &reason);
        }
    }
}

static void add_settle(const RbFacts *facts, RbJudgment *judgment)
{
    RbReason reason = { .kind = RB_REASON_SETTLE, .tag = judgment->settle };
    const bool in_yards =
        reason.tag.kind == RB_TAG_CUSHION || reason.tag.kind == RB_TAG_SPLIT;
    if (in_yards && !get_measured(facts, reason.tag.kind, reason.tag.side, &reason.value,
                                  &reason.extra)) {
        reason.value = reason.extra = 0;
    }
    add(judgment, &reason);
}

static void add_before_snap(const RbFacts *facts, RbJudgment *judgment)
{
    if (judgment->verdict == RB_VERDICT_SPOILED) {
        add(judgment, &(RbReason){ .kind = RB_REASON_FAULT,
                                   .slot = facts->chart->fault_read,
                                   .value = facts->chart->fault });
    }
    if (judgment->verdict == RB_VERDICT_MISSED_ADJUSTMENT) {
        add(judgment, &(RbReason){ .kind = RB_REASON_ADJUSTMENT,
                                   .term = judgment->order.required });
    }
    if (judgment->order.required_side != RB_SIDE_UNKNOWN) {
        add(judgment, &(RbReason){ .kind = RB_REASON_SIDE,
                                   .side = judgment->order.required_side,
                                   .value = (int)judgment->order.picked_by });
    }
    if (judgment->order.hot_slot != 0) {
        add(judgment,
            &(RbReason){ .kind = RB_REASON_HOT, .slot = judgment->order.hot_slot });
    }
}

static bool all_covered(const RbFacts *facts, const RbOrder *order)
{
    for (int i = 0; i < order->live; i++) {
        if (look_at(facts, order->rungs[i].slot) != RB_LOOK_COVERED) {
            return false;
        }
    }
    return order->live > 0;
}

static void add_looks(const RbFacts *facts, RbJudgment *judgment)
{
    const int right = judgment->right_slot;
    if (look_at(facts, right) == RB_LOOK_OPEN) {
        add(judgment, &(RbReason){ .kind = RB_REASON_OPEN, .slot = right });
    } else if (all_covered(facts, &judgment->order)) {
        add(judgment, &(RbReason){ .kind = RB_REASON_NOTHING_OPEN });
    }
    const RbRung *ball = rung_of(&judgment->order, judgment->ball_slot);
    if (ball != NULL && ball->dead) {
        add(judgment, &(RbReason){ .kind = RB_REASON_DEAD, .slot = ball->slot });
    } else if (ball != NULL && look_at(facts, ball->slot) == RB_LOOK_COVERED) {
        add(judgment, &(RbReason){ .kind = RB_REASON_COVERED, .slot = ball->slot });
    } else if (ball != NULL && ball->slot != right &&
               look_at(facts, ball->slot) == RB_LOOK_OPEN) {
        add(judgment, &(RbReason){ .kind = RB_REASON_OPEN, .slot = ball->slot });
    }
}

static void add_ball(const RbFacts *facts, RbJudgment *judgment)
{
    const RbChart *chart = facts->chart;
    if (judgment->ball_slot != 0) {
        add(judgment, &(RbReason){ .kind = RB_REASON_BALL,
                                   .slot = judgment->ball_slot,
                                   .ms = chart->release_ms,
                                   .extra_ms = chart->release_pm_ms });
    } else if (chart->ball != RB_BALL_UNKNOWN) {
        add(judgment, &(RbReason){ .kind = RB_REASON_BALL_OTHER,
                                   .value = chart->ball,
                                   .ms = chart->release_ms,
                                   .extra_ms = chart->release_pm_ms });
    }
    const int timed =
        judgment->right_slot != 0 ? judgment->right_slot : judgment->ball_slot;
    const RbRung *rung = rung_of(&judgment->order, timed);
    if (rung != NULL && rung->clock_ms >= 0) {
        add(judgment, &(RbReason){ .kind = RB_REASON_CLOCK,
                                   .slot = timed,
                                   .ms = rung->clock_ms,
                                   .extra_ms = rung->tolerance_ms });
    }
    if (chart->pressure == RB_PRESSURE_CAME) {
        add(judgment,
            &(RbReason){ .kind = RB_REASON_PRESSURE, .ms = chart->pressure_ms });
    }
}

void rb_reasons_fill(const RbFacts *facts, RbJudgment *judgment)
{
    if (judgment->order.n == 0 && judgment->settle.kind == RB_TAG_CONCEPT) {
        add(judgment, &(RbReason){ .kind = RB_REASON_NO_CONCEPT });
        return;
    }
    add_rules(judgment);
    if (judgment->order.live > 0) {
        add(judgment, &(RbReason){ .kind = RB_REASON_ORDER });
    }
    for (size_t i = 0; i < G_N_ELEMENTS(yards); i++) {
        add_measured(facts, &yards[i], judgment);
    }
    add_before_snap(facts, judgment);
    add_looks(facts, judgment);
    add_ball(facts, judgment);
    if (judgment->settle.kind != RB_TAG_NONE) {
        add_settle(facts, judgment);
    }
}

RbTag rb_var_tag(RbVar var)
{
    static const RbTag tags[RB_VARS] = {
        [RB_VAR_SIDE] = { RB_TAG_SIDE_WORKED, 0, 0 },
        [RB_VAR_SHELL] = { RB_TAG_SHELL, 0, 0 },
        [RB_VAR_ROTATION_SHOWN] = { RB_TAG_ROTATION_SHOWN, 0, 0 },
        [RB_VAR_TECHNIQUE_SHOWN_LEFT] = { RB_TAG_TECHNIQUE_SHOWN, 0, RB_SIDE_LEFT },
        [RB_VAR_TECHNIQUE_SHOWN_RIGHT] = { RB_TAG_TECHNIQUE_SHOWN, 0, RB_SIDE_RIGHT },
        [RB_VAR_CUSHION_LEFT] = { RB_TAG_CUSHION, 0, RB_SIDE_LEFT },
        [RB_VAR_CUSHION_RIGHT] = { RB_TAG_CUSHION, 0, RB_SIDE_RIGHT },
        [RB_VAR_SPLIT_LEFT] = { RB_TAG_SPLIT, 0, RB_SIDE_LEFT },
        [RB_VAR_SPLIT_RIGHT] = { RB_TAG_SPLIT, 0, RB_SIDE_RIGHT },
        [RB_VAR_LEVERAGE_LEFT] = { RB_TAG_LEVERAGE, 0, RB_SIDE_LEFT },
        [RB_VAR_LEVERAGE_RIGHT] = { RB_TAG_LEVERAGE, 0, RB_SIDE_RIGHT },
        [RB_VAR_COVERAGE] = { RB_TAG_COVERAGE, 0, 0 },
        [RB_VAR_ROTATION_PLAYED] = { RB_TAG_ROTATION_PLAYED, 0, 0 },
        [RB_VAR_TECHNIQUE_PLAYED_LEFT] = { RB_TAG_TECHNIQUE_PLAYED, 0, RB_SIDE_LEFT },
        [RB_VAR_TECHNIQUE_PLAYED_RIGHT] = { RB_TAG_TECHNIQUE_PLAYED, 0, RB_SIDE_RIGHT },
        [RB_VAR_SAFETY_LEFT] = { RB_TAG_SAFETY_OVER, 0, RB_SIDE_LEFT },
        [RB_VAR_SAFETY_RIGHT] = { RB_TAG_SAFETY_OVER, 0, RB_SIDE_RIGHT },
        [RB_VAR_RUSHERS] = { RB_TAG_RUSHERS, 0, 0 },
        [RB_VAR_UNBLOCKED] = { RB_TAG_UNBLOCKED, 0, 0 },
        [RB_VAR_HASH] = { RB_TAG_HASH, 0, 0 },
        [RB_VAR_DOWN] = { RB_TAG_DOWN, 0, 0 },
        [RB_VAR_DISTANCE] = { RB_TAG_DISTANCE, 0, 0 },
        [RB_VAR_WIDTH] = { RB_TAG_WIDTH, 0, 0 },
        [RB_VAR_FORMATION] = { RB_TAG_FORMATION, 0, 0 },
        [RB_VAR_STRONG] = { RB_TAG_STRONG, 0, 0 },
        [RB_VAR_ADJUSTMENT] = { RB_TAG_ADJUSTMENT, 0, 0 },
        [RB_VAR_BALL] = { RB_TAG_BALL, 0, 0 },
        [RB_VAR_RELEASE] = { RB_TAG_RELEASE, 0, 0 },
        [RB_VAR_PRESSURE] = { RB_TAG_PRESSURE, 0, 0 },
        [RB_VAR_CONTACT] = { RB_TAG_CONTACT, 0, 0 },
        [RB_VAR_THROW] = { RB_TAG_THROW, 0, 0 },
        [RB_VAR_CATCH] = { RB_TAG_CATCH, 0, 0 },
        [RB_VAR_FAULT] = { RB_TAG_FAULT, 0, 0 },
    };
    if (var >= RB_VAR_LOOK_1 && var <= RB_VAR_LOOK_8) {
        return (RbTag){ RB_TAG_LOOK, (int)(var - RB_VAR_LOOK_1) + 1, RB_SIDE_UNKNOWN };
    }
    return tags[var];
}
