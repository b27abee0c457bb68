/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/carry.h"

/* A picture and what it is at half, quarter … of its size. Places are in pixels with (0, 0) at the
 * upper left corner of the picture, so half the size halves them exactly. */

#define PYRAMID_LEVELS 4

typedef struct {
    int width;
    int height;
    float *pixels; /* owned, without gaps */
} PyramidLevel;

typedef struct {
    int n; /* levels */
    PyramidLevel levels[PYRAMID_LEVELS];
} Pyramid;

void rb_pyramid_init(Pyramid *pyramid, const RbGrayPicture *picture);
void rb_pyramid_clear(Pyramid *pyramid);
/* The brightness between pixels; at the edges that of the edge. */
float rb_pyramid_at(const PyramidLevel *level, double x, double y);
bool rb_pyramid_has(const PyramidLevel *level, double x, double y, double margin);
