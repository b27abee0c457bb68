/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The verdict of one completion: the first line of the table that holds. What is asked of the
 * inquiry always has an answer here. */
#include "inquiry.h"

static int64_t ask(RbInquiry *inquiry, RbVar var)
{
    int64_t value = 0;
    const bool answered = rb_inquiry_ask(inquiry, var, &value);
    g_assert(answered);
    return value;
}

bool rb_rung_is_open(RbInquiry *inquiry, const RbRung *rung)
{
    return ask(inquiry, RB_VAR_LOOK_1 + rung->slot - 1) == RB_LOOK_OPEN;
}

bool rb_ball_is_throw(int64_t ball)
{
    return ball <= RB_BALL_TO_OFF_SCRIPT;
}

/* The last moment for a read; one without a clock is never late and always in time. */
static int64_t limit_of(const RbRung *rung)
{
    return rung->clock_ms < 0 ? -1 : (int64_t)rung->clock_ms + rung->tolerance_ms;
}

static bool left_in_time(RbInquiry *inquiry, const RbRung *rung)
{
    return rung->clock_ms < 0 || ask(inquiry, RB_VAR_RELEASE) <= limit_of(rung);
}

static bool left_before_pressure(RbInquiry *inquiry)
{
    const int64_t pressure = ask(inquiry, RB_VAR_PRESSURE);
    return pressure == RB_NEVER || ask(inquiry, RB_VAR_RELEASE) < pressure;
}

static const RbRung *find_rung(const RbPlan *plan, int64_t slot)
{
    for (int i = 0; i < plan->order.n; i++) {
        if (plan->order.rungs[i].slot == slot) {
            return &plan->order.rungs[i];
        }
    }
    return NULL;
}

static const RbRung *find_ball(RbInquiry *inquiry, const RbPlan *plan)
{
    const int64_t ball = ask(inquiry, RB_VAR_BALL);
    if (ball == RB_BALL_TO_HOT) {
        const int hot = plan->order.hot_slot;
        return find_rung(plan, hot != 0 ? hot : plan->hot_named);
    }
    return find_rung(plan, ball);
}

/* In force, the hot read is the right one, unless another open read got the ball away before
 * the rusher came: then it was not needed. */
static bool is_hot(RbInquiry *inquiry, const RbPlan *plan, const RbRung *ball)
{
    if (plan->order.hot_slot == 0) {
        return false;
    }
    return ball == NULL || ball->dead || ball->slot == plan->order.hot_slot ||
           !rb_rung_is_open(inquiry, ball) || !left_before_pressure(inquiry);
}

/* Does its last moment come before the pressure? */
static bool is_in_time(RbInquiry *inquiry, const RbRung *rung)
{
    return rung->clock_ms < 0 || limit_of(rung) < ask(inquiry, RB_VAR_PRESSURE);
}

/* The first open read that there was time for, else the first open read. One ahead of it that
 * did get the ball by its own last moment was in time too, whatever the pressure. */
static void find_right(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision)
{
    const RbRung *first = NULL;
    const RbRung *served = NULL;
    for (int i = 0; i < plan->order.live && !decision->right_in_time; i++) {
        const RbRung *rung = &plan->order.rungs[i];
        if (!rb_rung_is_open(inquiry, rung)) {
            continue;
        }
        first = first != NULL ? first : rung;
        if (is_in_time(inquiry, rung)) {
            decision->right = served != NULL ? served : rung;
            decision->right_in_time = true;
        } else if (rung == decision->ball && left_in_time(inquiry, rung)) {
            served = rung;
        }
    }
    if (!decision->right_in_time) {
        decision->right = first;
    }
}

static void decide_ball(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision)
{
    if (!decision->has_ball) {
        decision->has_ball = true;
        decision->ball = find_ball(inquiry, plan);
    }
}

void rb_decide_right(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision)
{
    if (decision->has_right) {
        return;
    }
    decision->has_right = true;
    decide_ball(inquiry, plan, decision);
    if (is_hot(inquiry, plan, decision->ball)) {
        decision->right = find_rung(plan, plan->order.hot_slot);
        decision->right_in_time = true;
        return;
    }
    find_right(inquiry, plan, decision);
}

static bool is_missed_hot(RbInquiry *inquiry, const RbPlan *plan, const RbRung *ball)
{
    if (plan->order.hot_slot == 0) {
        return false;
    }
    const bool good = ball != NULL && (ball->slot == plan->order.hot_slot ||
                                       (!ball->dead && rb_rung_is_open(inquiry, ball)));
    return !good || !left_before_pressure(inquiry);
}

/* A throw to no read of the order is forced when a defender got to it: nothing else on the
 * chart says how well the man was covered. */
static bool is_forced(RbInquiry *inquiry, const RbRung *ball)
{
    if (ball != NULL) {
        return ball->dead || !rb_rung_is_open(inquiry, ball);
    }
    if (!rb_ball_is_throw(ask(inquiry, RB_VAR_BALL))) {
        return false;
    }
    const int64_t caught = ask(inquiry, RB_VAR_CATCH);
    return (caught == RB_CATCH_BROKEN_UP || caught == RB_CATCH_INTERCEPTED) &&
           ask(inquiry, RB_VAR_THROW) != RB_THROW_TIPPED;
}

static bool nothing_open_before(RbInquiry *inquiry, const RbPlan *plan,
                                const RbRung *rung)
{
    for (const RbRung *ahead = plan->order.rungs; ahead < rung; ahead++) {
        if (rb_rung_is_open(inquiry, ahead)) {
            return false;
        }
    }
    return true;
}

/* The ball went to an open read that is in force. */
static RbVerdict decide_throw(RbInquiry *inquiry, const RbPlan *plan,
                              RbDecision *decision)
{
    const RbRung *ball = decision->ball;
    const bool is_last = ball->outlet && ball->slot != plan->order.hot_slot;
    if (is_last && nothing_open_before(inquiry, plan, ball)) {
        return RB_VERDICT_ON_READ; /* an outlet is never late */
    }
    rb_decide_right(inquiry, plan, decision);
    if (ball == decision->right) {
        return left_in_time(inquiry, ball) ? RB_VERDICT_ON_READ : RB_VERDICT_LATE;
    }
    if (ball < decision->right) {
        return RB_VERDICT_LATE; /* an open read ahead of the right one, after its limit */
    }
    return decision->right_in_time ? RB_VERDICT_PASSED_UP : RB_VERDICT_NO_TIME;
}

static bool is_held_too_long(RbInquiry *inquiry, const RbPlan *plan)
{
    int last = -1;
    for (int i = 0; i < plan->order.live; i++) {
        last = MAX(last, plan->order.rungs[i].clock_ms);
    }
    return last >= 0 && ask(inquiry, RB_VAR_RELEASE) >
                            (int64_t)last + inquiry->facts->settings.held_after_last_ms;
}

/* Sacked, thrown away, run, or thrown to no read of the order. */
static RbVerdict decide_rest(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision)
{
    const bool is_sack = ask(inquiry, RB_VAR_BALL) == RB_BALL_TO_SACK;
    rb_decide_right(inquiry, plan, decision);
    if (decision->right == NULL) {
        return is_sack && is_held_too_long(inquiry, plan) ? RB_VERDICT_HELD
                                                          : RB_VERDICT_SOUND;
    }
    if (!decision->right_in_time) {
        return RB_VERDICT_NO_TIME;
    }
    /* With pressure, the right read's limit came before it, so its clock had come. */
    return is_sack || ask(inquiry, RB_VAR_PRESSURE) != RB_NEVER ? RB_VERDICT_HELD
                                                                : RB_VERDICT_BAILED;
}

static RbVerdict decide_unspoiled(RbInquiry *inquiry, const RbPlan *plan,
                                  RbDecision *decision)
{
    const int64_t required = plan->order.required.value;
    if (required != 0 && ask(inquiry, RB_VAR_ADJUSTMENT) != required) {
        return RB_VERDICT_MISSED_ADJUSTMENT;
    }
    if (plan->wrong_side) {
        return RB_VERDICT_WRONG_SIDE;
    }
    decide_ball(inquiry, plan, decision);
    if (is_missed_hot(inquiry, plan, decision->ball)) {
        return RB_VERDICT_MISSED_HOT;
    }
    if (is_forced(inquiry, decision->ball)) {
        return RB_VERDICT_FORCED;
    }
    return decision->ball != NULL ? decide_throw(inquiry, plan, decision)
                                  : decide_rest(inquiry, plan, decision);
}

static bool is_spoiled(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision)
{
    const int64_t touched = ask(inquiry, RB_VAR_FAULT);
    if (touched == 0 || touched == RB_FAULT_WHOLE) {
        return touched != 0;
    }
    decide_ball(inquiry, plan, decision);
    if (decision->ball != NULL && decision->ball->slot == touched) {
        return true;
    }
    rb_decide_right(inquiry, plan, decision);
    return decision->right != NULL && decision->right->slot == touched;
}

void rb_decide(RbInquiry *inquiry, const RbPlan *plan, RbDecision *decision)
{
    *decision = (RbDecision){ .verdict = RB_VERDICT_UNGRADED };
    if (!plan->has_concept) {
        return;
    }
    if (inquiry->facts->known[RB_VAR_FAULT]) {
        decision->verdict = is_spoiled(inquiry, plan, decision)
                                ? RB_VERDICT_SPOILED
                                : decide_unspoiled(inquiry, plan, decision);
        return;
    }
    /* An unknown fault could spoil anything. Which read it would have to touch is told by the
     * decision, so it needs no completions of its own. */
    decision->fault_open = true;
    decision->verdict = decide_unspoiled(inquiry, plan, decision);
    rb_decide_right(inquiry, plan, decision);
}
