/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/work/clip-match.h"

#include "suite.h"

TCase *rb_case_clip_match(void);

#define CLIPS 120

typedef struct {
    RbMatchClip clips[CLIPS];
    int snap[CLIPS]; /* which snap it shows; -1: none */
    int n;
} Side;

static void add(Side *side, int64_t length_us, int snap, int number)
{
    side->clips[side->n] = (RbMatchClip){ length_us, number, -1 };
    side->snap[side->n] = snap;
    side->n++;
}

/* Plays of 5 to 14 seconds; each camera misses some and films what is no snap now and then. */
static void film(RbRandom *random, Side sides[2], int snaps, int jitter_us,
                 int lost_percent)
{
    memset(sides, 0, 2 * sizeof *sides);
    for (int s = 0; s < snaps; s++) {
        const int64_t length = 5000000 + rb_random_int(random, 0, 9000000);
        for (int k = 0; k < 2; k++) {
            if (rb_random_int(random, 0, 99) >= lost_percent) {
                const int64_t late =
                    jitter_us > 0 ? rb_random_int(random, 0, jitter_us) : 0;
                add(&sides[k], length + late, s, -1);
            }
        }
    }
}

static void check_whole(const GArray *steps, int n, int m)
{
    int i = 0;
    int j = 0;
    for (guint k = 0; k < steps->len; k++) {
        const RbMatchStep *step = &g_array_index(steps, RbMatchStep, k);
        ck_assert(step->wide >= 0 || step->tight >= 0);
        ck_assert(step->wide < 0 || step->wide == i++);
        ck_assert(step->tight < 0 || step->tight == j++);
        ck_assert(step->sure >= 0 && step->sure <= 1 + 1e-9);
    }
    ck_assert_int_eq(i, n);
    ck_assert_int_eq(j, m);
}

/* Every clip once and in order, whatever comes in. */
START_TEST(test_clip_match__uses_each_clip_once_in_order)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(801));
    const int cases = rb_test_some(200);
    for (int round = 0; round < cases; round++) {
        Side sides[2];
        film(&random, sides, rb_random_int(&random, 0, 40),
             rb_random_int(&random, 0, 3000000), rb_random_int(&random, 0, 60));
        g_autoptr(GArray) steps =
            rb_match_clips(sides[0].clips, sides[0].n, sides[1].clips, sides[1].n);
        check_whole(steps, sides[0].n, sides[1].n);
    }
}
END_TEST

/* The cheapest way and the shares, counted over every alignment of short lists, one by one. */
typedef struct {
    const Side *sides;
    double spread;
    double cheapest;
    double whole;
    double paired[8][8];
    int partner[8];
} Every;

static void try_every(Every *every, int i, int j, double cost)
{
    if (i == every->sides[0].n) {
        const double all = cost + RB_MATCH_GAP * (every->sides[1].n - j);
        every->cheapest = fmin(every->cheapest, all);
        every->whole += exp(-all);
        for (int k = 0; k < i; k++) {
            if (every->partner[k] >= 0) {
                every->paired[k][every->partner[k]] += exp(-all);
            }
        }
        return;
    }
    every->partner[i] = -1;
    try_every(every, i + 1, j, cost + RB_MATCH_GAP);
    for (int k = j; k < every->sides[1].n; k++) {
        const double d = fabs((double)(every->sides[0].clips[i].length_us -
                                       every->sides[1].clips[k].length_us)) /
                         1e6 / every->spread;
        every->partner[i] = k;
        try_every(every, i + 1, k + 1,
                  cost + RB_MATCH_GAP * (k - j) + 2 * log1p(d * d / 2));
    }
}

START_TEST(test_clip_match__agrees_with_counting_every_alignment)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(802));
    const int cases = rb_test_some(100);
    for (int round = 0; round < cases; round++) {
        Side sides[2];
        film(&random, sides, 1 + rb_random_int(&random, 0, 5), 1500000, 25);
        Every every = { .sides = sides, .cheapest = INFINITY };
        every.spread =
            rb_match_spread(sides[0].clips, sides[0].n, sides[1].clips, sides[1].n);
        try_every(&every, 0, 0, 0);
        g_autoptr(GArray) steps =
            rb_match_clips(sides[0].clips, sides[0].n, sides[1].clips, sides[1].n);
        for (guint k = 0; k < steps->len; k++) {
            const RbMatchStep *step = &g_array_index(steps, RbMatchStep, k);
            if (step->wide >= 0 && step->tight >= 0) {
                ck_assert_double_eq_tol(
                    step->sure, every.paired[step->wide][step->tight] / every.whole,
                    1e-9);
            }
        }
    }
}
END_TEST

static int count_wrong(const GArray *steps, const Side sides[2], int *pairs)
{
    int wrong = 0;
    *pairs = 0;
    for (guint k = 0; k < steps->len; k++) {
        const RbMatchStep *step = &g_array_index(steps, RbMatchStep, k);
        if (step->wide >= 0 && step->tight >= 0) {
            (*pairs)++;
            wrong += sides[0].snap[step->wide] != sides[1].snap[step->tight];
        }
    }
    return wrong;
}

/* Both cameras cut alike, to a frame: a wrong pair takes two snaps next to each other, each lost
 * by one camera, that last equally long. */
START_TEST(test_clip_match__equal_lengths_are_matched)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(803));
    int wrong = 0;
    int all = 0;
    const int cases = rb_test_some(60);
    for (int round = 0; round < cases; round++) {
        Side sides[2];
        int pairs = 0;
        film(&random, sides, 70, 16700, 6);
        g_autoptr(GArray) steps =
            rb_match_clips(sides[0].clips, sides[0].n, sides[1].clips, sides[1].n);
        wrong += count_wrong(steps, sides, &pairs);
        ck_assert_int_ge(pairs, 50);
        all += pairs;
    }
    printf("pairs: %d, wrong %d\n", all, wrong);
    ck_assert_int_le(wrong * 1000, all);
}
END_TEST

/* Operators up to a second apart: what is said to be sure is right. */
START_TEST(test_clip_match__sure_pairs_are_right)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(804));
    int sure = 0;
    int right = 0;
    const int cases = rb_test_some(60);
    for (int round = 0; round < cases; round++) {
        Side sides[2];
        film(&random, sides, 70, 1000000, 4);
        g_autoptr(GArray) steps =
            rb_match_clips(sides[0].clips, sides[0].n, sides[1].clips, sides[1].n);
        for (guint k = 0; k < steps->len; k++) {
            const RbMatchStep *step = &g_array_index(steps, RbMatchStep, k);
            if (step->wide >= 0 && step->tight >= 0 && step->sure > 0.9) {
                sure++;
                right += sides[0].snap[step->wide] == sides[1].snap[step->tight];
            }
        }
    }
    printf("sure pairs: %d, right %d\n", sure, right);
    ck_assert_int_gt(sure * 60, 2500 * cases);
    ck_assert_int_ge(right * 100, sure * 95);
}
END_TEST

/* Numbers that both cameras share settle lists of plays that all last as long. */
START_TEST(test_clip_match__numbers_settle_equal_lengths)
{
    Side sides[2];
    memset(sides, 0, sizeof sides);
    for (int s = 0; s < 30; s++) {
        for (int k = 0; k < 2; k++) {
            if (s != 7 + 9 * k) {
                add(&sides[k], 8000000, s, s + 1);
            }
        }
    }
    int pairs = 0;
    g_autoptr(GArray) steps =
        rb_match_clips(sides[0].clips, sides[0].n, sides[1].clips, sides[1].n);
    ck_assert_int_eq(count_wrong(steps, sides, &pairs), 0);
    ck_assert_int_eq(pairs, 28);
    ck_assert_uint_eq(steps->len, 30);
}
END_TEST

/* A camera that counts for itself and missed the third snap: its numbers are not believed. */
START_TEST(test_clip_match__own_counts_are_not_believed)
{
    RbRandom random;
    Side sides[2];
    rb_random_seed(&random, rb_test_seed(805));
    film(&random, sides, 40, 0, 0);
    for (int i = 0; i < 40; i++) {
        sides[0].clips[i].number = i + 1;
    }
    memmove(&sides[1].clips[2], &sides[1].clips[3], 37 * sizeof sides[1].clips[0]);
    memmove(&sides[1].snap[2], &sides[1].snap[3], 37 * sizeof sides[1].snap[0]);
    sides[1].n = 39;
    for (int i = 0; i < 39; i++) {
        sides[1].clips[i].number = i + 1;
    }
    int pairs = 0;
    ck_assert(!rb_match_numbers_hold(sides[0].clips, 40, sides[1].clips, 39));
    g_autoptr(GArray) steps = rb_match_clips(sides[0].clips, 40, sides[1].clips, 39);
    ck_assert_int_eq(count_wrong(steps, sides, &pairs), 0);
    ck_assert_int_eq(pairs, 39);
}
END_TEST

TCase *rb_case_clip_match(void)
{
    TCase *tcase = rb_case_new("clip-match");
    tcase_add_test(tcase, test_clip_match__uses_each_clip_once_in_order);
    tcase_add_test(tcase, test_clip_match__agrees_with_counting_every_alignment);
    tcase_add_test(tcase, test_clip_match__equal_lengths_are_matched);
    tcase_add_test(tcase, test_clip_match__sure_pairs_are_right);
    tcase_add_test(tcase, test_clip_match__numbers_settle_equal_lengths);
    tcase_add_test(tcase, test_clip_match__own_counts_are_not_believed);
    return tcase;
}
