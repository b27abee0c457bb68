/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/field/calibration.h"
#include "rb/field/camera.h"

#define VIEW_WIDTH 1920
#define VIEW_HEIGHT 1080

/* A camera in the stands that looks at a part of the field, and its lens. */
typedef struct {
    RbCamera camera;
    double bend;
} View;

View view_fixed(void);
/* From the side or from behind, near or far. */
View view_random(RbRandom *random);

/* False when it is not in the picture. */
bool view_show(const View *view, RbPoint2 field, RbPoint2 *pixel);
bool view_locate(const View *view, RbPoint2 pixel, RbPoint2 *field);

/* Marks without error. */
RbSighting view_point(const View *view, RbPoint2 field);
RbSighting view_on_line(const View *view, RbPoint2 a, RbPoint2 b, double share);

/* Landmarks of a college field that are in the picture, then places on its lines, each clicked
 * with an error of sigma a coordinate. Returns how many. */
int view_sightings(const View *view, RbRandom *random, int points, int lines,
                   double sigma, RbSighting *sightings);
/* Twelve named marks, hashes and sidelines and yard lines among them. */
int view_marks(const View *view, RbFieldCode code, RbRandom *random, double sigma,
               RbFieldMark *marks);
