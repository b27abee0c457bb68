/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/measuring.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "rb/base/error.h"
#include "rb/base/text.h"
#include "rb/work/error.h"

/* A mark so much farther off than the others together is likely a slip. */
#define FAR_OFF 2.5
#define FAR_OFF_PX 4.0

/* The rules are in the order of the field's codes: see rb/field/field.h. */
static RbFieldCode code_of(RbRules rules)
{
    return (RbFieldCode)rules;
}

bool rb_field_view_marks(const RbFieldView *view, RbFieldMark *marks, GError **error)
{
    for (guint i = 0; i < view->sights->len; i++) {
        const RbFieldSight *sight = &g_array_index(view->sights, RbFieldSight, i);
        if (!rb_field_mark_parse(code_of(view->rules), sight->name, &marks[i])) {
            return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                                _("This field has no mark \"%s\": marks are named like "
                                  "near-hash-l35, far-sideline-50 or line-l40."),
                                sight->name);
        }
        marks[i].pixel = (RbPoint2){ sight->x / (double)RB_SIGHT_PART,
                                     sight->y / (double)RB_SIGHT_PART };
    }
    return true;
}

bool rb_field_view_fit(const RbFieldView *view, RbCalibration *calibration,
                       GError **error)
{
    const int n = (int)view->sights->len;
    if (n > RB_SIGHTINGS_MAX) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                            _("A view takes at most %d marks; take some off."),
                            RB_SIGHTINGS_MAX);
    }
    g_autofree RbFieldMark *marks = g_new0(RbFieldMark, (gsize)MAX(n, 1));
    g_autofree RbSighting *sightings = g_new0(RbSighting, (gsize)MAX(n, 1));
    if (!rb_field_view_marks(view, marks, error)) {
        return false;
    }
    for (int i = 0; i < n; i++) {
        rb_field_mark_resolve(code_of(view->rules), &marks[i], &sightings[i]);
    }
    return rb_calibration_fit(sightings, n, view->width, view->height, calibration,
                              error);
}

static char *worst_text(const RbFieldView *view, const RbCalibration *c,
                        const RbFieldMark *marks)
{
    const double off = hypot(c->residuals[c->worst].x, c->residuals[c->worst].y);
    double squares = c->rms * c->rms * c->n - off * off;
    const double others = sqrt(MAX(squares, 0.0) / MAX(c->n - 1, 1));
    if (c->freedom < 1 || off < FAR_OFF_PX || off < FAR_OFF * others) {
        return NULL;
    }
    g_autofree char *name = rb_field_mark_name(&marks[c->worst]);
    (void)view;
    return g_strdup_printf(
        _("The mark “%s” fits worst, %.1f pixels off: look at it again."), name, off);
}

char *rb_field_view_doubt(const RbFieldView *view, const RbCalibration *calibration)
{
    const int n = (int)view->sights->len;
    g_autofree RbFieldMark *marks = g_new0(RbFieldMark, (gsize)MAX(n, 1));
    if (n == 0 || calibration->n != n || !rb_field_view_marks(view, marks, NULL)) {
        return NULL;
    }
    RbFieldCode likely = RB_FIELD_COLLEGE;
    if (rb_calibration_suspects_code(code_of(view->rules), marks, n, view->width,
                                     view->height, &likely)) {
        g_autofree char *there =
            g_utf8_strdown(rb_words_label(&rb_rules_words, (int)likely), -1);
        g_autofree char *said =
            g_utf8_strdown(rb_words_label(&rb_rules_words, (int)view->rules), -1);
        return rb_text_fill(
            _("These marks fit a {likely} field far better than a {said} one: hashes "
              "and numbers lie elsewhere there."),
            "likely", there, "said", said, NULL);
    }
    return worst_text(view, calibration, marks);
}

/* ---- measures */

static bool refuse_horizon(GError **error)
{
    return rb_error_set(
        error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
        _("A place that was clicked does not lie on the ground: click where "
          "his feet are."));
}

/* Of a man to a line along the field on his own half. */
static bool to_own_half(const RbMeasureAsk *ask, double inset, RbUncertain *measured)
{
    RbUncertain near;
    RbUncertain far;
    if (!rb_measure_to_line(&ask->clicks[0], true, inset, &near) ||
        !rb_measure_to_line(&ask->clicks[0], true, RB_FIELD_WIDTH_YD - inset, &far)) {
        return false;
    }
    *measured = fabs(near.value) < fabs(far.value) ? near : far;
    return true;
}

static bool to_landmark(const RbMeasureAsk *ask, RbUncertain *measured, GError **error)
{
    RbFieldMark mark = { 0 };
    RbPoint2 place;
    RbUncertain along;
    RbUncertain across;
    if (ask->name == NULL ||
        !rb_field_mark_parse(code_of(ask->rules), ask->name, &mark)) {
        return rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
            _("This field has no landmark \"%s\": landmarks are named like "
              "near-hash-l35 or line-l40."),
            ask->name != NULL ? ask->name : "");
    }
    if (mark.is_line) {
        RbPoint2 from;
        RbPoint2 to;
        rb_field_line_ends(code_of(ask->rules), mark.line, &from, &to);
        const bool is_yard_line = from.x == to.x;
        return rb_measure_to_line(&ask->clicks[0], !is_yard_line,
                                  is_yard_line ? from.x : from.y, measured) ||
               refuse_horizon(error);
    }
    rb_landmark_point(code_of(ask->rules), mark.landmark, &place);
    if (!rb_measure_to_line(&ask->clicks[0], false, place.x, &along) ||
        !rb_measure_to_line(&ask->clicks[0], true, place.y, &across)) {
        return refuse_horizon(error);
    }
    /* Along the straight way each part counts as much as it makes of it; the parts' own errors are
     * taken as apart from each other. */
    measured->value = hypot(along.value, across.value);
    const double length = MAX(measured->value, 1e-9);
    measured->sd = measured->value > 0.05
                       ? hypot(along.value * along.sd, across.value * across.sd) / length
                       : hypot(along.sd, across.sd);
    return true;
}

static bool take(const RbMeasureAsk *ask, RbUncertain *measured, GError **error)
{
    const RbFieldDimensions *d = rb_field_dimensions(code_of(ask->rules));
    const RbClick *from = &ask->clicks[0];
    const RbClick *to = &ask->clicks[1];
    switch (ask->kind) {
    case RB_MEASURE_CUSHION:
    case RB_MEASURE_DEPTH:
        return rb_measure_length(RB_LENGTH_ALONG, from, to, measured) ||
               refuse_horizon(error);
    case RB_MEASURE_SPLIT:
    case RB_MEASURE_WIDTH:
        return rb_measure_length(RB_LENGTH_ACROSS, from, to, measured) ||
               refuse_horizon(error);
    case RB_MEASURE_NUMBERS:
        return to_own_half(ask, d->number_bottom_yd, measured) || refuse_horizon(error);
    case RB_MEASURE_SIDELINE:
        return to_own_half(ask, 0.0, measured) || refuse_horizon(error);
    case RB_MEASURE_LANDMARK:
        return to_landmark(ask, measured, error);
    case RB_MEASURE_SPEED:
        if (!(ask->seconds > 0.0)) {
            return rb_error_set(
                error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED,
                _("A speed needs two moments: click the second place on a "
                  "later frame."));
        }
        return rb_measure_speed(from, to, ask->seconds, ask->seconds_sd, measured) ||
               refuse_horizon(error);
    case RB_MEASURE_THROW:
    case RB_MEASURE_SEPARATION:
    case RB_MEASURE_LENGTH:
        break;
    }
    return rb_measure_length(RB_LENGTH_STRAIGHT, from, to, measured) ||
           refuse_horizon(error);
}

bool rb_measuring_take(const RbMeasureAsk *ask, RbUncertain *measured, GError **error)
{
    if (!take(ask, measured, error)) {
        return false;
    }
    measured->value = fabs(measured->value);
    return true;
}

void rb_film_measure_set(RbFilmMeasure *measure, const RbUncertain *measured)
{
    measure->value = (int)lround(CLAMP(measured->value, 0.0, 1e6) * RB_MEASURE_PART);
    measure->sd = (int)lround(CLAMP(measured->sd, 0.0, 1e6) * RB_MEASURE_PART);
}

/* ---- times */

/* Seconds a picture is shown on average between two marks. */
static double average_length(const RbMark *from, const RbMark *to)
{
    const double span = (double)rb_time_diff_us(to->time, from->time) / 1e6;
    return to->frame > from->frame ? span / (double)(to->frame - from->frame) : 0.0;
}

int rb_clip_times(const RbClip *clip, RbMomentLength length, void *data,
                  RbMarkTime times[RB_MARK_TIMES_MAX])
{
    static const RbMarkKind spans[RB_MARK_TIMES_MAX][2] = {
        { RB_MARK_SNAP, RB_MARK_TOP },
        { RB_MARK_SNAP, RB_MARK_RELEASE },
        { RB_MARK_SNAP, RB_MARK_ARRIVAL },
        { RB_MARK_RELEASE, RB_MARK_ARRIVAL },
    };
    int n = 0;
    for (int i = 0; i < RB_MARK_TIMES_MAX; i++) {
        const RbMark *from = rb_clip_find_mark(clip, spans[i][0]);
        const RbMark *to = rb_clip_find_mark(clip, spans[i][1]);
        if (from == NULL || to == NULL || to->frame <= from->frame) {
            continue;
        }
        const double average = average_length(from, to);
        const double first = length != NULL ? length(from, data) : 0.0;
        const double second = length != NULL ? length(to, data) : 0.0;
        const double span = (double)rb_time_diff_us(to->time, from->time) / 1e6;
        times[n++] = (RbMarkTime){
            spans[i][0],
            spans[i][1],
            rb_measure_time(0.0, first > 0.0 ? first : average, span,
                            second > 0.0 ? second : average),
        };
    }
    return n;
}
