/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "fieldwork-private.h"

RbFieldCode rb_fieldwork_code(const RbFieldwork *work)
{
    return (RbFieldCode)work->rules; /* in the same order */
}

bool rb_fieldwork_wants_landmark(const RbFieldwork *work)
{
    return work->phase != RB_FIELDWORK_MARKING && work->measure != NULL &&
           work->measure->kind == RB_MEASURE_LANDMARK;
}

void rb_fieldwork_propose(RbFieldwork *work)
{
    work->has_next = work->n > 0 && rb_field_mark_propose(
                                        rb_fieldwork_code(work), work->marks, work->n,
                                        work->fitted ? &work->view : NULL, &work->next);
}

void rb_fieldwork_place_next(RbFieldwork *work)
{
    RbSighting sighting;
    RbPoint2 pixel = { 0.0, 0.0 };
    if (work->fitted && !work->next.is_line &&
        rb_field_mark_resolve(rb_fieldwork_code(work), &work->next, &sighting)) {
        rb_calibration_show(&work->view, sighting.field[0], &pixel);
    }
    work->next.pixel = pixel;
}

/* What the keys for marks turn: the mark that is clicked next, or the landmark measured to. */
static RbFieldMark turned(const RbFieldwork *work)
{
    return rb_fieldwork_wants_landmark(work) ? work->target : work->next;
}

/* Takes the mark if the field has it. */
static void turn_to(RbFieldwork *work, RbFieldMark mark)
{
    RbSighting sighting;
    if (!rb_field_mark_resolve(rb_fieldwork_code(work), &mark, &sighting)) {
        return;
    }
    if (rb_fieldwork_wants_landmark(work)) {
        work->target = mark;
        work->chosen = true;
        rb_fieldwork_take(work);
        return;
    }
    work->next = mark;
    work->has_next = true;
    rb_fieldwork_place_next(work);
}

void rb_fieldwork_turn_line(RbFieldwork *work, int lines)
{
    RbFieldMark mark = turned(work);
    int *line = mark.is_line ? &mark.line.line : &mark.landmark.line;
    const bool by_ten =
        !mark.is_line && (mark.landmark.kind == RB_LANDMARK_NUMBER_TOP ||
                          mark.landmark.kind == RB_LANDMARK_NUMBER_BOTTOM);
    *line += lines * (by_ten ? 10 : 5);
    turn_to(work, mark);
}

void rb_fieldwork_turn_half(RbFieldwork *work)
{
    RbFieldMark mark = turned(work);
    mark.landmark.far = !mark.landmark.far;
    mark.line.far = !mark.line.far;
    turn_to(work, mark);
}

void rb_fieldwork_turn_end(RbFieldwork *work)
{
    RbFieldMark mark = turned(work);
    mark.landmark.line = 100 - mark.landmark.line;
    mark.line.line = mark.line.kind == RB_FIELD_LINE_YARD ? 100 - mark.line.line : 0;
    turn_to(work, mark);
}

void rb_fieldwork_turn_kind(RbFieldwork *work, RbLandmarkKind kind)
{
    RbFieldMark mark = turned(work);
    const bool by_ten =
        kind == RB_LANDMARK_NUMBER_TOP || kind == RB_LANDMARK_NUMBER_BOTTOM;
    mark.is_line = false;
    mark.landmark.kind = kind;
    if (by_ten && mark.landmark.line % 10 != 0) {
        mark.landmark.line += mark.landmark.line < 50 ? 5 : -5;
    }
    turn_to(work, mark);
}

void rb_fieldwork_turn_to_line(RbFieldwork *work)
{
    RbFieldMark mark = turned(work);
    static const RbFieldLineKind along[] = {
        [RB_LANDMARK_SIDELINE] = RB_FIELD_LINE_SIDELINE,
        [RB_LANDMARK_HASH] = RB_FIELD_LINE_HASH,
        [RB_LANDMARK_NUMBER_TOP] = RB_FIELD_LINE_NUMBER_TOP,
        [RB_LANDMARK_NUMBER_BOTTOM] = RB_FIELD_LINE_NUMBER_BOTTOM,
        [RB_LANDMARK_SHORT_MARK] = RB_FIELD_LINE_SIDELINE,
    };
    if (!mark.is_line) { /* first the yard line through the point */
        mark.line = (RbFieldLine){ RB_FIELD_LINE_YARD, mark.landmark.line, false };
        mark.is_line = true;
    } else if (mark.line.kind == RB_FIELD_LINE_YARD) { /* then the line along the field */
        mark.line = (RbFieldLine){ along[mark.landmark.kind], 0, mark.landmark.far };
    } else {
        mark.is_line = false;
    }
    turn_to(work, mark);
}

/* Sideline marks lie every yard: the nearest of them says little. */
static double how_far(const RbFieldwork *work, RbLandmark landmark, RbPoint2 place)
{
    RbPoint2 at;
    return landmark.kind != RB_LANDMARK_SHORT_MARK &&
                   rb_landmark_point(rb_fieldwork_code(work), landmark, &at)
               ? hypot(at.x - place.x, at.y - place.y)
               : HUGE_VAL;
}

void rb_fieldwork_aim(RbFieldwork *work)
{
    RbPoint2 place;
    if (work->chosen || work->n_places < 1 ||
        !rb_calibration_locate(&work->place_views[0], work->places[0], &place)) {
        return;
    }
    g_autoptr(GArray) all = rb_landmark_all(rb_fieldwork_code(work));
    double nearest = HUGE_VAL;
    for (guint i = 0; i < all->len; i++) {
        const RbLandmark landmark = g_array_index(all, RbLandmark, i);
        const double far = how_far(work, landmark, place);
        if (far < nearest) {
            nearest = far;
            work->target = (RbFieldMark){ .landmark = landmark };
        }
    }
}

const RbFieldMark *rb_fieldwork_get_target(const RbFieldwork *work)
{
    return rb_fieldwork_wants_landmark(work) ? &work->target : NULL;
}
