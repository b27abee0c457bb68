/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scene-look.h"

#include <float.h>
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

#define FAR_ACROSS 70
#define FAR_UP 8

#define ZOOM 1.1
#define ZOOMS 8 /* 1.1 to the eighth is 2.1 */

#define ALIKE 0.1 /* no zoom need be tried */

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

typedef struct {
    int width;
    int height;
} Size;

/* What is left at one shift; no less than `most` when it is that or more: what is known to be too
 * much is not added up to its end. */
static double rest_of(const int16_t *a, const int16_t *b, Size size, int dx, int dy,
                      double most)
{
    const int x0 = MAX(dx, 0);
    const int x1 = size.width + MIN(dx, 0);
    const int y0 = MAX(dy, 0);
    const int y1 = size.height + MIN(dy, 0);
    const double whole = 64.0 * (x1 - x0) * (y1 - y0);
    int sum = 0;
    for (int y = y0; y < y1 && sum / whole < most; y++) {
        const int16_t *p = a + y * size.width;
        const int16_t *q = b + (y - dy) * size.width - dx;
        for (int x = x0; x < x1; x++) {
            sum += abs(p[x] - q[x]);
        }
    }
    return sum / whole;
}

/* Half as wide and high, for a first look. */
#define HALF_WIDTH (SCENE_WIDTH / 2)
#define HALF_HEIGHT (SCENE_HEIGHT / 2)

static void halve(const int16_t *from, int16_t *to)
{
    for (int y = 0; y < HALF_HEIGHT; y++) {
        const int16_t *row = from + 2 * y * SCENE_WIDTH;
        for (int x = 0; x < HALF_WIDTH; x++) {
            const int16_t *p = row + 2 * x;
            to[y * HALF_WIDTH + x] =
                (int16_t)((p[0] + p[1] + p[SCENE_WIDTH] + p[SCENE_WIDTH + 1]) / 4);
        }
    }
}

/* The shift that fits best, of pictures of width times height. */
static SceneMatch best_shift(const int16_t *a, const int16_t *b, Size size, Size reach,
                             SceneMatch best)
{
    for (int dy = -reach.height; dy <= reach.height; dy++) {
        for (int dx = -reach.width; dx <= reach.width; dx++) {
            const double rest = rest_of(a, b, size, dx, dy, best.rest);
            if (rest < best.rest) {
                best = (SceneMatch){ rest, dx, dy };
            }
        }
    }
    return best;
}

/* Far shifts are looked for in pictures of half the size first. */
static SceneMatch match_normalised(const int16_t *a, const int16_t *b, Size reach)
{
    const Size whole = { SCENE_WIDTH, SCENE_HEIGHT };
    const SceneMatch none = { rest_of(a, b, whole, 0, 0, DBL_MAX), 0, 0 };
    if (reach.width <= 6) {
        return best_shift(a, b, whole, reach, none);
    }
    int16_t x[HALF_WIDTH * HALF_HEIGHT];
    int16_t y[HALF_WIDTH * HALF_HEIGHT];
    const Size half = { HALF_WIDTH, HALF_HEIGHT };
    halve(a, x);
    halve(b, y);
    const SceneMatch around =
        best_shift(x, y, half, (Size){ reach.width / 2, reach.height / 2 },
                   (SceneMatch){ DBL_MAX, 0, 0 });
    SceneMatch best = none;
    for (int k = 0; k < 9; k++) {
        const int dx = 2 * around.dx + k % 3 - 1;
        const int dy = 2 * around.dy + k / 3 - 1;
        const double rest = rest_of(a, b, whole, dx, dy, best.rest);
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
        for (int y = y0; y < y1 && sum < least; y++) {
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

static int compare_double(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

double rb_scene_match_at(const SceneView *a, const SceneView *b, int dx, int dy)
{
    int16_t x[SCENE_PIXELS];
    int16_t y[SCENE_PIXELS];
    double rests[SCENE_WIDTH / BLOCK_WIDTH * (SCENE_HEIGHT / BLOCK_HEIGHT)];
    const SceneMatch whole = { 0, dx, dy };
    int n = 0;
    normalise(a, x);
    normalise(b, y);
    for (int top = 0; top < SCENE_HEIGHT; top += BLOCK_HEIGHT) {
        for (int left = 0; left < SCENE_WIDTH; left += BLOCK_WIDTH) {
            int pixels = 0;
            const double rest = rest_of_block(x, y, left, top, &whole, &pixels);
            if (pixels > 0) {
                rests[n++] = rest / (64.0 * pixels);
            }
        }
    }
    qsort(rests, (size_t)n, sizeof rests[0], compare_double);
    return n > 0 ? rests[n / 2] : 1;
}

static SceneMatch match(const SceneView *a, const SceneView *b, Size reach)
{
    int16_t x[SCENE_PIXELS];
    int16_t y[SCENE_PIXELS];
    normalise(a, x);
    normalise(b, y);
    SceneMatch best = match_normalised(x, y, reach);
    double sum = 0;
    int pixels = 0;
    for (int top = 0; top < SCENE_HEIGHT; top += BLOCK_HEIGHT) {
        for (int left = 0; left < SCENE_WIDTH; left += BLOCK_WIDTH) {
            sum += rest_of_block(x, y, left, top, &best, &pixels);
        }
    }
    if (pixels > 0) {
        best.rest = fmin(best.rest, sum / (64.0 * pixels));
    }
    return best;
}

SceneMatch rb_scene_match(const SceneView *a, const SceneView *b, int reach)
{
    return match(a, b, (Size){ reach, reach / 2 });
}

SceneMatch rb_scene_match_far(const SceneView *a, const SceneView *b)
{
    return match(a, b, (Size){ FAR_ACROSS, FAR_UP });
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

/* A picture of half the size as a camera nearer by `zoom` would show it, made equal in mean and
 * spread again. */
static void zoom_half(const int16_t *from, float zoom, int16_t *to)
{
    float seen[HALF_WIDTH * HALF_HEIGHT];
    float sum = 0;
    for (int y = 0; y < HALF_HEIGHT; y++) {
        const float v = ((float)y - HALF_HEIGHT / 2.0F) / zoom + HALF_HEIGHT / 2.0F;
        for (int x = 0; x < HALF_WIDTH; x++) {
            const float u = ((float)x - HALF_WIDTH / 2.0F) / zoom + HALF_WIDTH / 2.0F;
            const int i = MIN((int)u, HALF_WIDTH - 2);
            const int j = MIN((int)v, HALF_HEIGHT - 2);
            const float a = MIN(u - (float)i, 1);
            const float b = MIN(v - (float)j, 1);
            const int16_t *p = from + j * HALF_WIDTH + i;
            const float level = (1 - b) * ((1 - a) * p[0] + a * p[1]) +
                                b * ((1 - a) * p[HALF_WIDTH] + a * p[HALF_WIDTH + 1]);
            seen[y * HALF_WIDTH + x] = level;
            sum += level;
        }
    }
    const float mean = sum / (HALF_WIDTH * HALF_HEIGHT);
    float off = 1;
    for (int i = 0; i < HALF_WIDTH * HALF_HEIGHT; i++) {
        off += fabsf(seen[i] - mean);
    }
    const float scale = 64 * HALF_WIDTH * HALF_HEIGHT / off;
    for (int i = 0; i < HALF_WIDTH * HALF_HEIGHT; i++) {
        to[i] = (int16_t)((seen[i] - mean) * scale);
    }
}

/* The zoom from a to b, looked for in pictures of half the size; below 1 b is the nearer. */
static double find_zoom(const SceneView *a, const SceneView *b, int reach)
{
    const Size half = { HALF_WIDTH, HALF_HEIGHT };
    int16_t whole[SCENE_PIXELS];
    int16_t x[2][HALF_WIDTH * HALF_HEIGHT];
    int16_t zoomed[2][HALF_WIDTH * HALF_HEIGHT];
    double best = DBL_MAX;
    double found = 1;
    normalise(a, whole);
    halve(whole, x[0]);
    normalise(b, whole);
    halve(whole, x[1]);
    for (int k = 0; k <= 2 * ZOOMS; k++) {
        const double zoom = pow(ZOOM, (k + 1) / 2);
        const bool nearer = k % 2 == 1; /* a is made so */
        zoom_half(x[0], nearer ? (float)zoom : 1, zoomed[0]);
        zoom_half(x[1], nearer ? 1 : (float)zoom, zoomed[1]);
        const SceneMatch match =
            best_shift(zoomed[0], zoomed[1], half, (Size){ reach / 2, reach / 4 },
                       (SceneMatch){ DBL_MAX, 0, 0 });
        if (match.rest < best) {
            best = match.rest;
            found = nearer ? zoom : 1 / zoom;
        }
    }
    return found;
}

double rb_scene_match_zoomed(const SceneView *a, const SceneView *b, int reach)
{
    const double plain = rb_scene_match(a, b, reach).rest;
    if (plain <= ALIKE) {
        return plain;
    }
    const double zoom = find_zoom(a, b, reach);
    SceneView nearer;
    if (zoom > 1) {
        zoom_view(a, zoom, &nearer);
        return fmin(plain, rb_scene_match(&nearer, b, reach).rest);
    }
    if (zoom < 1) {
        zoom_view(b, 1 / zoom, &nearer);
        return fmin(plain, rb_scene_match(a, &nearer, reach).rest);
    }
    return plain;
}
