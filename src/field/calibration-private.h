/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/calibration.h"
#include "rb/field/measure.h"

/* The map and the bend that these unknowns stand for. */
void rb_calibration_use_unknowns(RbCalibration *c, const double unknowns[9]);
/* Where a straight lens would show what this one shows at `pixel`. */
RbPoint2 rb_calibration_straighten(const RbCalibration *c, RbPoint2 pixel);
/* Yards by which the place a pixel shows is uncertain for what the calibration does not know (both
 * coordinates together). False at or above the horizon. */
bool rb_calibration_known_sd(const RbCalibration *c, RbPoint2 pixel, double *sd);
/* Yards by which the place a pixel shows is uncertain (both coordinates together) for clicks with
 * an error of a pixel, this one too. False at or above the horizon. */
bool rb_calibration_place_sd(const RbCalibration *c, RbPoint2 pixel, double *sd);
