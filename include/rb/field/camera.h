/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/field/homography.h"

/* A pinhole camera on a level tripod over the field frame of rb/field/field.h: square pixels,
 * optical axis through the middle of the picture, never rolled. */
typedef struct {
    RbPoint3 position; /* yards */
    double pan;        /* radians: 0 looks along +y, above 0 turns toward +x */
    double tilt;     /* radians: 0 is level, above 0 looks down; between -pi/2 and pi/2 */
    double focal_px; /* zoom: focal length in pixels, above 0 */
    int width;       /* pixels */
    int height;
} RbCamera;

/* 3 rows of 4: maps (x, y, z, 1) to (a, b, c); the picture point is (a/c, b/c), and c is the
 * distance along the optical axis in yards. */
typedef struct {
    double m[12];
} RbProjection;

/* Turns the camera so that `target` is in the middle of the picture. */
void rb_camera_aim(RbCamera *camera, RbPoint3 target);
/* Sets the zoom so that `yards` across the view at the aimed distance of `target` fill the
 * picture's width. */
void rb_camera_frame_width(RbCamera *camera, RbPoint3 target, double yards);

RbProjection rb_camera_projection(const RbCamera *camera);

/* False when the point is not in front of the camera. depth_yd: (out) (nullable). */
bool rb_projection_apply(const RbProjection *projection, RbPoint3 point, RbPoint2 *image,
                         double *depth_yd);
/* The map of the ground (z = 0) to the picture. */
RbHomography rb_projection_ground(const RbProjection *projection);
