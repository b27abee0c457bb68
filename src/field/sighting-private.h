/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/calibration.h"

/* A calibration in two steps: a first map straight from the equations (sighting-start.c), and
 * least squares in the picture (calibration.c). */

/* Two a point, one a line. */
int rb_sighting_equations(const RbSighting *sightings, int n);
/* The line a x + b y + c = 0 through the two points, with a a + b b = 1. */
void rb_sighting_line(const RbSighting *sighting, double line[3]);
/* Picture to field, of all sightings together in the algebraic sense. Refuses what leaves the
 * view undecided. */
bool rb_sighting_start(const RbSighting *sightings, int n, RbHomography *picture_to_field,
                       GError **error);
