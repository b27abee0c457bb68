/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "motion.h"

#include <math.h>

#include "calibration-private.h"
#include "flow.h"

#define CORNERS_MAX 240
/* Fewer corners that agree are no camera that turned: a cut, or a blank picture. */
#define LEAST 16
#define DRAWS 150
/* Agreement with a turn, shift and zoom of the picture, and then with the whole map. */
#define NEAR_PX 2.5
#define CLOSE_PX 0.6
/* Errors of neighbouring steps are alike, so they do not average out: standard deviations are
 * taken so many times as large. From steps on pictures whose camera is known. */
#define ALIKE 6.0

typedef struct {
    RbMatch matches[CORNERS_MAX];
    bool agrees[CORNERS_MAX];
    int n;
} Corners;

static void follow_corners(const Pyramid *before, const Pyramid *after,
                           const RbCalibration *lens, Corners *corners)
{
    RbPoint2 from[CORNERS_MAX];
    const int n = rb_flow_corners(before, from, CORNERS_MAX);
    corners->n = 0;
    for (int i = 0; i < n; i++) {
        RbPoint2 to = from[i];
        if (rb_flow_follow(before, after, from[i], &to)) {
            corners->matches[corners->n++] =
                (RbMatch){ rb_calibration_straighten(lens, from[i]),
                           rb_calibration_straighten(lens, to) };
        }
    }
}

/* x' = a x - b y + c, y' = b x + a y + d. */
typedef struct {
    double a, b, c, d;
} Similar;

static bool similar_of(const RbMatch *p, const RbMatch *q, Similar *s)
{
    const double x = q->from.x - p->from.x;
    const double y = q->from.y - p->from.y;
    const double u = q->to.x - p->to.x;
    const double v = q->to.y - p->to.y;
    const double length = x * x + y * y;
    if (length < 900.0) {
        return false; /* too near to each other to say how the picture turned */
    }
    s->a = (x * u + y * v) / length;
    s->b = (x * v - y * u) / length;
    s->c = p->to.x - s->a * p->from.x + s->b * p->from.y;
    s->d = p->to.y - s->b * p->from.x - s->a * p->from.y;
    return true;
}

static int agree_similar(Corners *corners, const Similar *s, bool keep)
{
    int agreed = 0;
    for (int i = 0; i < corners->n; i++) {
        const RbMatch *m = &corners->matches[i];
        const double x = s->a * m->from.x - s->b * m->from.y + s->c - m->to.x;
        const double y = s->b * m->from.x + s->a * m->from.y + s->d - m->to.y;
        const bool near = x * x + y * y < NEAR_PX * NEAR_PX;
        agreed += near ? 1 : 0;
        if (keep) {
            corners->agrees[i] = near;
        }
    }
    return agreed;
}

/* A small generator of its own, so that the same pictures give the same movement. */
static int draw(uint32_t *state, int n)
{
    *state =
        *state * 1664525U + 1013904223U; /* Numerical Recipes, 2nd edition, chapter 7.1 */
    return (int)((*state >> 8) % (uint32_t)n);
}

static int most_agree(Corners *corners)
{
    uint32_t state = 12345;
    Similar best = { 1.0, 0.0, 0.0, 0.0 };
    int most = 0;
    for (int i = 0; i < DRAWS && corners->n >= 2; i++) {
        Similar s;
        if (!similar_of(&corners->matches[draw(&state, corners->n)],
                        &corners->matches[draw(&state, corners->n)], &s)) {
            continue;
        }
        const int agreed = agree_similar(corners, &s, false);
        if (agreed > most) {
            most = agreed;
            best = s;
        }
    }
    agree_similar(corners, &best, true);
    return most;
}

static bool fit_agreed(const Corners *corners, RbHomographyFit *fit)
{
    RbMatch agreed[CORNERS_MAX];
    int n = 0;
    for (int i = 0; i < corners->n; i++) {
        if (corners->agrees[i]) {
            agreed[n++] = corners->matches[i];
        }
    }
    return n >= LEAST && rb_homography_fit(agreed, n, fit, NULL);
}

static void agree_map(Corners *corners, const RbHomography *map, double within)
{
    for (int i = 0; i < corners->n; i++) {
        const RbMatch *m = &corners->matches[i];
        RbPoint2 to;
        corners->agrees[i] = rb_homography_apply(map, m->from, &to) &&
                             hypot(to.x - m->to.x, to.y - m->to.y) < within;
    }
}

bool rb_motion_find(const Pyramid *before, const Pyramid *after,
                    const RbCalibration *lens, CameraMotion *motion)
{
    Corners corners;
    follow_corners(before, after, lens, &corners);
    const int most = most_agree(&corners);
    if (most < LEAST || 3 * most < corners.n) {
        return false;
    }
    RbHomographyFit fit;
    if (!fit_agreed(&corners, &fit)) {
        return false;
    }
    for (int round = 0; round < 3; round++) {
        agree_map(&corners, &fit.map, CLOSE_PX);
        if (!fit_agreed(&corners, &fit)) {
            return false;
        }
    }
    motion->map = fit.map;
    motion->followed = fit.n;
    const double variance = ALIKE * ALIKE * fit.sigma * fit.sigma;
    for (int i = 0; i < 81; i++) {
        motion->covariance[i] = variance * fit.covariance[i];
    }
    return true;
}
