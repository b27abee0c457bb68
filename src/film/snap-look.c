/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "snap-look.h"

#include <math.h>
#include <string.h>

#define ROUNDS 5
#define STEP 2      /* every second pixel of every second row is enough */
#define OUTLIER 8.0 /* levels: what differs more moves by itself */
#define MIDDLE_X (SNAP_WIDTH / 2.0)
#define MIDDLE_Y (SNAP_HEIGHT / 2.0)
#define MOST_SHIFT 40.0
#define MOST_ZOOM 0.2

/* Where the camera shows a place of the first picture in the second; false outside. */
static bool find_place(const SnapCamera *camera, int x, int y, double *u, double *v)
{
    *u = x + camera->dx + camera->zoom * (x - MIDDLE_X);
    *v = y + camera->dy + camera->zoom * (y - MIDDLE_Y);
    return *u >= 0 && *v >= 0 && *u < SNAP_WIDTH - 1 && *v < SNAP_HEIGHT - 1;
}

static double level_at(const SnapView *view, double u, double v)
{
    const int x = (int)u;
    const int y = (int)v;
    const double a = u - x;
    const double b = v - y;
    const uint8_t *p = view->pixels + y * SNAP_WIDTH + x;
    return (1 - b) * ((1 - a) * p[0] + a * p[1]) +
           b * ((1 - a) * p[SNAP_WIDTH] + a * p[SNAP_WIDTH + 1]);
}

/* Sums of the normal equations: the upper half of a 3 by 3, and the right side. */
typedef struct {
    double h[6];
    double g[3];
} Sums;

static void add_point(Sums *sums, const SnapView *a, const SnapView *b,
                      const SnapCamera *camera, int x, int y)
{
    double u = 0;
    double v = 0;
    if (!find_place(camera, x, y, &u, &v)) {
        return;
    }
    const uint8_t *p = a->pixels + y * SNAP_WIDTH + x;
    const double slope_x = (p[1] - p[-1]) / 2.0;
    const double slope_y = (p[SNAP_WIDTH] - p[-SNAP_WIDTH]) / 2.0;
    const double j[3] = { slope_x, slope_y,
                          slope_x * (x - MIDDLE_X) + slope_y * (y - MIDDLE_Y) };
    const double rest = p[0] - level_at(b, u, v);
    const double off = rest / OUTLIER;
    const double weight = 1 / ((1 + off * off) * (1 + off * off));
    int k = 0;
    for (int r = 0; r < 3; r++) {
        sums->g[r] += weight * j[r] * rest;
        for (int c = r; c < 3; c++) {
            sums->h[k++] += weight * j[r] * j[c];
        }
    }
}

/* By Cramer's rule; false if the picture has no slopes. */
static bool solve(const Sums *sums, double out[3])
{
    const double a = sums->h[0] + 1e-3;
    const double b = sums->h[1];
    const double c = sums->h[2];
    const double d = sums->h[3] + 1e-3;
    const double e = sums->h[4];
    const double f = sums->h[5] + 1e-3;
    const double *g = sums->g;
    const double det = a * (d * f - e * e) - b * (b * f - c * e) + c * (b * e - c * d);
    if (fabs(det) < 1e-9) {
        return false;
    }
    out[0] =
        (g[0] * (d * f - e * e) - b * (g[1] * f - e * g[2]) + c * (g[1] * e - d * g[2])) /
        det;
    out[1] =
        (a * (g[1] * f - e * g[2]) - g[0] * (b * f - c * e) + c * (b * g[2] - c * g[1])) /
        det;
    out[2] =
        (a * (d * g[2] - e * g[1]) - b * (b * g[2] - c * g[1]) + g[0] * (b * e - c * d)) /
        det;
    return true;
}

void rb_snap_camera_fit(const SnapView *a, const SnapView *b, SnapCamera *camera)
{
    for (int round = 0; round < ROUNDS; round++) {
        Sums sums;
        double by[3];
        memset(&sums, 0, sizeof sums);
        for (int y = 2; y < SNAP_HEIGHT - 2; y += STEP) {
            for (int x = 2; x < SNAP_WIDTH - 2; x += STEP) {
                add_point(&sums, a, b, camera, x, y);
            }
        }
        if (!solve(&sums, by)) {
            return;
        }
        camera->dx += by[0];
        camera->dy += by[1];
        camera->zoom += by[2];
        if (!(fabs(camera->dx) < MOST_SHIFT && fabs(camera->dy) < MOST_SHIFT &&
              fabs(camera->zoom) < MOST_ZOOM)) {
            *camera = (SnapCamera){ 0, 0, 0 };
            return;
        }
        if (fabs(by[0]) + fabs(by[1]) + 100 * fabs(by[2]) < 0.02) {
            return;
        }
    }
}

void rb_snap_blocks(const SnapView *a, const SnapView *b, const SnapCamera *camera,
                    float blocks[SNAP_BLOCKS])
{
    int counts[SNAP_BLOCKS] = { 0 };
    memset(blocks, 0, SNAP_BLOCKS * sizeof *blocks);
    for (int y = 0; y < SNAP_HEIGHT; y++) {
        for (int x = 0; x < SNAP_WIDTH; x++) {
            double u = 0;
            double v = 0;
            if (!find_place(camera, x, y, &u, &v)) {
                continue;
            }
            const int block = y / SNAP_BLOCK_HEIGHT * SNAP_COLUMNS + x / SNAP_BLOCK_WIDTH;
            const double rest = a->pixels[y * SNAP_WIDTH + x] - level_at(b, u, v);
            blocks[block] += (float)fabs(rest);
            counts[block]++;
        }
    }
    for (int i = 0; i < SNAP_BLOCKS; i++) {
        blocks[i] /= (float)(counts[i] > 0 ? counts[i] : 1);
    }
}
