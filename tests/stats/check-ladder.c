/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/ladder.h"

#include "rows.h"
#include "suite.h"

TCase *rb_case_ladder(void);

/* Over random rows: every row that counts is in exactly one cell, and the cells sum to the
 * dropbacks, in count and in points. */
START_TEST(test_ladder__is_a_partition)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(3));
    for (int round = 0; round < 1000; round++) {
        const int n = rb_random_int(&random, 0, 80);
        g_autofree RbDropback *rows = rb_random_dropbacks(&random, n, 3);
        RbLadder ladder;
        rb_ladder_build(rows, n, &ladder);
        RbLadderCell sum = { 0 };
        for (int read = 0; read <= RB_READS_MAX; read++) {
            for (int stage = 0; stage < RB_STAGES; stage++) {
                const RbLadderCell *cell = &ladder.cells[read][stage];
                RbLadderCell oracle = { 0 };
                for (int i = 0; i < n; i++) {
                    if (rows[i].in_ladder && rows[i].stage_read == read &&
                        (int)rows[i].stage == stage) {
                        oracle.dropbacks++;
                        oracle.pointed += rows[i].has_points;
                        oracle.points += rows[i].points;
                    }
                }
                ck_assert_int_eq(cell->dropbacks, oracle.dropbacks);
                ck_assert_int_eq(cell->pointed, oracle.pointed);
                ck_assert_double_eq(cell->points, oracle.points);
                sum.dropbacks += cell->dropbacks;
                sum.pointed += cell->pointed;
                sum.points += cell->points;
            }
        }
        ck_assert_int_eq(sum.dropbacks, ladder.dropbacks);
        ck_assert_int_eq(sum.pointed, ladder.pointed);
        ck_assert_double_eq(sum.points, ladder.points);
    }
}
END_TEST

START_TEST(test_ladder__empty)
{
    RbLadder ladder;
    rb_ladder_build(NULL, 0, &ladder);
    ck_assert_int_eq(ladder.dropbacks, 0);
    ck_assert_double_eq(ladder.points, 0);
}
END_TEST

START_TEST(test_ladder__failures_are_all_but_two)
{
    int failures = 0;
    for (int stage = 0; stage < RB_STAGES; stage++) {
        failures += rb_stage_is_failure((RbStage)stage);
    }
    ck_assert_int_eq(failures, RB_STAGES - 2);
    ck_assert(!rb_stage_is_failure(RB_STAGE_SUCCESS));
    ck_assert(!rb_stage_is_failure(RB_STAGE_NOT_JUDGED));
}
END_TEST

TCase *rb_case_ladder(void)
{
    TCase *tcase = rb_case_new("ladder");
    tcase_add_test(tcase, test_ladder__is_a_partition);
    tcase_add_test(tcase, test_ladder__empty);
    tcase_add_test(tcase, test_ladder__failures_are_all_but_two);
    return tcase;
}
