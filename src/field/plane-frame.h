/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/homography.h"

/* A scaling and shift of one plane: x' = scale (x - centre). Maps are solved between two such
 * frames, where all numbers are near 1. */
typedef struct {
    double scale;
    RbPoint2 centre;
} PlaneFrame;

/* Hartley's: centroid at the origin, mean distance from it the root of two. */
PlaneFrame rb_plane_frame_of(const RbPoint2 *points, int n);
RbPoint2 rb_plane_frame_apply(const PlaneFrame *frame, RbPoint2 point);
/* m = inverse(to) h from, for a map h between the two frames. */
void rb_plane_frame_undo(const double h[9], const PlaneFrame *from, const PlaneFrame *to,
                         double m[9]);
/* h = to m inverse(from). */
void rb_plane_frame_do(const double m[9], const PlaneFrame *from, const PlaneFrame *to,
                       double h[9]);
