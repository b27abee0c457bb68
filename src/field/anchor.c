/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "anchor.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "calibration-private.h"

#define UNKNOWNS 9
/* Places are tried so far apart along a line, in a picture this wide and wider in proportion; along a
 * stroke, which is short. */
#define APART_PX 9.0
#define STROKE_APART_PX 3.0
#define APART_WIDTH 960.0
/* A line narrower than this is not seen, a wider one is looked at from too near. */
#define NARROWEST_PX 0.5
#define WIDEST_PX 14.0
/* A line is brighter than the turf on both sides by so many grey levels. */
#define CONTRAST 12.0
/* How far to look: so many standard deviations, and within these. */
#define LOOK_SD 3.5
#define LOOK_LEAST_PX 4.0
#define LOOK_MOST_PX 10.0
#define STEP_PX 0.25
#define PROFILE_MAX 200
/* Error of one found place. What places of one line have in common (it is painted to about an
 * inch, and worn) is shared by all of them, and by the same line on the frames about this one: so a
 * line counts as so many places that have nothing in common, over so many frames. */
#define PLACE_SD_PX 0.45
#define LINE_COUNTS 3.0
/* Neighbouring places of a painted line are off by nearly as much; of turf by anything. */
#define SMOOTH_PX 0.8
#define GATE_SD 3.0
#define GATE_LEAST_PX 4.0

/* Something painted that is thin along one direction of the field: from `from` to `to`, `half`
 * yards to each side. An edge is bright on one side only: that of `bright`. */
typedef struct {
    RbPoint2 from;
    RbPoint2 to;
    double half;
    bool edge;
    RbPoint2 bright; /* direction across it on the field */
} Stripe;

typedef struct Spread Spread;

typedef struct {
    const RbCalibration *calibration;
    const Spread *spread;
    const PyramidLevel *picture;
    AnchorPlace *places;
    int n;
    int line;
} Search;

/* ---- one place */

static double brightness(const Search *search, RbPoint2 at, RbPoint2 normal, double off)
{
    /* Along the stripe it is all the same: a short stretch of it says more than a point. */
    double sum = 0.0;
    for (int k = -2; k <= 2; k++) {
        sum +=
            (double)rb_pyramid_at(search->picture, at.x + off * normal.x - k * normal.y,
                                  at.y + off * normal.y + k * normal.x);
    }
    return sum / 5.0;
}

/* How much the profile about `off` looks like the stripe. */
static double likeness(const double *profile, int middle, int half, int gap, bool edge)
{
    double inside = 0.0;
    double left = 0.0;
    double right = 0.0;
    for (int i = -half; i <= half; i++) {
        inside += profile[middle + i] / (2 * half + 1);
    }
    for (int i = 0; i < gap; i++) {
        left += profile[middle - half - 3 - i] / gap;
        right += profile[middle + half + 3 + i] / gap;
    }
    return edge ? right - left : inside - MAX(left, right);
}

/* The best place along the normal. False when there is none that is clear. */
static bool find_off(const Search *search, RbPoint2 at, RbPoint2 normal, double half_px,
                     double look_px, bool edge, double *off)
{
    const int half = edge ? 0 : MAX(1, (int)lround(half_px / STEP_PX));
    const int gap = 6;
    const int look = (int)ceil(look_px / STEP_PX);
    const int reach = look + half + 3 + gap;
    double profile[PROFILE_MAX];
    if (2 * reach + 1 > PROFILE_MAX ||
        !rb_pyramid_has(search->picture, at.x, at.y, reach * STEP_PX + 2.0)) {
        return false;
    }
    for (int i = -reach; i <= reach; i++) {
        profile[reach + i] = brightness(search, at, normal, i * STEP_PX);
    }
    double scores[PROFILE_MAX];
    int best = 0;
    for (int i = 0; i <= 2 * look; i++) {
        scores[i] = likeness(profile, reach - look + i, half, gap, edge);
        best = scores[i] > scores[best] ? i : best;
    }
    if (best == 0 || best == 2 * look || scores[best] < CONTRAST) {
        return false;
    }
    const double below = scores[best - 1];
    const double above = scores[best + 1];
    const double bow = below - 2.0 * scores[best] + above;
    const double part = bow < 0.0 ? 0.5 * (below - above) / bow : 0.0;
    *off = (best - look + CLAMP(part, -0.5, 0.5)) * STEP_PX;
    return true;
}

/* A calibration with each of its unknowns a little more and a little less. */
struct Spread {
    const RbCalibration *calibration;
    double sd[UNKNOWNS];
    RbCalibration changed[UNKNOWNS][2];
};

/* Returns: (transfer full): g_free(). */
static Spread *spread_new(const RbCalibration *c)
{
    Spread *spread = g_new(Spread, 1);
    spread->calibration = c;
    for (int k = 0; k < UNKNOWNS; k++) {
        spread->sd[k] = c->sigma * sqrt(c->covariance[(UNKNOWNS + 1) * k]);
        for (int side = 0; side < 2 && spread->sd[k] > 0.0; side++) {
            double unknowns[UNKNOWNS];
            memcpy(unknowns, c->unknowns, sizeof unknowns);
            unknowns[k] += (side == 0 ? 1e-3 : -1e-3) * spread->sd[k];
            spread->changed[k][side] = *c;
            rb_calibration_use_unknowns(&spread->changed[k][side], unknowns);
        }
    }
    return spread;
}

/* Standard deviation along the normal of where the calibration shows a place of the field. */
static double shown_sd(const Spread *spread, RbPoint2 field, RbPoint2 normal,
                       double slopes[UNKNOWNS])
{
    const RbCalibration *c = spread->calibration;
    double sum = 0.0;
    for (int k = 0; k < UNKNOWNS; k++) {
        RbPoint2 above;
        RbPoint2 below;
        slopes[k] = 0.0;
        if (!(spread->sd[k] > 0.0)) {
            continue;
        }
        if (!rb_calibration_show(&spread->changed[k][0], field, &above) ||
            !rb_calibration_show(&spread->changed[k][1], field, &below)) {
            return HUGE_VAL;
        }
        slopes[k] = ((above.x - below.x) * normal.x + (above.y - below.y) * normal.y) /
                    (2e-3 * spread->sd[k]);
    }
    for (int a = 0; a < UNKNOWNS; a++) {
        for (int b = 0; b < UNKNOWNS; b++) {
            sum += slopes[a] * c->covariance[UNKNOWNS * a + b] * slopes[b];
        }
    }
    return c->sigma * sqrt(MAX(sum, 0.0));
}

/* The stripe's direction in the picture at one of its places, and half its width there. */
static bool look_of(const RbCalibration *c, const Stripe *stripe, RbPoint2 place,
                    RbPoint2 *at, RbPoint2 *normal, double *half_px)
{
    const double length =
        hypot(stripe->to.x - stripe->from.x, stripe->to.y - stripe->from.y);
    const RbPoint2 along = { (stripe->to.x - stripe->from.x) / length,
                             (stripe->to.y - stripe->from.y) / length };
    const RbPoint2 next = { place.x + 0.05 * along.x, place.y + 0.05 * along.y };
    const RbPoint2 side = { place.x + stripe->half * stripe->bright.x,
                            place.y + stripe->half * stripe->bright.y };
    RbPoint2 on;
    RbPoint2 beside;
    if (!rb_calibration_show(c, place, at) || !rb_calibration_show(c, next, &on) ||
        !rb_calibration_show(c, side, &beside)) {
        return false;
    }
    const double step = hypot(on.x - at->x, on.y - at->y);
    if (!(step > 1e-9)) {
        return false;
    }
    *normal = (RbPoint2){ -(on.y - at->y) / step, (on.x - at->x) / step };
    *half_px = (beside.x - at->x) * normal->x + (beside.y - at->y) * normal->y;
    if (*half_px < 0.0) { /* the normal points to the bright side */
        *normal = (RbPoint2){ -normal->x, -normal->y };
        *half_px = -*half_px;
    }
    return true;
}

static void try_place(Search *search, const Stripe *stripe, RbPoint2 place)
{
    RbPoint2 at;
    RbPoint2 normal;
    double half_px = 0.0;
    double off = 0.0;
    double slopes[UNKNOWNS];
    if (search->n == ANCHOR_PLACES_MAX ||
        !look_of(search->calibration, stripe, place, &at, &normal, &half_px) ||
        !rb_pyramid_has(search->picture, at.x, at.y, 4.0)) {
        return;
    }
    if (!stripe->edge && (2.0 * half_px < NARROWEST_PX || 2.0 * half_px > WIDEST_PX)) {
        return;
    }
    const double sd = shown_sd(search->spread, place, normal, slopes);
    const double look = CLAMP(LOOK_SD * sd, LOOK_LEAST_PX, LOOK_MOST_PX);
    if (sd < LOOK_MOST_PX &&
        find_off(search, at, normal, half_px, look, stripe->edge, &off)) {
        search->places[search->n++] = (AnchorPlace){
            .field = place,
            .normal = normal,
            .off = off,
            .sd = PLACE_SD_PX,
            .line = search->line,
            .across = stripe->from.x == stripe->to.x,
        };
    }
}

/* ---- all stripes */

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return x < y ? -1 : x > y;
}

/* Drops the places of a line from `first` on when they do not lie on one: the median step from one
 * to the next is too long. */
static void keep_smooth(Search *search, int first)
{
    const int n = search->n - first - 1;
    if (n < 2) {
        search->n = first; /* two places or fewer are no line */
        return;
    }
    g_autofree double *steps = g_new(double, (gsize)n);
    for (int i = 0; i < n; i++) {
        steps[i] =
            fabs(search->places[first + i + 1].off - search->places[first + i].off);
    }
    qsort(steps, (size_t)n, sizeof steps[0], compare_doubles);
    if (steps[n / 2] > SMOOTH_PX) {
        search->n = first;
    }
}

static void try_stripe(Search *search, const Stripe *stripe, double apart_px)
{
    enum { PARTS_MAX = 4000 };
    const double length =
        hypot(stripe->to.x - stripe->from.x, stripe->to.y - stripe->from.y);
    RbPoint2 last = { -1e9, -1e9 };
    const int parts = CLAMP((int)(length / 0.05), 1, PARTS_MAX);
    for (int i = 0; i <= parts; i++) {
        const double share = (double)i / parts;
        const RbPoint2 place = { stripe->from.x + share * (stripe->to.x - stripe->from.x),
                                 stripe->from.y +
                                     share * (stripe->to.y - stripe->from.y) };
        RbPoint2 at;
        if (rb_calibration_show(search->calibration, place, &at) &&
            rb_pyramid_has(search->picture, at.x, at.y, 0.0) &&
            (at.x - last.x) * (at.x - last.x) + (at.y - last.y) * (at.y - last.y) >=
                apart_px * apart_px) {
            last = at;
            try_place(search, stripe, place);
        }
    }
    search->line++;
}

/* Strokes along the field where hash line and yard line cross, left and right of the crossing. */
static void try_hashes(Search *search, const RbFieldDimensions *d, bool far)
{
    const double y = far ? RB_FIELD_WIDTH_YD - d->hash_yd : d->hash_yd;
    for (int line = 5; line <= 95; line += 5) {
        for (int side = -1; side <= 1; side += 2) {
            const Stripe stripe = { .from = { line + side * 0.12, y },
                                    .to = { line + side * 0.3, y },
                                    .half = d->line_width_yd / 2.0,
                                    .bright = { 0.0, 1.0 } };
            try_stripe(search, &stripe, STROKE_APART_PX);
            search->line--; /* all strokes of one hash line are one line */
        }
    }
    search->line++;
}

int rb_anchor_find(RbFieldCode code, const RbCalibration *calibration,
                   const PyramidLevel *picture, AnchorPlace *places)
{
    const RbFieldDimensions *d = rb_field_dimensions(code);
    g_autofree Spread *spread = spread_new(calibration);
    Search search = { calibration, spread, picture, places, 0, 0 };
    const double apart = APART_PX * MAX(1.0, picture->width / APART_WIDTH);
    int first = 0;
    for (int line = 5; line <= 95; line += 5) {
        const Stripe stripe = { .from = { line, 0.0 },
                                .to = { line, RB_FIELD_WIDTH_YD },
                                .half = d->line_width_yd / 2.0,
                                .bright = { 1.0, 0.0 } };
        try_stripe(&search, &stripe, apart);
        keep_smooth(&search, first);
        first = search.n;
    }
    for (int far = 0; far < 2; far++) {
        const double y = far != 0 ? RB_FIELD_WIDTH_YD : 0.0;
        const Stripe edge = { .from = { 0.0, y },
                              .to = { RB_FIELD_LENGTH_YD, y },
                              .half = 0.3,
                              .edge = true,
                              .bright = { 0.0, far != 0 ? 1.0 : -1.0 } };
        try_stripe(&search, &edge, apart);
        keep_smooth(&search, first);
        first = search.n;
        try_hashes(&search, d, far != 0);
        keep_smooth(&search, first);
        first = search.n;
    }
    return search.n;
}

/* ---- what they say */

/* One place, weighed against what is known. */
static void take_place(RbCalibration *c, const double slopes[UNKNOWNS], double off,
                       double variance)
{
    double gain[UNKNOWNS];
    double sum = variance;
    for (int a = 0; a < UNKNOWNS; a++) {
        gain[a] = 0.0;
        for (int b = 0; b < UNKNOWNS; b++) {
            gain[a] += c->sigma * c->sigma * c->covariance[UNKNOWNS * a + b] * slopes[b];
        }
        sum += slopes[a] * gain[a];
    }
    double unknowns[UNKNOWNS];
    for (int a = 0; a < UNKNOWNS; a++) {
        unknowns[a] = c->unknowns[a] + gain[a] * off / sum;
        for (int b = 0; b < UNKNOWNS; b++) {
            c->covariance[UNKNOWNS * a + b] -=
                gain[a] * gain[b] / (sum * c->sigma * c->sigma);
        }
    }
    rb_calibration_use_unknowns(c, unknowns);
}

/* Where the calibration shows the place now, less where it showed it when it was looked for. */
static double moved(const RbCalibration *now, const RbCalibration *then, RbPoint2 field,
                    RbPoint2 normal)
{
    RbPoint2 a;
    RbPoint2 b;
    if (!rb_calibration_show(now, field, &a) || !rb_calibration_show(then, field, &b)) {
        return HUGE_VAL;
    }
    return (a.x - b.x) * normal.x + (a.y - b.y) * normal.y;
}

int rb_anchor_use(RbCalibration *calibration, const AnchorPlace *places, int n,
                  double alike)
{
    const RbCalibration start = *calibration;
    g_autofree Spread *spread = spread_new(&start);
    int of_line[ANCHOR_PLACES_MAX] = { 0 };
    int used = 0;
    for (int i = 0; i < n; i++) {
        of_line[places[i].line]++;
    }
    for (int i = 0; i < n; i++) {
        const AnchorPlace *place = &places[i];
        double slopes[UNKNOWNS];
        const double known = shown_sd(spread, place->field, place->normal, slopes);
        const double shared = alike * MAX(1.0, of_line[place->line] / LINE_COUNTS);
        const double left =
            place->off - moved(calibration, &start, place->field, place->normal);
        const double gate = MAX(GATE_SD * hypot(known, place->sd), GATE_LEAST_PX);
        if (!isfinite(known) || !isfinite(left) || fabs(left) > gate) {
            continue;
        }
        take_place(calibration, slopes, left, place->sd * place->sd * shared);
        used++;
    }
    return used;
}

double rb_anchor_strain(const RbCalibration *now, const RbCalibration *then,
                        const AnchorPlace *places, int n)
{
    double squares[2] = { 0.0, 0.0 };
    int counted[2] = { 0, 0 };
    for (int i = 0; i < n; i++) {
        const AnchorPlace *place = &places[i];
        const double left = place->off - moved(now, then, place->field, place->normal);
        if (isfinite(left)) {
            squares[place->across] += left * left / (place->sd * place->sd);
            counted[place->across]++;
        }
    }
    double worst = 1.0;
    for (int k = 0; k < 2; k++) {
        if (counted[k] > 0) {
            worst = MAX(worst, sqrt(squares[k] / counted[k]));
        }
    }
    return worst;
}
