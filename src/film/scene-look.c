/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene-look.h"

#include <glib.h>
#include <limits.h>
#include <math.h>
#include <stdlib.h>

/* A picture with less than this has nothing in it to compare (black, a hand before the lens). */
#define SPREAD_LEAST 3.0

/* Blocks are compensated one by one, as an encoder does: a zoom, a bent horizon and what is near
 * move each part of a picture in its own way. */
#define BLOCK_WIDTH 12
#define BLOCK_HEIGHT 9
#define NEAR 2

void rb_scene_view_measure(SceneView *view)
{
    int64_t sum = 0;
    for (int i = 0; i < SCENE_PIXELS; i++) {
        sum += view->pixels[i];
    }
    view->mean = (double)sum / SCENE_PIXELS;
    double off = 0;
    for (int i = 0; i < SCENE_PIXELS; i++) {
        off += fabs(view->pixels[i] - view->mean);
    }
    view->spread = off / SCENE_PIXELS;
}

/* Pictures made equal in mean and spread, as whole numbers for speed: 64 stands for one spread.
 * A little blurred, so that a shift by part of a pixel leaves little. */
static void normalise(const SceneView *view, int16_t *out)
{
    int16_t rows[SCENE_PIXELS];
    const double scale = 64 / (16 * fmax(view->spread, SPREAD_LEAST));
    for (int y = 0; y < SCENE_HEIGHT; y++) {
        const uint8_t *row = view->pixels + y * SCENE_WIDTH;
        for (int x = 0; x < SCENE_WIDTH; x++) {
            rows[y * SCENE_WIDTH + x] = (int16_t)(row[x > 0 ? x - 1 : 0] + 2 * row[x] +
                                                  row[MIN(x + 1, SCENE_WIDTH - 1)]);
        }
    }
    for (int y = 0; y < SCENE_HEIGHT; y++) {
        const int16_t *row = rows + y * SCENE_WIDTH;
        const int16_t *above = rows + MAX(y - 1, 0) * SCENE_WIDTH;
        const int16_t *below = rows + MIN(y + 1, SCENE_HEIGHT - 1) * SCENE_WIDTH;
        for (int x = 0; x < SCENE_WIDTH; x++) {
            const double sum = above[x] + 2 * row[x] + below[x];
            out[y * SCENE_WIDTH + x] = (int16_t)lrint((sum - 16 * view->mean) * scale);
        }
    }
}

static double rest_of(const int16_t *a, const int16_t *b, int dx, int dy)
{
    const int x0 = dx > 0 ? dx : 0;
    const int x1 = SCENE_WIDTH + (dx < 0 ? dx : 0);
    const int y0 = dy > 0 ? dy : 0;
    const int y1 = SCENE_HEIGHT + (dy < 0 ? dy : 0);
    int sum = 0;
    for (int y = y0; y < y1; y++) {
        const int16_t *p = a + y * SCENE_WIDTH;
        const int16_t *q = b + (y - dy) * SCENE_WIDTH - dx;
        for (int x = x0; x < x1; x++) {
            sum += abs(p[x] - q[x]);
        }
    }
    return (double)sum / (64.0 * (x1 - x0) * (y1 - y0));
}

static SceneMatch match_normalised(const int16_t *a, const int16_t *b, int reach)
{
    SceneMatch best = { rest_of(a, b, 0, 0), 0, 0 };
    const int step = reach > 6 ? 2 : 1;
    for (int dy = -reach / 2; dy <= reach / 2; dy += step) {
        for (int dx = -reach; dx <= reach; dx += step) {
            const double rest = rest_of(a, b, dx, dy);
            if (rest < best.rest) {
                best = (SceneMatch){ rest, dx, dy };
            }
        }
    }
    const SceneMatch around = best;
    for (int k = 0; step > 1 && k < 9; k++) {
        const int dx = around.dx + k % 3 - 1;
        const int dy = around.dy + k / 3 - 1;
        const double rest = rest_of(a, b, dx, dy);
        if (rest < best.rest) {
            best = (SceneMatch){ rest, dx, dy };
        }
    }
    return best;
}

/* What is left of one block, wherever in the near it came from; pixels: (inout): added to. */
static double rest_of_block(const int16_t *a, const int16_t *b, int left, int top,
                            const SceneMatch *whole, int *pixels)
{
    int least = INT_MAX;
    int n = 0;
    for (int k = 0; k < (2 * NEAR + 1) * (2 * NEAR + 1); k++) {
        const int dx = whole->dx + k % (2 * NEAR + 1) - NEAR;
        const int dy = whole->dy + k / (2 * NEAR + 1) - NEAR;
        const int x0 = MAX(left, dx);
        const int x1 = MIN(left + BLOCK_WIDTH, SCENE_WIDTH + MIN(dx, 0));
        const int y0 = MAX(top, dy);
        const int y1 = MIN(top + BLOCK_HEIGHT, SCENE_HEIGHT + MIN(dy, 0));
        /* A block that the shift moved out of the picture says nothing. */
        if ((x1 - x0) * (y1 - y0) < BLOCK_WIDTH * BLOCK_HEIGHT) {
            continue;
        }
        int sum = 0;
        for (int y = y0; y < y1; y++) {
            const int16_t *p = a + y * SCENE_WIDTH;
            const int16_t *q = b + (y - dy) * SCENE_WIDTH - dx;
            for (int x = x0; x < x1; x++) {
                sum += abs(p[x] - q[x]);
            }
        }
        least = MIN(least, sum);
        n = BLOCK_WIDTH * BLOCK_HEIGHT;
    }
    *pixels += n;
    return n > 0 ? least : 0;
}

SceneMatch rb_scene_match(const SceneView *a, const SceneView *b, int reach)
{
    int16_t x[SCENE_PIXELS];
    int16_t y[SCENE_PIXELS];
    normalise(a, x);
    normalise(b, y);
    SceneMatch match = match_normalised(x, y, reach);
    double sum = 0;
    int pixels = 0;
    for (int top = 0; top < SCENE_HEIGHT; top += BLOCK_HEIGHT) {
        for (int left = 0; left < SCENE_WIDTH; left += BLOCK_WIDTH) {
            sum += rest_of_block(x, y, left, top, &match, &pixels);
        }
    }
    if (pixels > 0) {
        match.rest = fmin(match.rest, sum / (64.0 * pixels));
    }
    return match;
}

/* The middle of a picture as a camera nearer by `zoom` would show it. */
static void zoom_view(const SceneView *from, double zoom, SceneView *to)
{
    for (int y = 0; y < SCENE_HEIGHT; y++) {
        const double v = (y - SCENE_HEIGHT / 2.0) / zoom + SCENE_HEIGHT / 2.0;
        for (int x = 0; x < SCENE_WIDTH; x++) {
            const double u = (x - SCENE_WIDTH / 2.0) / zoom + SCENE_WIDTH / 2.0;
            const int i = (int)fmin(fmax(u, 0), SCENE_WIDTH - 2);
            const int j = (int)fmin(fmax(v, 0), SCENE_HEIGHT - 2);
            const double a = fmin(fmax(u - i, 0), 1);
            const double b = fmin(fmax(v - j, 0), 1);
            const uint8_t *p = from->pixels + j * SCENE_WIDTH + i;
            to->pixels[y * SCENE_WIDTH + x] =
                (uint8_t)lrint((1 - b) * ((1 - a) * p[0] + a * p[1]) +
                               b * ((1 - a) * p[SCENE_WIDTH] + a * p[SCENE_WIDTH + 1]));
        }
    }
    rb_scene_view_measure(to);
}

double rb_scene_match_zoomed(const SceneView *a, const SceneView *b, int reach)
{
    double best = rb_scene_match(a, b, reach).rest;
    for (int k = 1; k <= 5 && best > 0.1; k++) {
        SceneView nearer;
        const double zoom = 1 + 0.1 * k;
        zoom_view(a, zoom, &nearer);
        best = fmin(best, rb_scene_match(&nearer, b, reach).rest);
        zoom_view(b, zoom, &nearer);
        best = fmin(best, rb_scene_match(a, &nearer, reach).rest);
    }
    return best;
}
