/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

/* Exact time. A moment of film is an integer number of ticks of a time base; seconds as a
 * float exist only on their way to a screen. */
typedef struct {
    int32_t num;
    int32_t den; /* above 0 in every valid value */
} RbRational;

typedef struct {
    int64_t ticks;
    RbRational base; /* seconds a tick */
} RbTime;

bool rb_rational_is_valid(RbRational value);
RbRational rb_rational_reduce(RbRational value);

/* -1, 0 or 1; exact for all values. */
int rb_time_compare(RbTime a, RbTime b);

/* Ticks of `to` nearest to `time` (halves away from zero). False and RB_BASE_ERROR_RANGE if
 * the result does not fit. */
bool rb_time_rescale(RbTime time, RbRational to, int64_t *ticks, GError **error);

/* later - earlier in whole microseconds, rounded to nearest; saturates. */
int64_t rb_time_diff_us(RbTime later, RbTime earlier);
/* The same in milliseconds. */
int64_t rb_time_diff_ms(RbTime later, RbTime earlier);

/* "0:12.43", "1:02:03.50", "-0:00.50": hundredths, truncated toward zero so that a clock
 * never shows a moment that has not come. Returns: (transfer full). */
char *rb_time_text(int64_t us);
