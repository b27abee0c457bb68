/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Pictures of half the size, against means worked out one by one: of every width about that of a
 * vector, and nothing beside them touched. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/random.h"

#include "decode/halve.h"
#include "suite.h"

TCase *rb_case_halve(void);

#define ROOM 16384
#define UNTOUCHED 0xA5

/* The mean of two columns of a row; beyond the field's ends its last row stands in. */
static double pair_at(const uint8_t *from, ptrdiff_t stride, int x, int row, int rows)
{
    const int parity = row & 1;
    const int held = row < 0 ? parity : row >= rows ? rows - 2 + parity : row;
    const uint8_t *at = from + (ptrdiff_t)held * stride + (ptrdiff_t)2 * x;
    return (at[0] + at[1]) / 2.0;
}

static double expected_at(const uint8_t *from, ptrdiff_t stride, int x, int y, int height,
                          HalveRows rows)
{
    const int n = 2 * height;
    switch (rows) {
    case HALVE_ALL:
        return (pair_at(from, stride, x, 2 * y, n) +
                pair_at(from, stride, x, 2 * y + 1, n)) /
               2;
    case HALVE_TOP:
        return 0.75 * pair_at(from, stride, x, 2 * y, n) +
               0.25 * pair_at(from, stride, x, 2 * y + 2, n);
    case HALVE_BOTTOM:
        return 0.75 * pair_at(from, stride, x, 2 * y + 1, n) +
               0.25 * pair_at(from, stride, x, 2 * y - 1, n);
    }
    return NAN;
}

static void check_one(RbRandom *random, int width, HalveRows rows)
{
    static uint8_t from[ROOM];
    static uint8_t to[ROOM];
    const int height = (int)rb_random_int(random, 1, 5);
    const ptrdiff_t from_stride =
        (ptrdiff_t)2 * width + (ptrdiff_t)rb_random_int(random, 0, 70);
    const ptrdiff_t to_stride = width + (ptrdiff_t)rb_random_int(random, 0, 70);
    const ptrdiff_t from_at = (ptrdiff_t)rb_random_int(random, 0, 40);
    const ptrdiff_t to_at = (ptrdiff_t)rb_random_int(random, 0, 40);
    for (int i = 0; i < ROOM; i++) {
        from[i] = (uint8_t)rb_random_int(random, 0, 255);
    }
    memset(to, UNTOUCHED, ROOM);
    halve_plane(to + to_at, to_stride, from + from_at, from_stride, width, height, rows);
    for (ptrdiff_t i = 0; i < ROOM; i++) {
        const ptrdiff_t y = (i - to_at) / to_stride;
        const ptrdiff_t x = (i - to_at) % to_stride;
        if (i < to_at || y >= height || x >= width) {
            ck_assert_int_eq(to[i], UNTOUCHED);
            continue;
        }
        const double mean =
            expected_at(from + from_at, from_stride, (int)x, (int)y, height, rows);
        ck_assert_msg(to[i] == (int)floor(mean + 0.5), "%d of %d, rows %d: %d, not %g",
                      (int)x, width, rows, to[i], mean);
    }
}

START_TEST(test_halve__is_the_mean_rounded)
{
    static const HalveRows all[] = { HALVE_ALL, HALVE_TOP, HALVE_BOTTOM };
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(23));
    for (int width = 1; width <= 100; width++) {
        check_one(&random, width, all[width % 3]);
        check_one(&random, width, all[(width + 1) % 3]);
        check_one(&random, width, all[(width + 2) % 3]);
    }
}
END_TEST

/* Both fields of a picture at rest lie at the same height, and where the whole frame's does. */
START_TEST(test_halve__fields_do_not_shake)
{
    enum { WIDTH = 32, HEIGHT = 30, SLOPE = 4 };
    static uint8_t from[2 * HEIGHT][2 * WIDTH];
    static uint8_t made[3][HEIGHT][WIDTH];
    for (int y = 0; y < 2 * HEIGHT; y++) {
        memset(from[y], 2 + SLOPE * y, sizeof from[y]);
    }
    for (int i = 0; i < 3; i++) {
        halve_plane(made[i][0], WIDTH, from[0], (ptrdiff_t)2 * WIDTH, WIDTH, HEIGHT,
                    (HalveRows)i);
    }
    for (int y = 1; y < HEIGHT - 1; y++) {
        for (int x = 0; x < WIDTH; x++) {
            ck_assert_int_eq(made[HALVE_ALL][y][x], 2 + SLOPE * 2 * y + SLOPE / 2);
            ck_assert_int_eq(made[HALVE_TOP][y][x], made[HALVE_ALL][y][x]);
            ck_assert_int_eq(made[HALVE_BOTTOM][y][x], made[HALVE_ALL][y][x]);
        }
    }
}
END_TEST

TCase *rb_case_halve(void)
{
    TCase *tcase = rb_case_new("halve");
    tcase_add_test(tcase, test_halve__is_the_mean_rounded);
    tcase_add_test(tcase, test_halve__fields_do_not_shake);
    return tcase;
}
