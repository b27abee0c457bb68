/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/calibration.h"
#include "rb/field/measure.h"

/* The map and the bend that these unknowns stand for. */
void rb_calibration_use_unknowns(RbCalibration *c, const double unknowns[9]);
/* Yards by which the place a pixel shows is uncertain (both coordinates together) for clicks with
 * an error of a pixel, this one too. False at or above the horizon. */
bool rb_calibration_place_sd(const RbCalibration *c, RbPoint2 pixel, double *sd);
