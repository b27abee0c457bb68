/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "drawing-private.h"

/* Text that must stay inside a box without losing a letter: wrapped, in words that are too
 * wide too, and set smaller until it fits; only below `least` is it cut with an ellipsis. */

typedef struct {
    cairo_rectangle_t box;
    double least;  /* smallest size */
    bool from_top; /* else the last line stands at the bottom */
} RbTextBox;

/* style: the size wanted; with RB_ANCHOR_END lines end at the right edge. */
void rb_drawing_boxed(RbDrawing *drawing, const RbTextBox *box, const RbTextStyle *style,
                      const char *text);
/* Lines that it takes at the size of `style`. */
int rb_drawing_lines(RbDrawing *drawing, const RbTextStyle *style, double width,
                     const char *text);
