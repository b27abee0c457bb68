/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

#include "rb/base/error.h"

#include "plane-frame.h"
#include "sighting-private.h"

/* The ninth unknown is the scale: so many equations fix the map. */
#define EQUATIONS_MIN 8
/* Below this share of the largest, a singular value is none: the clicks are off by about a pixel
 * in several hundred. */
#define UNDECIDED 2e-4

G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_matrix, gsl_matrix_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(gsl_vector, gsl_vector_free)

int rb_sighting_equations(const RbSighting *sightings, int n)
{
    int equations = 0;
    for (int i = 0; i < n; i++) {
        equations += sightings[i].kind == RB_SIGHT_POINT ? 2 : 1;
    }
    return equations;
}

void rb_sighting_line(const RbSighting *sighting, double line[3])
{
    const RbPoint2 a = sighting->field[0];
    const RbPoint2 b = sighting->field[1];
    const double length = hypot(b.x - a.x, b.y - a.y);
    line[0] = (a.y - b.y) / length;
    line[1] = (b.x - a.x) / length;
    line[2] = -(line[0] * a.x + line[1] * a.y);
}

/* The part of the field that the marks speak of: a yard line tells nothing of y. */
static PlaneFrame field_frame(const RbSighting *sightings, int n)
{
    RbPoint2 low = { HUGE_VAL, HUGE_VAL };
    RbPoint2 high = { -HUGE_VAL, -HUGE_VAL };
    for (int i = 0; i < n; i++) {
        const RbPoint2 *ends = sightings[i].field;
        const bool point = sightings[i].kind == RB_SIGHT_POINT;
        if (point || ends[0].x == ends[1].x) {
            low.x = fmin(low.x, ends[0].x);
            high.x = fmax(high.x, ends[0].x);
        }
        if (point || ends[0].y == ends[1].y) {
            low.y = fmin(low.y, ends[0].y);
            high.y = fmax(high.y, ends[0].y);
        }
    }
    const bool has_x = high.x > low.x;
    const bool has_y = high.y > low.y;
    const RbPoint2 corners[2] = {
        { has_x ? low.x : 0.0, has_y ? low.y : 0.0 },
        { has_x ? high.x : RB_FIELD_LENGTH_YD, has_y ? high.y : RB_FIELD_WIDTH_YD },
    };
    return rb_plane_frame_of(corners, 2);
}

static void add_rows(const RbSighting *sighting, const PlaneFrame *field,
                     const PlaneFrame *picture, gsl_matrix *a, size_t *row)
{
    const RbPoint2 q = rb_plane_frame_apply(picture, sighting->pixel);
    double lines[2][3];
    int n = 1;
    if (sighting->kind == RB_SIGHT_POINT) {
        const RbPoint2 p = rb_plane_frame_apply(field, sighting->field[0]);
        const double two[2][3] = { { 1.0, 0.0, -p.x }, { 0.0, 1.0, -p.y } };
        memcpy(lines, two, sizeof two);
        n = 2;
    } else {
        const RbSighting framed = {
            .field = { rb_plane_frame_apply(field, sighting->field[0]),
                       rb_plane_frame_apply(field, sighting->field[1]) }
        };
        rb_sighting_line(&framed, lines[0]);
    }
    for (int i = 0; i < n; i++, (*row)++) {
        for (int k = 0; k < 3; k++) {
            gsl_matrix_set(a, *row, (size_t)(3 * k), lines[i][k] * q.x);
            gsl_matrix_set(a, *row, (size_t)(3 * k + 1), lines[i][k] * q.y);
            gsl_matrix_set(a, *row, (size_t)(3 * k + 2), lines[i][k]);
        }
    }
}

static bool is_sound(const RbSighting *sightings, int n, GError **error)
{
    for (int i = 0; i < n; i++) {
        const RbSighting *s = &sightings[i];
        const bool line = s->kind == RB_SIGHT_LINE;
        const double sum = s->pixel.x + s->pixel.y + s->field[0].x + s->field[0].y +
                           (line ? s->field[1].x + s->field[1].y : 0.0);
        if (!isfinite(sum) ||
            (line && s->field[0].x == s->field[1].x && s->field[0].y == s->field[1].y)) {
            return rb_error_set(error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
                                _("Mark %d has a place that is none; click it again."),
                                i + 1);
        }
    }
    if (rb_sighting_equations(sightings, n) < EQUATIONS_MIN) {
        return rb_error_set(
            error, RB_FIELD_ERROR, RB_FIELD_ERROR_TOO_FEW,
            _("These marks do not fix the view: it takes four points, or eight "
              "clicks on lines, or as much of both; click another."));
    }
    return true;
}

static bool refuse_undecided(GError **error)
{
    return rb_error_set(
        error, RB_FIELD_ERROR, RB_FIELD_ERROR_DEGENERATE,
        _("The marks leave the view undecided: too many lie on one line or in "
          "one place, or all lines run the same way; add one away from the "
          "others."));
}

bool rb_sighting_start(const RbSighting *sightings, int n, RbHomography *picture_to_field,
                       GError **error)
{
    if (!is_sound(sightings, n, error)) {
        return false;
    }
    g_autofree RbPoint2 *pixels = g_new(RbPoint2, (gsize)n);
    for (int i = 0; i < n; i++) {
        pixels[i] = sightings[i].pixel;
    }
    const PlaneFrame picture = rb_plane_frame_of(pixels, n);
    const PlaneFrame field = field_frame(sightings, n);
    const size_t rows = (size_t)MAX(rb_sighting_equations(sightings, n), 9);
    g_autoptr(gsl_matrix) a = gsl_matrix_calloc(rows, 9);
    g_autoptr(gsl_matrix) v = gsl_matrix_alloc(9, 9);
    g_autoptr(gsl_vector) s = gsl_vector_alloc(9);
    g_autoptr(gsl_vector) work = gsl_vector_alloc(9);
    size_t row = 0;
    for (int i = 0; i < n; i++) {
        add_rows(&sightings[i], &field, &picture, a, &row);
    }
    if (gsl_linalg_SV_decomp(a, v, s, work) != GSL_SUCCESS ||
        gsl_vector_get(s, 7) <= UNDECIDED * gsl_vector_get(s, 0)) {
        return refuse_undecided(error);
    }
    double g[9];
    for (int k = 0; k < 9; k++) {
        g[k] = gsl_matrix_get(v, (size_t)k, 8);
    }
    rb_plane_frame_undo(g, &picture, &field, picture_to_field->m);
    return true;
}
