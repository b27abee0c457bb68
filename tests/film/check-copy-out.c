/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows copied past the caches, against memcpy(): of every width about a cache line, from and to
 * any address, and nothing beside them touched. */
#include <string.h>

#include "rb/base/random.h"

#include "decode/copy-out.h"
#include "suite.h"

TCase *rb_case_copy_out(void);

#define ROOM 4096
#define UNTOUCHED 0xA5

static void check_one(RbRandom *random, size_t bytes)
{
    static uint8_t from[ROOM];
    static uint8_t to[ROOM];
    static uint8_t expected[ROOM];
    const int rows = (int)rb_random_int(random, 0, 4);
    const size_t from_stride = bytes + (size_t)rb_random_int(random, 0, 70);
    const size_t to_stride = bytes + (size_t)rb_random_int(random, 0, 70);
    const size_t from_at = (size_t)rb_random_int(random, 0, 80);
    const size_t to_at = (size_t)rb_random_int(random, 0, 80);
    for (size_t i = 0; i < ROOM; i++) {
        from[i] = (uint8_t)rb_random_int(random, 0, 255);
    }
    memset(to, UNTOUCHED, ROOM);
    memset(expected, UNTOUCHED, ROOM);
    for (size_t y = 0; y < (size_t)rows; y++) {
        memcpy(expected + to_at + y * to_stride, from + from_at + y * from_stride, bytes);
    }
    copy_out_rows(to + to_at, (ptrdiff_t)to_stride, from + from_at,
                  (ptrdiff_t)from_stride, bytes, rows);
    ck_assert_mem_eq(to, expected, ROOM);
}

START_TEST(test_copy_out__is_memcpy_of_each_row)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(11));
    for (size_t bytes = 0; bytes <= 200; bytes++) {
        for (int i = 0; i < 5; i++) {
            check_one(&random, bytes);
        }
    }
}
END_TEST

START_TEST(test_copy_out__goes_up_where_strides_are_negative)
{
    static const uint8_t from[] = "abcdefgh";
    uint8_t to[9] = "........";
    copy_out_rows(to, 4, from + 4, -4, 4, 2);
    ck_assert_str_eq((const char *)to, "efghabcd");
}
END_TEST

TCase *rb_case_copy_out(void)
{
    TCase *tc = tcase_create("copy-out");
    tcase_add_test(tc, test_copy_out__is_memcpy_of_each_row);
    tcase_add_test(tc, test_copy_out__goes_up_where_strides_are_negative);
    return tc;
}
