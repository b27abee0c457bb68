/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a dropback ended: the first stage that holds. */
#include "inquiry.h"

static int64_t ask(RbInquiry *inquiry, RbVar var)
{
    int64_t value = 0;
    const bool answered = rb_inquiry_ask(inquiry, var, &value);
    g_assert(answered);
    return value;
}

/* Was he touched before the last moment for the right read? Contact cannot come before the
 * pressure or, hit while throwing, before the release. */
static bool contact_before_limit(RbInquiry *inquiry, const RbDecision *decision)
{
    const RbRung *right = decision->right;
    if (right == NULL || right->clock_ms < 0 ||
        ask(inquiry, RB_VAR_CONTACT) == RB_CONTACT_NONE) {
        return false;
    }
    const int64_t limit = (int64_t)right->clock_ms + right->tolerance_ms;
    const int64_t pressure = ask(inquiry, RB_VAR_PRESSURE);
    if (pressure != RB_NEVER && pressure > limit) {
        return false;
    }
    return ask(inquiry, RB_VAR_RELEASE) <= limit;
}

static bool nothing_open_before_outlet(RbInquiry *inquiry, const RbPlan *plan)
{
    for (int i = 0; i < plan->order.live; i++) {
        const RbRung *rung = &plan->order.rungs[i];
        if (!rung->outlet && rb_rung_is_open(inquiry, rung)) {
            return false;
        }
    }
    return true;
}

static bool is_covered(RbInquiry *inquiry, const RbPlan *plan, const RbDecision *decision,
                       bool is_throw)
{
    if (is_throw) {
        const bool last_resort = decision->ball == NULL || decision->ball->outlet;
        if (!last_resort || ask(inquiry, RB_VAR_CATCH) != RB_CATCH_CAUGHT) {
            return false;
        }
    }
    return nothing_open_before_outlet(inquiry, plan);
}

static bool is_protection(RbInquiry *inquiry, const RbDecision *decision)
{
    return decision->verdict == RB_VERDICT_NO_TIME ||
           contact_before_limit(inquiry, decision);
}

static RbStage stage_of_throw(RbInquiry *inquiry)
{
    if (ask(inquiry, RB_VAR_THROW) == RB_THROW_NOT_CATCHABLE) {
        return RB_STAGE_THROW;
    }
    return ask(inquiry, RB_VAR_CATCH) == RB_CATCH_CAUGHT ? RB_STAGE_AFTER
                                                         : RB_STAGE_CATCH;
}

RbStage rb_stage_of(RbInquiry *inquiry, const RbPlan *plan, const RbDecision *decision)
{
    const RbVerdict verdict = decision->verdict;
    if (verdict == RB_VERDICT_UNGRADED || verdict == RB_VERDICT_SPOILED) {
        return RB_STAGE_NOT_JUDGED;
    }
    if (inquiry->facts->success) {
        return RB_STAGE_SUCCESS;
    }
    if (verdict == RB_VERDICT_MISSED_ADJUSTMENT || verdict == RB_VERDICT_WRONG_SIDE ||
        verdict == RB_VERDICT_MISSED_HOT) {
        return RB_STAGE_BEFORE_SNAP;
    }
    const bool is_throw = rb_ball_is_throw(ask(inquiry, RB_VAR_BALL));
    if (is_throw && ask(inquiry, RB_VAR_THROW) == RB_THROW_TIPPED) {
        return RB_STAGE_TIPPED;
    }
    if (is_protection(inquiry, decision)) {
        return RB_STAGE_PROTECTION;
    }
    if (verdict == RB_VERDICT_FORCED || verdict == RB_VERDICT_PASSED_UP ||
        verdict == RB_VERDICT_HELD || verdict == RB_VERDICT_BAILED) {
        return RB_STAGE_EYES;
    }
    if (is_covered(inquiry, plan, decision, is_throw)) {
        return RB_STAGE_COVERED;
    }
    return verdict == RB_VERDICT_LATE ? RB_STAGE_CLOCK : stage_of_throw(inquiry);
}
