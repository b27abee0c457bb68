/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/stats/intervals.h"
#include "rb/stats/measure.h"

#include "rows.h"
#include "suite.h"

TCase *rb_case_measure(void);

/* A dropback of pairing (concept, coverage) that counts. */
static RbDropback row_of(int64_t concept, int64_t coverage, double points, bool success)
{
    return (RbDropback){ .concept = { concept },
                         .coverage = { coverage },
                         .verdict = RB_VERDICT_ON_READ,
                         .result = success ? RB_RESULT_COMPLETE : RB_RESULT_INCOMPLETE,
                         .has_points = true,
                         .points = points,
                         .success = success,
                         .release_ms = -1,
                         .in_ladder = true };
}

/* In R 4.2.2: a <- c(-1.5, .25, -.75, .5, -2, -.5); b <- c(.5, 1.25, -.5, .75, 0, 2, -1, .25);
 * t.test(a, b, alternative = "less")$p.value; t.test(a, conf.level = .8)$conf.int */
START_TEST(test_measure__means_as_in_r)
{
    static const double cell[] = { -1.5, 0.25, -0.75, 0.5, -2.0, -0.5 };
    static const double rest[] = { 0.5, 1.25, -0.5, 0.75, 0.0, 2.0, -1.0, 0.25 };
    RbDropback rows[14];
    for (int i = 0; i < 14; i++) {
        rows[i] = i < 6 ? row_of(1, 1, cell[i], false) : row_of(2, 2, rest[i - 6], true);
    }
    RbPairings pairings;
    RbMeasured figures[2];
    rb_pairings_build(rows, 14, &pairings);
    rb_pairings_measure(&pairings, RB_MEASURE_POINTS, figures);
    const int k = pairings.cells[0].concept.value == 1 ? 0 : 1;
    ck_assert_double_eq_tol(figures[k].raw, -4.0 / 6.0, 1e-12);
    ck_assert_double_eq_tol(figures[k].low, -1.2513560559414, 1e-9);
    ck_assert_double_eq_tol(figures[k].high, -0.0819772773919, 1e-9);
    /* Two are tested; the other is the better one, so the smaller p is doubled. */
    ck_assert_double_eq_tol(figures[k].adjusted, 2 * 0.0320180985939, 1e-9);
    ck_assert(figures[k].flagged);
    ck_assert(!figures[1 - k].flagged);
    rb_pairings_clear(&pairings);
}
END_TEST

/* In R 4.2.2: fisher.test(matrix(c(1, 40, 9, 50), 2), alternative = "less")$p.value */
START_TEST(test_measure__rates_as_in_r)
{
    RbDropback rows[100];
    for (int i = 0; i < 100; i++) {
        rows[i] = i < 10 ? row_of(1, 1, 0.0, i == 0) : row_of(2, 2, 0.0, i < 50);
    }
    RbPairings pairings;
    RbMeasured figures[2];
    rb_pairings_build(rows, 100, &pairings);
    rb_pairings_measure(&pairings, RB_MEASURE_SUCCESS, figures);
    /* Most dropbacks first. */
    ck_assert_double_eq_tol(figures[1].adjusted, 2 * 0.033391712578, 1e-9);
    ck_assert(figures[1].flagged);
    ck_assert_double_gt(figures[1].shown, 0.1); /* drawn towards the others */
    ck_assert_double_lt(figures[1].shown, 0.4);
    ck_assert_double_gt(figures[1].below, 0.8);
    rb_pairings_clear(&pairings);
}
END_TEST

/* For sacks the many are the bad ones. */
START_TEST(test_measure__less_is_better_of_sacks)
{
    RbDropback rows[60];
    for (int i = 0; i < 60; i++) {
        rows[i] = row_of(1 + i / 20, 1, 0.0, true);
        if (i < 12 || i == 30) {
            rows[i].result = RB_RESULT_SACK;
        }
    }
    RbPairings pairings;
    RbMeasured figures[3];
    rb_pairings_build(rows, 60, &pairings);
    rb_pairings_measure(&pairings, RB_MEASURE_SACK, figures);
    for (int k = 0; k < pairings.n_cells; k++) {
        const bool bad = pairings.cells[k].concept.value == 1;
        ck_assert_int_eq(figures[k].flagged, bad);
        ck_assert_int_eq(figures[k].below > 0.5, bad);
    }
    ck_assert(!rb_measure_more_is_better(RB_MEASURE_SACK));
    rb_pairings_clear(&pairings);
}
END_TEST

static void assert_sensible(const RbMeasured *figure, RbMeasure measure)
{
    ck_assert(isfinite(figure->raw) && isfinite(figure->shown) && isfinite(figure->low) &&
              isfinite(figure->high) && isfinite(figure->below) &&
              isfinite(figure->adjusted));
    ck_assert(figure->known || !figure->flagged);
    if (figure->has_interval) {
        ck_assert_double_le(figure->low, figure->high);
    }
    if (rb_measure_is_rate(measure) && figure->known) {
        ck_assert(figure->low >= 0.0 && figure->high <= 1.0);
        ck_assert(figure->shown >= 0.0 && figure->shown <= 1.0);
        ck_assert(figure->below >= 0.0 && figure->below <= 1.0);
    }
}

/* Nothing, one dropback, one concept, all alike, any mix: never a division by nothing, never a
 * flag under five. */
START_TEST(test_measure__no_table_is_too_small)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(31));
    for (int round = 0; round < 16; round++) {
        const int n = round < 8 ? round : rb_random_int(&random, 0, 80);
        const int kinds = rb_random_int(&random, 1, 4);
        g_autofree RbDropback *rows = rb_random_dropbacks(&random, n, kinds);
        for (int i = 0; round % 3 == 0 && i < n; i++) {
            rows[i] = row_of(1, 1 + i % kinds, 0.5, round % 2 == 0);
        }
        RbPairings pairings;
        rb_pairings_build(rows, n, &pairings);
        g_autofree RbMeasured *figures = g_new(RbMeasured, pairings.n_cells + 1);
        for (RbMeasure measure = 0; measure < RB_MEASURES; measure++) {
            RbMeasured all;
            rb_pairings_measure(&pairings, measure, figures);
            rb_measure_figure(measure, &pairings.all, &all);
            assert_sensible(&all, measure);
            for (int k = 0; k < pairings.n_cells; k++) {
                assert_sensible(&figures[k], measure);
                ck_assert(pairings.cells[k].dropbacks >= RB_PAIRING_MIN ||
                          !figures[k].flagged);
            }
        }
        rb_pairings_clear(&pairings);
    }
}
END_TEST

/* Counted a second time, plainly. */
START_TEST(test_measure__counts_and_means)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(32));
    g_autofree RbDropback *rows = rb_random_dropbacks(&random, 400, 1);
    RbPairings pairings;
    rb_pairings_build(rows, 400, &pairings);
    int right = 0;
    int judged = 0;
    double points = 0.0;
    int pointed = 0;
    for (int i = 0; i < 400; i++) {
        if (!rows[i].in_ladder || rows[i].concept.value == 0 ||
            rows[i].coverage.value == 0) {
            continue;
        }
        const RbVerdict verdict = rows[i].verdict;
        right += verdict == RB_VERDICT_ON_READ || verdict == RB_VERDICT_SOUND;
        judged += verdict != RB_VERDICT_UNGRADED && verdict != RB_VERDICT_SPOILED;
        pointed += rows[i].has_points;
        points += rows[i].points;
    }
    int x = 0;
    int n = 0;
    double mean = 0.0;
    rb_measure_count(RB_MEASURE_RIGHT, &pairings.all, &x, &n);
    ck_assert_int_eq(x, right);
    ck_assert_int_eq(n, judged);
    ck_assert(rb_measure_value(RB_MEASURE_POINTS, &pairings.all, &mean));
    ck_assert_double_eq_tol(mean, points / pointed, 1e-12);
    rb_pairings_clear(&pairings);
}
END_TEST

TCase *rb_case_measure(void)
{
    TCase *tcase = tcase_create("measure");
    tcase_add_test(tcase, test_measure__means_as_in_r);
    tcase_add_test(tcase, test_measure__rates_as_in_r);
    tcase_add_test(tcase, test_measure__less_is_better_of_sacks);
    tcase_add_test(tcase, test_measure__no_table_is_too_small);
    tcase_add_test(tcase, test_measure__counts_and_means);
    return tcase;
}
