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
static inline float rb_pyramid_at(const PyramidLevel *level, double x, double y)
{
    /* The centre of the first pixel is at one half. */
    const double u = CLAMP(x - 0.5, 0.0, level->width - 1.001);
    const double v = CLAMP(y - 0.5, 0.0, level->height - 1.001);
    const int column = (int)u;
    const int row = (int)v;
    const float a = (float)(u - column);
    const float b = (float)(v - row);
    const float *upper = level->pixels + (size_t)row * (size_t)level->width + column;
    const float *lower = upper + level->width;
    const float above = upper[0] + a * (upper[1] - upper[0]);
    const float below = lower[0] + a * (lower[1] - lower[0]);
    return above + b * (below - above);
}
/* The same of a square of places a pixel apart, row by row; (x, y): the first one. */
void rb_pyramid_patch(const PyramidLevel *level, double x, double y, int side,
                      float *values);
bool rb_pyramid_has(const PyramidLevel *level, double x, double y, double margin);
