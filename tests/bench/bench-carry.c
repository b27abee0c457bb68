/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <math.h>
#include <stdio.h>

#include "rb/field/camera.h"
#include "rb/field/carry.h"

/* bench-carry: what one step of carrying a view costs on a picture of 960 by 540 and on one of 1920 by
 * 1080, against going through the same picture once by the plain C library: a sum of squared
 * differences of neighbours, by doubles. */

enum { STEPS = 24, PLAIN = 24 };

static RbHomography ground_of(double x, int width, int height)
{
    RbCamera camera = { .position = { 50, -38, 18 }, .width = width, .height = height };
    rb_camera_aim(&camera, (RbPoint3){ x, 26, 0 });
    rb_camera_frame_width(&camera, (RbPoint3){ x, 26, 0 }, 40);
    const RbProjection projection = rb_camera_projection(&camera);
    return rb_projection_ground(&projection);
}

/* Turf in patches, lines by fives, hashes. */
static double brightness(RbPoint2 at)
{
    const double nearest = 5.0 * round(at.x / 5.0);
    const double hash = fmin(fabs(at.y - 20.0), fabs(at.y - (RB_FIELD_WIDTH_YD - 20.0)));
    const bool line =
        fabs(at.x - nearest) < 0.056 || (hash < 0.056 && fabs(at.x - nearest) < 0.33);
    const unsigned patch = (unsigned)(int)floor(at.x * 3.0) * 73856093U ^
                           (unsigned)(int)floor(at.y * 3.0) * 19349663U;
    return line ? 220.0 : 70.0 + (patch * 2654435761U >> 24) / 8.0;
}

static void paint(double x, int width, int height, uint8_t *bytes)
{
    const RbHomography map = ground_of(x, width, height);
    RbHomography back;
    rb_homography_invert(&map, &back, NULL);
    for (int v = 0; v < height; v++) {
        for (int u = 0; u < width; u++) {
            RbPoint2 at;
            const bool field =
                rb_homography_apply(&back, (RbPoint2){ u, v }, &at) && fabs(at.x) < 300.0;
            bytes[v * width + u] = (uint8_t)(field ? brightness(at) : 150.0);
        }
    }
}

static double plain_pass(const uint8_t *bytes, int width, int height)
{
    double sum = 0.0;
    for (int i = 0; i + width + 1 < width * height; i++) {
        const double across = bytes[i + 1] - bytes[i];
        const double down = bytes[i + width] - bytes[i];
        sum += across * across + down * down;
    }
    return sum;
}

static RbCarrier *start(int width, int height, const uint8_t *bytes)
{
    const RbHomography map = ground_of(45.0, width, height);
    RbSighting sightings[6];
    for (int i = 0; i < 6; i++) {
        sightings[i] = (RbSighting){ .kind = RB_SIGHT_POINT };
        sightings[i].field[0] =
            (RbPoint2){ 35.0 + 10.0 * (i % 3), i < 3 ? 20.0 : 33.3333 };
        rb_homography_apply(&map, sightings[i].field[0], &sightings[i].pixel);
    }
    RbCalibration c;
    const RbGrayPicture picture = { bytes, width, height, (size_t)width };
    g_assert(rb_calibration_fit(sightings, 6, width, height, &c, NULL));
    return rb_carrier_new(RB_FIELD_COLLEGE, &c, &picture);
}

static void run(int width, int height)
{
    uint8_t *pictures[STEPS + 1];
    for (int i = 0; i <= STEPS; i++) {
        pictures[i] = g_malloc((gsize)width * (gsize)height);
        paint(45.0 + 0.1 * i, width, height, pictures[i]);
    }
    RbCarrier *carrier = start(width, height, pictures[0]);
    const gint64 begun = g_get_monotonic_time();
    for (int i = 1; i <= STEPS; i++) {
        const RbGrayPicture picture = { pictures[i], width, height, (size_t)width };
        rb_carrier_step(carrier, &picture);
    }
    const gint64 carried = g_get_monotonic_time();
    double sum = 0.0;
    for (int i = 0; i < PLAIN; i++) {
        sum += plain_pass(pictures[i % STEPS], width, height);
    }
    const gint64 passed = g_get_monotonic_time();
    const double step_ms = (double)(carried - begun) / STEPS / 1e3;
    const double pass_ms = (double)(passed - carried) / PLAIN / 1e3;
    printf(
        "%d by %d: a step %.1f ms (%d corners, %d places), a plain pass %.2f ms (%.0f): "
        "%.1f passes\n",
        width, height, step_ms, rb_carrier_get_followed(carrier),
        rb_carrier_get_found(carrier), pass_ms, sum, step_ms / pass_ms);
    rb_carrier_free(carrier);
    for (int i = 0; i <= STEPS; i++) {
        g_free(pictures[i]);
    }
}

int main(void)
{
    run(960, 540);
    run(1920, 1080);
    return 0;
}
