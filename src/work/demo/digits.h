/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/field.h"

/* Block digits as painted on a field and sewn on a jersey: bars with cut corners, in a box
 * one wide and one high, y upward. */
#define RB_DEMO_STROKES_MAX 8
#define RB_DEMO_STROKE_CORNERS 6

typedef struct {
    int n;
    RbPoint2 points[RB_DEMO_STROKE_CORNERS];
} RbDemoStroke;

/* digit: 0 to 9. Returns the number of strokes written. */
int rb_demo_digit(int digit, RbDemoStroke strokes[RB_DEMO_STROKES_MAX]);
