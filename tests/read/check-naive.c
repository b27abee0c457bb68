/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The engine against the naive one, on random playbooks, pictures and charts. */
#include <stdio.h>
#include <string.h>

#include "suite.h"
#include "world.h"

TCase *rb_case_naive(void);

enum { SHORT_RUN = 20000, LONG_RUN = 100000, COMPLETIONS_MAX = 4000, FORGET_MAX = 10 };

static int bits(uint32_t set)
{
    int n = 0;
    for (; set != 0; set &= set - 1) {
        n++;
    }
    return n;
}

static bool is_one(uint32_t set)
{
    return bits(set) == 1;
}

/* How good a tag is to ask for: smaller is better. */
static int cost_of(const NaiveSets *sets, int i)
{
    int worst = 0;
    int best = 99;
    for (int v = 0; v < sets->unknowns[i].n; v++) {
        worst = MAX(worst, bits(sets->left[i][v]));
        best = MIN(best, bits(sets->left[i][v]));
    }
    return worst * 100 + best;
}

static int find_tag(const NaiveSets *sets, const RbTag *tag)
{
    for (int i = 0; i < sets->n_unknowns; i++) {
        const RbTag *other = &sets->unknowns[i].tag;
        if (other->kind == tag->kind && other->slot == tag->slot &&
            other->side == tag->side) {
            return i;
        }
    }
    return -1;
}

/* The tag named is as good as the best. */
static void check_settle(const NaiveSets *sets, const RbTag *tag)
{
    const int named = find_tag(sets, tag);
    g_autofree char *text = rb_tag_text(tag);
    ck_assert_msg(named >= 0, "\"%s\" is named, but it is known", text);
    for (int i = 0; i < sets->n_unknowns; i++) {
        g_autofree char *other = rb_tag_text(&sets->unknowns[i].tag);
        ck_assert_msg(cost_of(sets, named) <= cost_of(sets, i),
                      "\"%s\" (%d) is named, but \"%s\" (%d) settles more", text,
                      cost_of(sets, named), other, cost_of(sets, i));
    }
}

/* A stage that every completion gives stands on the read that every completion gives; a failure after
 * the snap on one read or another is not judged until the read is settled. */
static void check_stage(NaiveSets *stages, const RbJudgment *judgment, int number)
{
    const bool anywhere = stages->all == UINT32_C(1) << RB_STAGE_SUCCESS ||
                          stages->all == UINT32_C(1) << RB_STAGE_BEFORE_SNAP;
    if (!is_one(stages->all)) {
        ck_assert_int_eq(judgment->stage, RB_STAGE_NOT_JUDGED);
        ck_assert_int_eq(judgment->stage_read, 0);
        check_settle(stages, &judgment->settle);
        return;
    }
    if (stages->all == UINT32_C(1) << RB_STAGE_NOT_JUDGED) {
        ck_assert_int_eq(judgment->stage, RB_STAGE_NOT_JUDGED);
        ck_assert_int_eq(judgment->stage_read, 0);
        return;
    }
    if (!is_one(stages->reads) && !anywhere) {
        ck_assert_int_eq(judgment->stage, RB_STAGE_NOT_JUDGED);
        ck_assert_int_eq(judgment->stage_read, 0);
        memcpy(stages->left, stages->read_left, sizeof stages->left);
        check_settle(stages, &judgment->settle);
        return;
    }
    ck_assert_msg(stages->all == UINT32_C(1) << judgment->stage,
                  "world %d: stage %x, but %s", number, stages->all,
                  rb_words_token(&rb_stage_words, (int)judgment->stage));
    ck_assert_int_eq(judgment->settle.kind, RB_TAG_NONE);
    ck_assert_msg(!is_one(stages->reads) || stages->reads == UINT32_C(1)
                                                                 << judgment->stage_read,
                  "world %d: read of the stage %x, but %d", number, stages->reads,
                  judgment->stage_read);
}

/* Returns whether the chart was small enough to try. */
static bool compare(const World *world, int number, int *graded)
{
    static NaiveSets verdicts;
    static NaiveSets stages;
    if (!naive_try_all(&world->context, world->chart, world->success, &world->settings,
                       false, COMPLETIONS_MAX, &verdicts)) {
        return false;
    }
    RbJudgment judgment;
    rb_judge(&world->context, world->chart, world->success, &world->settings, &judgment);
    const bool one = is_one(verdicts.all);
    ck_assert_msg(one == (judgment.verdict != RB_VERDICT_UNGRADED),
                  "world %d: verdicts %x of %ld completions, but %s", number,
                  verdicts.all, verdicts.completions,
                  rb_words_token(&rb_verdict_words, (int)judgment.verdict));
    if (!one) {
        check_settle(&verdicts, &judgment.settle);
        ck_assert_int_eq(judgment.stage, RB_STAGE_NOT_JUDGED);
        ck_assert_int_eq(judgment.stage_read, 0);
        return true;
    }
    ck_assert_msg(verdicts.all == UINT32_C(1) << judgment.verdict,
                  "world %d: verdict %x, but %s", number, verdicts.all,
                  rb_words_token(&rb_verdict_words, (int)judgment.verdict));
    ++*graded;
    if (!naive_try_all(&world->context, world->chart, world->success, &world->settings,
                       true, COMPLETIONS_MAX, &stages)) {
        return true;
    }
    check_stage(&stages, &judgment, number);
    if (is_one(stages.rights)) {
        ck_assert_msg(stages.rights == UINT32_C(1) << judgment.right_slot,
                      "world %d: right read %x, but %d", number, stages.rights,
                      judgment.right_slot);
    } else {
        ck_assert_int_eq(judgment.right_slot, 0);
    }
    return true;
}

START_TEST(test_naive__agrees_on_random_worlds)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(2024));
    const int runs = rb_test_is_long() ? LONG_RUN : rb_test_some(SHORT_RUN);
    int graded = 0;
    int tried = 0;
    for (int i = 0; tried < runs; i++) {
        World world;
        world_make(&world, &random);
        /* From everything known to several tags unknown, as far as all can be tried. */
        for (int k = 0; k <= FORGET_MAX && tried < runs; k++) {
            if (!compare(&world, i, &graded)) {
                break;
            }
            tried++;
            world_forget(&world, &random);
        }
        world_clear(&world);
    }
    printf("%d charts, %d graded\n", tried, graded);
    ck_assert_int_gt(graded, tried / 4);
    ck_assert_int_lt(graded, tried);
}
END_TEST

/* Adding a tag never turns a grade, or a stage, into another. */
START_TEST(test_naive__adding_a_tag_never_changes_a_grade)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(77));
    int kept = 0;
    for (int i = 0; i < SHORT_RUN / 4; i++) {
        World world;
        world_make(&world, &random);
        for (int k = rb_random_int(&random, 1, 30); k > 0; k--) {
            world_forget(&world, &random);
        }
        RbJudgment before;
        rb_judge(&world.context, world.chart, world.success, &world.settings, &before);
        for (;;) {
            NaiveUnknown unknowns[NAIVE_UNKNOWN_MAX];
            const int n = naive_unknowns(&world.context, world.chart, true, unknowns);
            if (n == 0) {
                break;
            }
            const NaiveUnknown *one = &unknowns[rb_random_int(&random, 0, n - 1)];
            naive_set(&world.context, &one->tag, rb_random_int(&random, 0, one->n - 1),
                      world.snap, world.chart);
            RbJudgment after;
            rb_judge(&world.context, world.chart, world.success, &world.settings, &after);
            if (before.verdict != RB_VERDICT_UNGRADED) {
                ck_assert_int_eq(before.verdict, after.verdict);
                kept++;
            }
            if (before.stage != RB_STAGE_NOT_JUDGED) {
                ck_assert_int_eq(before.stage, after.stage);
            }
            before = after;
        }
        world_clear(&world);
    }
    ck_assert_int_gt(kept, SHORT_RUN / 4);
}
END_TEST

/* With every value of the tag named, the chart is graded, when one tag alone can do that. */
START_TEST(test_naive__the_named_tag_settles)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(5));
    int settled = 0;
    for (int i = 0; i < SHORT_RUN; i++) {
        World world;
        world_make(&world, &random);
        world_forget(&world, &random);
        RbJudgment judgment;
        rb_judge(&world.context, world.chart, world.success, &world.settings, &judgment);
        if (judgment.verdict == RB_VERDICT_UNGRADED) {
            NaiveUnknown unknowns[NAIVE_UNKNOWN_MAX];
            const int n = naive_unknowns(&world.context, world.chart, false, unknowns);
            for (int u = 0; u < n; u++) {
                for (int v = 0; unknowns[u].tag.kind == judgment.settle.kind &&
                                v < unknowns[u].n && n == 1;
                     v++) {
                    World copy;
                    RbJudgment after;
                    world_copy(&world, &copy);
                    naive_set(&copy.context, &unknowns[u].tag, v, copy.snap, copy.chart);
                    rb_judge(&copy.context, copy.chart, copy.success, &copy.settings,
                             &after);
                    ck_assert_int_ne(after.verdict, RB_VERDICT_UNGRADED);
                    settled++;
                    world_copy_clear(&copy);
                }
            }
        }
        world_clear(&world);
    }
    ck_assert_int_gt(settled, 100);
}
END_TEST

TCase *rb_case_naive(void)
{
    TCase *tcase = rb_case_new("naive");
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, test_naive__agrees_on_random_worlds);
    tcase_add_test(tcase, test_naive__adding_a_tag_never_changes_a_grade);
    tcase_add_test(tcase, test_naive__the_named_tag_settles);
    return tcase;
}
