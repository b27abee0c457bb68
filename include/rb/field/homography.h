/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>

#include "rb/field/field.h"

/* A projective map of one plane to another: the field (yards) to the picture (pixels), and
 * back. Pixels: (0, 0) is the upper left corner of the picture, so the centre of the first
 * pixel is (0.5, 0.5).
 *
 * R. Hartley, A. Zisserman, "Multiple View Geometry in Computer Vision", chapter 4. */

#define RB_FIELD_ERROR (rb_field_error_quark())

typedef enum {
    RB_FIELD_ERROR_TOO_FEW,    /* fewer than four marks */
    RB_FIELD_ERROR_DEGENERATE, /* the marks do not fix the map */
    RB_FIELD_ERROR_MIXED_UP,   /* no picture of a field looks like this: wrong names */
    RB_FIELD_ERROR_FAILED,
} RbFieldError;

GQuark rb_field_error_quark(void);

/* Row by row. Maps (x, y) to (a/c, b/c) with (a, b, c) = m (x, y, 1). Valid maps are scaled so
 * that c is above 0 on the visible side of the horizon. */
typedef struct {
    double m[9];
} RbHomography;

typedef struct {
    RbPoint2 from;
    RbPoint2 to;
} RbMatch;

#define RB_MATCHES_MAX 256

/* False when the point lies on or beyond the horizon. */
bool rb_homography_apply(const RbHomography *map, RbPoint2 point, RbPoint2 *image);
/* False, with RB_FIELD_ERROR_DEGENERATE, when it has none. The scale rule above holds for the
 * inverse on the image of the visible side. */
bool rb_homography_invert(const RbHomography *map, RbHomography *inverse, GError **error);

/* Normalised direct linear transform of four or more matches, by singular value
 * decomposition. Refuses, in one sentence, layouts that do not fix the map. */
bool rb_homography_solve(const RbMatch *matches, int n, RbHomography *map,
                         GError **error);

/* A fit in the units of `to`: clicks are made in the picture, so fit field to picture. */
typedef struct {
    RbHomography map;
    int n;
    RbPoint2 residuals[RB_MATCHES_MAX]; /* mapped minus given, in the order given */
    double rms;                         /* root of the mean squared distance */
    double sigma; /* estimated error of one coordinate; 0 for n = 4 */
    int worst;    /* the match with the largest residual */
    /* Covariance of m[0..8] for coordinates with an error of 1 (times sigma squared for the
     * estimate's own): row by row; singular along the scale of m. */
    double covariance[81];
} RbHomographyFit;

/* Least squares of the distances in the target plane, started from rb_homography_solve(). */
bool rb_homography_fit(const RbMatch *matches, int n, RbHomographyFit *fit,
                       GError **error);

/* The point of the source plane that `target` shows, and the standard deviations of its two
 * coordinates when target and matches each have errors of `sigma` a coordinate (first order).
 * sd: (out) (nullable). False beyond the horizon. */
bool rb_homography_fit_locate(const RbHomographyFit *fit, RbPoint2 target, double sigma,
                              RbPoint2 *source, RbPoint2 *sd);
