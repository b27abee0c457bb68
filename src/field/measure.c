/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/field/measure.h"

#include <math.h>
#include <string.h>

#include "calibration-private.h"

/* The normal deviate that leaves a tenth on each side. */
#define DEVIATE_80 1.2815515655446004
/* Derivatives are differences over this share of a standard deviation, and of a pixel. */
#define STEP 1e-3
#define CLICKS_MAX 2
#define UNKNOWNS 9

double rb_measured_half_width(const RbUncertain *measured)
{
    return DEVIATE_80 * measured->sd;
}

bool rb_measured_leaves_open(const RbUncertain *measured, double limit)
{
    return fabs(measured->value - limit) < rb_measured_half_width(measured);
}

/* What is measured, of places on the field. */
typedef double (*Figure)(const RbPoint2 *places, const double *given);

typedef struct {
    Figure figure;
    const double *given; /* (nullable) */
    int n;
    RbCalibration calibrations[CLICKS_MAX]; /* copies, to be changed a little */
    RbPoint2 pixels[CLICKS_MAX];
    bool shared; /* both clicks stand on one calibration */
} Work;

static bool figure_of(const Work *work, double *value)
{
    RbPoint2 places[CLICKS_MAX];
    for (int i = 0; i < work->n; i++) {
        const RbCalibration *c = &work->calibrations[work->shared ? 0 : i];
        if (!rb_calibration_locate(c, work->pixels[i], &places[i])) {
            return false;
        }
    }
    *value = work->figure(places, work->given);
    return true;
}

/* The slope of the figure along one coordinate. */
static bool slope_of(Work *work, double *at, double step, double *slope)
{
    const double here = *at;
    double above = 0.0;
    double below = 0.0;
    *at = here + step;
    bool good = figure_of(work, &above);
    *at = here - step;
    good = good && figure_of(work, &below);
    *at = here;
    *slope = (above - below) / (2.0 * step);
    return good;
}

/* Adds what the calibration's unknowns contribute to the variance. */
static bool add_calibration(Work *work, int which, double *variance)
{
    RbCalibration *c = &work->calibrations[which];
    const RbCalibration kept = *c;
    double slopes[UNKNOWNS] = { 0.0 };
    for (int k = 0; k < UNKNOWNS; k++) {
        const double sd = sqrt(kept.covariance[(UNKNOWNS + 1) * k]);
        if (!(sd > 0.0)) {
            continue;
        }
        double values[2];
        for (int side = 0; side < 2; side++) {
            double unknowns[UNKNOWNS];
            memcpy(unknowns, kept.unknowns, sizeof unknowns);
            unknowns[k] += (side == 0 ? STEP : -STEP) * sd;
            rb_calibration_use_unknowns(c, unknowns);
            if (!figure_of(work, &values[side])) {
                *c = kept;
                return false;
            }
        }
        slopes[k] = (values[0] - values[1]) / (2.0 * STEP * sd);
    }
    *c = kept;
    double sum = 0.0;
    for (int a = 0; a < UNKNOWNS; a++) {
        for (int b = 0; b < UNKNOWNS; b++) {
            sum += slopes[a] * kept.covariance[UNKNOWNS * a + b] * slopes[b];
        }
    }
    *variance += kept.sigma * kept.sigma * sum;
    return true;
}

static bool measure(const RbClick *const *clicks, int n, Figure figure,
                    const double *given, RbUncertain *measured)
{
    Work work = { .figure = figure, .given = given, .n = n };
    for (int i = 0; i < n; i++) {
        work.calibrations[i] = *clicks[i]->calibration;
        work.pixels[i] = clicks[i]->pixel;
    }
    work.shared = n == 2 && clicks[0]->calibration == clicks[1]->calibration;
    if (!figure_of(&work, &measured->value)) {
        return false;
    }
    double variance = 0.0;
    for (int i = 0; i < n; i++) {
        const double sigma = clicks[i]->sigma_px > 0.0 ? clicks[i]->sigma_px
                                                       : clicks[i]->calibration->sigma;
        double by_x = 0.0;
        double by_y = 0.0;
        if (!slope_of(&work, &work.pixels[i].x, STEP, &by_x) ||
            !slope_of(&work, &work.pixels[i].y, STEP, &by_y)) {
            return false;
        }
        variance += sigma * sigma * (by_x * by_x + by_y * by_y);
    }
    const int calibrations = work.shared ? 1 : n;
    for (int i = 0; i < calibrations; i++) {
        if (!add_calibration(&work, i, &variance)) {
            return false;
        }
    }
    measured->sd = sqrt(variance);
    return true;
}

static double straight(const RbPoint2 *places, const double *given)
{
    (void)given;
    return hypot(places[1].x - places[0].x, places[1].y - places[0].y);
}

static double along(const RbPoint2 *places, const double *given)
{
    (void)given;
    return places[1].x - places[0].x;
}

static double across(const RbPoint2 *places, const double *given)
{
    (void)given;
    return places[1].y - places[0].y;
}

static double from_x(const RbPoint2 *places, const double *given)
{
    return *given - places[0].x;
}

static double from_y(const RbPoint2 *places, const double *given)
{
    return *given - places[0].y;
}

bool rb_measure_length(RbLengthKind kind, const RbClick *from, const RbClick *to,
                       RbUncertain *length)
{
    static const Figure figures[] = { [RB_LENGTH_STRAIGHT] = straight,
                                      [RB_LENGTH_ALONG] = along,
                                      [RB_LENGTH_ACROSS] = across };
    const RbClick *const clicks[] = { from, to };
    return measure(clicks, 2, figures[kind], NULL, length);
}

bool rb_measure_to_line(const RbClick *place, bool across_field, double at,
                        RbUncertain *length)
{
    return measure(&place, 1, across_field ? from_y : from_x, &at, length);
}

bool rb_measure_speed(const RbClick *from, const RbClick *to, double seconds,
                      double seconds_sd, RbUncertain *speed)
{
    RbUncertain length;
    if (!(seconds > 0.0) || !rb_measure_length(RB_LENGTH_STRAIGHT, from, to, &length)) {
        return false;
    }
    speed->value = length.value / seconds;
    speed->sd = hypot(length.sd, speed->value * seconds_sd) / seconds;
    return true;
}

RbUncertain rb_measure_time(double from_s, double from_frame_s, double to_s,
                            double to_frame_s)
{
    return (RbUncertain){ .value = to_s - from_s,
                          .sd = hypot(from_frame_s, to_frame_s) / sqrt(12.0) };
}

bool rb_calibration_known_sd(const RbCalibration *c, RbPoint2 pixel, double *sd)
{
    /* A click without error: the calibration's own share is what is left. */
    const RbClick click = { .calibration = c, .pixel = pixel, .sigma_px = 1e-9 };
    RbUncertain x;
    RbUncertain y;
    if (!rb_measure_to_line(&click, false, 0.0, &x) ||
        !rb_measure_to_line(&click, true, 0.0, &y)) {
        return false;
    }
    *sd = hypot(x.sd, y.sd);
    return true;
}

bool rb_calibration_place_sd(const RbCalibration *c, RbPoint2 pixel, double *sd)
{
    RbCalibration unit = *c;
    unit.sigma = 1.0;
    const RbClick click = { .calibration = &unit, .pixel = pixel };
    RbUncertain x;
    RbUncertain y;
    if (!rb_measure_to_line(&click, false, 0.0, &x) ||
        !rb_measure_to_line(&click, true, 0.0, &y)) {
        return false;
    }
    *sd = hypot(x.sd, y.sd);
    return true;
}
