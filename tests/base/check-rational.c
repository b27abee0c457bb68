/* SPDX-License-Identifier: GPL-3.0-or-later */
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
        { 12439999, "0:12.43" },
        { 3723500000, "1:02:03.50" },
        { -500000, "-0:00.50" },
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
}
END_TEST

TCase *rb_case_rational(void)
{
    TCase *tcase = rb_case_new("rational");
    tcase_add_test(tcase, test_rational__text_of_times);
    tcase_add_test(tcase, test_rational__ticks_per_frame_at_90_khz);
    return tcase;
}
