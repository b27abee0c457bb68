/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "inquiry.h"

#include <string.h>

static void set(RbFacts *facts, RbVar var, bool known, int64_t value)
{
    facts->known[var] = known;
    facts->value[var] = value;
}

static void flatten_shown(RbFacts *facts, const RbPictureShown *shown)
{
    set(facts, RB_VAR_SHELL,
        shown->shell != RB_SHELL_UNKNOWN && shown->shell != RB_SHELL_UNCLEAR,
        shown->shell);
    set(facts, RB_VAR_ROTATION_SHOWN, shown->rotation != RB_ROTATION_UNKNOWN,
        shown->rotation);
    const RbSideShown *sides[] = { &shown->left, &shown->right };
    for (int i = 0; i < 2; i++) {
        set(facts, RB_VAR_TECHNIQUE_SHOWN_LEFT + i,
            sides[i]->technique != RB_TECHNIQUE_UNKNOWN, sides[i]->technique);
        set(facts, RB_VAR_CUSHION_LEFT + i,
            sides[i]->cushion_tenths >= 0 && sides[i]->cushion_pm_tenths <= 0,
            sides[i]->cushion_tenths);
        set(facts, RB_VAR_SPLIT_LEFT + i,
            sides[i]->split_tenths >= 0 && sides[i]->split_pm_tenths <= 0,
            sides[i]->split_tenths);
        set(facts, RB_VAR_LEVERAGE_LEFT + i, sides[i]->leverage != RB_LEVERAGE_UNKNOWN,
            sides[i]->leverage);
    }
}

static void flatten_played(RbFacts *facts, const RbPicturePlayed *played)
{
    set(facts, RB_VAR_COVERAGE, played->coverage.value != 0, played->coverage.value);
    set(facts, RB_VAR_ROTATION_PLAYED, played->rotation != RB_ROTATION_UNKNOWN,
        played->rotation);
    set(facts, RB_VAR_TECHNIQUE_PLAYED_LEFT, played->left != RB_TECHNIQUE_UNKNOWN,
        played->left);
    set(facts, RB_VAR_TECHNIQUE_PLAYED_RIGHT, played->right != RB_TECHNIQUE_UNKNOWN,
        played->right);
    set(facts, RB_VAR_SAFETY_LEFT, played->safety_left != RB_YES_NO_UNKNOWN,
        played->safety_left);
    set(facts, RB_VAR_SAFETY_RIGHT, played->safety_right != RB_YES_NO_UNKNOWN,
        played->safety_right);
    set(facts, RB_VAR_RUSHERS, played->rushers >= 0, played->rushers);
    if (played->unblocked == RB_NO) {
        set(facts, RB_VAR_UNBLOCKED, true, RB_SIDE_UNKNOWN);
    } else {
        set(facts, RB_VAR_UNBLOCKED,
            played->unblocked == RB_YES && played->unblocked_side != RB_SIDE_UNKNOWN,
            played->unblocked_side);
    }
}

static void flatten_snap(RbFacts *facts, const RbSnap *snap)
{
    if (snap == NULL) {
        return;
    }
    set(facts, RB_VAR_HASH, snap->situation.hash != RB_HASH_UNKNOWN,
        snap->situation.hash);
    set(facts, RB_VAR_DOWN, snap->situation.down != 0, snap->situation.down);
    set(facts, RB_VAR_DISTANCE, snap->situation.distance != 0, snap->situation.distance);
    set(facts, RB_VAR_WIDTH, snap->width != RB_WIDTH_UNKNOWN, snap->width);
    set(facts, RB_VAR_FORMATION, snap->formation.value != 0, snap->formation.value);
    set(facts, RB_VAR_STRONG, snap->strong != RB_STRONG_UNKNOWN,
        rb_strong_side(snap->strong));
}

static void flatten_ball(RbFacts *facts, const RbChart *chart)
{
    static const int64_t to[] = {
        [RB_BALL_HOT] = RB_BALL_TO_HOT,
        [RB_BALL_OFF_SCRIPT] = RB_BALL_TO_OFF_SCRIPT,
        [RB_BALL_SCRAMBLE] = RB_BALL_TO_SCRAMBLE,
        [RB_BALL_SACK] = RB_BALL_TO_SACK,
        [RB_BALL_THROWN_AWAY] = RB_BALL_TO_AWAY,
    };
    if (chart->ball == RB_BALL_UNKNOWN) {
        return;
    }
    if (chart->ball != RB_BALL_READ) {
        set(facts, RB_VAR_BALL, true, to[chart->ball]);
        return;
    }
    const int slot = chart->ball_read;
    const bool named = slot >= 1 && slot <= RB_READS_MAX;
    set(facts, RB_VAR_BALL, slot != 0, named ? slot : RB_BALL_TO_NOBODY);
}

/* The result of the snap says of throw and catch what nobody needs to tag twice. */
static void flatten_end(RbFacts *facts, const RbChart *chart)
{
    const RbResult result =
        facts->context->snap != NULL ? facts->context->snap->result : RB_RESULT_UNKNOWN;
    RbThrow thrown = chart->throw_;
    RbCatch caught = chart->catch_;
    if (thrown == RB_THROW_UNKNOWN && result == RB_RESULT_COMPLETE) {
        thrown = RB_THROW_CATCHABLE;
    }
    if (caught == RB_CATCH_UNKNOWN && result == RB_RESULT_COMPLETE) {
        caught = RB_CATCH_CAUGHT;
    }
    if (caught == RB_CATCH_UNKNOWN && result == RB_RESULT_INTERCEPTED) {
        caught = RB_CATCH_INTERCEPTED;
    }
    RbContact contact = chart->contact;
    if (contact == RB_CONTACT_UNKNOWN && chart->ball == RB_BALL_SACK) {
        contact = RB_CONTACT_SACKED;
    }
    set(facts, RB_VAR_THROW, thrown != RB_THROW_UNKNOWN, thrown);
    set(facts, RB_VAR_CATCH, caught != RB_CATCH_UNKNOWN, caught);
    set(facts, RB_VAR_CONTACT, contact != RB_CONTACT_UNKNOWN, contact);
}

static void flatten_fault(RbFacts *facts, const RbChart *chart)
{
    switch (chart->fault) {
    case RB_FAULT_UNKNOWN:
        break;
    case RB_FAULT_NONE:
    case RB_FAULT_PROTECTION: /* no-time says it */
        set(facts, RB_VAR_FAULT, true, 0);
        break;
    case RB_FAULT_WRONG_ROUTE:
    case RB_FAULT_WRONG_CALL:
    case RB_FAULT_SLIP:
        set(facts, RB_VAR_FAULT, true,
            chart->fault_read == 0 ? RB_FAULT_WHOLE : chart->fault_read);
        break;
    }
}

static void flatten_judged(RbFacts *facts, const RbChart *chart)
{
    if (chart->adjusted == RB_NO) {
        set(facts, RB_VAR_ADJUSTMENT, true, 0);
    } else {
        set(facts, RB_VAR_ADJUSTMENT,
            chart->adjusted == RB_YES && chart->adjustment.value != 0,
            chart->adjustment.value);
    }
    for (int i = 0; i < RB_READS_MAX; i++) {
        const RbLook look = chart->looks[i];
        set(facts, RB_VAR_LOOK_1 + i, look == RB_LOOK_OPEN || look == RB_LOOK_COVERED,
            look);
    }
    set(facts, RB_VAR_RELEASE, chart->release_ms >= 0 && chart->release_pm_ms <= 0,
        chart->release_ms);
    if (chart->pressure == RB_PRESSURE_NONE) {
        set(facts, RB_VAR_PRESSURE, true, RB_NEVER);
    } else {
        set(facts, RB_VAR_PRESSURE,
            chart->pressure == RB_PRESSURE_CAME && chart->pressure_ms >= 0,
            chart->pressure_ms);
    }
    flatten_ball(facts, chart);
    flatten_end(facts, chart);
    flatten_fault(facts, chart);
}

void rb_facts_init(RbFacts *facts, const RbReadContext *context, const RbChart *chart)
{
    facts->context = context;
    facts->chart = chart;
    facts->settings = rb_read_settings_default();
    facts->success = false;
    memset(facts->known, 0, sizeof facts->known);
    memset(facts->asked, 0, sizeof facts->asked);
    rb_facts_forget_outcomes(facts);
    /* A call with but one side is where it was called; only a choice is "worked". */
    RbSide side = chart->side_worked;
    if (!rb_call_offers_side(context, chart) &&
        chart->call.first_side != RB_SIDE_UNKNOWN) {
        side = chart->call.first_side;
    }
    set(facts, RB_VAR_SIDE, side != RB_SIDE_UNKNOWN, side);
    flatten_shown(facts, &chart->shown);
    flatten_played(facts, &chart->played);
    flatten_snap(facts, context->snap);
    flatten_judged(facts, chart);
}

void rb_facts_forget_outcomes(RbFacts *facts)
{
    facts->outcomes = 0;
    memset(facts->unasked, 0, sizeof facts->unasked);
    for (int var = 0; var < RB_VARS; var++) {
        RbDomain *domain = &facts->domain[var];
        if (facts->asked[var]) {
            memset(domain->outcomes, 0, sizeof(uint32_t) * (size_t)domain->n);
        }
    }
}

static int highest_number(const RbConcept *concept)
{
    int highest = 0;
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = g_ptr_array_index(concept->reads, i);
        if (read->number <= RB_READS_MAX) {
            highest = MAX(highest, read->number);
        }
    }
    return highest;
}

int rb_part_slot(const RbPart *part, int number)
{
    const int slot = number + part->offset;
    return number >= 1 && slot <= RB_READS_MAX ? slot : 0;
}

static uint32_t slots_of(const RbConcept *concept, int offset)
{
    const RbPart part = { concept, offset, false };
    uint32_t slots = 0;
    for (guint i = 0; concept != NULL && i < concept->reads->len; i++) {
        const RbRead *read = g_ptr_array_index(concept->reads, i);
        slots |= UINT32_C(1) << rb_part_slot(&part, read->number);
    }
    return slots & ~UINT32_C(1);
}

uint32_t rb_facts_slots(const RbFacts *facts)
{
    const RbConcept *first = facts->context->first;
    const RbConcept *second = facts->context->second;
    const RbCallKind kind = facts->chart->call.kind;
    uint32_t slots = slots_of(first, 0);
    if (kind == RB_CALL_SPLIT) {
        slots |= slots_of(second, 0);
    } else if (kind == RB_CALL_ACROSS && first != NULL) {
        slots |= slots_of(second, highest_number(first));
    }
    return slots;
}

static int one_part(const RbConcept *concept, RbPart parts[2])
{
    parts[0] = (RbPart){ concept, 0, false };
    return concept != NULL ? 1 : 0;
}

int rb_parts_of_call(RbInquiry *inquiry, RbPart parts[2])
{
    const RbReadContext *context = inquiry->facts->context;
    int64_t side = RB_SIDE_UNKNOWN;
    switch (inquiry->facts->chart->call.kind) {
    case RB_CALL_UNKNOWN: /* a concept without a kind of call is a single one */
    case RB_CALL_SINGLE:
    case RB_CALL_MIRRORED:
        break;
    case RB_CALL_SPLIT:
        if (!rb_inquiry_ask(inquiry, RB_VAR_SIDE, &side)) {
            return 0;
        }
        return one_part(side == RB_SIDE_LEFT ? context->first : context->second, parts);
    case RB_CALL_ACROSS:
        if (context->first == NULL || context->second == NULL) {
            return 0;
        }
        parts[0] = (RbPart){ context->first, 0, false };
        parts[1] = (RbPart){ context->second, highest_number(context->first), true };
        return 2;
    }
    return one_part(context->first, parts);
}

void rb_inquiry_init(RbInquiry *inquiry, RbFacts *facts, bool guess)
{
    inquiry->facts = facts;
    inquiry->guess = guess;
    inquiry->missed = false;
    inquiry->n = 0;
    memset(inquiry->chosen, 0xff, sizeof inquiry->chosen); /* every one -1 */
}

bool rb_inquiry_ask(RbInquiry *inquiry, RbVar var, int64_t *value)
{
    RbFacts *facts = inquiry->facts;
    if (facts->known[var]) {
        *value = facts->value[var];
        return true;
    }
    if (!inquiry->guess) {
        inquiry->missed = true;
        return false;
    }
    const RbDomain *domain = rb_domain_get(facts, var);
    if (inquiry->chosen[var] < 0) {
        inquiry->chosen[var] = 0;
        inquiry->trail[inquiry->n++] = var;
    }
    *value = domain->values[inquiry->chosen[var]];
    return true;
}

int64_t rb_inquiry_peek(const RbInquiry *inquiry, RbVar var)
{
    const RbFacts *facts = inquiry->facts;
    if (facts->known[var]) {
        return facts->value[var];
    }
    const int chosen = inquiry->chosen[var];
    return chosen >= 0 ? facts->domain[var].values[chosen] : 0;
}

bool rb_inquiry_next(RbInquiry *inquiry)
{
    while (inquiry->n > 0) {
        const RbVar var = inquiry->trail[inquiry->n - 1];
        if (inquiry->chosen[var] + 1 < inquiry->facts->domain[var].n) {
            inquiry->chosen[var]++;
            return true;
        }
        inquiry->chosen[var] = -1;
        inquiry->n--;
    }
    return false;
}

void rb_inquiry_record(const RbInquiry *inquiry, RbVar first, RbVar end,
                       uint32_t outcomes)
{
    RbFacts *facts = inquiry->facts;
    facts->outcomes |= outcomes;
    for (int var = first; var < (int)end; var++) {
        const int chosen = inquiry->chosen[var];
        if (chosen >= 0) {
            facts->domain[var].outcomes[chosen] |= outcomes;
        } else {
            facts->unasked[var] |= outcomes;
        }
    }
}
