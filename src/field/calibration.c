/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/field/calibration.h"

#include <glib/gi18n-lib.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>
#include <string.h>

#include "rb/base/error.h"

#include "calibration-private.h"
#include "plane-frame.h"
#include "sighting-private.h"

#define MAP_UNKNOWNS 8
#define ITERATIONS_MAX 200
/* A bend is looked for with so many equations, and kept when the squares fall by more than
 * chance would let them: F with 1 and several degrees of freedom passes this in about one case
 * of forty. */
#define BEND_EQUATIONS 14
#define BEND_F 6.0
/* The weight of what is known of clicks beforehand, in degrees of freedom. */
#define PRIOR_FREEDOM 4.0
/* A first map may miss a mark by this much, or more. */
#define FAR_OFF_PX 200.0
/* A view that turns a pixel at a mark into more yards is not fixed. */
#define LOOSEST_YD 2.0

G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_matrix, gsl_matrix_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_multifit_nlinear_workspace, gsl_multifit_nlinear_free)

/* ---- the lens */

static RbPoint2 bend_out(const RbCalibration *c, RbPoint2 p)
{
    const double x = (p.x - c->centre.x) / c->half_diagonal;
    const double y = (p.y - c->centre.y) / c->half_diagonal;
    const double by = 1.0 + c->bend * (x * x + y * y);
    return (RbPoint2){ c->centre.x + (p.x - c->centre.x) * by,
                       c->centre.y + (p.y - c->centre.y) * by };
}

/* The inverse has no closed form worth having; a few steps of Newton on the radius do. */
static RbPoint2 bend_back(const RbCalibration *c, RbPoint2 p)
{
    const double x = (p.x - c->centre.x) / c->half_diagonal;
    const double y = (p.y - c->centre.y) / c->half_diagonal;
    const double out = hypot(x, y);
    double r = out;
    for (int i = 0; i < 20 && out > 0.0; i++) {
        const double slope = 1.0 + 3.0 * c->bend * r * r;
        if (slope < 0.1) {
            break; /* the lens folds over: no picture is like this */
        }
        r -= (r * (1.0 + c->bend * r * r) - out) / slope;
    }
    const double by = out > 0.0 ? r / out : 1.0;
    return (RbPoint2){ c->centre.x + (p.x - c->centre.x) * by,
                       c->centre.y + (p.y - c->centre.y) * by };
}

RbPoint2 rb_calibration_straighten(const RbCalibration *c, RbPoint2 pixel)
{
    return bend_back(c, pixel);
}

/* ---- both ways */

void rb_calibration_use_unknowns(RbCalibration *c, const double unknowns[9])
{
    const PlaneFrame field = { c->field_frame.scale, c->field_frame.centre };
    const PlaneFrame picture = { c->picture_frame.scale, c->picture_frame.centre };
    double h[9];
    memcpy(h, unknowns, MAP_UNKNOWNS * sizeof h[0]);
    h[8] = 1.0; /* the middle of the marks is in front of the camera */
    rb_plane_frame_undo(h, &field, &picture, c->map.m);
    c->bend = unknowns[8];
    memmove(c->unknowns, unknowns, sizeof c->unknowns);
}

bool rb_calibration_show(const RbCalibration *calibration, RbPoint2 field,
                         RbPoint2 *pixel)
{
    RbPoint2 straight;
    if (!rb_homography_apply(&calibration->map, field, &straight)) {
        return false;
    }
    *pixel = bend_out(calibration, straight);
    return true;
}

bool rb_calibration_locate(const RbCalibration *calibration, RbPoint2 pixel,
                           RbPoint2 *field)
{
    RbHomography back;
    return rb_homography_invert(&calibration->map, &back, NULL) &&
           rb_homography_apply(&back, bend_back(calibration, pixel), field);
}

/* ---- least squares */

typedef struct {
    const RbSighting *sightings;
    int n;
    RbCalibration *c;
    bool with_bend;
} Problem;

/* The line of the field in the straight picture: a x + b y + c with a a + b b = 1. */
static void line_in_picture(const RbHomography *map, const double line[3],
                            double shown[3])
{
    const double *m = map->m;
    /* Lines go by the inverse transposed, which the cofactors are, but for a factor. */
    const double cofactors[9] = {
        m[4] * m[8] - m[5] * m[7], m[5] * m[6] - m[3] * m[8], m[3] * m[7] - m[4] * m[6],
        m[2] * m[7] - m[1] * m[8], m[0] * m[8] - m[2] * m[6], m[1] * m[6] - m[0] * m[7],
        m[1] * m[5] - m[2] * m[4], m[2] * m[3] - m[0] * m[5], m[0] * m[4] - m[1] * m[3],
    };
    for (int i = 0; i < 3; i++) {
        shown[i] = cofactors[3 * i] * line[0] + cofactors[3 * i + 1] * line[1] +
                   cofactors[3 * i + 2] * line[2];
    }
    const double length = hypot(shown[0], shown[1]);
    for (int i = 0; i < 3; i++) {
        shown[i] /= length;
    }
}

/* From the click to what it should show. */
static RbPoint2 residual_of(const RbCalibration *c, const RbSighting *sighting)
{
    if (sighting->kind == RB_SIGHT_POINT) {
        RbPoint2 pixel = { 1e6, 1e6 }; /* behind the camera: as bad as can be */
        rb_calibration_show(c, sighting->field[0], &pixel);
        return (RbPoint2){ pixel.x - sighting->pixel.x, pixel.y - sighting->pixel.y };
    }
    double line[3];
    double shown[3];
    rb_sighting_line(sighting, line);
    line_in_picture(&c->map, line, shown);
    const RbPoint2 click = bend_back(c, sighting->pixel);
    const double off = shown[0] * click.x + shown[1] * click.y + shown[2];
    return (RbPoint2){ -off * shown[0], -off * shown[1] };
}

static double signed_off(const RbCalibration *c, const RbSighting *sighting)
{
    double line[3];
    double shown[3];
    rb_sighting_line(sighting, line);
    line_in_picture(&c->map, line, shown);
    const RbPoint2 click = bend_back(c, sighting->pixel);
    return shown[0] * click.x + shown[1] * click.y + shown[2];
}

static int on_residuals(const gsl_vector *x, void *data, gsl_vector *f)
{
    const Problem *problem = data;
    double unknowns[9] = { 0.0 };
    for (size_t k = 0; k < x->size; k++) {
        unknowns[k] = gsl_vector_get(x, k);
    }
    rb_calibration_use_unknowns(problem->c, unknowns);
    size_t row = 0;
    for (int i = 0; i < problem->n; i++) {
        const RbSighting *sighting = &problem->sightings[i];
        if (sighting->kind == RB_SIGHT_LINE) {
            gsl_vector_set(f, row++, signed_off(problem->c, sighting));
            continue;
        }
        const RbPoint2 residual = residual_of(problem->c, sighting);
        gsl_vector_set(f, row++, residual.x);
        gsl_vector_set(f, row++, residual.y);
    }
    return GSL_SUCCESS;
}

static void keep_covariance(RbCalibration *c, const gsl_matrix *covariance)
{
    memset(c->covariance, 0, sizeof c->covariance);
    for (size_t a = 0; a < covariance->size1; a++) {
        for (size_t b = 0; b < covariance->size2; b++) {
            c->covariance[9 * a + b] = gsl_matrix_get(covariance, a, b);
        }
    }
}

static bool minimise(Problem *problem, GError **error)
{
    const size_t unknowns = MAP_UNKNOWNS + (problem->with_bend ? 1 : 0);
    const size_t rows = (size_t)rb_sighting_equations(problem->sightings, problem->n);
    gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
    how.solver = gsl_multifit_nlinear_solver_qr;
    how.fdtype = GSL_MULTIFIT_NLINEAR_CTRDIFF;
    g_autoptr(gsl_multifit_nlinear_workspace) work =
        gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, rows, unknowns);
    gsl_multifit_nlinear_fdf fdf = {
        .f = on_residuals, .n = rows, .p = unknowns, .params = problem
    };
    double start[9];
    memcpy(start, problem->c->unknowns, sizeof start);
    const gsl_vector_const_view x = gsl_vector_const_view_array(start, unknowns);
    int info = 0;
    gsl_multifit_nlinear_init(&x.vector, &fdf, work);
    const int status = gsl_multifit_nlinear_driver(ITERATIONS_MAX, 1e-12, 1e-12, 0.0,
                                                   NULL, NULL, &info, work);
    /* "No progress" is what an exact start gives: it is a minimum already. */
    if (status != GSL_SUCCESS && info != GSL_ENOPROG) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_FAILED,
            _("The fit to the marks did not settle; check their names and "
              "places."));
    }
    double best[9] = { 0.0 };
    for (size_t k = 0; k < unknowns; k++) {
        best[k] = gsl_vector_get(work->x, k);
    }
    rb_calibration_use_unknowns(problem->c, best);
    problem->c->has_bend = problem->with_bend;
    g_autoptr(gsl_matrix) covariance = gsl_matrix_alloc(unknowns, unknowns);
    gsl_multifit_nlinear_covar(work->J, 0.0, covariance);
    keep_covariance(problem->c, covariance);
    return true;
}

/* Returns the sum of squares. */
static double fill_residuals(RbCalibration *c, const RbSighting *sightings, int n)
{
    double sum = 0.0;
    double longest = -1.0;
    for (int i = 0; i < n; i++) {
        c->residuals[i] = residual_of(c, &sightings[i]);
        const double length = hypot(c->residuals[i].x, c->residuals[i].y);
        sum += length * length;
        if (length > longest) {
            longest = length;
            c->worst = i;
        }
    }
    const int unknowns = MAP_UNKNOWNS + (c->has_bend ? 1 : 0);
    c->n = n;
    c->rms = sqrt(sum / n);
    c->freedom = rb_sighting_equations(sightings, n) - unknowns;
    c->sigma = sqrt((PRIOR_FREEDOM * RB_CLICK_SIGMA_PX * RB_CLICK_SIGMA_PX + sum) /
                    (PRIOR_FREEDOM + c->freedom));
    return sum;
}

static bool refuse_mixed_up(GError **error)
{
    return rb_error_set(
        error, RB_FIELD_ERROR, RB_FIELD_ERROR_MIXED_UP,
        _("No camera sees these marks where they were clicked; one of them is "
          "likely named wrongly: check each name."));
}

/* Where the marks are by this map; returns how many are in front of the camera. */
static int place_marks(RbHomography *back, const RbSighting *sightings, int n,
                       RbPoint2 *places)
{
    int in_front = 0;
    for (int i = 0; i < n; i++) {
        const RbPoint2 p = sightings[i].pixel;
        in_front += back->m[6] * p.x + back->m[7] * p.y + back->m[8] > 0.0;
    }
    for (int k = 0; k < 9 && 2 * in_front < n; k++) {
        back->m[k] = -back->m[k];
    }
    int seen = 0;
    for (int i = 0; i < n; i++) {
        seen += rb_homography_apply(back, sightings[i].pixel, &places[seen]) ? 1 : 0;
    }
    return seen;
}

/* The unknowns that a first map stands for, in frames around the marks. */
static bool use_first_map(const RbSighting *sightings, int n, RbHomography *back,
                          RbCalibration *c)
{
    RbHomography map;
    g_autofree RbPoint2 *pixels = g_new(RbPoint2, (gsize)n);
    g_autofree RbPoint2 *places = g_new(RbPoint2, (gsize)n);
    const int seen = place_marks(back, sightings, n, places);
    if (4 * seen < 3 * n || !rb_homography_invert(back, &map, NULL)) {
        return false;
    }
    for (int i = 0; i < n; i++) {
        pixels[i] = sightings[i].pixel;
    }
    const PlaneFrame field = rb_plane_frame_of(places, seen);
    const PlaneFrame picture = rb_plane_frame_of(pixels, n);
    c->field_frame.scale = field.scale;
    c->field_frame.centre = field.centre;
    c->picture_frame.scale = picture.scale;
    c->picture_frame.centre = picture.centre;
    double unknowns[9];
    rb_plane_frame_do(map.m, &field, &picture, unknowns);
    for (int k = 0; k < MAP_UNKNOWNS; k++) {
        unknowns[k] /= unknowns[8];
    }
    unknowns[8] = c->bend;
    rb_calibration_use_unknowns(c, unknowns);
    return true;
}

/* How badly a first map does; a mark that it misses by far counts as that and no more. */
static double cost_of(const RbCalibration *c, const RbSighting *sightings, int n)
{
    double cost = 0.0;
    for (int i = 0; i < n; i++) {
        const RbPoint2 off = residual_of(c, &sightings[i]);
        cost += fmin(hypot(off.x, off.y), FAR_OFF_PX);
    }
    return cost;
}

/* Begins from the first map of all marks, or from that of the points alone, whichever does
 * better: the equations of lines are the weaker ones. bend: supposed. */
static bool begin(const RbSighting *sightings, int n, double bend, RbCalibration *c,
                  GError **error)
{
    g_autofree RbSighting *straight = g_new(RbSighting, (gsize)MAX(n, 1));
    g_autofree RbSighting *points = g_new(RbSighting, (gsize)MAX(n, 1));
    int k = 0;
    c->bend = bend;
    for (int i = 0; i < n; i++) {
        straight[i] = sightings[i];
        straight[i].pixel = bend_back(c, sightings[i].pixel);
        if (straight[i].kind == RB_SIGHT_POINT) {
            points[k++] = straight[i];
        }
    }
    RbHomography back;
    if (!rb_sighting_start(straight, n, &back, error)) {
        return false;
    }
    RbCalibration by_points = *c;
    const bool all = use_first_map(straight, n, &back, c);
    const bool some = k < n && rb_sighting_start(points, k, &back, NULL) &&
                      use_first_map(straight, n, &back, &by_points);
    if (some && (!all || cost_of(&by_points, sightings, n) < cost_of(c, sightings, n))) {
        *c = by_points;
    }
    return all || some || refuse_mixed_up(error);
}

/* Refuses a view that does not show all marks, or in which most of them may be anywhere. (Those
 * near the horizon always may.) */
static bool check_hold(const RbCalibration *c, const RbSighting *sightings, int n,
                       GError **error)
{
    int loose = 0;
    for (int i = 0; i < n; i++) {
        double sd = 0.0;
        RbPoint2 shown;
        const bool point = sightings[i].kind == RB_SIGHT_POINT;
        if (point && !rb_calibration_show(c, sightings[i].field[0], &shown)) {
            return refuse_mixed_up(error);
        }
        loose += !rb_calibration_place_sd(c, sightings[i].pixel, &sd) || sd > LOOSEST_YD;
    }
    return 2 * loose < n ||
           rb_error_set(
               error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
               _("The marks hold the view too loosely: a place is known to no better "
                 "than %.0f yards; add marks away from the others."),
               LOOSEST_YD);
}

/* From the start that this bend gives. squares: (out): what is left. */
static bool fit_from(Problem *problem, double bend, double *squares, GError **error)
{
    RbCalibration *c = problem->c;
    if (!begin(problem->sightings, problem->n, bend, c, error) ||
        !minimise(problem, error)) {
        return false;
    }
    *squares = fill_residuals(c, problem->sightings, problem->n);
    return true;
}

/* The best of the fits with a bend; false if there is none. */
static bool fit_bent(const RbSighting *sightings, int n, const RbCalibration *empty,
                     RbCalibration *bent, double *squares)
{
    static const double starts[] = { 0.0, -0.08, 0.08 };
    bool found = false;
    for (size_t i = 0; i < G_N_ELEMENTS(starts); i++) {
        RbCalibration c = *empty;
        Problem problem = { sightings, n, &c, true };
        double left = 0.0;
        if (fit_from(&problem, starts[i], &left, NULL) && (!found || left < *squares)) {
            *bent = c;
            *squares = left;
            found = true;
        }
    }
    return found;
}

bool rb_calibration_fit(const RbSighting *sightings, int n, int width, int height,
                        RbCalibration *calibration, GError **error)
{
    g_return_val_if_fail(n >= 0 && n <= RB_SIGHTINGS_MAX, false);
    const RbCalibration empty = { .centre = { width / 2.0, height / 2.0 },
                                  .half_diagonal = hypot(width, height) / 2.0 };
    RbCalibration bent;
    double squares = 0.0;
    double left = 0.0;
    g_autoptr(GError) failure = NULL;
    *calibration = empty;
    Problem problem = { sightings, n, calibration, false };
    const bool plain = fit_from(&problem, 0.0, &squares, &failure);
    const bool may_bend = rb_sighting_equations(sightings, n) >= BEND_EQUATIONS &&
                          fit_bent(sightings, n, &empty, &bent, &left);
    if (may_bend && (!plain || (squares - left) * bent.freedom > BEND_F * left)) {
        *calibration = bent;
    } else if (!plain) {
        g_propagate_error(error, g_steal_pointer(&failure));
        return false;
    }
    return check_hold(calibration, sightings, n, error);
}

/* ---- marks by name */

bool rb_field_mark_resolve(RbFieldCode code, const RbFieldMark *mark,
                           RbSighting *sighting)
{
    *sighting = (RbSighting){ .kind = mark->is_line ? RB_SIGHT_LINE : RB_SIGHT_POINT,
                              .pixel = mark->pixel };
    return mark->is_line ? rb_field_line_ends(code, mark->line, &sighting->field[0],
                                              &sighting->field[1])
                         : rb_landmark_point(code, mark->landmark, &sighting->field[0]);
}

/* The sum of squares in units of what is known of clicks; negative: it cannot be fitted. */
static double misfit(RbFieldCode code, const RbFieldMark *marks, int n, int width,
                     int height)
{
    g_autofree RbSighting *sightings = g_new(RbSighting, (gsize)MAX(n, 1));
    RbCalibration c;
    for (int i = 0; i < n; i++) {
        if (!rb_field_mark_resolve(code, &marks[i], &sightings[i])) {
            return -1.0;
        }
    }
    if (!rb_calibration_fit(sightings, n, width, height, &c, NULL)) {
        return -1.0;
    }
    const double scale = RB_CLICK_SIGMA_PX;
    return c.rms * c.rms * n / (scale * scale);
}

bool rb_calibration_suspects_code(RbFieldCode code, const RbFieldMark *marks, int n,
                                  int width, int height, RbFieldCode *likely)
{
    /* The difference of the squares is about chi squared; this much comes by chance in one case
     * of two thousand. */
    static const double clear = 12.0;
    const double here = misfit(code, marks, n, width, height);
    double best = here >= 0.0 ? here - clear : HUGE_VAL;
    bool found = false;
    for (int other = 0; other < RB_FIELD_CODES; other++) {
        const double there = other != (int)code
                                 ? misfit((RbFieldCode)other, marks, n, width, height)
                                 : -1.0;
        if (there >= 0.0 && there < best) {
            best = there;
            *likely = (RbFieldCode)other;
            found = true;
        }
    }
    return found;
}
