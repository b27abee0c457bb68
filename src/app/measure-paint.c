/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "measure-paint.h"

#include <math.h>

/* Over film no theme holds: what is drawn is light with a dark rim, so that it is seen on turf and
 * on paint. */
#define RIM 0.0, 0.0, 0.0, 0.75
#define LINES 1.0, 0.85, 0.2, 0.85
#define MARKS 1.0, 1.0, 1.0, 1.0
#define WORST 1.0, 0.35, 0.3, 1.0
#define NEXT 0.4, 0.9, 1.0, 1.0
#define WAY 0.4, 0.9, 1.0, 1.0

#define MARK_PX 6.0
#define RING_PX 11.0
#define LONGER 10.0 /* errors are drawn so many times as long */
#define LOUPE 170.0
#define LOUPE_ZOOM 5.0

RbPoint2 rb_measure_ground_place(const RbMeasureGround *ground, RbPoint2 pixel)
{
    return (RbPoint2){ (double)ground->area.origin.x +
                           pixel.x / ground->width * (double)ground->area.size.width,
                       (double)ground->area.origin.y +
                           pixel.y / ground->height * (double)ground->area.size.height };
}

RbPoint2 rb_measure_ground_pixel(const RbMeasureGround *ground, double x, double y)
{
    const double across =
        (x - (double)ground->area.origin.x) / (double)ground->area.size.width;
    const double down =
        (y - (double)ground->area.origin.y) / (double)ground->area.size.height;
    return (RbPoint2){ CLAMP(across, 0.0, 1.0) * ground->width,
                       CLAMP(down, 0.0, 1.0) * ground->height };
}

static void stroke(cairo_t *cr, double width, double r, double g, double b, double a)
{
    cairo_set_source_rgba(cr, RIM);
    cairo_set_line_width(cr, width + 2.0);
    cairo_stroke_preserve(cr);
    cairo_set_source_rgba(cr, r, g, b, a);
    cairo_set_line_width(cr, width);
    cairo_stroke(cr);
}

/* In pieces: a lens may bend it, and a part may lie behind the camera. */
static void field_line(cairo_t *cr, const RbMeasureGround *ground,
                       const RbCalibration *view, RbPoint2 from, RbPoint2 to)
{
    enum { PIECES = 60 };
    bool begun = false;
    for (int i = 0; i <= PIECES; i++) {
        const double share = (double)i / PIECES;
        const RbPoint2 field = { from.x + share * (to.x - from.x),
                                 from.y + share * (to.y - from.y) };
        RbPoint2 pixel;
        const bool seen = rb_calibration_show(view, field, &pixel) &&
                          fabs(pixel.x) < 4.0 * ground->width &&
                          fabs(pixel.y) < 4.0 * ground->height;
        if (!seen) {
            begun = false;
            continue;
        }
        const RbPoint2 at = rb_measure_ground_place(ground, pixel);
        if (begun) {
            cairo_line_to(cr, at.x, at.y);
        } else {
            cairo_move_to(cr, at.x, at.y);
        }
        begun = true;
    }
}

static void paint_field(cairo_t *cr, const RbMeasureGround *ground, RbFieldCode code,
                        const RbCalibration *view)
{
    g_autoptr(GArray) lines = rb_field_line_all(code);
    for (guint i = 0; i < lines->len; i++) {
        const RbFieldLine line = g_array_index(lines, RbFieldLine, i);
        RbPoint2 from;
        RbPoint2 to;
        const bool numbers = line.kind == RB_FIELD_LINE_NUMBER_TOP ||
                             line.kind == RB_FIELD_LINE_NUMBER_BOTTOM;
        if (!numbers && rb_field_line_ends(code, line, &from, &to)) {
            field_line(cr, ground, view, from, to);
        }
    }
    cairo_set_source_rgba(cr, LINES);
    cairo_set_line_width(cr, 1.0);
    cairo_stroke(cr);
}

static void cross(cairo_t *cr, RbPoint2 at)
{
    cairo_move_to(cr, at.x - MARK_PX, at.y);
    cairo_line_to(cr, at.x + MARK_PX, at.y);
    cairo_move_to(cr, at.x, at.y - MARK_PX);
    cairo_line_to(cr, at.x, at.y + MARK_PX);
}

static void words_at(cairo_t *cr, RbPoint2 at, const char *words)
{
    cairo_set_font_size(cr, 13.0);
    cairo_move_to(cr, at.x + RING_PX + 3.0, at.y - 4.0);
    cairo_text_path(cr, words);
    cairo_set_source_rgba(cr, RIM);
    cairo_set_line_width(cr, 3.0);
    cairo_stroke_preserve(cr);
    cairo_set_source_rgba(cr, MARKS);
    cairo_fill(cr);
}

static void paint_marks(cairo_t *cr, const RbMeasureGround *ground,
                        const RbFieldwork *work)
{
    const RbFieldMark *marks = NULL;
    const int n = rb_fieldwork_get_marks(work, &marks);
    const RbCalibration *view = rb_fieldwork_get_view(work);
    const bool told = view != NULL && view->n == n && view->freedom > 0;
    for (int i = 0; i < n; i++) {
        const RbPoint2 at = rb_measure_ground_place(ground, marks[i].pixel);
        const bool worst = told && i == view->worst;
        if (told) {
            const RbPoint2 end = { marks[i].pixel.x + LONGER * view->residuals[i].x,
                                   marks[i].pixel.y + LONGER * view->residuals[i].y };
            const RbPoint2 to = rb_measure_ground_place(ground, end);
            cairo_move_to(cr, at.x, at.y);
            cairo_line_to(cr, to.x, to.y);
            stroke(cr, 1.5, WORST);
        }
        cross(cr, at);
        if (worst) {
            stroke(cr, 2.0, WORST);
        } else {
            stroke(cr, 2.0, MARKS);
        }
        if (worst) {
            g_autofree char *name = rb_field_mark_name(&marks[i]);
            g_autofree char *off = g_strdup_printf(
                "%s: %.1f px", name, hypot(view->residuals[i].x, view->residuals[i].y));
            words_at(cr, at, off);
        }
    }
}

static void paint_next(cairo_t *cr, const RbMeasureGround *ground,
                       const RbFieldwork *work)
{
    const RbFieldMark *next = rb_fieldwork_get_next(work);
    if (next == NULL || (next->pixel.x == 0.0 && next->pixel.y == 0.0)) {
        return;
    }
    const RbPoint2 at = rb_measure_ground_place(ground, next->pixel);
    cairo_new_sub_path(cr);
    cairo_arc(cr, at.x, at.y, RING_PX, 0.0, 2.0 * G_PI);
    stroke(cr, 1.5, NEXT);
}

/* What the distance is measured to: a ring, or the line itself. */
static void paint_target(cairo_t *cr, const RbMeasureGround *ground, RbFieldCode code,
                         const RbFieldwork *work)
{
    const RbFieldMark *target = rb_fieldwork_get_target(work);
    const RbCalibration *view = rb_fieldwork_get_view(work);
    RbSighting sighting;
    RbPoint2 pixel;
    if (target == NULL || !rb_field_mark_resolve(code, target, &sighting)) {
        return;
    }
    if (target->is_line) {
        field_line(cr, ground, view, sighting.field[0], sighting.field[1]);
        stroke(cr, 2.0, NEXT);
    } else if (rb_calibration_show(view, sighting.field[0], &pixel)) {
        const RbPoint2 at = rb_measure_ground_place(ground, pixel);
        cairo_new_sub_path(cr);
        cairo_arc(cr, at.x, at.y, RING_PX, 0.0, 2.0 * G_PI);
        stroke(cr, 1.5, NEXT);
    }
}

static void paint_places(cairo_t *cr, const RbMeasureGround *ground,
                         const RbFieldwork *work)
{
    RbPoint2 places[2];
    const int n = rb_fieldwork_get_places(work, places);
    for (int i = 0; i < n; i++) {
        const RbPoint2 at = rb_measure_ground_place(ground, places[i]);
        if (i > 0) {
            const RbPoint2 before = rb_measure_ground_place(ground, places[0]);
            cairo_move_to(cr, before.x, before.y);
            cairo_line_to(cr, at.x, at.y);
            stroke(cr, 2.0, WAY);
        }
        cross(cr, at);
        stroke(cr, 2.0, MARKS);
    }
    const RbFilmMeasure *measure = rb_fieldwork_get_measure(work);
    if (n > 0 && rb_fieldwork_get_phase(work) == RB_FIELDWORK_MEASURED) {
        g_autofree char *value =
            rb_film_measure_text(measure, rb_fieldwork_get_unit(work));
        words_at(cr, rb_measure_ground_place(ground, places[n - 1]), value);
    }
}

void rb_measure_paint(cairo_t *cr, const RbMeasureGround *ground, RbRules rules,
                      const RbFieldwork *work, bool carried)
{
    const RbCalibration *view = rb_fieldwork_get_view(work);
    if (view != NULL) {
        paint_field(cr, ground, (RbFieldCode)rules, view);
    }
    if (rb_fieldwork_get_phase(work) == RB_FIELDWORK_MARKING) {
        if (!carried) {
            paint_marks(cr, ground, work);
            paint_next(cr, ground, work);
        }
    } else {
        paint_target(cr, ground, (RbFieldCode)rules, work);
        paint_places(cr, ground, work);
    }
}

void rb_measure_paint_loupe(GtkSnapshot *snapshot, const RbMeasureGround *ground,
                            GdkTexture *texture, RbPoint2 pixel, double view_width)
{
    const double zoom = LOUPE_ZOOM * (double)ground->area.size.width / ground->width;
    const RbPoint2 pointer = rb_measure_ground_place(ground, pixel);
    /* Out of the way of what it enlarges. */
    const bool left = pointer.x > view_width - 1.5 * LOUPE && pointer.y < 1.5 * LOUPE;
    const graphene_rect_t frame =
        GRAPHENE_RECT_INIT(left ? 10.0F : (float)(view_width - LOUPE - 10.0), 10,
                           (float)LOUPE, (float)LOUPE);
    const RbPoint2 middle = { (double)frame.origin.x + LOUPE / 2.0,
                              (double)frame.origin.y + LOUPE / 2.0 };
    /* Never less than five times a pixel of the film. */
    const double scale = MAX(zoom, LOUPE_ZOOM);
    const graphene_rect_t whole = GRAPHENE_RECT_INIT(
        (float)(middle.x - pixel.x * scale), (float)(middle.y - pixel.y * scale),
        (float)(ground->width * scale), (float)(ground->height * scale));
    gtk_snapshot_push_clip(snapshot, &frame);
    gtk_snapshot_append_texture(snapshot, texture, &whole);
    gtk_snapshot_pop(snapshot);
    cairo_t *cr = gtk_snapshot_append_cairo(snapshot, &frame);
    cross(cr, middle);
    stroke(cr, 1.0, NEXT);
    cairo_rectangle(cr, (double)frame.origin.x + 1.0, (double)frame.origin.y + 1.0,
                    LOUPE - 2.0, LOUPE - 2.0);
    stroke(cr, 1.0, MARKS);
    cairo_destroy(cr);
}
