/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/field/camera.h"

#include <glib.h>
#include <math.h>

/* Nearer than this to the camera's plane a point has no sensible picture. */
#define NEAREST_YD 1e-6

void rb_camera_aim(RbCamera *camera, RbPoint3 target)
{
    const double dx = target.x - camera->position.x;
    const double dy = target.y - camera->position.y;
    const double dz = target.z - camera->position.z;
    camera->pan = atan2(dx, dy);
    camera->tilt = atan2(-dz, hypot(dx, dy));
}

void rb_camera_frame_width(RbCamera *camera, RbPoint3 target, double yards)
{
    const double dx = target.x - camera->position.x;
    const double dy = target.y - camera->position.y;
    const double dz = target.z - camera->position.z;
    g_assert(yards > 0.0);
    camera->focal_px = camera->width * sqrt(dx * dx + dy * dy + dz * dz) / yards;
}

RbProjection rb_camera_projection(const RbCamera *camera)
{
    const double sp = sin(camera->pan);
    const double cp = cos(camera->pan);
    const double st = sin(camera->tilt);
    const double ct = cos(camera->tilt);
    /* The camera's axes in the field frame: right, down, forward. */
    const double axes[3][3] = {
        { cp, -sp, 0.0 },
        { -sp * st, -cp * st, -ct },
        { sp * ct, cp * ct, -st },
    };
    double extrinsic[3][4];
    for (int row = 0; row < 3; row++) {
        extrinsic[row][0] = axes[row][0];
        extrinsic[row][1] = axes[row][1];
        extrinsic[row][2] = axes[row][2];
        extrinsic[row][3] =
            -(axes[row][0] * camera->position.x + axes[row][1] * camera->position.y +
              axes[row][2] * camera->position.z);
    }
    RbProjection projection;
    for (int i = 0; i < 4; i++) {
        const double forward = extrinsic[2][i];
        projection.m[i] =
            camera->focal_px * extrinsic[0][i] + camera->width / 2.0 * forward;
        projection.m[4 + i] =
            camera->focal_px * extrinsic[1][i] + camera->height / 2.0 * forward;
        projection.m[8 + i] = forward;
    }
    return projection;
}

bool rb_projection_apply(const RbProjection *projection, RbPoint3 point, RbPoint2 *image,
                         double *depth_yd)
{
    const double *m = projection->m;
    const double c = m[8] * point.x + m[9] * point.y + m[10] * point.z + m[11];
    if (c <= NEAREST_YD) {
        return false;
    }
    image->x = (m[0] * point.x + m[1] * point.y + m[2] * point.z + m[3]) / c;
    image->y = (m[4] * point.x + m[5] * point.y + m[6] * point.z + m[7]) / c;
    if (depth_yd != NULL) {
        *depth_yd = c;
    }
    return true;
}

RbHomography rb_projection_ground(const RbProjection *projection)
{
    const double *m = projection->m;
    return (RbHomography){ { m[0], m[1], m[3], m[4], m[5], m[7], m[8], m[9], m[11] } };
}
