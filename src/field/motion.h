/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "pyramid.h"

/* How the camera moved from one picture to the next. */

typedef struct {
    RbHomography map; /* straightened pixels of the first picture to the second's */
    double covariance
        [81];     /* of its nine entries: as RbHomographyFit, with its sigma in it */
    int followed; /* corners that agree */
} CameraMotion;

/* lens: what bends the picture (its map is not used). False when too few corners agree. */
bool rb_motion_find(const Pyramid *before, const Pyramid *after,
                    const RbCalibration *lens, CameraMotion *motion);
