/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order in force. Rules are applied from the first to the last; where two speak of the
 * same thing, the later one stands. */
#include <stdlib.h>

#include "inquiry.h"

/* A rung while the rules are applied. */
typedef struct {
    RbRung rung;
    int part;
    int front; /* when it was brought to the front; 0 never */
    int place; /* before any rule */
} Draft;

typedef struct {
    Draft drafts[RB_READS_MAX];
    int n;
    int fronts;
    int hot_slot;
} Drafts;

static Draft *find_draft(Drafts *drafts, int slot)
{
    for (int i = 0; i < drafts->n; i++) {
        if (drafts->drafts[i].rung.slot == slot) {
            return &drafts->drafts[i];
        }
    }
    return NULL;
}

static RbRuleSide side_of_read(const RbPart *part, const RbRead *read)
{
    const bool other = read != NULL && read->side == RB_READ_SIDE_OTHER;
    return (RbRuleSide){ RB_SIDE_UNKNOWN, part->flipped != other };
}

static RbRung make_rung(const RbInquiry *inquiry, const RbPart *part, const RbRead *read)
{
    const RbReadContext *context = inquiry->facts->context;
    const RbFootwork *footwork =
        context->footwork != NULL ? context->footwork : rb_footwork_defaults();
    const RbSide worked = (RbSide)rb_inquiry_peek(inquiry, RB_VAR_SIDE);
    int ms = -1;
    if (!rb_clock_ms(&read->clock, footwork, &ms)) {
        ms = -1;
    }
    return (RbRung){
        .slot = rb_part_slot(part, read->number),
        .read = read,
        .route = read->route,
        .runner = read->runner,
        .side = side_of_read(part, read).flipped ? rb_side_other(worked) : worked,
        .dead = read->clear_out,
        .outlet = read->outlet,
        .clock_ms = ms,
        .tolerance_ms = MAX(read->clock.tolerance_ms, 0),
    };
}

static void draft_part(const RbInquiry *inquiry, const RbPart *part, int index,
                       Drafts *drafts)
{
    for (guint i = 0; i < part->concept->reads->len; i++) {
        const RbRead *read = g_ptr_array_index(part->concept->reads, i);
        const int slot = rb_part_slot(part, read->number);
        if (slot != 0 && find_draft(drafts, slot) == NULL) {
            drafts->drafts[drafts->n] =
                (Draft){ make_rung(inquiry, part, read), index, 0, drafts->n };
            drafts->n++;
        }
    }
}

/* A hot rule that does not say where the rusher comes from means the side of its read. */
static bool rusher_is_free(RbInquiry *inquiry, const RbRule *rule, RbRuleSide side)
{
    int64_t from = RB_SIDE_UNKNOWN;
    if (!rb_inquiry_ask(inquiry, RB_VAR_UNBLOCKED, &from) || from == RB_SIDE_UNKNOWN) {
        return false;
    }
    for (guint i = 0; i < rule->conditions->len; i++) {
        if (g_array_index(rule->conditions, RbCondition, i).kind == RB_IF_UNBLOCKED) {
            return true;
        }
    }
    return rb_rule_side(inquiry, side) == (RbSide)from;
}

/* While completions are counted, a rule that cannot change a verdict is not worth asking for. */
static bool is_idle(const RbInquiry *inquiry, const RbRule *rule, const Draft *draft)
{
    if (!inquiry->guess) {
        return false;
    }
    switch (rule->action) {
    case RB_DO_RUNNER:
        return true;
    case RB_DO_DROP:
        return draft->rung.dead;
    case RB_DO_CONVERT:
        return draft->rung.dead == rule->clear_out;
    case RB_DO_FRONT:
        return draft->rung.outlet;
    case RB_DO_HOT:
    case RB_DO_REQUIRE_ADJUSTMENT:
    case RB_DO_SIDE:
        break;
    }
    return false;
}

static void change_draft(const RbRule *rule, Draft *draft, Drafts *drafts)
{
    switch (rule->action) {
    case RB_DO_DROP:
        draft->rung.dead = true;
        break;
    case RB_DO_CONVERT:
        draft->rung.route = rule->route;
        draft->rung.dead = rule->clear_out;
        break;
    case RB_DO_FRONT:
        draft->front = ++drafts->fronts;
        break;
    case RB_DO_RUNNER:
        draft->rung.runner = rule->runner;
        break;
    case RB_DO_HOT:
        drafts->hot_slot = draft->rung.slot;
        break;
    case RB_DO_REQUIRE_ADJUSTMENT:
    case RB_DO_SIDE:
        break;
    }
}

static bool apply_rule(RbInquiry *inquiry, const RbPart *part, const RbRule *rule,
                       Drafts *drafts, RbPlan *plan)
{
    const RbRead *read = rb_concept_find_read(part->concept, rule->read);
    const RbRuleSide side = side_of_read(part, read);
    if (rule->action == RB_DO_SIDE) {
        /* The side itself was picked before; this only tells whether the rule spoke. */
        RbSide named = RB_SIDE_UNKNOWN;
        return !inquiry->guess &&
               rb_call_offers_side(inquiry->facts->context, inquiry->facts->chart) &&
               rb_side_rule_matches(inquiry, rule, &named);
    }
    if (rule->action == RB_DO_REQUIRE_ADJUSTMENT) {
        if (!rb_rule_matches(inquiry, rule, side)) {
            return false;
        }
        plan->order.required = rule->adjustment;
        return true;
    }
    Draft *draft = find_draft(drafts, rb_part_slot(part, rule->read));
    if (draft == NULL) {
        return false;
    }
    if (rule->action == RB_DO_HOT) {
        plan->hot_named = draft->rung.slot;
    }
    if (is_idle(inquiry, rule, draft) || !rb_rule_matches(inquiry, rule, side) ||
        (rule->action == RB_DO_HOT && !rusher_is_free(inquiry, rule, side))) {
        return false;
    }
    change_draft(rule, draft, drafts);
    return true;
}

/* Live reads first, the outlet after them, the dead last; of the live, the first concept's
 * before the second's, and what was brought to the front last stands first. */
static int compare_drafts(const void *a, const void *b)
{
    const Draft *x = a;
    const Draft *y = b;
    if (x->rung.dead != y->rung.dead) {
        return x->rung.dead ? 1 : -1;
    }
    if (x->rung.outlet != y->rung.outlet) {
        return x->rung.outlet ? 1 : -1;
    }
    if (x->part != y->part) {
        return x->part - y->part;
    }
    if (x->front != y->front && !x->rung.outlet) {
        return y->front - x->front;
    }
    return x->place - y->place;
}

static void sort_drafts(Drafts *drafts)
{
    for (int i = 1; i < drafts->n; i++) {
        const Draft draft = drafts->drafts[i];
        int at = i;
        for (; at > 0 && compare_drafts(&drafts->drafts[at - 1], &draft) > 0; at--) {
            drafts->drafts[at] = drafts->drafts[at - 1];
        }
        drafts->drafts[at] = draft;
    }
}

static void settle(const Drafts *drafts, RbOrder *order)
{
    for (int i = 0; i < drafts->n; i++) {
        const RbRung *rung = &drafts->drafts[i].rung;
        order->rungs[order->n++] = *rung;
        order->live += rung->dead ? 0 : 1;
        if (rung->slot == drafts->hot_slot && !rung->dead) {
            order->hot_slot = rung->slot;
        }
    }
}

/* The first `most` rules. */
static void apply_rules(RbInquiry *inquiry, const RbPart *parts, int n, int most,
                        Drafts *drafts, RbPlan *plan)
{
    int index = 0;
    for (int p = 0; p < n; p++) {
        const GPtrArray *rules = parts[p].concept->rules;
        for (guint i = 0; i < rules->len && index < most; i++, index++) {
            const bool matched =
                apply_rule(inquiry, &parts[p], g_ptr_array_index(rules, i), drafts, plan);
            if (matched && index < 64) {
                plan->order.matched |= UINT64_C(1) << index;
            }
        }
    }
}

static void make_plan(RbInquiry *inquiry, int rules, RbPlan *plan)
{
    *plan = (RbPlan){ 0 };
    RbPart parts[2];
    const int n = rb_parts_of_call(inquiry, parts);
    if (n == 0) {
        return;
    }
    plan->has_concept = true;
    Drafts drafts; /* not cleared: this runs for every picture that is tried */
    drafts.n = drafts.fronts = drafts.hot_slot = 0;
    for (int p = 0; p < n; p++) {
        draft_part(inquiry, &parts[p], p, &drafts);
    }
    apply_rules(inquiry, parts, n, rules, &drafts, plan);
    sort_drafts(&drafts);
    settle(&drafts, &plan->order);
    plan->order.required_side = rb_pick_side(inquiry, &plan->order.picked_by);
    int64_t worked = RB_SIDE_UNKNOWN;
    if (plan->order.required_side != RB_SIDE_UNKNOWN &&
        rb_inquiry_ask(inquiry, RB_VAR_SIDE, &worked)) {
        plan->wrong_side = (RbSide)worked != plan->order.required_side;
    }
}

void rb_plan_make(RbInquiry *inquiry, RbPlan *plan)
{
    make_plan(inquiry, G_MAXINT, plan);
}

bool rb_plan_equal(const RbPlan *a, const RbPlan *b)
{
    if (a->has_concept != b->has_concept || a->wrong_side != b->wrong_side ||
        a->hot_named != b->hot_named || a->order.hot_slot != b->order.hot_slot ||
        a->order.required.value != b->order.required.value || a->order.n != b->order.n ||
        a->order.live != b->order.live) {
        return false;
    }
    for (int i = 0; i < a->order.n; i++) {
        /* Dead reads in any order are the same to a verdict, but they are sorted anyway. */
        if (a->order.rungs[i].slot != b->order.rungs[i].slot ||
            a->order.rungs[i].read != b->order.rungs[i].read) {
            return false;
        }
    }
    return true;
}

bool rb_order_after(const RbReadContext *context, const RbChart *chart, int rules,
                    RbOrder *order)
{
    RbFacts facts;
    RbInquiry inquiry;
    RbPlan plan;
    rb_facts_init(&facts, context, chart);
    rb_inquiry_init(&inquiry, &facts, false);
    make_plan(&inquiry, rules, &plan);
    *order = plan.order;
    return plan.has_concept;
}

bool rb_order_in_force(const RbReadContext *context, const RbChart *chart, RbOrder *order)
{
    return rb_order_after(context, chart, G_MAXINT, order);
}

int rb_order_slots(const RbReadContext *context, const RbChart *chart,
                   RbRung rungs[RB_READS_MAX])
{
    RbFacts facts;
    RbInquiry inquiry;
    RbPart parts[2];
    Drafts drafts = { .n = 0 };
    rb_facts_init(&facts, context, chart);
    rb_inquiry_init(&inquiry, &facts, false);
    const int n = rb_parts_of_call(&inquiry, parts);
    for (int p = 0; p < n; p++) {
        draft_part(&inquiry, &parts[p], p, &drafts);
    }
    for (int i = 0; i < drafts.n; i++) {
        rungs[i] = drafts.drafts[i].rung;
    }
    return drafts.n;
}
