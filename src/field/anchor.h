/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "pyramid.h"

/* Painted lines, looked for near where a calibration says they are. */

/* The normal of a found place of a line stands on the line in the picture. */
typedef struct {
    RbPoint2 field;  /* a place of the line on the field */
    RbPoint2 normal; /* in the picture, of length one */
    double off;      /* pixels along it from where the line should be to where it is */
    double sd;       /* of that, pixels */
    int line;        /* which, counted */
    bool across;     /* a line across the field: it says nothing of y */
} AnchorPlace;

#define ANCHOR_PLACES_MAX 1200

/* calibration: with the covariance it has now, which says how far to look. */
int rb_anchor_find(RbFieldCode code, const RbCalibration *calibration,
                   const PyramidLevel *picture, AnchorPlace *places);
/* Moves the calibration toward the places, each as much as it is believed (R. E. Kalman, "A new
 * approach to linear filtering and prediction problems", 1960, one place at a time), and leaves out
 * those that cannot belong. alike: on how many pictures the same errors are met again. Returns how
 * many were used. */
int rb_anchor_use(RbCalibration *calibration, const AnchorPlace *places, int n,
                  double alike);
/* By how many times the places are farther from where `now` shows them than a found place is off by
 * itself; 1 or more. Of lines along and across the field the worse. then: what they were looked for
 * with. */
double rb_anchor_strain(const RbCalibration *now, const RbCalibration *then,
                        const AnchorPlace *places, int n);
