/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Left and right changed over everywhere: nothing about a verdict may change. */
#include "suite.h"
#include "world.h"

TCase *rb_case_mirror(void);

enum { RUNS = 20000 };

static RbSide flip_side(RbSide side)
{
    return side == RB_SIDE_UNKNOWN ? side
           : side == RB_SIDE_LEFT  ? RB_SIDE_RIGHT
                                   : RB_SIDE_LEFT;
}

static RbRotation flip_rotation(RbRotation rotation)
{
    switch (rotation) {
    case RB_ROTATION_LEFT:
        return RB_ROTATION_RIGHT;
    case RB_ROTATION_RIGHT:
        return RB_ROTATION_LEFT;
    case RB_ROTATION_UNKNOWN:
    case RB_ROTATION_NONE:
        break;
    }
    return rotation;
}

static RbWhere flip_where(RbWhere where)
{
    return where == RB_WHERE_LEFT    ? RB_WHERE_RIGHT
           : where == RB_WHERE_RIGHT ? RB_WHERE_LEFT
                                     : where;
}

static void flip_concept(RbConcept *concept)
{
    for (guint i = 0; concept != NULL && i < concept->rules->len; i++) {
        RbRule *rule = g_ptr_array_index(concept->rules, i);
        rule->where = flip_where(rule->where);
        for (guint k = 0; k < rule->conditions->len; k++) {
            RbCondition *condition = &g_array_index(rule->conditions, RbCondition, k);
            condition->where = flip_where(condition->where);
            if (condition->kind == RB_IF_HASH && condition->value != RB_HASH_MIDDLE) {
                condition->value = RB_HASH_LEFT + RB_HASH_RIGHT - condition->value;
            }
        }
    }
}

static void flip_chart(RbChart *chart)
{
    const RbSideShown shown = chart->shown.left;
    chart->shown.left = chart->shown.right;
    chart->shown.right = shown;
    chart->shown.rotation = flip_rotation(chart->shown.rotation);
    const RbTechnique played = chart->played.left;
    chart->played.left = chart->played.right;
    chart->played.right = played;
    const RbYesNo safety = chart->played.safety_left;
    chart->played.safety_left = chart->played.safety_right;
    chart->played.safety_right = safety;
    chart->played.rotation = flip_rotation(chart->played.rotation);
    chart->played.unblocked_side = flip_side(chart->played.unblocked_side);
    chart->side_worked = flip_side(chart->side_worked);
    chart->call.first_side = flip_side(chart->call.first_side);
}

static void flip_world(World *world)
{
    flip_concept(world->first);
    flip_concept(world->second);
    flip_chart(world->chart);
    RbHash *hash = &world->snap->situation.hash;
    if (*hash == RB_HASH_LEFT || *hash == RB_HASH_RIGHT) {
        *hash = (RbHash)(RB_HASH_LEFT + RB_HASH_RIGHT - (int)*hash);
    }
    RbStrong *strong = &world->snap->strong;
    if (*strong == RB_STRONG_LEFT || *strong == RB_STRONG_RIGHT) {
        *strong = *strong == RB_STRONG_LEFT ? RB_STRONG_RIGHT : RB_STRONG_LEFT;
    }
    if (world->chart->call.kind == RB_CALL_SPLIT) {
        /* The first concept of a split call is the left one. */
        const RbConcept *first = world->context.first;
        world->context.first = world->context.second;
        world->context.second = first;
    }
}

START_TEST(test_mirror__left_and_right_are_alike)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(31));
    int graded = 0;
    const int cases = rb_test_some(RUNS);
    for (int i = 0; i < cases; i++) {
        World world;
        RbJudgment one;
        RbJudgment two;
        world_make(&world, &random);
        for (int k = rb_random_int(&random, 0, 6); k > 0; k--) {
            world_forget(&world, &random);
        }
        rb_judge(&world.context, world.chart, world.success, &world.settings, &one);
        flip_world(&world);
        rb_judge(&world.context, world.chart, world.success, &world.settings, &two);
        ck_assert_int_eq(one.verdict, two.verdict);
        ck_assert_int_eq(one.stage, two.stage);
        ck_assert_int_eq(one.stage_read, two.stage_read);
        ck_assert_int_eq(one.right_slot, two.right_slot);
        ck_assert_int_eq(one.order.required_side, flip_side(two.order.required_side));
        ck_assert_int_eq(one.order.live, two.order.live);
        graded += one.verdict != RB_VERDICT_UNGRADED ? 1 : 0;
        world_clear(&world);
    }
    ck_assert_int_gt(graded, cases / 4);
}
END_TEST

TCase *rb_case_mirror(void)
{
    TCase *tcase = rb_case_new("mirror");
    tcase_add_test(tcase, test_mirror__left_and_right_are_alike);
    return tcase;
}
