/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/field/homography.h"

#include <glib/gi18n-lib.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_multifit_nlinear.h>
#include <math.h>

#include "rb/base/error.h"

#include "layout-private.h"
#include "plane-frame.h"

#define PARAMETERS 8 /* nine entries less the scale */
/* Singular values below this share of the largest leave the map undecided. */
#define RANK_TOLERANCE 1e-9
#define ITERATIONS_MAX 200

G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_matrix, gsl_matrix_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_vector, gsl_vector_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_multifit_nlinear_workspace, gsl_multifit_nlinear_free)

GQuark rb_field_error_quark(void)
{
    return g_quark_from_static_string("rb-field-error");
}

static PlaneFrame frame_of(const RbMatch *matches, int n, bool in_target)
{
    g_autofree RbPoint2 *points = g_new(RbPoint2, (gsize)n);
    for (int i = 0; i < n; i++) {
        points[i] = in_target ? matches[i].to : matches[i].from;
    }
    return rb_plane_frame_of(points, n);
}

static double denominator(const double m[9], RbPoint2 p)
{
    return m[6] * p.x + m[7] * p.y + m[8];
}

bool rb_homography_apply(const RbHomography *map, RbPoint2 point, RbPoint2 *image)
{
    const double *m = map->m;
    const double c = denominator(m, point);
    const double size = fabs(m[6] * point.x) + fabs(m[7] * point.y) + fabs(m[8]);
    if (!(c > 1e-12 * size)) {
        return false;
    }
    image->x = (m[0] * point.x + m[1] * point.y + m[2]) / c;
    image->y = (m[3] * point.x + m[4] * point.y + m[5]) / c;
    return true;
}

bool rb_homography_invert(const RbHomography *map, RbHomography *inverse, GError **error)
{
    const double *m = map->m;
    const double adjugate[9] = {
        m[4] * m[8] - m[5] * m[7], m[2] * m[7] - m[1] * m[8], m[1] * m[5] - m[2] * m[4],
        m[5] * m[6] - m[3] * m[8], m[0] * m[8] - m[2] * m[6], m[2] * m[3] - m[0] * m[5],
        m[3] * m[7] - m[4] * m[6], m[1] * m[6] - m[0] * m[7], m[0] * m[4] - m[1] * m[3],
    };
    const double terms[3] = { m[0] * adjugate[0], m[1] * adjugate[3],
                              m[2] * adjugate[6] };
    const double determinant = terms[0] + terms[1] + terms[2];
    const double size = fabs(terms[0]) + fabs(terms[1]) + fabs(terms[2]);
    if (!(fabs(determinant) > 1e-13 * size)) {
        return rb_error_set(error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
                            _("The map flattens the field to a line and cannot be turned "
                              "round; click the marks again."));
    }
    for (int i = 0; i < 9; i++) {
        inverse->m[i] = adjugate[i] / determinant;
    }
    return true;
}

/* The entries, in the two frames, of the map nearest to the matches in the algebraic sense. */
static bool solve_framed(const RbMatch *matches, int n, const PlaneFrame *from,
                         const PlaneFrame *to, double h[9], GError **error)
{
    /* One row of zeros with four matches: the decomposition wants nine rows. */
    const size_t rows = n == 4 ? 9 : 2 * (size_t)n;
    g_autoptr(gsl_matrix) a = gsl_matrix_calloc(rows, 9);
    g_autoptr(gsl_matrix) v = gsl_matrix_alloc(9, 9);
    g_autoptr(gsl_vector) s = gsl_vector_alloc(9);
    g_autoptr(gsl_vector) work = gsl_vector_alloc(9);
    for (int i = 0; i < n; i++) {
        const RbPoint2 p = rb_plane_frame_apply(from, matches[i].from);
        const RbPoint2 q = rb_plane_frame_apply(to, matches[i].to);
        const double pair[2][9] = {
            { p.x, p.y, 1.0, 0.0, 0.0, 0.0, -q.x * p.x, -q.x * p.y, -q.x },
            { 0.0, 0.0, 0.0, p.x, p.y, 1.0, -q.y * p.x, -q.y * p.y, -q.y },
        };
        for (int k = 0; k < 9; k++) {
            gsl_matrix_set(a, 2 * (size_t)i, k, pair[0][k]);
            gsl_matrix_set(a, 2 * (size_t)i + 1, k, pair[1][k]);
        }
    }
    if (gsl_linalg_SV_decomp(a, v, s, work) != GSL_SUCCESS ||
        gsl_vector_get(s, 7) <= RANK_TOLERANCE * gsl_vector_get(s, 0)) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
            _("The marks leave the view undecided; add a mark away from the "
              "others."));
    }
    for (int k = 0; k < 9; k++) {
        h[k] = gsl_matrix_get(v, k, 8);
    }
    return true;
}

/* Scales so that c is above 0 at the matches, and the entries' squares sum to 1. Refuses a
 * map whose horizon runs between the marks. */
static bool orient(const RbMatch *matches, int n, RbHomography *map, double *factor,
                   GError **error)
{
    int in_front = 0;
    for (int i = 0; i < n; i++) {
        in_front += denominator(map->m, matches[i].from) > 0.0 ? 1 : 0;
    }
    if (in_front != 0 && in_front != n) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_MIXED_UP,
            _("No camera sees these marks where they were clicked; one of "
              "them is likely named wrongly: check each name."));
    }
    double squares = 0.0;
    for (int i = 0; i < 9; i++) {
        squares += map->m[i] * map->m[i];
    }
    *factor = (in_front == 0 ? -1.0 : 1.0) / sqrt(squares);
    for (int i = 0; i < 9; i++) {
        map->m[i] *= *factor;
    }
    return true;
}

bool rb_homography_solve(const RbMatch *matches, int n, RbHomography *map, GError **error)
{
    if (!rb_layout_check(matches, n, error)) {
        return false;
    }
    const PlaneFrame from = frame_of(matches, n, false);
    const PlaneFrame to = frame_of(matches, n, true);
    double h[9];
    if (!solve_framed(matches, n, &from, &to, h, error)) {
        return false;
    }
    rb_plane_frame_undo(h, &from, &to, map->m);
    RbHomography inverse;
    double factor = 1.0;
    return orient(matches, n, map, &factor, error) &&
           rb_homography_invert(map, &inverse, error);
}

/* The least-squares problem in the frames, with the last entry 1: the centroid of the marks is
 * seen, so it is not 0. Residuals are in units of the target plane. */
typedef struct {
    const RbMatch *matches;
    int n;
    PlaneFrame from;
    PlaneFrame to;
} Problem;

static int on_residuals(const gsl_vector *x, void *data, gsl_vector *f)
{
    const Problem *problem = data;
    const double *h = x->data;
    for (int i = 0; i < problem->n; i++) {
        const RbPoint2 p = rb_plane_frame_apply(&problem->from, problem->matches[i].from);
        const RbPoint2 q = rb_plane_frame_apply(&problem->to, problem->matches[i].to);
        const double c = h[6] * p.x + h[7] * p.y + 1.0;
        const double u = (h[0] * p.x + h[1] * p.y + h[2]) / c;
        const double v = (h[3] * p.x + h[4] * p.y + h[5]) / c;
        gsl_vector_set(f, 2 * (size_t)i, (u - q.x) / problem->to.scale);
        gsl_vector_set(f, 2 * (size_t)i + 1, (v - q.y) / problem->to.scale);
    }
    return GSL_SUCCESS;
}

static int on_jacobian(const gsl_vector *x, void *data, gsl_matrix *jacobian)
{
    const Problem *problem = data;
    const double *h = x->data;
    for (int i = 0; i < problem->n; i++) {
        const RbPoint2 p = rb_plane_frame_apply(&problem->from, problem->matches[i].from);
        const double c = h[6] * p.x + h[7] * p.y + 1.0;
        const double u = (h[0] * p.x + h[1] * p.y + h[2]) / c;
        const double v = (h[3] * p.x + h[4] * p.y + h[5]) / c;
        const double k = 1.0 / (c * problem->to.scale);
        const double pair[2][PARAMETERS] = {
            { p.x * k, p.y * k, k, 0.0, 0.0, 0.0, -u * p.x * k, -u * p.y * k },
            { 0.0, 0.0, 0.0, p.x * k, p.y * k, k, -v * p.x * k, -v * p.y * k },
        };
        for (int j = 0; j < PARAMETERS; j++) {
            gsl_matrix_set(jacobian, 2 * (size_t)i, j, pair[0][j]);
            gsl_matrix_set(jacobian, 2 * (size_t)i + 1, j, pair[1][j]);
        }
    }
    return GSL_SUCCESS;
}

/* Spreads the covariance of the framed entries over the nine of the map, which depend on them
 * linearly. */
static void spread_covariance(const gsl_matrix *framed, const Problem *problem,
                              double factor, double covariance[81])
{
    double columns[PARAMETERS][9];
    for (int j = 0; j < PARAMETERS; j++) {
        double unit[9] = { 0.0 };
        unit[j] = factor;
        rb_plane_frame_undo(unit, &problem->from, &problem->to, columns[j]);
    }
    for (int a = 0; a < 9; a++) {
        for (int b = 0; b < 9; b++) {
            double sum = 0.0;
            for (int j = 0; j < PARAMETERS; j++) {
                for (int k = 0; k < PARAMETERS; k++) {
                    sum += columns[j][a] * gsl_matrix_get(framed, j, k) * columns[k][b];
                }
            }
            covariance[9 * a + b] = sum;
        }
    }
}

static void fill_residuals(RbHomographyFit *fit, const RbMatch *matches, int n)
{
    double sum = 0.0;
    double largest = -1.0;
    fit->n = n;
    for (int i = 0; i < n; i++) {
        RbPoint2 mapped = { NAN, NAN };
        rb_homography_apply(&fit->map, matches[i].from, &mapped);
        fit->residuals[i].x = mapped.x - matches[i].to.x;
        fit->residuals[i].y = mapped.y - matches[i].to.y;
        const double distance = hypot(fit->residuals[i].x, fit->residuals[i].y);
        sum += distance * distance;
        if (distance > largest) {
            largest = distance;
            fit->worst = i;
        }
    }
    fit->rms = sqrt(sum / n);
    fit->sigma = n > 4 ? sqrt(sum / (2 * n - PARAMETERS)) : 0.0;
}

/* Runs the solver to its end and leaves the best entries in `h`. */
static bool minimise(Problem *problem, double h[9], gsl_matrix *covariance,
                     GError **error)
{
    gsl_multifit_nlinear_parameters parameters =
        gsl_multifit_nlinear_default_parameters();
    parameters.solver = gsl_multifit_nlinear_solver_qr;
    g_autoptr(gsl_multifit_nlinear_workspace) work = gsl_multifit_nlinear_alloc(
        gsl_multifit_nlinear_trust, &parameters, 2 * (size_t)problem->n, PARAMETERS);
    gsl_multifit_nlinear_fdf fdf = {
        .f = on_residuals,
        .df = on_jacobian,
        .n = 2 * (size_t)problem->n,
        .p = PARAMETERS,
        .params = problem,
    };
    for (int k = 0; k < 9; k++) {
        h[k] /= h[8];
    }
    const gsl_vector_const_view start = gsl_vector_const_view_array(h, PARAMETERS);
    int info = 0;
    gsl_multifit_nlinear_init(&start.vector, &fdf, work);
    const int status = gsl_multifit_nlinear_driver(ITERATIONS_MAX, 1e-13, 1e-13, 0.0,
                                                   NULL, NULL, &info, work);
    /* "No progress" is what an exact start gives: it is a minimum already. */
    if (status != GSL_SUCCESS && info != GSL_ENOPROG) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_FAILED,
            _("The fit to the marks did not settle; check their names and "
              "places."));
    }
    for (int k = 0; k < PARAMETERS; k++) {
        h[k] = gsl_vector_get(work->x, k);
    }
    h[8] = 1.0;
    gsl_multifit_nlinear_covar(work->J, 0.0, covariance);
    return true;
}

bool rb_homography_fit(const RbMatch *matches, int n, RbHomographyFit *fit,
                       GError **error)
{
    RbHomography start;
    if (!rb_homography_solve(matches, n, &start, error)) {
        return false;
    }
    Problem problem = { matches, n, frame_of(matches, n, false),
                        frame_of(matches, n, true) };
    double h[9];
    g_autoptr(gsl_matrix) covariance = gsl_matrix_alloc(PARAMETERS, PARAMETERS);
    if (!solve_framed(matches, n, &problem.from, &problem.to, h, error) ||
        !minimise(&problem, h, covariance, error)) {
        return false;
    }
    rb_plane_frame_undo(h, &problem.from, &problem.to, fit->map.m);
    double factor = 1.0;
    if (!orient(matches, n, &fit->map, &factor, error)) {
        return false;
    }
    spread_covariance(covariance, &problem, factor, fit->covariance);
    fill_residuals(fit, matches, n);
    return true;
}

bool rb_homography_fit_locate(const RbHomographyFit *fit, RbPoint2 target, double sigma,
                              RbPoint2 *source, RbPoint2 *sd)
{
    RbHomography inverse;
    if (!rb_homography_invert(&fit->map, &inverse, NULL) ||
        !rb_homography_apply(&inverse, target, source)) {
        return false;
    }
    if (sd == NULL) {
        return true;
    }
    const double *m = fit->map.m;
    const RbPoint2 p = *source;
    const double c = denominator(m, p);
    /* Derivatives of the target by the source, and by the nine entries. */
    const double a = (m[0] - target.x * m[6]) / c;
    const double b = (m[1] - target.x * m[7]) / c;
    const double d = (m[3] - target.y * m[6]) / c;
    const double e = (m[4] - target.y * m[7]) / c;
    const double by[2][9] = {
        { p.x, p.y, 1, 0, 0, 0, -target.x * p.x, -target.x * p.y, -target.x },
        { 0, 0, 0, p.x, p.y, 1, -target.y * p.x, -target.y * p.y, -target.y },
    };
    double noise[2][2] = { { 1.0, 0.0 }, { 0.0, 1.0 } };
    for (int r = 0; r < 2; r++) {
        for (int s = 0; s < 2; s++) {
            for (int j = 0; j < 9; j++) {
                for (int k = 0; k < 9; k++) {
                    noise[r][s] +=
                        by[r][j] * fit->covariance[9 * j + k] * by[s][k] / (c * c);
                }
            }
        }
    }
    const double determinant = a * e - b * d;
    const double back[2][2] = { { e / determinant, -b / determinant },
                                { -d / determinant, a / determinant } };
    double variance[2] = { 0.0, 0.0 };
    for (int axis = 0; axis < 2; axis++) {
        for (int r = 0; r < 2; r++) {
            for (int s = 0; s < 2; s++) {
                variance[axis] += back[axis][r] * noise[r][s] * back[axis][s];
            }
        }
    }
    *sd = (RbPoint2){ sigma * sqrt(variance[0]), sigma * sqrt(variance[1]) };
    return true;
}
