/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/homography.h"

/* What a frame of film shows of the field, from marks that a person clicked on it: points of the
 * field, and places anywhere on its lines. Least squares of the distances in the picture, since
 * the errors are made there.
 *
 * The lens may bend straight lines. One radial term: a place at distance r from the middle of the
 * picture, in half diagonals, is moved outward to r (1 + bend r r). D. C. Brown, "Close-range
 * camera calibration", Photogrammetric Engineering 37 (1971), the first term. */

typedef enum {
    RB_SIGHT_POINT, /* the click shows field[0] */
    RB_SIGHT_LINE, /* the click lies somewhere on the line through field[0] and field[1] */
} RbSightKind;

typedef struct {
    RbSightKind kind;
    RbPoint2 field[2]; /* yards */
    RbPoint2 pixel;
} RbSighting;

#define RB_SIGHTINGS_MAX 256
/* A person's click misses by about this much a coordinate: from memory of own clicking, no
 * source. What the marks themselves say is weighed against it. */
#define RB_CLICK_SIGMA_PX 1.5

typedef struct {
    RbHomography map; /* field to picture, before the lens bends it */
    double bend;      /* 0: not looked for, or not there */
    bool has_bend;
    RbPoint2 centre; /* of the picture */
    double half_diagonal;

    int n;
    RbPoint2
        residuals[RB_SIGHTINGS_MAX]; /* from the click to what it should show, pixels */
    double rms;                      /* root of the mean squared length of these */
    int worst;                       /* the mark with the longest */
    int freedom;                     /* equations less unknowns */
    double sigma;                    /* error of one coordinate of a click, pixels */

    /* For what is computed from it: the unknowns (eight of the map in two frames of its own, and
     * the bend), and their covariance for clicks with an error of 1. */
    double unknowns[9];
    double covariance[81];
    struct {
        double scale;
        RbPoint2 centre;
    } field_frame, picture_frame;
} RbCalibration;

/* width, height: of the picture in pixels. The bend is looked for when there are at least 14
 * equations (two a point, one a line), and kept when it explains the clicks clearly better.
 * Refuses, in one sentence, marks that leave the view undecided (RB_FIELD_ERROR_TOO_FEW,
 * _DEGENERATE) and marks that no camera sees so (_MIXED_UP). */
bool rb_calibration_fit(const RbSighting *sightings, int n, int width, int height,
                        RbCalibration *calibration, GError **error);

/* False when the point is not in front of the camera. */
bool rb_calibration_show(const RbCalibration *calibration, RbPoint2 field,
                         RbPoint2 *pixel);
/* The place of the ground that a pixel shows. False at or above the horizon. */
bool rb_calibration_locate(const RbCalibration *calibration, RbPoint2 pixel,
                           RbPoint2 *field);

/* A mark by its name, so that the same clicks can be read on another field. */
typedef struct {
    bool is_line;
    RbLandmark landmark;
    RbFieldLine line;
    RbPoint2 pixel;
} RbFieldMark;

/* False if that field has no such mark. */
bool rb_field_mark_resolve(RbFieldCode code, const RbFieldMark *mark,
                           RbSighting *sighting);

/* "near-hash-l35", "line-l35", "line-near-hash". Returns: (transfer full). */
char *rb_field_mark_token(const RbFieldMark *mark);
/* "near hash at the left 35", "left 35-yard line". Returns: (transfer full). */
char *rb_field_mark_name(const RbFieldMark *mark);
/* Sets what the mark is on, not its pixel. False if `token` names nothing of this field. */
bool rb_field_mark_parse(RbFieldCode code, const char *token, RbFieldMark *mark);
/* "412.5,688": a place in a picture. False, and nothing set, for anything else and for places that
 * no picture has. */
bool rb_pixel_parse(const char *text, RbPoint2 *pixel);
/* The point that is likely clicked next: with a view of the field the one in the picture that
 * lies farthest from the marks there are, and where it should be; without, one that makes a box of
 * them. view: (nullable). False when there is none; there must be a mark. */
bool rb_field_mark_propose(RbFieldCode code, const RbFieldMark *marks, int n,
                           const RbCalibration *view, RbFieldMark *next);

/* True when the marks fit the field of another rule code so much better that they were likely
 * named on the wrong one. n: as many as fit() takes. likely: (out). */
bool rb_calibration_suspects_code(RbFieldCode code, const RbFieldMark *marks, int n,
                                  int width, int height, RbFieldCode *likely);
