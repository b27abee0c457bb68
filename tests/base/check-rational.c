/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "rb/base/error.h"
#include "rb/base/random.h"
#include "rb/base/rational.h"

#include "suite.h"

TCase *rb_case_rational(void);

START_TEST(test_rational__text_of_times)
{
    static const struct {
        int64_t us;
        const char *text;
    } rows[] = {
        { 0, "0:00.00" },
        { 9999, "0:00.00" },
        { 12439999, "0:12.43" },
        { 59999999, "0:59.99" },
        { 60000000, "1:00.00" },
        { 3723500000, "1:02:03.50" },
        { -500000, "-0:00.50" },
        { INT64_MAX, "2562047788:00:54.77" },
        { INT64_MIN, "-2562047788:00:54.77" },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        g_autofree char *text = rb_time_text(rows[i].us);
        ck_assert_str_eq(text, rows[i].text);
    }
}
END_TEST

START_TEST(test_rational__ticks_per_frame_at_90_khz)
{
    /* SMPTE rates: 30000/1001 frames a second are 3003 ticks a frame. */
    const RbTime frame = { 1, { 1001, 30000 } };
    int64_t ticks = 0;
    ck_assert(rb_time_rescale(frame, (RbRational){ 1, 90000 }, &ticks, NULL));
    ck_assert_int_eq(ticks, 3003);
    const RbTime hour = { 107892, { 1001, 30000 } };
    const RbTime start = { 0, { 1, 90000 } };
    ck_assert_int_eq(rb_time_diff_us(hour, start), 3599996400);
    ck_assert_int_eq(rb_time_diff_ms(hour, start), 3599996);
}
END_TEST

START_TEST(test_rational__reduce)
{
    static const struct {
        RbRational from;
        RbRational to;
    } rows[] = {
        { { 2, 4 }, { 1, 2 } },
        { { -6, 9 }, { -2, 3 } },
        { { 0, 7 }, { 0, 1 } },
        { { 60000, 1001 }, { 60000, 1001 } },
        { { INT32_MIN, 2 }, { INT32_MIN / 2, 1 } },
        { { 5, 1 }, { 5, 1 } },
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const RbRational got = rb_rational_reduce(rows[i].from);
        ck_assert_int_eq(got.num, rows[i].to.num);
        ck_assert_int_eq(got.den, rows[i].to.den);
    }
    ck_assert(!rb_rational_is_valid((RbRational){ 1, 0 }));
    ck_assert(!rb_rational_is_valid((RbRational){ 1, -3 }));
    ck_assert(rb_rational_is_valid((RbRational){ 0, 1 }));
}
END_TEST

static RbRational random_base(RbRandom *random)
{
    static const RbRational usual[] = { { 1, 90000 },     { 1001, 60000 },
                                        { 1001, 30000 },  { 1, 25 },
                                        { 1, 1000 },      { 1, 48000 },
                                        { 1, INT32_MAX }, { INT32_MAX, 1 } };
    if (rb_random_chance(random, 0.5)) {
        return usual[rb_random_int(random, 0, 7)];
    }
    return (RbRational){ rb_random_int(random, 1, INT32_MAX - 1),
                         rb_random_int(random, 1, INT32_MAX - 1) };
}

/* Up to 20 bits of ticks: products then fit in 83 bits, and long double with its 64 bits of
 * mantissa is an oracle for all but near ties. */
START_TEST(test_rational__rescale_against_long_double)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(5));
    for (int i = 0; i < 20000; i++) {
        const RbTime time = { rb_random_int(&random, -(1 << 20), 1 << 20),
                              random_base(&random) };
        const RbRational to = random_base(&random);
        const long double exact =
            (long double)time.ticks * time.base.num / time.base.den * to.den / to.num;
        int64_t ticks = 0;
        const bool fits = rb_time_rescale(time, to, &ticks, NULL);
        if (fabsl(exact) < 9.2e18L) {
            ck_assert(fits);
            ck_assert(fabsl((long double)ticks - exact) <= 0.5L + fabsl(exact) * 1e-18L);
        } else if (fabsl(exact) > 9.3e18L) {
            ck_assert(!fits);
        }
    }
}
END_TEST

START_TEST(test_rational__halves_go_away_from_zero)
{
    int64_t ticks = 0;
    const RbRational half = { 1, 2 };
    const RbRational one = { 1, 1 };
    for (int64_t n = -7; n <= 7; n++) {
        ck_assert(rb_time_rescale((RbTime){ n, half }, one, &ticks, NULL));
        ck_assert_int_eq(ticks, llround((double)n / 2.0));
    }
}
END_TEST

START_TEST(test_rational__rescale_refuses_what_does_not_fit)
{
    const RbTime huge = { INT64_MAX, { 1, 1 } };
    g_autoptr(GError) error = NULL;
    int64_t ticks = 77;
    ck_assert(!rb_time_rescale(huge, (RbRational){ 1, 1000 }, &ticks, &error));
    ck_assert(g_error_matches(error, RB_BASE_ERROR, RB_BASE_ERROR_RANGE));
    ck_assert_int_eq(ticks, 77);
    ck_assert(rb_time_rescale(huge, (RbRational){ 1, 1 }, &ticks, NULL));
    ck_assert_int_eq(ticks, INT64_MAX);
}
END_TEST

/* Comparing is a total order that agrees with 128-bit cross products. */
START_TEST(test_rational__compare_against_cross_products)
{
    __extension__ typedef __int128 Wide;
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(6));
    for (int i = 0; i < 20000; i++) {
        const bool big = rb_random_chance(&random, 0.3);
        const RbTime a = { big ? (int64_t)rb_random_next(&random)
                               : rb_random_int(&random, -50, 50),
                           random_base(&random) };
        const RbTime b = { big ? (int64_t)rb_random_next(&random)
                               : rb_random_int(&random, -50, 50),
                           random_base(&random) };
        const Wide left = (Wide)a.ticks * a.base.num * b.base.den;
        const Wide right = (Wide)b.ticks * b.base.num * a.base.den;
        const int expected = left < right ? -1 : left > right ? 1 : 0;
        ck_assert_int_eq(rb_time_compare(a, b), expected);
        ck_assert_int_eq(rb_time_compare(b, a), -expected);
        ck_assert_int_eq(rb_time_compare(a, a), 0);
    }
    /* One tick apart at the far end: a double would call these equal. */
    const RbTime last = { INT64_MAX, { 1, 90000 } };
    const RbTime before = { INT64_MAX - 1, { 1, 90000 } };
    ck_assert_int_eq(rb_time_compare(before, last), -1);
}
END_TEST

START_TEST(test_rational__differences)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(7));
    for (int i = 0; i < 5000; i++) {
        const RbTime a = { rb_random_int(&random, -2000000, 2000000), { 1, 90000 } };
        const RbTime b = { rb_random_int(&random, -2000, 2000), { 1001, 60000 } };
        const double exact =
            (double)a.ticks / 90000.0 - (double)b.ticks * 1001.0 / 60000.0;
        ck_assert(fabs((double)rb_time_diff_us(a, b) - exact * 1e6) <= 0.51);
        ck_assert(fabs((double)rb_time_diff_ms(a, b) - exact * 1e3) <= 0.51);
    }
    const RbTime most = { INT64_MAX, { 1, 1 } };
    const RbTime least = { INT64_MIN, { 1, 1 } };
    ck_assert_int_eq(rb_time_diff_us(most, least), INT64_MAX);
    ck_assert_int_eq(rb_time_diff_us(least, most), INT64_MIN);
}
END_TEST

TCase *rb_case_rational(void)
{
    TCase *tcase = rb_case_new("rational");
    tcase_add_test(tcase, test_rational__text_of_times);
    tcase_add_test(tcase, test_rational__ticks_per_frame_at_90_khz);
    tcase_add_test(tcase, test_rational__reduce);
    tcase_add_test(tcase, test_rational__rescale_against_long_double);
    tcase_add_test(tcase, test_rational__halves_go_away_from_zero);
    tcase_add_test(tcase, test_rational__rescale_refuses_what_does_not_fit);
    tcase_add_test(tcase, test_rational__compare_against_cross_products);
    tcase_add_test(tcase, test_rational__differences);
    return tcase;
}
