/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/field/camera.h"

#include "raster.h"

/* All that stands still: turf, paint, numbers, goals, the crowd. Made once; then it is only
 * read, from any thread. */
typedef struct RbDemoStadium RbDemoStadium;

RbDemoStadium *rb_demo_stadium_new(RbFieldCode code, uint64_t seed);
void rb_demo_stadium_free(RbDemoStadium *stadium);

/* What is painted with: one thread's. */
typedef struct {
    const RbDemoStadium *stadium; /* borrowed */
    RbDemoMask *mask;             /* borrowed */
    RbDemoFrame frame;
    RbCamera camera;
    RbProjection projection; /* of `camera` */
} RbDemoCanvas;

/* Fills the whole frame. The crowd stands beyond the far sideline, or beyond the end that the
 * camera looks at. */
void rb_demo_stadium_draw(const RbDemoCanvas *canvas);
/* Poles that stand on the far sideline at the spot of the ball and at the line to gain. */
void rb_demo_stadium_draw_poles(const RbDemoCanvas *canvas, double ball_x, double gain_x);
/* Adds the noise of a sensor. The same `seed` and frame give the same noise. */
void rb_demo_stadium_grain(const RbDemoCanvas *canvas, uint64_t seed);

/* Adds a polygon of the field frame to the mask, cut where it comes too near to the camera. */
void rb_demo_canvas_polygon(const RbDemoCanvas *canvas, const RbPoint3 *points, int n);
/* Adds a bar with round ends; nothing when an end is not in front of the camera. */
void rb_demo_canvas_bar(const RbDemoCanvas *canvas, RbPoint3 a, double radius_a,
                        RbPoint3 b, double radius_b);
