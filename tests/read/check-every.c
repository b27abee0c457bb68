/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every input of a concept with two reads (the second an outlet, or not): exactly one verdict
 * and one stage, the ones of the naive engine, and every verdict and stage is reached. */
#include "suite.h"
#include "world.h"

TCase *rb_case_every(void);

/* Clocks at 2 and 4 ms with a tolerance of 1: the last moments are 3 and 5, and a sack after 6
 * comes too late. */
static RbConcept *make_concept(bool outlet)
{
    RbConcept *concept = rb_concept_new("two", "Two");
    for (int i = 1; i <= 2; i++) {
        RbRead *read = rb_read_new(i, RB_ROUTE_OUT);
        read->clock =
            (RbClock){ .kind = RB_CLOCK_SECONDS, .ms = 2 * i, .tolerance_ms = 1 };
        read->outlet = outlet && i == 2;
        g_ptr_array_add(concept->reads, read);
    }
    RbRule *drop = rb_rule_new(RB_DO_DROP, 1);
    const RbCondition squat = { .kind = RB_IF_TECHNIQUE, .value = RB_TECHNIQUE_SQUAT };
    g_array_append_val(drop->conditions, squat);
    g_ptr_array_add(concept->rules, drop);
    g_ptr_array_add(concept->rules, rb_rule_new(RB_DO_HOT, 1));
    RbRule *adjust = rb_rule_new(RB_DO_REQUIRE_ADJUSTMENT, 0);
    const RbCondition two_high = { .kind = RB_IF_SHELL, .value = RB_SHELL_TWO_HIGH };
    g_array_append_val(adjust->conditions, two_high);
    adjust->adjustment.value = 9;
    g_ptr_array_add(concept->rules, adjust);
    const RbPick field = { RB_PICK_FIELD, 0 };
    g_array_append_val(concept->picks, field);
    return concept;
}

/* A number in a mixed base, taken apart digit by digit. */
static int take(long *number, int base)
{
    const int digit = (int)(*number % base);
    *number /= base;
    return digit;
}

static void set_before_snap(long *number, RbSnap *snap, RbChart *chart)
{
    snap->situation.hash = take(number, 2) ? RB_HASH_LEFT : RB_HASH_RIGHT;
    chart->shown.shell = take(number, 2) ? RB_SHELL_TWO_HIGH : RB_SHELL_ONE_HIGH;
    chart->played.left = take(number, 2) ? RB_TECHNIQUE_SQUAT : RB_TECHNIQUE_OFF;
    chart->played.unblocked = take(number, 2) ? RB_YES : RB_NO;
    chart->played.unblocked_side =
        chart->played.unblocked == RB_YES ? RB_SIDE_LEFT : RB_SIDE_UNKNOWN;
}

static void set_after_snap(long *number, RbChart *chart)
{
    /* One for each way in which they can stand to those moments and to each other. */
    static const int releases[] = { 0, 3, 4, 5, 7 };
    static const int pressures[] = { 0, 4, 6, 9, -1 };
    static const RbThrow throws[] = { RB_THROW_ON_TARGET, RB_THROW_NOT_CATCHABLE,
                                      RB_THROW_TIPPED };
    static const RbCatch catches[] = { RB_CATCH_CAUGHT, RB_CATCH_DROPPED,
                                       RB_CATCH_INTERCEPTED };
    chart->looks[0] = take(number, 2) ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    chart->looks[1] = take(number, 2) ? RB_LOOK_OPEN : RB_LOOK_COVERED;
    const int ball = take(number, 7);
    chart->ball = ball <= 1 ? RB_BALL_READ : (RbBall)ball;
    chart->ball_read = ball <= 1 ? ball + 1 : 0;
    chart->release_ms = releases[take(number, 5)];
    chart->pressure_ms = pressures[take(number, 5)];
    chart->pressure = chart->pressure_ms < 0 ? RB_PRESSURE_NONE : RB_PRESSURE_CAME;
    chart->contact = take(number, 2) ? RB_CONTACT_HIT : RB_CONTACT_NONE;
    chart->throw_ = throws[take(number, 3)];
    chart->catch_ = catches[take(number, 3)];
    const int fault = take(number, 4);
    chart->fault = fault == 0 ? RB_FAULT_NONE : RB_FAULT_SLIP;
    chart->fault_read = fault == 0 ? 0 : fault - 1;
}

static long count_of(void)
{
    return 16L * 4 * 7 * 5 * 5 * 2 * 3 * 3 * 4 * 2;
}

static bool is_right(const RbJudgment *judgment, const NaiveVerdict *naive)
{
    const bool judged = judgment->stage != RB_STAGE_NOT_JUDGED;
    return judgment->verdict == naive->verdict && judgment->stage == naive->stage &&
           judgment->right_slot == naive->right &&
           judgment->verdict != RB_VERDICT_UNGRADED &&
           judgment->settle.kind == RB_TAG_NONE &&
           judged == (judgment->verdict != RB_VERDICT_SPOILED) &&
           judged == (judgment->stage_read != 0);
}

static void check_every(bool outlet, bool verdicts[RB_VERDICTS], bool stages[RB_STAGES])
{
    g_autoptr(GPtrArray) terms = g_ptr_array_new();
    g_autoptr(RbConcept) concept = make_concept(outlet);
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    const RbReadContext context = { snap, concept, NULL, terms, rb_footwork_defaults() };
    const RbReadSettings settings = { .held_after_last_ms = 2 };
    chart->call.kind = RB_CALL_MIRRORED;
    chart->side_worked = RB_SIDE_LEFT;
    chart->adjusted = RB_NO;
    for (long i = 0; i < count_of(); i++) {
        long number = i;
        set_before_snap(&number, snap, chart);
        set_after_snap(&number, chart);
        const bool success = take(&number, 2) == 1;
        RbJudgment judgment;
        rb_judge(&context, chart, success, &settings, &judgment);
        const NaiveVerdict naive = naive_judge(&context, chart, success, &settings);
        /* Asserting each of millions would tell Check about each of them. */
        if (!is_right(&judgment, &naive)) {
            ck_abort_msg("input %ld: %s, %s, read %d", i,
                         rb_words_token(&rb_verdict_words, (int)judgment.verdict),
                         rb_words_token(&rb_stage_words, (int)judgment.stage),
                         judgment.right_slot);
        }
        verdicts[judgment.verdict] = true;
        stages[judgment.stage] = true;
    }
}

START_TEST(test_every__one_verdict_and_one_stage)
{
    bool verdicts[RB_VERDICTS] = { false };
    bool stages[RB_STAGES] = { false };
    check_every(false, verdicts, stages);
    check_every(true, verdicts, stages);
    for (int i = RB_VERDICT_SPOILED; i < RB_VERDICTS; i++) {
        ck_assert_msg(verdicts[i], "%s is never reached",
                      rb_words_token(&rb_verdict_words, i));
    }
    for (int i = 0; i < RB_STAGES; i++) {
        ck_assert_msg(stages[i], "%s is never reached",
                      rb_words_token(&rb_stage_words, i));
    }
}
END_TEST

TCase *rb_case_every(void)
{
    TCase *tcase = rb_case_new("every");
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, test_every__one_verdict_and_one_stage);
    return tcase;
}
