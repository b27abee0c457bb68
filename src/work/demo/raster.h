/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

#include "rb/field/field.h"

/* Paints smooth-edged shapes into a 4:2:0 picture: a shape is first added up as the exact
 * share of each pixel that it covers, then blended once in one colour. */

typedef struct {
    uint8_t y, u, v; /* BT.709, limited range */
} RbDemoColour;

/* From red, green and blue of 0 to 255. */
RbDemoColour rb_demo_colour(int red, int green, int blue);
/* `share` (0 to 1) of the way from `a` to `b`. */
RbDemoColour rb_demo_colour_mix(RbDemoColour a, RbDemoColour b, double share);

/* Borrowed memory of one picture. */
typedef struct {
    int width; /* even */
    int height;
    uint8_t *planes[3];
    int strides[3];
} RbDemoFrame;

typedef struct RbDemoMask RbDemoMask;

RbDemoMask *rb_demo_mask_new(int width, int height);
void rb_demo_mask_free(RbDemoMask *mask);

/* Adds a simple polygon, in pixels, to the shape; either direction round. Shapes that overlap
 * within one shape count once. */
void rb_demo_mask_polygon(RbDemoMask *mask, const RbPoint2 *points, int n);
/* Adds a bar with round ends of two radii. */
void rb_demo_mask_capsule(RbDemoMask *mask, RbPoint2 a, double radius_a, RbPoint2 b,
                          double radius_b);
void rb_demo_mask_disc(RbDemoMask *mask, RbPoint2 centre, double radius);

/* Blends the shape, `opacity` 0 to 1, and forgets it. */
void rb_demo_mask_blend(RbDemoMask *mask, RbDemoFrame *frame, RbDemoColour colour,
                        double opacity);
