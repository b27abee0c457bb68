/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "fieldwork-private.h"

RbFieldwork *rb_fieldwork_new(RbRules rules, int width, int height, int line)
{
    RbFieldwork *work = g_new0(RbFieldwork, 1);
    work->rules = rules;
    work->width = width;
    work->height = height;
    rb_fieldwork_begin_anew(work, line);
    return work;
}

void rb_fieldwork_begin_anew(RbFieldwork *work, int line)
{
    work->n = 0;
    work->n_places = 0;
    work->fitted = work->loose = work->kept = false;
    work->phase = RB_FIELDWORK_MARKING;
    g_clear_pointer(&work->trouble, g_free);
    g_clear_pointer(&work->measure, rb_film_measure_free);
    work->next = (RbFieldMark){ .landmark = { RB_LANDMARK_HASH,
                                              CLAMP((line + 2) / 5 * 5, 5, 95), false } };
    work->has_next = true;
}

void rb_fieldwork_set_unit(RbFieldwork *work, RbLengthUnit unit)
{
    work->unit = unit;
}

RbLengthUnit rb_fieldwork_get_unit(const RbFieldwork *work)
{
    return work->unit;
}

RbRules rb_fieldwork_get_rules(const RbFieldwork *work)
{
    return work->rules;
}

void rb_fieldwork_free(RbFieldwork *work)
{
    if (work != NULL) {
        rb_film_measure_free(work->measure);
        g_free(work->trouble);
        g_free(work);
    }
}

void rb_fieldwork_set_frame(RbFieldwork *work, int64_t frame, double at_s,
                            double length_s)
{
    work->frame = frame;
    work->at_s = at_s;
    work->length_s = length_s;
}

RbFieldworkPhase rb_fieldwork_get_phase(const RbFieldwork *work)
{
    return work->phase;
}

/* ---- marks */

const RbFieldMark *rb_fieldwork_get_next(const RbFieldwork *work)
{
    return work->has_next ? &work->next : NULL;
}

int rb_fieldwork_get_marks(const RbFieldwork *work, const RbFieldMark **marks)
{
    *marks = work->marks;
    return work->n;
}

const RbCalibration *rb_fieldwork_get_view(const RbFieldwork *work)
{
    return work->fitted ? &work->view : NULL;
}

RbFieldView *rb_fieldwork_make_view(const RbFieldwork *work, RbFilmId film, int64_t frame,
                                    RbTime time)
{
    RbFieldView *view = rb_field_view_new(film, frame);
    view->time = time;
    view->rules = work->rules;
    view->width = work->width;
    view->height = work->height;
    for (int i = 0; i < work->n; i++) {
        g_autofree char *name = rb_field_mark_token(&work->marks[i]);
        rb_field_view_add(view, name, work->marks[i].pixel.x, work->marks[i].pixel.y);
    }
    return view;
}

static void fit(RbFieldwork *work)
{
    g_autoptr(RbFieldView) view =
        rb_fieldwork_make_view(work, (RbFilmId){ 0 }, 0, (RbTime){ 0, { 1, 1 } });
    g_autoptr(GError) failure = NULL;
    g_clear_pointer(&work->trouble, g_free);
    work->loose = false;
    work->fitted = rb_field_view_fit(view, &work->view, &failure);
    if (work->fitted) {
        work->trouble = rb_field_view_doubt(view, &work->view);
    } else if (work->n >= 4) {
        work->trouble = g_strdup(failure->message);
    }
}

bool rb_fieldwork_load(RbFieldwork *work, const RbFieldView *view)
{
    RbFieldMark marks[RB_FIELDWORK_MARKS];
    const int n = (int)view->sights->len;
    if (n > RB_FIELDWORK_MARKS || view->width != work->width ||
        view->height != work->height || !rb_field_view_marks(view, marks, NULL)) {
        return false;
    }
    rb_fieldwork_begin_anew(work, 50);
    work->rules = view->rules;
    memcpy(work->marks, marks, (gsize)n * sizeof marks[0]);
    work->n = n;
    fit(work);
    work->kept = work->fitted;
    rb_fieldwork_propose(work);
    return work->fitted;
}

bool rb_fieldwork_is_kept(const RbFieldwork *work)
{
    return work->kept;
}

void rb_fieldwork_set_kept(RbFieldwork *work)
{
    work->kept = work->fitted;
}

/* ---- measures */

/* Two places of one frame stand on one view, and share its error. */
static RbMeasureAsk ask_of(const RbFieldwork *work)
{
    RbMeasureAsk ask = { .kind = work->measure->kind,
                         .rules = work->rules,
                         .name = work->measure->name };
    const bool shared = work->place_frames[0] == work->place_frames[1];
    for (int i = 0; i < 2; i++) {
        ask.clicks[i] = (RbClick){ &work->place_views[shared ? 0 : i], work->places[i],
                                   RB_CLICK_SIGMA_PX };
    }
    const RbUncertain time =
        rb_measure_time(work->place_at_s[0], work->place_length_s[0], work->place_at_s[1],
                        work->place_length_s[1]);
    ask.seconds = time.value;
    ask.seconds_sd = time.sd;
    return ask;
}

void rb_fieldwork_take(RbFieldwork *work)
{
    RbUncertain measured;
    g_autoptr(GError) failure = NULL;
    g_clear_pointer(&work->trouble, g_free);
    work->phase = RB_FIELDWORK_MEASURING;
    if (work->n_places < rb_measure_places(work->measure->kind)) {
        return;
    }
    if (work->measure->kind == RB_MEASURE_LANDMARK) {
        rb_fieldwork_aim(work);
        g_free(work->measure->name);
        work->measure->name = rb_field_mark_token(&work->target);
    }
    const RbMeasureAsk ask = ask_of(work);
    if (!rb_measuring_take(&ask, &measured, &failure)) {
        work->trouble = g_strdup(failure->message);
        return;
    }
    rb_film_measure_set(work->measure, &measured);
    work->measure->frame_1 = work->place_frames[0];
    work->measure->frame_2 = work->place_frames[MAX(work->n_places - 1, 0)];
    work->measure->x1 = (int)lround(work->places[0].x * RB_SIGHT_PART);
    work->measure->y1 = (int)lround(work->places[0].y * RB_SIGHT_PART);
    work->measure->x2 = (int)lround(work->places[1].x * RB_SIGHT_PART);
    work->measure->y2 = (int)lround(work->places[1].y * RB_SIGHT_PART);
    work->phase = RB_FIELDWORK_MEASURED;
}

void rb_fieldwork_set_view(RbFieldwork *work, const RbCalibration *view, bool loose)
{
    work->view = *view;
    work->fitted = true;
    work->loose = loose;
    for (int i = 0; i < work->n_places; i++) {
        if (work->place_frames[i] == work->frame) {
            work->place_views[i] = *view;
        }
    }
    if (work->phase == RB_FIELDWORK_MARKING) {
        rb_fieldwork_propose(work);
    } else {
        rb_fieldwork_take(work);
    }
}

void rb_fieldwork_measure(RbFieldwork *work, RbMeasureKind kind, RbSide side)
{
    if (!work->fitted || work->loose) {
        return;
    }
    rb_film_measure_free(work->measure);
    work->measure = rb_film_measure_new((RbSnapId){ 0 }, (RbClipId){ 0 }, kind);
    work->measure->side = side;
    work->target = (RbFieldMark){ .landmark = work->marks[0].landmark };
    work->chosen = false;
    work->n_places = 0;
    work->phase = RB_FIELDWORK_MEASURING;
    g_clear_pointer(&work->trouble, g_free);
}

int rb_fieldwork_get_places(const RbFieldwork *work, RbPoint2 places[2])
{
    places[0] = work->places[0];
    places[1] = work->places[1];
    return work->n_places;
}

const RbFilmMeasure *rb_fieldwork_get_measure(const RbFieldwork *work)
{
    return work->phase != RB_FIELDWORK_MARKING ? work->measure : NULL;
}

/* ---- clicks */

void rb_fieldwork_click(RbFieldwork *work, RbPoint2 pixel)
{
    if (work->phase == RB_FIELDWORK_MARKING) {
        if (work->n < RB_FIELDWORK_MARKS && work->has_next) {
            work->next.pixel = pixel;
            work->marks[work->n++] = work->next;
            work->kept = false;
            fit(work);
            rb_fieldwork_propose(work);
        }
        return;
    }
    if (work->n_places == rb_measure_places(work->measure->kind)) {
        work->n_places = 0; /* from the start */
    }
    if (work->loose) {
        return;
    }
    const int i = work->n_places++;
    work->places[i] = pixel;
    work->place_views[i] = work->view;
    work->place_frames[i] = work->frame;
    work->place_at_s[i] = work->at_s;
    work->place_length_s[i] = work->length_s;
    rb_fieldwork_take(work);
}

static RbPoint2 *last_of(RbFieldwork *work)
{
    if (work->phase == RB_FIELDWORK_MARKING) {
        return work->n > 0 ? &work->marks[work->n - 1].pixel : NULL;
    }
    return work->n_places > 0 ? &work->places[work->n_places - 1] : NULL;
}

bool rb_fieldwork_get_last(const RbFieldwork *work, RbPoint2 *pixel)
{
    RbFieldwork *own = (RbFieldwork *)work; /* only read */
    const RbPoint2 *last = last_of(own);
    if (last != NULL) {
        *pixel = *last;
    }
    return last != NULL;
}

void rb_fieldwork_nudge(RbFieldwork *work, double across, double down)
{
    RbPoint2 *last = last_of(work);
    if (last == NULL) {
        return;
    }
    last->x = CLAMP(last->x + across, 0.0, (double)work->width);
    last->y = CLAMP(last->y + down, 0.0, (double)work->height);
    if (work->phase == RB_FIELDWORK_MARKING) {
        const RbFieldMark kept = work->next;
        work->kept = false;
        fit(work);
        work->next = kept; /* a nudge proposes nothing new */
        rb_fieldwork_place_next(work);
    } else {
        rb_fieldwork_take(work);
    }
}

bool rb_fieldwork_take_back(RbFieldwork *work)
{
    if (work->phase == RB_FIELDWORK_MARKING) {
        if (work->n == 0) {
            return false;
        }
        const RbFieldMark taken = work->marks[--work->n];
        work->kept = false;
        fit(work);
        work->next = taken; /* to be clicked again */
        work->has_next = true;
        return true;
    }
    if (work->n_places > 0) {
        work->n_places--;
        rb_fieldwork_take(work);
        return true;
    }
    g_clear_pointer(&work->measure, rb_film_measure_free);
    work->phase = RB_FIELDWORK_MARKING;
    rb_fieldwork_propose(work);
    return true;
}
