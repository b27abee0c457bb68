/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/rational.h"

#include <stdlib.h>

#include "rb/base/error.h"

/* 128 bits hold every product used here: |ticks| < 2^63, |num| and den < 2^31. */
__extension__ typedef __int128 Wide;

bool rb_rational_is_valid(RbRational value)
{
    return value.den > 0;
}

RbRational rb_rational_reduce(RbRational value)
{
    int64_t a = llabs((long long)value.num);
    int64_t b = value.den;
    while (b != 0) {
        const int64_t rest = a % b;
        a = b;
        b = rest;
    }
    if (a <= 1) {
        return value;
    }
    return (RbRational){ (int32_t)(value.num / a), (int32_t)(value.den / a) };
}

static Wide divide_nearest(Wide value, Wide by)
{
    const Wide half = by / 2;
    return value >= 0 ? (value + half) / by : -((-value + half) / by);
}

static int64_t saturate(Wide value)
{
    if (value > INT64_MAX) {
        return INT64_MAX;
    }
    return value < INT64_MIN ? INT64_MIN : (int64_t)value;
}

int rb_time_compare(RbTime a, RbTime b)
{
    g_assert(rb_rational_is_valid(a.base) && rb_rational_is_valid(b.base));
    /* |ticks * num * den| < 2^125. */
    const Wide left = (Wide)a.ticks * a.base.num * b.base.den;
    const Wide right = (Wide)b.ticks * b.base.num * a.base.den;
    return (left > right) - (left < right);
}

bool rb_time_rescale(RbTime time, RbRational to, int64_t *ticks, GError **error)
{
    g_assert(rb_rational_is_valid(time.base) && rb_rational_is_valid(to) && to.num > 0);
    const Wide up = (Wide)time.ticks * time.base.num * to.den;
    const Wide result = divide_nearest(up, (Wide)time.base.den * to.num);
    if (result > INT64_MAX || result < INT64_MIN) {
        return rb_error_set(error, RB_BASE_ERROR, RB_BASE_ERROR_RANGE,
                            "A time in the film is too large to be used.");
    }
    *ticks = (int64_t)result;
    return true;
}

/* later - earlier in units of 1/scale second. */
static int64_t diff(RbTime later, RbTime earlier, int64_t scale)
{
    g_assert(rb_rational_is_valid(later.base) && rb_rational_is_valid(earlier.base));
    if (later.base.num == earlier.base.num && later.base.den == earlier.base.den) {
        const Wide ticks = (Wide)later.ticks - earlier.ticks;
        return saturate(divide_nearest(ticks * later.base.num * scale, later.base.den));
    }
    /* Different bases: each to nanoseconds first, which is exact enough for a display. */
    const Wide nano = 1000000000;
    const Wide a =
        divide_nearest((Wide)later.ticks * later.base.num * nano, later.base.den);
    const Wide b =
        divide_nearest((Wide)earlier.ticks * earlier.base.num * nano, earlier.base.den);
    return saturate(divide_nearest(a - b, nano / scale));
}

int64_t rb_time_diff_us(RbTime later, RbTime earlier)
{
    return diff(later, earlier, 1000000);
}

int64_t rb_time_diff_ms(RbTime later, RbTime earlier)
{
    return diff(later, earlier, 1000);
}

char *rb_time_text(int64_t us)
{
    const char *sign = us < 0 ? "-" : "";
    const uint64_t size = us < 0 ? -(uint64_t)us : (uint64_t)us;
    const uint64_t hundredths = size / 10000;
    const uint64_t seconds = hundredths / 100;
    const unsigned cs = (unsigned)(hundredths % 100);
    const unsigned s = (unsigned)(seconds % 60);
    const unsigned m = (unsigned)(seconds / 60 % 60);
    const uint64_t h = seconds / 3600;
    if (h > 0) {
        return g_strdup_printf("%s%" G_GUINT64_FORMAT ":%02u:%02u.%02u", sign, h, m, s,
                               cs);
    }
    return g_strdup_printf("%s%u:%02u.%02u", sign, m, s, cs);
}
