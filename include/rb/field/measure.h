/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/field/calibration.h"

/* Lengths and speeds on the ground, each with its own uncertainty: from the clicks on what is
 * measured, from the calibration (and what two places have in common of it), and from time.
 * Propagated to first order (JCGM 100:2008, "Guide to the expression of uncertainty in
 * measurement", 5.1 and 5.2). */

/* A place clicked on one frame. sigma_px: error of the click a coordinate; 0: the
 * calibration's own. calibration: borrowed. */
typedef struct {
    const RbCalibration *calibration;
    RbPoint2 pixel;
    double sigma_px;
} RbClick;

typedef struct {
    double value;
    double sd; /* standard deviation */
} RbUncertain;

/* Half the width of the interval that holds the truth in 80 of 100 cases, for a normal error. */
double rb_measured_half_width(const RbUncertain *measured);
/* True if a limit lies inside that interval: the measure does not say on which side it is. */
bool rb_measured_leaves_open(const RbUncertain *measured, double limit);

typedef enum {
    RB_LENGTH_STRAIGHT, /* from the first place to the second */
    RB_LENGTH_ALONG, /* of that, the part along the field: x of the second less the first's */
    RB_LENGTH_ACROSS, /* and across it: y of the second less the first's */
} RbLengthKind;

/* Yards. False when a place is at or above the horizon. */
bool rb_measure_length(RbLengthKind kind, const RbClick *from, const RbClick *to,
                       RbUncertain *length);
/* Yards from the place to a line of the field, above 0 toward greater x or y: at what `at` says
 * of x (across is false) or y (across is true). */
bool rb_measure_to_line(const RbClick *place, bool across, double at,
                        RbUncertain *length);
/* Yards a second between two moments. seconds: above 0, with its standard deviation. */
bool rb_measure_speed(const RbClick *from, const RbClick *to, double seconds,
                      double seconds_sd, RbUncertain *speed);

/* Time between two marks, each somewhere inside the frame (or field) it was set on: that frame
 * lasted so long. Seconds. A uniform error has a standard deviation of length / sqrt(12). */
RbUncertain rb_measure_time(double from_s, double from_frame_s, double to_s,
                            double to_frame_s);
