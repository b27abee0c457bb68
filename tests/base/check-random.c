/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>

#include "rb/base/random.h"

#include "suite.h"

TCase *rb_case_random(void);

START_TEST(test_random__published_outputs)
{
    /* Rosetta Code, "Pseudo-random numbers/Splitmix64": the first five for seed 1234567. */
    static const uint64_t published[] = {
        UINT64_C(6457827717110365317),  UINT64_C(3203168211198807973),
        UINT64_C(9817491932198370423),  UINT64_C(4593380528125082431),
        UINT64_C(16408922859458223821),
    };
    RbRandom random;
    rb_random_seed(&random, 1234567);
    for (size_t i = 0; i < G_N_ELEMENTS(published); i++) {
        ck_assert_uint_eq(rb_random_next(&random), published[i]);
    }
}
END_TEST

START_TEST(test_random__published_histogram)
{
    /* The same page: 100,000 fractions of seed 987654321 in five equal bins. */
    static const int published[] = { 20027, 19892, 20073, 19978, 20030 };
    RbRandom random;
    rb_random_seed(&random, 987654321);
    int bins[5] = { 0 };
    for (int i = 0; i < 100000; i++) {
        bins[(int)(rb_random_unit(&random) * 5.0)]++;
    }
    for (int i = 0; i < 5; i++) {
        ck_assert_int_eq(bins[i], published[i]);
    }
}
END_TEST

START_TEST(test_random__streams_differ_and_repeat)
{
    RbRandom a;
    RbRandom b;
    RbRandom c;
    rb_random_seed_stream(&a, 9, 1);
    rb_random_seed_stream(&b, 9, 1);
    rb_random_seed_stream(&c, 9, 2);
    int same = 0;
    for (int i = 0; i < 100; i++) {
        const uint64_t value = rb_random_next(&a);
        ck_assert_uint_eq(value, rb_random_next(&b));
        same += value == rb_random_next(&c) ? 1 : 0;
    }
    ck_assert_int_eq(same, 0);
}
END_TEST

START_TEST(test_random__integers_cover_their_range)
{
    RbRandom random;
    rb_random_seed(&random, 3);
    int counts[7] = { 0 };
    for (int i = 0; i < 70000; i++) {
        const int value = rb_random_int(&random, -3, 3);
        ck_assert(value >= -3 && value <= 3);
        counts[value + 3]++;
    }
    for (int i = 0; i < 7; i++) {
        ck_assert(abs(counts[i] - 10000) < 500); /* five standard deviations */
    }
    ck_assert_int_eq(rb_random_int(&random, 4, 4), 4);
    for (int i = 0; i < 100; i++) {
        const int wide = rb_random_int(&random, INT_MIN, INT_MAX);
        ck_assert(wide >= INT_MIN && wide <= INT_MAX);
    }
}
END_TEST

START_TEST(test_random__chance_and_pick_follow_their_weights)
{
    RbRandom random;
    rb_random_seed(&random, 4);
    const double weights[] = { 1.0, 0.0, 3.0 };
    int counts[3] = { 0 };
    int heads = 0;
    for (int i = 0; i < 40000; i++) {
        counts[rb_random_pick(&random, weights, 3)]++;
        heads += rb_random_chance(&random, 0.25) ? 1 : 0;
    }
    ck_assert_int_eq(counts[1], 0);
    ck_assert(abs(counts[0] - 10000) < 450);
    ck_assert(abs(heads - 10000) < 450);
    for (int i = 0; i < 100; i++) {
        ck_assert(!rb_random_chance(&random, 0.0));
        ck_assert(rb_random_chance(&random, 1.0));
    }
}
END_TEST

START_TEST(test_random__normal_has_mean_and_spread)
{
    RbRandom random;
    rb_random_seed(&random, 8);
    const int n = 50000;
    double sum = 0.0;
    double squares = 0.0;
    int within = 0;
    for (int i = 0; i < n; i++) {
        const double z = (rb_random_normal(&random, 10.0, 2.0) - 10.0) / 2.0;
        sum += z;
        squares += z * z;
        within += fabs(z) < 1.0 ? 1 : 0;
    }
    ck_assert(fabs(sum / n) < 0.025);
    ck_assert(fabs(squares / n - 1.0) < 0.04);
    ck_assert(fabs((double)within / n - 0.6827) < 0.011); /* of a normal within one sd */
}
END_TEST

TCase *rb_case_random(void)
{
    TCase *tcase = rb_case_new("random");
    tcase_add_test(tcase, test_random__published_outputs);
    tcase_add_test(tcase, test_random__published_histogram);
    tcase_add_test(tcase, test_random__streams_differ_and_repeat);
    tcase_add_test(tcase, test_random__integers_cover_their_range);
    tcase_add_test(tcase, test_random__chance_and_pick_follow_their_weights);
    tcase_add_test(tcase, test_random__normal_has_mean_and_spread);
    return tcase;
}
