/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "digits.h"

#include <glib.h>
#include <stdint.h>

/* Thickness of the bars, and how much of an outer corner is cut off, in the box. */
#define TX 0.27
#define TY 0.17
#define CX 0.16
#define CY 0.11

typedef enum {
    TOP = 1,
    UPPER_LEFT = 2,
    UPPER_RIGHT = 4,
    MIDDLE = 8,
    LOWER_LEFT = 16,
    LOWER_RIGHT = 32,
    BOTTOM = 64,
} Bar;

static const uint8_t bars[10] = {
    [0] = TOP | UPPER_LEFT | UPPER_RIGHT | LOWER_LEFT | LOWER_RIGHT | BOTTOM,
    [1] = 0, /* drawn apart */
    [2] = TOP | UPPER_RIGHT | MIDDLE | LOWER_LEFT | BOTTOM,
    [3] = TOP | UPPER_RIGHT | MIDDLE | LOWER_RIGHT | BOTTOM,
    [4] = UPPER_LEFT | UPPER_RIGHT | MIDDLE | LOWER_RIGHT,
    [5] = TOP | UPPER_LEFT | MIDDLE | LOWER_RIGHT | BOTTOM,
    [6] = TOP | UPPER_LEFT | MIDDLE | LOWER_LEFT | LOWER_RIGHT | BOTTOM,
    [7] = TOP | UPPER_RIGHT | LOWER_RIGHT,
    [8] = TOP | UPPER_LEFT | UPPER_RIGHT | MIDDLE | LOWER_LEFT | LOWER_RIGHT | BOTTOM,
    [9] = TOP | UPPER_LEFT | UPPER_RIGHT | MIDDLE | LOWER_RIGHT | BOTTOM,
};

static RbDemoStroke box(double x0, double y0, double x1, double y1)
{
    return (RbDemoStroke){ 4, { { x0, y0 }, { x1, y0 }, { x1, y1 }, { x0, y1 } } };
}

/* The bar across the top (sign 1) or the bottom (sign -1), with its outer corners cut. */
static RbDemoStroke cap(double sign)
{
    const double outer = 0.5 + 0.5 * sign;
    const double inner = outer - sign * TY;
    const double cut = outer - sign * CY;
    return (RbDemoStroke){ 6,
                           { { 0.0, inner },
                             { 0.0, cut },
                             { CX, outer },
                             { 1.0 - CX, outer },
                             { 1.0, cut },
                             { 1.0, inner } } };
}

static int digit_one(RbDemoStroke strokes[RB_DEMO_STROKES_MAX])
{
    strokes[0] = box(0.36, 0.0, 0.36 + TX, 1.0);
    strokes[1] = (RbDemoStroke){
        4, { { 0.36, 1.0 }, { 0.36, 0.80 }, { 0.14, 0.72 }, { 0.14, 0.86 } }
    };
    strokes[2] = box(0.12, 0.0, 0.88, TY * 0.8);
    return 3;
}

int rb_demo_digit(int digit, RbDemoStroke strokes[RB_DEMO_STROKES_MAX])
{
    g_assert(digit >= 0 && digit <= 9);
    if (digit == 1) {
        return digit_one(strokes);
    }
    const uint8_t set = bars[digit];
    const double low = 0.5 - TY / 2.0;
    const double high = 0.5 + TY / 2.0;
    const double top = (set & TOP) != 0 ? 1.0 - TY : 1.0;
    const double bottom = (set & BOTTOM) != 0 ? TY : 0.0;
    int n = 0;
    if ((set & TOP) != 0) {
        strokes[n++] = cap(1.0);
    }
    if ((set & BOTTOM) != 0) {
        strokes[n++] = cap(-1.0);
    }
    if ((set & MIDDLE) != 0) {
        strokes[n++] = box(0.0, low, 1.0, high);
    }
    if ((set & UPPER_LEFT) != 0) {
        strokes[n++] = box(0.0, 0.5, TX, top);
    }
    if ((set & LOWER_LEFT) != 0) {
        strokes[n++] = box(0.0, bottom, TX, 0.5);
    }
    if ((set & UPPER_RIGHT) != 0) {
        strokes[n++] = box(1.0 - TX, 0.5, 1.0, top);
    }
    if ((set & LOWER_RIGHT) != 0) {
        strokes[n++] = box(1.0 - TX, bottom, 1.0, 0.5);
    }
    return n;
}
