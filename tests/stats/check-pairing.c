/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/stats/pairing.h"

#include "rows.h"
#include "suite.h"

TCase *rb_case_pairing(void);

/* Counts one group by going over all rows: slow and plain. An id of -1 matches any tagged. */
static RbTally count_group(const RbDropback *rows, int n, int64_t concept,
                           int64_t coverage)
{
    RbTally tally = { 0 };
    for (int i = 0; i < n; i++) {
        const RbDropback *row = &rows[i];
        if (!row->in_ladder || row->concept.value == 0 || row->coverage.value == 0 ||
            (concept != -1 && row->concept.value != concept) ||
            (coverage != -1 && row->coverage.value != coverage)) {
            continue;
        }
        tally.dropbacks++;
        tally.successes += row->success ? 1 : 0;
        tally.right +=
            row->verdict == RB_VERDICT_ON_READ || row->verdict == RB_VERDICT_SOUND;
        tally.judged +=
            row->verdict != RB_VERDICT_UNGRADED && row->verdict != RB_VERDICT_SPOILED;
        tally.pressured += row->pressured ? 1 : 0;
        if (row->has_points) {
            tally.pointed++;
            tally.points += row->points;
        }
        switch ((int)row->result) {
        case RB_RESULT_INTERCEPTED:
            tally.interceptions++;
            tally.attempts++;
            continue;
        case RB_RESULT_COMPLETE:
            tally.completions++;
            tally.attempts++;
            break;
        case RB_RESULT_INCOMPLETE:
        case RB_RESULT_THROWN_AWAY:
            tally.attempts++;
            continue;
        case RB_RESULT_SACK:
            tally.sacks++;
            break;
        default:
            break;
        }
        tally.yards += row->gain;
        tally.explosive += row->gain > 15;
    }
    return tally;
}

static void assert_same(const RbTally *got, RbTally want)
{
    want.concept = got->concept;
    want.coverage = got->coverage;
    ck_assert_int_eq(got->dropbacks, want.dropbacks);
    ck_assert_int_eq(got->successes, want.successes);
    ck_assert_int_eq(got->pointed, want.pointed);
    ck_assert_double_eq(got->points, want.points);
    ck_assert_int_eq(got->yards, want.yards);
    ck_assert_int_eq(got->completions, want.completions);
    ck_assert_int_eq(got->attempts, want.attempts);
    ck_assert_int_eq(got->explosive, want.explosive);
    ck_assert_int_eq(got->sacks, want.sacks);
    ck_assert_int_eq(got->interceptions, want.interceptions);
    ck_assert_int_eq(got->pressured, want.pressured);
    ck_assert_int_eq(got->right, want.right);
    ck_assert_int_eq(got->judged, want.judged);
}

static void add(RbTally *sum, const RbTally *tally)
{
    sum->dropbacks += tally->dropbacks;
    sum->successes += tally->successes;
    sum->pointed += tally->pointed;
    sum->points += tally->points;
    sum->yards += tally->yards;
    sum->completions += tally->completions;
    sum->attempts += tally->attempts;
    sum->explosive += tally->explosive;
    sum->sacks += tally->sacks;
    sum->interceptions += tally->interceptions;
    sum->pressured += tally->pressured;
    sum->right += tally->right;
    sum->judged += tally->judged;
}

START_TEST(test_pairing__equals_a_naive_count)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(5));
    for (int round = 0; round < 300; round++) {
        const int n = rb_random_int(&random, 0, 250);
        const int kinds = rb_random_int(&random, 0, 6);
        g_autofree RbDropback *rows = rb_random_dropbacks(&random, n, kinds);
        RbPairings pairings;
        rb_pairings_build(rows, n, &pairings);
        int cells = 0;
        for (int64_t concept = 1; concept <= kinds; concept ++) {
            for (int64_t coverage = 1; coverage <= kinds; coverage++) {
                const RbTally want = count_group(rows, n, concept, coverage);
                const RbTally *cell = rb_pairings_find(
                    &pairings, (RbConceptId){ concept }, (RbTermId){ coverage });
                ck_assert_int_eq(cell != NULL, want.dropbacks > 0);
                if (cell != NULL) {
                    assert_same(cell, want);
                    cells++;
                }
            }
        }
        ck_assert_int_eq(cells, pairings.n_cells);
        for (int i = 0; i < pairings.n_concepts; i++) {
            assert_same(&pairings.concepts[i],
                        count_group(rows, n, pairings.concepts[i].concept.value, -1));
        }
        for (int i = 0; i < pairings.n_coverages; i++) {
            assert_same(&pairings.coverages[i],
                        count_group(rows, n, -1, pairings.coverages[i].coverage.value));
        }
        assert_same(&pairings.all, count_group(rows, n, -1, -1));
        rb_pairings_clear(&pairings);
    }
}
END_TEST

START_TEST(test_pairing__margins_sum)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(6));
    for (int round = 0; round < 200; round++) {
        const int n = rb_random_int(&random, 0, 250);
        g_autofree RbDropback *rows = rb_random_dropbacks(&random, n, 5);
        RbPairings pairings;
        rb_pairings_build(rows, n, &pairings);
        RbTally cells = { 0 };
        RbTally concepts = { 0 };
        RbTally coverages = { 0 };
        for (int i = 0; i < pairings.n_cells; i++) {
            add(&cells, &pairings.cells[i]);
        }
        for (int i = 0; i < pairings.n_concepts; i++) {
            add(&concepts, &pairings.concepts[i]);
        }
        for (int i = 0; i < pairings.n_coverages; i++) {
            add(&coverages, &pairings.coverages[i]);
        }
        assert_same(&pairings.all, cells);
        assert_same(&pairings.all, concepts);
        assert_same(&pairings.all, coverages);
        int counted = 0;
        for (int i = 0; i < n; i++) {
            counted += rows[i].in_ladder;
        }
        ck_assert_int_eq(pairings.all.dropbacks + pairings.untagged, counted);
        rb_pairings_clear(&pairings);
    }
}
END_TEST

START_TEST(test_pairing__most_dropbacks_first)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(7));
    g_autofree RbDropback *rows = rb_random_dropbacks(&random, 400, 7);
    RbPairings pairings;
    rb_pairings_build(rows, 400, &pairings);
    for (int i = 1; i < pairings.n_concepts; i++) {
        ck_assert_int_ge(pairings.concepts[i - 1].dropbacks,
                         pairings.concepts[i].dropbacks);
    }
    for (int i = 1; i < pairings.n_coverages; i++) {
        ck_assert_int_ge(pairings.coverages[i - 1].dropbacks,
                         pairings.coverages[i].dropbacks);
    }
    /* Cells walk the table row by row. */
    int concept = 0;
    int coverage = -1;
    for (int i = 0; i < pairings.n_cells; i++) {
        const RbTally *cell = &pairings.cells[i];
        while (pairings.concepts[concept].concept.value != cell->concept.value) {
            concept ++;
            coverage = -1;
            ck_assert_int_lt(concept, pairings.n_concepts);
        }
        int at = 0;
        while (pairings.coverages[at].coverage.value != cell->coverage.value) {
            at++;
        }
        ck_assert_int_gt(at, coverage);
        coverage = at;
    }
    /* The same rows in another order give the same table. */
    for (int i = 0; i < 200; i++) {
        const RbDropback swapped = rows[i];
        rows[i] = rows[399 - i];
        rows[399 - i] = swapped;
    }
    RbPairings again;
    rb_pairings_build(rows, 400, &again);
    ck_assert_int_eq(again.n_cells, pairings.n_cells);
    for (int i = 0; i < again.n_cells; i++) {
        ck_assert_int_eq(again.cells[i].concept.value, pairings.cells[i].concept.value);
        ck_assert_int_eq(again.cells[i].coverage.value, pairings.cells[i].coverage.value);
        assert_same(&again.cells[i], pairings.cells[i]);
    }
    rb_pairings_clear(&again);
    rb_pairings_clear(&pairings);
}
END_TEST

START_TEST(test_pairing__empty)
{
    RbPairings pairings;
    rb_pairings_build(NULL, 0, &pairings);
    ck_assert_int_eq(pairings.n_cells, 0);
    ck_assert_int_eq(pairings.all.dropbacks, 0);
    ck_assert_ptr_null(rb_pairings_find(&pairings, (RbConceptId){ 1 }, (RbTermId){ 1 }));
    rb_pairings_clear(&pairings);
    rb_pairings_clear(&pairings);
}
END_TEST

TCase *rb_case_pairing(void)
{
    TCase *tcase = rb_case_new("pairing");
    tcase_add_test(tcase, test_pairing__equals_a_naive_count);
    tcase_add_test(tcase, test_pairing__margins_sum);
    tcase_add_test(tcase, test_pairing__most_dropbacks_first);
    tcase_add_test(tcase, test_pairing__empty);
    return tcase;
}
