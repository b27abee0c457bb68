/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "rb/field/carry.h"

#include "anchor.h"
#include "calibration-private.h"
#include "motion.h"
#include "plane-frame.h"

#define UNKNOWNS 9
#define DEVIATE_80 1.2815515655446004
/* So few places of lines are no ground to move a calibration. */
#define FOUND_LEAST 12
/* The same line is off by the same on so many pictures. */
#define FRAMES_ALIKE 4.0

struct RbCarrier {
    RbFieldCode code;
    RbCalibration calibration; /* what is carried on */
    RbCalibration shown;       /* the same, and as unsure as the lines say */
    Pyramid pyramid;           /* of the picture stepped to last */
    RbCarryState state;
    double looseness; /* yards */
    double strain;    /* see anchor.h */
    int followed;
    int found;
};

/* ---- how well a place is known */

/* Of places spread over the part of the picture that shows the field. */
static double looseness_of(const RbCalibration *c)
{
    double worst = 0.0;
    int seen = 0;
    for (int j = 1; j <= 3; j++) {
        for (int i = 1; i <= 3; i++) {
            const RbPoint2 pixel = { i * c->centre.x / 2.0, j * c->centre.y / 2.0 };
            RbPoint2 place;
            double sd = 0.0;
            if (!rb_calibration_locate(c, pixel, &place) || place.x < 0.0 ||
                place.x > RB_FIELD_LENGTH_YD || place.y < 0.0 ||
                place.y > RB_FIELD_WIDTH_YD || !rb_calibration_known_sd(c, pixel, &sd)) {
                continue;
            }
            worst = MAX(worst, DEVIATE_80 * sd);
            seen++;
        }
    }
    return seen > 0 ? worst : HUGE_VAL;
}

/* ---- the step */

/* The nine unknowns of the calibration seen through a movement of the picture. */
static void through(const RbCalibration *c, const double unknowns[UNKNOWNS],
                    const double motion[9], double moved[UNKNOWNS])
{
    const PlaneFrame field = { c->field_frame.scale, c->field_frame.centre };
    const PlaneFrame picture = { c->picture_frame.scale, c->picture_frame.centre };
    double h[9];
    double m[9];
    double product[9];
    memcpy(h, unknowns, 8 * sizeof h[0]);
    h[8] = 1.0;
    rb_plane_frame_undo(h, &field, &picture, m);
    for (int row = 0; row < 3; row++) {
        for (int column = 0; column < 3; column++) {
            product[3 * row + column] = motion[3 * row] * m[column] +
                                        motion[3 * row + 1] * m[3 + column] +
                                        motion[3 * row + 2] * m[6 + column];
        }
    }
    rb_plane_frame_do(product, &field, &picture, h);
    for (int k = 0; k < 8; k++) {
        moved[k] = h[k] / h[8];
    }
    moved[8] = unknowns[8];
}

/* The slopes of the moved unknowns by `n` values at `values`. */
static void slopes_by(const RbCalibration *c, double unknowns[UNKNOWNS], double motion[9],
                      double *values, double slopes[UNKNOWNS][UNKNOWNS])
{
    for (int k = 0; k < UNKNOWNS; k++) {
        const double kept = values[k];
        const double step = 1e-6 * MAX(1.0, fabs(kept));
        double above[UNKNOWNS];
        double below[UNKNOWNS];
        values[k] = kept + step;
        through(c, unknowns, motion, above);
        values[k] = kept - step;
        through(c, unknowns, motion, below);
        values[k] = kept;
        for (int a = 0; a < UNKNOWNS; a++) {
            slopes[a][k] = (above[a] - below[a]) / (2.0 * step);
        }
    }
}

/* sum += slopes covariance slopes^T, times factor. */
static void add_spread(double slopes[UNKNOWNS][UNKNOWNS], const double *covariance,
                       double factor, double *sum)
{
    double half[UNKNOWNS][UNKNOWNS];
    for (int a = 0; a < UNKNOWNS; a++) {
        for (int b = 0; b < UNKNOWNS; b++) {
            half[a][b] = 0.0;
            for (int k = 0; k < UNKNOWNS; k++) {
                half[a][b] += slopes[a][k] * covariance[UNKNOWNS * k + b];
            }
        }
    }
    for (int a = 0; a < UNKNOWNS; a++) {
        for (int b = 0; b < UNKNOWNS; b++) {
            for (int k = 0; k < UNKNOWNS; k++) {
                sum[UNKNOWNS * a + b] += factor * half[a][k] * slopes[b][k];
            }
        }
    }
}

static void move_calibration(RbCalibration *c, const CameraMotion *motion)
{
    double unknowns[UNKNOWNS];
    double map[9];
    double slopes[UNKNOWNS][UNKNOWNS];
    double covariance[81] = { 0.0 };
    double moved[UNKNOWNS];
    memcpy(unknowns, c->unknowns, sizeof unknowns);
    memcpy(map, motion->map.m, sizeof map);
    slopes_by(c, unknowns, map, unknowns, slopes);
    add_spread(slopes, c->covariance, 1.0, covariance);
    slopes_by(c, unknowns, map, map, slopes);
    /* The calibration's covariance is that for clicks with an error of one pixel. */
    add_spread(slopes, motion->covariance, 1.0 / (c->sigma * c->sigma), covariance);
    through(c, unknowns, map, moved);
    memcpy(c->covariance, covariance, sizeof c->covariance);
    rb_calibration_use_unknowns(c, moved);
}

static int anchor(RbCarrier *carrier, RbCalibration *c)
{
    g_autofree AnchorPlace *places = g_new(AnchorPlace, ANCHOR_PLACES_MAX);
    const int n = rb_anchor_find(carrier->code, c, &carrier->pyramid.levels[0], places);
    int across = 0;
    for (int i = 0; i < n; i++) {
        across += places[i].across ? 1 : 0;
    }
    if (n < FOUND_LEAST || across < FOUND_LEAST / 2) {
        return 0;
    }
    const RbCalibration then = *c;
    const int used = rb_anchor_use(c, places, n, FRAMES_ALIKE);
    carrier->strain = rb_anchor_strain(c, &then, places, n);
    return used;
}

static void judge(RbCarrier *carrier)
{
    carrier->shown = carrier->calibration;
    for (int i = 0; i < 81; i++) {
        carrier->shown.covariance[i] *= carrier->strain * carrier->strain;
    }
    carrier->looseness = looseness_of(&carrier->shown);
    carrier->state =
        carrier->looseness > RB_CARRY_LOOSE_YD ? RB_CARRY_LOOSE : RB_CARRY_GOOD;
}

/* ---- the carrier */

RbCarrier *rb_carrier_new(RbFieldCode code, const RbCalibration *calibration,
                          const RbGrayPicture *picture)
{
    RbCarrier *carrier = g_new0(RbCarrier, 1);
    carrier->code = code;
    carrier->calibration = *calibration;
    carrier->strain = 1.0;
    rb_pyramid_init(&carrier->pyramid, picture);
    judge(carrier);
    return carrier;
}

void rb_carrier_free(RbCarrier *carrier)
{
    if (carrier != NULL) {
        rb_pyramid_clear(&carrier->pyramid);
        g_free(carrier);
    }
}

bool rb_carrier_sharpen(RbCarrier *carrier)
{
    RbCalibration sharper = carrier->calibration;
    int used = 0;
    for (int round = 0; round < 2; round++) {
        const RbCalibration before = sharper;
        RbCalibration next = carrier->calibration;
        g_autofree AnchorPlace *places = g_new(AnchorPlace, ANCHOR_PLACES_MAX);
        const int n =
            rb_anchor_find(carrier->code, &before, &carrier->pyramid.levels[0], places);
        if (round == 0) {
            used = rb_anchor_use(&next, places, n, 1.0);
            sharper = next;
        } else {
            used = MIN(used, n);
        }
        if (used < 2 * FOUND_LEAST || 2 * used < n) {
            return false;
        }
    }
    carrier->calibration = sharper;
    carrier->found = used;
    judge(carrier);
    return true;
}

RbCarryState rb_carrier_step(RbCarrier *carrier, const RbGrayPicture *picture)
{
    Pyramid next;
    CameraMotion motion;
    if (carrier->state == RB_CARRY_LOST) {
        return RB_CARRY_LOST;
    }
    rb_pyramid_init(&next, picture);
    const Pyramid *last = &carrier->pyramid;
    const bool alike = next.levels[0].width == last->levels[0].width &&
                       next.levels[0].height == last->levels[0].height;
    carrier->followed = carrier->found = 0;
    if (!alike || !rb_motion_find(last, &next, &carrier->calibration, &motion)) {
        rb_pyramid_clear(&next);
        carrier->state = RB_CARRY_LOST;
        carrier->looseness = HUGE_VAL;
        return RB_CARRY_LOST;
    }
    carrier->followed = motion.followed;
    carrier->strain = 1.0;
    move_calibration(&carrier->calibration, &motion);
    rb_pyramid_clear(&carrier->pyramid);
    carrier->pyramid = next;
    carrier->found = anchor(carrier, &carrier->calibration);
    judge(carrier);
    return carrier->state;
}

RbCarryState rb_carrier_get_state(const RbCarrier *carrier)
{
    return carrier->state;
}

const RbCalibration *rb_carrier_get_calibration(const RbCarrier *carrier)
{
    return &carrier->shown;
}

double rb_carrier_get_looseness(const RbCarrier *carrier)
{
    return carrier->looseness;
}

int rb_carrier_get_followed(const RbCarrier *carrier)
{
    return carrier->followed;
}

int rb_carrier_get_found(const RbCarrier *carrier)
{
    return carrier->found;
}
