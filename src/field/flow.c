/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flow.h"

#include <math.h>
#include <string.h>

/* Cells across and down. */
#define GRID_ACROSS 20
#define GRID_DOWN 12
/* Half the side of the window that is compared. */
#define HALF 6
#define SIDE (2 * HALF + 1)
#define ROUNDS 12
#define SETTLED_PX 0.01
/* Of the summed products of slopes, a pixel: plainer than that says nothing of a place. */
#define PLAINEST 12.0
/* Grey levels by which the two windows may differ. */
#define MOST_CHANGED 14.0

/* Products of the slopes in a picture, summed over five rows: one for each column. */
typedef struct {
    float *xx, *xy, *yy;
} Sums;

static void sum_rows(const PyramidLevel *level, int y, const Sums *sums)
{
    const int last = level->width - 1;
    for (int x = 1; x < last; x++) {
        float xx = 0.0F;
        float xy = 0.0F;
        float yy = 0.0F;
        const float *at = level->pixels + (size_t)(y - 2) * (size_t)level->width + x;
        for (int dy = 0; dy < 5; dy++, at += level->width) {
            const float gx = at[1] - at[-1];
            const float gy = at[level->width] - at[-level->width];
            xx += gx * gx;
            xy += gx * gy;
            yy += gy * gy;
        }
        sums->xx[x] = xx;
        sums->xy[x] = xy;
        sums->yy[x] = yy;
    }
}

/* The smaller eigenvalue of the slopes' products about a pixel: how much of a corner it is. */
static double corner_strength(const Sums *sums, int x)
{
    double xx = 0.0;
    double xy = 0.0;
    double yy = 0.0;
    for (int i = x - 2; i <= x + 2; i++) {
        xx += (double)sums->xx[i];
        xy += (double)sums->xy[i];
        yy += (double)sums->yy[i];
    }
    return (xx + yy - sqrt((xx - yy) * (xx - yy) + 4.0 * xy * xy)) / 200.0;
}

typedef struct {
    RbPoint2 at;
    double strength;
} Corner;

/* Of a row of cells; every second pixel is tried. */
static void best_of_cells(const PyramidLevel *level, int row, const Sums *sums,
                          Corner best[GRID_ACROSS])
{
    const int margin = HALF + 3;
    const int top = MAX(margin, row * level->height / GRID_DOWN);
    const int bottom = MIN(level->height - margin, (row + 1) * level->height / GRID_DOWN);
    memset(best, 0, GRID_ACROSS * sizeof best[0]);
    for (int y = top; y < bottom; y += 2) {
        sum_rows(level, y, sums);
        for (int column = 0; column < GRID_ACROSS; column++) {
            const int left = MAX(margin, column * level->width / GRID_ACROSS);
            const int right =
                MIN(level->width - margin, (column + 1) * level->width / GRID_ACROSS);
            for (int x = left; x < right; x += 2) {
                const double strength = corner_strength(sums, x);
                if (strength > best[column].strength) {
                    best[column] = (Corner){ { x + 0.5, y + 0.5 }, strength };
                }
            }
        }
    }
}

/* They are looked for on a picture this wide or less: only where to look is chosen by it, they are
 * followed on the whole one. */
#define LOOKED_AT 1000

int rb_flow_corners(const Pyramid *pyramid, RbPoint2 *corners, int most)
{
    int small = 0;
    int n = 0;
    while (pyramid->levels[small].width > LOOKED_AT && small + 1 < pyramid->n) {
        small++;
    }
    const PyramidLevel *level = &pyramid->levels[small];
    const size_t width = (size_t)level->width;
    g_autofree float *room = g_new(float, 3 * width);
    const Sums sums = { room, room + width, room + 2 * width };
    for (int row = 0; row < GRID_DOWN; row++) {
        Corner best[GRID_ACROSS];
        best_of_cells(level, row, &sums, best);
        for (int column = 0; column < GRID_ACROSS && n < most; column++) {
            if (best[column].strength > PLAINEST) {
                corners[n++] = (RbPoint2){ best[column].at.x * (1 << small),
                                           best[column].at.y * (1 << small) };
            }
        }
    }
    return n;
}

/* A window of the first picture with its slopes. */
typedef struct {
    float values[SIDE * SIDE];
    float slopes_x[SIDE * SIDE];
    float slopes_y[SIDE * SIDE];
    double xx, xy, yy;
} Window;

static void take_window(const PyramidLevel *level, RbPoint2 at, Window *window)
{
    enum { WIDER = SIDE + 2 };
    float patch[WIDER * WIDER];
    window->xx = window->xy = window->yy = 0.0;
    rb_pyramid_patch(level, at.x - HALF - 1, at.y - HALF - 1, WIDER, patch);
    for (int j = 0; j < SIDE; j++) {
        const float *row = patch + (j + 1) * WIDER + 1;
        for (int i = 0; i < SIDE; i++) {
            const float gx = 0.5F * (row[i + 1] - row[i - 1]);
            const float gy = 0.5F * (row[i + WIDER] - row[i - WIDER]);
            window->values[j * SIDE + i] = row[i];
            window->slopes_x[j * SIDE + i] = gx;
            window->slopes_y[j * SIDE + i] = gy;
            window->xx += (double)(gx * gx);
            window->xy += (double)(gx * gy);
            window->yy += (double)(gy * gy);
        }
    }
}

/* One round: how far the second window must move. */
static RbPoint2 step_of(const Window *window, const PyramidLevel *level, RbPoint2 at,
                        double *changed)
{
    const double determinant = window->xx * window->yy - window->xy * window->xy;
    float now[SIDE * SIDE];
    double bx = 0.0;
    double by = 0.0;
    *changed = 0.0;
    rb_pyramid_patch(level, at.x - HALF, at.y - HALF, SIDE, now);
    for (int i = 0; i < SIDE * SIDE; i++) {
        const double off = (double)window->values[i] - (double)now[i];
        bx += off * (double)window->slopes_x[i];
        by += off * (double)window->slopes_y[i];
        *changed += fabs(off) / (SIDE * SIDE);
    }
    return (RbPoint2){ (window->yy * bx - window->xy * by) / determinant,
                       (window->xx * by - window->xy * bx) / determinant };
}

/* False when the window is too plain; the guess is then left as it is. */
static bool follow_level(const PyramidLevel *before, const PyramidLevel *after,
                         RbPoint2 from, RbPoint2 *to, double *changed)
{
    Window window;
    take_window(before, from, &window);
    const double half = 0.5 * (window.xx + window.yy);
    const double smaller =
        half - sqrt(0.25 * (window.xx - window.yy) * (window.xx - window.yy) +
                    window.xy * window.xy);
    if (smaller < PLAINEST) {
        return false;
    }
    for (int round = 0; round < ROUNDS; round++) {
        const RbPoint2 step = step_of(&window, after, *to, changed);
        to->x += step.x;
        to->y += step.y;
        if (!(step.x * step.x + step.y * step.y >= SETTLED_PX * SETTLED_PX)) {
            break;
        }
    }
    return true;
}

bool rb_flow_follow(const Pyramid *before, const Pyramid *after, RbPoint2 from,
                    RbPoint2 *to)
{
    double changed = 0.0;
    bool told = false;
    for (int i = before->n - 1; i >= 0; i--) {
        const double scale = 1.0 / (1 << i);
        const RbPoint2 start = { from.x * scale, from.y * scale };
        RbPoint2 at = { to->x * scale, to->y * scale };
        told = follow_level(&before->levels[i], &after->levels[i], start, &at, &changed);
        const bool inside = rb_pyramid_has(&after->levels[i], at.x, at.y, 1.0);
        if (!inside || !(hypot(at.x - to->x * scale, at.y - to->y * scale) < 30.0)) {
            return false;
        }
        *to = (RbPoint2){ at.x / scale, at.y / scale };
    }
    return told && changed < MOST_CHANGED &&
           rb_pyramid_has(&after->levels[0], to->x, to->y, HALF + 1.0);
}
