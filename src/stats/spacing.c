/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/stats/spacing.h"

#include <glib.h>
#include <math.h>

#define EASE_FIRST 2.5
#define EASE_LEAST 1.3
enum { FIRST_DAYS = 1, SECOND_DAYS = 6, RIGHT_FROM = 3, BEST = 5, DAYS_MAX = 36500 };

RbSpacing rb_spacing_new(void)
{
    return (RbSpacing){ .ease = EASE_FIRST };
}

static double next_ease(double ease, int quality)
{
    const double short_of = BEST - quality;
    return fmax(EASE_LEAST, ease + 0.1 - short_of * (0.08 + short_of * 0.02));
}

RbSpacing rb_spacing_next(RbSpacing spacing, int quality)
{
    g_assert(quality >= 0 && quality <= BEST);
    if (quality < RIGHT_FROM) {
        return (RbSpacing){ 0, spacing.ease, FIRST_DAYS };
    }
    RbSpacing next = { spacing.repetitions + 1, next_ease(spacing.ease, quality), 0 };
    if (next.repetitions == 1) {
        next.days = FIRST_DAYS;
    } else if (next.repetitions == 2) {
        next.days = SECOND_DAYS;
    } else {
        next.days = (int)fmin(DAYS_MAX, ceil(spacing.days * next.ease));
    }
    return next;
}
