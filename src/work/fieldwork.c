/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/fieldwork.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "rb/base/text.h"

enum { MARKS_MAX = 40 };

struct RbFieldwork {
    RbRules rules;
    int width;
    int height;
    RbFieldMark marks[MARKS_MAX];
    int n;
    RbFieldMark next;
    bool has_next;
    bool fitted;
    bool loose;
    RbCalibration view;
    char *trouble; /* owned, nullable: why there is no view, or what is odd about it */
    RbFieldworkPhase phase;
    int64_t frame; /* that is looked at */
    double at_s;
    double length_s;
    RbPoint2 places[2];
    RbCalibration place_views[2]; /* of the frames they were clicked on */
    int64_t place_frames[2];
    double place_at_s[2];
    double place_length_s[2];
    int n_places;
    RbFilmMeasure *measure; /* owned, nullable */
};

static RbFieldCode code_of(const RbFieldwork *work)
{
    return (RbFieldCode)work->rules; /* in the same order */
}

static void propose(RbFieldwork *work)
{
    work->has_next = work->n > 0 && rb_field_mark_propose(
                                        code_of(work), work->marks, work->n,
                                        work->fitted ? &work->view : NULL, &work->next);
}

RbFieldwork *rb_fieldwork_new(RbRules rules, int width, int height, int line)
{
    RbFieldwork *work = g_new0(RbFieldwork, 1);
    work->rules = rules;
    work->width = width;
    work->height = height;
    work->next.landmark =
        (RbLandmark){ RB_LANDMARK_HASH, CLAMP((line + 2) / 5 * 5, 5, 95), false };
    work->has_next = true;
    return work;
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

/* Where the view shows it, if there is one. */
static void place_next(RbFieldwork *work)
{
    RbSighting sighting;
    RbPoint2 pixel = { 0.0, 0.0 };
    if (work->fitted && !work->next.is_line &&
        rb_field_mark_resolve(code_of(work), &work->next, &sighting)) {
        rb_calibration_show(&work->view, sighting.field[0], &pixel);
    }
    work->next.pixel = pixel;
}

/* Takes the mark if the field has it. */
static void turn_to(RbFieldwork *work, RbFieldMark mark)
{
    RbSighting sighting;
    if (rb_field_mark_resolve(code_of(work), &mark, &sighting)) {
        work->next = mark;
        work->has_next = true;
        place_next(work);
    }
}

void rb_fieldwork_turn_line(RbFieldwork *work, int lines)
{
    RbFieldMark mark = work->next;
    int *line = mark.is_line ? &mark.line.line : &mark.landmark.line;
    const bool by_ten =
        !mark.is_line && (mark.landmark.kind == RB_LANDMARK_NUMBER_TOP ||
                          mark.landmark.kind == RB_LANDMARK_NUMBER_BOTTOM);
    *line += lines * (by_ten ? 10 : 5);
    turn_to(work, mark);
}

void rb_fieldwork_turn_half(RbFieldwork *work)
{
    RbFieldMark mark = work->next;
    mark.landmark.far = !mark.landmark.far;
    mark.line.far = !mark.line.far;
    turn_to(work, mark);
}

void rb_fieldwork_turn_end(RbFieldwork *work)
{
    RbFieldMark mark = work->next;
    mark.landmark.line = 100 - mark.landmark.line;
    mark.line.line = mark.line.kind == RB_FIELD_LINE_YARD ? 100 - mark.line.line : 0;
    turn_to(work, mark);
}

void rb_fieldwork_turn_kind(RbFieldwork *work, RbLandmarkKind kind)
{
    RbFieldMark mark = work->next;
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
    RbFieldMark mark = work->next;
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

/* ---- measures */

/* Two places of one frame stand on one view, and share its error. */
static RbMeasureAsk ask_of(const RbFieldwork *work)
{
    RbMeasureAsk ask = { .kind = work->measure->kind, .rules = work->rules };
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

static void take_measure(RbFieldwork *work)
{
    RbUncertain measured;
    const RbMeasureAsk ask = ask_of(work);
    g_autoptr(GError) failure = NULL;
    g_clear_pointer(&work->trouble, g_free);
    work->phase = RB_FIELDWORK_MEASURING;
    if (work->n_places < rb_measure_places(work->measure->kind)) {
        return;
    }
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
        propose(work);
    } else {
        take_measure(work);
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
        if (work->n < MARKS_MAX && work->has_next) {
            work->next.pixel = pixel;
            work->marks[work->n++] = work->next;
            fit(work);
            propose(work);
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
    take_measure(work);
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
        fit(work);
        work->next = kept; /* a nudge proposes nothing new */
        place_next(work);
    } else {
        take_measure(work);
    }
}

bool rb_fieldwork_take_back(RbFieldwork *work)
{
    if (work->phase == RB_FIELDWORK_MARKING) {
        if (work->n == 0) {
            return false;
        }
        const RbFieldMark taken = work->marks[--work->n];
        fit(work);
        work->next = taken; /* to be clicked again */
        work->has_next = true;
        return true;
    }
    if (work->n_places > 0) {
        work->n_places--;
        take_measure(work);
        return true;
    }
    g_clear_pointer(&work->measure, rb_film_measure_free);
    work->phase = RB_FIELDWORK_MARKING;
    propose(work);
    return true;
}

/* ---- words */

static const char *place_words(const RbFieldwork *work)
{
    static const char *const first[RB_MEASURE_KINDS] = {
        [RB_MEASURE_CUSHION] = N_("the receiver's feet"),
        [RB_MEASURE_SPLIT] = N_("the ball"),
        [RB_MEASURE_NUMBERS] = N_("the receiver's feet"),
        [RB_MEASURE_SIDELINE] = N_("the man's feet"),
        [RB_MEASURE_DEPTH] = N_("the ball at the snap"),
        [RB_MEASURE_WIDTH] = N_("the ball at the snap"),
        [RB_MEASURE_LANDMARK] = N_("the man's feet"),
        [RB_MEASURE_THROW] = N_("the ground under the release"),
        [RB_MEASURE_SEPARATION] = N_("the receiver's feet"),
        [RB_MEASURE_SPEED] = N_("his feet at first"),
        [RB_MEASURE_LENGTH] = N_("the first place"),
    };
    static const char *const second[RB_MEASURE_KINDS] = {
        [RB_MEASURE_CUSHION] = N_("the corner's feet"),
        [RB_MEASURE_SPLIT] = N_("the receiver's feet"),
        [RB_MEASURE_DEPTH] = N_("where he breaks"),
        [RB_MEASURE_WIDTH] = N_("where he breaks"),
        [RB_MEASURE_THROW] = N_("the ground under the arrival"),
        [RB_MEASURE_SEPARATION] = N_("the defender's feet"),
        [RB_MEASURE_SPEED] = N_("his feet later"),
        [RB_MEASURE_LENGTH] = N_("the second place"),
    };
    const RbMeasureKind kind = work->measure->kind;
    return _(work->n_places == 0 ? first[kind] : second[kind]);
}

static char *measuring_sentence(const RbFieldwork *work)
{
    const char *kind = rb_words_label(&rb_film_measure_words, (int)work->measure->kind);
    if (work->phase == RB_FIELDWORK_MEASURED) {
        g_autofree char *value = rb_film_measure_text(work->measure, RB_UNIT_YARDS);
        return rb_text_fill(_("{kind}: {value}. Enter keeps it."), "kind", kind, "value",
                            value, NULL);
    }
    return rb_text_fill(_("{kind}: click {place}."), "kind", kind, "place",
                        place_words(work), NULL);
}

static char *marking_sentence(const RbFieldwork *work)
{
    if (!work->has_next) {
        return g_strdup(_("No other mark of the field is in the picture."));
    }
    g_autofree char *name = rb_field_mark_name(&work->next);
    g_autofree char *number = g_strdup_printf("%d", work->n + 1);
    if (!work->fitted) {
        return rb_text_fill(_("Mark {number}: click the {name}."), "number", number,
                            "name", name, NULL);
    }
    if (work->view.freedom < 1) {
        return rb_text_fill(
            _("The view stands. Choose a measure, or click the {name}: one "
              "more mark shows how far they are off."),
            "name", name, NULL);
    }
    g_autofree char *off = g_strdup_printf("%.1f", work->view.rms);
    return rb_text_fill(
        _("The view stands, {off} pixels off. Choose a measure, or click the {name}."),
        "off", off, "name", name, NULL);
}

char *rb_fieldwork_get_sentence(const RbFieldwork *work)
{
    if (work->loose) {
        return g_strdup(
            _("Here the view is too loose to measure: go back toward the marks, "
              "or mark this frame anew."));
    }
    g_autofree char *sentence = work->phase == RB_FIELDWORK_MARKING
                                    ? marking_sentence(work)
                                    : measuring_sentence(work);
    if (work->trouble == NULL) {
        return g_steal_pointer(&sentence);
    }
    return rb_text_fill(_("{trouble} {sentence}"), "trouble", work->trouble, "sentence",
                        sentence, NULL);
}
