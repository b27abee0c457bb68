/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pyramid.h"

#include <math.h>

#define SMALLEST 40

static void init_base(PyramidLevel *level, const RbGrayPicture *picture)
{
    level->width = picture->width;
    level->height = picture->height;
    level->pixels = g_new(float, (gsize)picture->width *(gsize)picture->height);
    for (int y = 0; y < picture->height; y++) {
        const uint8_t *from = picture->bytes + (size_t)y * picture->stride;
        float *to = level->pixels + (size_t)y * (size_t)picture->width;
        for (int x = 0; x < picture->width; x++) {
            to[x] = (float)from[x];
        }
    }
}

static void init_half(PyramidLevel *half, const PyramidLevel *whole)
{
    half->width = whole->width / 2;
    half->height = whole->height / 2;
    half->pixels = g_new(float, (gsize)half->width *(gsize)half->height);
    for (int y = 0; y < half->height; y++) {
        const float *upper = whole->pixels + (size_t)(2 * y) * (size_t)whole->width;
        const float *lower = upper + whole->width;
        float *to = half->pixels + (size_t)y * (size_t)half->width;
        for (int x = 0; x < half->width; x++) {
            to[x] = 0.25F *
                    (upper[2 * x] + upper[2 * x + 1] + lower[2 * x] + lower[2 * x + 1]);
        }
    }
}

void rb_pyramid_init(Pyramid *pyramid, const RbGrayPicture *picture)
{
    init_base(&pyramid->levels[0], picture);
    pyramid->n = 1;
    while (pyramid->n < PYRAMID_LEVELS) {
        const PyramidLevel *last = &pyramid->levels[pyramid->n - 1];
        if (MIN(last->width, last->height) / 2 < SMALLEST) {
            break;
        }
        init_half(&pyramid->levels[pyramid->n], last);
        pyramid->n++;
    }
}

void rb_pyramid_clear(Pyramid *pyramid)
{
    for (int i = 0; i < pyramid->n; i++) {
        g_free(pyramid->levels[i].pixels);
    }
    pyramid->n = 0;
}

void rb_pyramid_patch(const PyramidLevel *level, double x, double y, int side,
                      float *values)
{
    const double u = x - 0.5;
    const double v = y - 0.5;
    if (!(u >= 0.0 && v >= 0.0 && u < level->width - side - 1 &&
          v < level->height - side - 1)) {
        for (int i = 0; i < side * side; i++) {
            values[i] = rb_pyramid_at(level, x + i % side, y + i / side);
        }
        return;
    }
    /* All its places have the same part of a pixel. */
    const int column = (int)u;
    const int row = (int)v;
    const float a = (float)(u - column);
    const float b = (float)(v - row);
    for (int j = 0; j < side; j++) {
        const float *upper =
            level->pixels + (size_t)(row + j) * (size_t)level->width + column;
        const float *lower = upper + level->width;
        float *to = values + j * side;
        for (int i = 0; i < side; i++) {
            const float above = upper[i] + a * (upper[i + 1] - upper[i]);
            const float below = lower[i] + a * (lower[i + 1] - lower[i]);
            to[i] = above + b * (below - above);
        }
    }
}

bool rb_pyramid_has(const PyramidLevel *level, double x, double y, double margin)
{
    return x >= margin && y >= margin && x <= level->width - margin &&
           y <= level->height - margin;
}
