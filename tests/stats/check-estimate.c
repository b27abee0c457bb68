/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/stats/estimate.h"

#include "rows.h"
#include "simulate-estimate.h"
#include "suite.h"

TCase *rb_case_estimate(void);

/* Three made-up tables (row, column, successes, of) and what lme4 1.1-31 under R 4.2.2 says:
 *   glmer(cbind(x, n - x) ~ 1 + (1 | row) + (1 | column) + (1 | cell), family = binomial,
 *         control = glmerControl(optimizer = "bobyqa", optCtrl = list(maxfun = 1e6,
 *                                rhoend = 1e-9)))
 * effects: fixef(), then ranef() of rows, columns and cells. */
static const RbCrossedCell cells_1[] = {
    { 0, 0, 2, 7 },  { 0, 1, 5, 15 },  { 0, 2, 0, 2 },   { 0, 3, 2, 9 },
    { 0, 4, 2, 11 }, { 0, 5, 0, 4 },   { 0, 6, 7, 23 },  { 1, 0, 2, 3 },
    { 1, 1, 4, 10 }, { 1, 2, 5, 18 },  { 1, 3, 0, 2 },   { 1, 4, 6, 18 },
    { 1, 5, 6, 14 }, { 1, 6, 6, 13 },  { 2, 0, 0, 1 },   { 2, 1, 0, 2 },
    { 2, 2, 1, 13 }, { 2, 3, 7, 10 },  { 2, 4, 2, 7 },   { 2, 5, 1, 3 },
    { 2, 6, 5, 12 }, { 3, 0, 1, 2 },   { 3, 1, 2, 3 },   { 3, 2, 6, 20 },
    { 3, 3, 1, 1 },  { 3, 4, 0, 1 },   { 3, 5, 10, 30 }, { 3, 6, 1, 2 },
    { 4, 0, 0, 3 },  { 4, 1, 12, 21 }, { 4, 2, 0, 1 },   { 4, 3, 4, 18 },
    { 4, 4, 6, 15 }, { 4, 5, 10, 13 }, { 4, 6, 1, 2 },   { 5, 0, 9, 20 },
    { 5, 1, 0, 1 },  { 5, 2, 1, 4 },   { 5, 3, 9, 24 },  { 5, 4, 1, 1 },
    { 5, 5, 0, 1 },  { 5, 6, 0, 5 },   { 6, 0, 8, 21 },  { 6, 1, 2, 3 },
    { 6, 2, 1, 3 },  { 6, 3, 3, 3 },   { 6, 4, 8, 15 },  { 6, 5, 12, 23 },
    { 6, 6, 1, 4 },  { 7, 0, 0, 2 },   { 7, 1, 15, 25 }, { 7, 2, 6, 30 },
    { 7, 3, 1, 1 },  { 7, 4, 3, 16 },  { 7, 5, 12, 26 }, { 7, 6, 3, 10 }
};
static const double effects_1[] = {
    -0.5413233031, -0.1115310875, 0.0119226857,  -0.0114727390, -0.0011201403,
    0.0466000948,  -0.0127492096, 0.0945904211,  -0.0089894273, -0.0078505313,
    0.3022822273,  -0.3952547215, 0.0837828942,  -0.0943703906, 0.2019037787,
    -0.0564909550, -0.0167883824, -0.0480798746, -0.0239346948, -0.0536168623,
    -0.0648513696, -0.0699494648, -0.0221475191, 0.0405937549,  -0.0182813529,
    -0.0044935329, -0.0358443243, -0.0110523963, 0.0055061034,  0.0555742387,
    -0.0168708366, -0.0401554283, -0.1102460814, 0.1329197050,  -0.0177156535,
    -0.0108685527, 0.0321420895,  0.0123270093,  0.0308057366,  0.0146923923,
    0.0284350192,  -0.0160654081, -0.0865617253, 0.0133603313,  -0.0513789130,
    0.0945022633,  -0.0135307748, -0.1242445287, 0.0261405068,  0.1812472472,
    0.0123466788,  0.0669074895,  -0.0202915210, -0.0052494410, -0.0084919681,
    0.0304916394,  -0.0191570169, -0.0784302012, -0.0058456035, 0.0275730004,
    0.0044050225,  0.0802754388,  0.0998757469,  0.0704097858,  -0.0227968169,
    -0.0334379094, 0.1469437844,  -0.0878739580, 0.0285221496,  -0.1008376366,
    0.0449368413,  -0.0223824037
};

static const RbCrossedCell cells_2[] = {
    { 0, 0, 2, 13 }, { 0, 1, 5, 21 }, { 0, 2, 2, 17 }, { 0, 3, 2, 6 },  { 1, 0, 22, 29 },
    { 1, 1, 7, 10 }, { 1, 2, 1, 3 },  { 1, 3, 1, 1 },  { 2, 0, 0, 1 },  { 2, 1, 8, 17 },
    { 2, 2, 1, 4 },  { 2, 3, 3, 18 }, { 3, 0, 1, 3 },  { 3, 1, 4, 16 }, { 3, 2, 1, 12 },
    { 3, 3, 1, 5 },  { 4, 0, 0, 3 },  { 4, 1, 4, 28 }, { 4, 2, 4, 19 }, { 4, 3, 2, 15 }
};
static const double effects_2[] = {
    -0.9138726627,  -0.458962934,   1.625344224,    0.053611381,    -0.422947232,
    -0.697270176,   0.010017205,    0.027124442,    -0.023747924,   -0.012473295,
    -0.00563274312, 0.00567774321,  -0.01184500584, 0.00700267846,  0.02079339522,
    0.00202124091,  -0.00875453655, 0.00292887189,  -0.00264112315, 0.02440483143,
    -0.00148625388, -0.01971707943, 0.00326405830,  0.00517495613,  -0.01259725698,
    -0.00026262925, -0.00443343917, -0.00654500665, 0.00777510346,  -0.00408490032
};

static const RbCrossedCell cells_3[] = {
    { 0, 0, 4, 7 },   { 0, 1, 14, 16 }, { 0, 5, 6, 14 },  { 0, 6, 9, 9 },
    { 1, 0, 7, 14 },  { 1, 1, 0, 1 },   { 1, 2, 3, 4 },   { 1, 3, 13, 28 },
    { 1, 5, 0, 4 },   { 1, 6, 1, 6 },   { 2, 0, 6, 14 },  { 2, 2, 9, 14 },
    { 2, 3, 20, 24 }, { 2, 4, 4, 7 },   { 2, 5, 11, 22 }, { 2, 6, 4, 12 },
    { 3, 0, 8, 20 },  { 3, 1, 1, 1 },   { 3, 2, 2, 19 },  { 3, 4, 9, 21 },
    { 3, 5, 16, 26 }, { 4, 1, 8, 11 },  { 4, 3, 2, 3 },   { 4, 6, 19, 27 },
    { 5, 1, 14, 22 }, { 5, 2, 3, 5 },   { 5, 4, 0, 1 },   { 5, 5, 1, 3 },
    { 6, 1, 19, 20 }, { 6, 3, 3, 12 },  { 6, 6, 2, 5 },   { 7, 0, 2, 6 },
    { 7, 2, 0, 1 },   { 7, 3, 8, 11 },  { 7, 5, 2, 9 }
};
static const double effects_3[] = {
    0.1307682188,  0.0205281914,  -0.0179088508, 0.0081280500,  -0.0123647772,
    0.0098076369,  -0.0028949455, 0.0016874183,  -0.0079196167, -0.127090990,
    0.404449891,   -0.117702162,  0.089851053,   -0.077775474,  -0.221915175,
    0.033409075,   0.1398455726,  0.8138892966,  -0.1503795092, 1.1898461301,
    0.0099085017,  -0.3540883024, 0.3996307025,  -0.2837182097, -0.7690052670,
    -0.7416019046, -0.2075762117, 0.3869713361,  0.9837465209,  0.1202006850,
    0.0649775506,  -0.5591202368, -0.3016513495, 0.2122252989,  -1.3183036971,
    -0.2534274664, 0.4605890895,  0.2603690472,  0.1451186009,  0.5467928586,
    0.0209991361,  0.1757082676,  -0.2885691692, -0.1892253287, 1.2400389720,
    -0.8214666810, -0.2547310312, -0.3297729090, -0.2823350255, 0.4636046221,
    -0.6204583274
};

START_TEST(test_estimate__equals_lme4_at_its_spreads)
{
    static const struct {
        const RbCrossedCell *cells;
        int n_cells;
        RbCrossedSpreads spreads;
        const double *effects;
        int n_effects;
        double log_likelihood;
    } tables[] = {
        { cells_1,
          56,
          { 0.1322243932, 0.2863378989, 0.2166289146 },
          effects_1,
          72,
          -94.3674408529 },
        { cells_2,
          20,
          { 0.91954467739, 0.08831942317, 0.09401208884 },
          effects_2,
          30,
          -35.3151311537 },
        { cells_3,
          35,
          { 0.08212424092, 0.34748955600, 0.80922935011 },
          effects_3,
          51,
          -76.4274538711 },
    };
    for (size_t t = 0; t < sizeof tables / sizeof tables[0]; t++) {
        double effects[80] = { 0 };
        const double log_likelihood = rb_crossed_fit(tables[t].cells, tables[t].n_cells,
                                                     tables[t].spreads, effects);
        ck_assert_double_eq_tol(log_likelihood, tables[t].log_likelihood, 0.05);
        for (int i = 0; i < tables[t].n_effects; i++) {
            ck_assert_double_eq_tol(effects[i], tables[t].effects[i], 0.01);
        }
    }
}
END_TEST

/* lme4's spreads are where its likelihood is greatest; so they must be for ours. */
START_TEST(test_estimate__likelihood_is_greatest_at_lme4s_spreads)
{
    const RbCrossedSpreads best = { 0.08212424092, 0.34748955600, 0.80922935011 };
    const int n = (int)G_N_ELEMENTS(cells_3);
    double effects[80];
    const double most = rb_crossed_fit(cells_3, n, best, effects);
    for (int i = 0; i < 3; i++) {
        for (int sign = -1; sign <= 1; sign += 2) {
            RbCrossedSpreads moved = best;
            double *const spreads[3] = { &moved.rows, &moved.columns, &moved.cells };
            *spreads[i] *= 1.0 + 0.5 * sign;
            ck_assert_double_lt(rb_crossed_fit(cells_3, n, moved, effects), most + 1e-3);
        }
    }
}
END_TEST

/* With hardly any spread every cell is estimated by the common rate; with much of it in the
 * cells, by its own. */
START_TEST(test_estimate__spreads_at_their_ends)
{
    static const RbCrossedCell cells[] = {
        { 0, 0, 30, 100 }, { 0, 1, 50, 100 }, { 1, 0, 50, 100 }, { 1, 1, 70, 100 }
    };
    double effects[9];
    rb_crossed_fit(cells, 4, (RbCrossedSpreads){ 1e-4, 1e-4, 1e-4 }, effects);
    for (int i = 0; i < 9; i++) {
        ck_assert_double_eq_tol(effects[i], 0.0, 1e-4); /* logit of 200 in 400 */
    }
    rb_crossed_fit(cells, 4, (RbCrossedSpreads){ 1e-4, 1e-4, 100.0 }, effects);
    ck_assert_double_eq_tol(effects[0] + effects[5], log(0.3 / 0.7), 1e-3);
    ck_assert_double_eq_tol(effects[0] + effects[8], log(0.7 / 0.3), 1e-3);
}
END_TEST

static void check_sane(const RbCrossedCell *cells, int n)
{
    g_autofree RbEstimate *estimates = g_new(RbEstimate, n);
    rb_crossed_estimate(cells, n, estimates);
    for (int k = 0; k < n; k++) {
        ck_assert(estimates[k].low > 0.0 && estimates[k].low < estimates[k].mean);
        ck_assert(estimates[k].mean < estimates[k].high && estimates[k].high < 1.0);
        ck_assert(estimates[k].below >= 0.0 && estimates[k].below <= 1.0 + 1e-12);
    }
}

START_TEST(test_estimate__odd_seasons_are_sane)
{
    static const RbCrossedCell one = { 0, 0, 1, 1 };
    static const RbCrossedCell none = { 0, 0, 0, 300 };
    static const RbCrossedCell all[] = { { 0, 0, 9, 9 },
                                         { 0, 1, 30, 30 },
                                         { 3, 0, 1, 1 } };
    static const RbCrossedCell gap[] = { { 7, 9, 3, 9 }, { 2, 9, 1, 4 } };
    check_sane(&one, 1);
    check_sane(&none, 1);
    check_sane(all, 3);
    check_sane(gap, 2);
    rb_crossed_estimate(NULL, 0, NULL);
}
END_TEST

/* A small number moves little from what its row and column say; a large one speaks for
 * itself. */
START_TEST(test_estimate__small_numbers_are_drawn_in)
{
    RbCrossedCell cells[12];
    for (int k = 0; k < 12; k++) {
        cells[k] = (RbCrossedCell){ k / 4, k % 4, 10, 20 };
    }
    cells[5] = (RbCrossedCell){ 1, 1, 2, 2 };
    cells[6] = (RbCrossedCell){ 1, 2, 90, 100 };
    RbEstimate estimates[12];
    rb_crossed_estimate(cells, 12, estimates);
    ck_assert_double_lt(estimates[5].mean, 0.75);
    ck_assert_double_gt(estimates[5].mean, 0.5);
    ck_assert_double_gt(estimates[6].mean, 0.8);
    ck_assert_double_lt(estimates[6].high - estimates[6].low,
                        estimates[5].high - estimates[5].low);
    ck_assert_double_lt(estimates[6].below, 0.05);
}
END_TEST

START_TEST(test_estimate__pairings_by_their_place)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(14));
    g_autofree RbDropback *rows = rb_random_dropbacks(&random, 300, 5);
    RbPairings pairings;
    rb_pairings_build(rows, 300, &pairings);
    g_autofree RbEstimate *estimates = g_new(RbEstimate, pairings.n_cells);
    g_autofree RbEstimate *direct = g_new(RbEstimate, pairings.n_cells);
    g_autofree RbCrossedCell *cells = g_new(RbCrossedCell, pairings.n_cells);
    for (int k = 0; k < pairings.n_cells; k++) {
        /* Any numbering of rows and columns gives the same. */
        cells[k] =
            (RbCrossedCell){ 5 - (int)pairings.cells[k].concept.value,
                             (int)pairings.cells[k].coverage.value - 1,
                             pairings.cells[k].successes, pairings.cells[k].dropbacks };
    }
    rb_pairings_estimate(&pairings, estimates);
    rb_crossed_estimate(cells, pairings.n_cells, direct);
    for (int k = 0; k < pairings.n_cells; k++) {
        ck_assert_double_eq_tol(estimates[k].mean, direct[k].mean, 1e-6);
        ck_assert_double_eq_tol(estimates[k].low, direct[k].low, 1e-4);
        ck_assert_double_eq_tol(estimates[k].below, direct[k].below, 1e-6);
    }
    rb_pairings_clear(&pairings);
}
END_TEST

/* On seasons whose rates are known, with drawn and with fixed spreads: the 80 % interval holds between
 * 75 and 85 % of them, in every band of dropbacks; the error is at most half the raw rates';
 * the probabilities of being below are right on average. The short run allows for its noise. */
static void keep_word(uint64_t seed, double spread, int seasons, double noise)
{
    RbSimBand bands[RB_SIM_BANDS];
    RbSimBand all = { 0 };
    rb_sim_estimates(seed, seasons, spread, bands);
    for (int b = 0; b < RB_SIM_BANDS; b++) {
        const double covered = (double)bands[b].covered / bands[b].cells;
        ck_assert_double_ge(covered, 0.75 - noise);
        ck_assert_double_le(covered, 0.85 + noise);
        all.cells += bands[b].cells;
        all.squared += bands[b].squared;
        all.squared_raw += bands[b].squared_raw;
        all.below += bands[b].below;
        all.truly_below += bands[b].truly_below;
    }
    ck_assert_double_le(all.squared, all.squared_raw / 2.0);
    ck_assert_double_eq_tol(all.below / all.cells, (double)all.truly_below / all.cells,
                            0.01 + 2.0 * noise);
}

/* The prior was chosen on seeds 1 and 21: the word is kept on seeds that it was not. */
START_TEST(test_estimate__keeps_its_word)
{
    static const double fixed[] = { 0.15, 0.3, 0.5, 0.8 };
    if (!rb_test_is_long()) {
        keep_word(rb_test_seed(7), 0.0, 60, 0.03);
        for (size_t i = 0; i < G_N_ELEMENTS(fixed); i++) {
            keep_word(rb_test_seed(7), fixed[i], 15, 0.06);
        }
        return;
    }
    keep_word(20261129, 0.0, 1000, 0.0);
    keep_word(424242, 0.0, 1000, 0.0);
    /* Fixed spreads lie at the edge of what the prior expects: noise of half a point. */
    for (size_t i = 0; i < G_N_ELEMENTS(fixed); i++) {
        keep_word(20261129, fixed[i], 1000, 0.005);
    }
}
END_TEST

TCase *rb_case_estimate(void)
{
    TCase *tcase = rb_case_new("estimate");
    tcase_set_timeout(tcase, rb_test_is_long() ? 300 : 60);
    tcase_add_test(tcase, test_estimate__equals_lme4_at_its_spreads);
    tcase_add_test(tcase, test_estimate__likelihood_is_greatest_at_lme4s_spreads);
    tcase_add_test(tcase, test_estimate__spreads_at_their_ends);
    tcase_add_test(tcase, test_estimate__odd_seasons_are_sane);
    tcase_add_test(tcase, test_estimate__small_numbers_are_drawn_in);
    tcase_add_test(tcase, test_estimate__pairings_by_their_place);
    tcase_add_test(tcase, test_estimate__keeps_its_word);
    return tcase;
}
