/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/measuring.h"

/* Measuring by hand, one click after another, without a window: marks of the field until there
 * is a view, each with the next one proposed; then what is measured. All places are pixels of the
 * upright picture. */
typedef struct RbFieldwork RbFieldwork;

typedef enum {
    RB_FIELDWORK_MARKING,   /* clicks are marks of the field */
    RB_FIELDWORK_MEASURING, /* clicks are places of what is measured */
    RB_FIELDWORK_MEASURED,  /* all places are there: it can be kept */
} RbFieldworkPhase;

/* line: the yard line that is likely in the picture, as x from the left goal line. */
RbFieldwork *rb_fieldwork_new(RbRules rules, int width, int height, int line);
void rb_fieldwork_free(RbFieldwork *work); /* NULL is allowed */
/* Forgets marks, view and what was being measured: the next click is the first mark. */
void rb_fieldwork_begin_anew(RbFieldwork *work, int line);
/* Takes the marks of a kept view in place of all that was, with its rules. False, and nothing is
 * changed but the view is gone, when they do not fit this picture or this field. */
bool rb_fieldwork_load(RbFieldwork *work, const RbFieldView *view);
/* True while the marks are those that were loaded or kept. */
bool rb_fieldwork_is_kept(const RbFieldwork *work);
/* The marks are kept now as they are. */
void rb_fieldwork_set_kept(RbFieldwork *work);
RbRules rb_fieldwork_get_rules(const RbFieldwork *work);
/* In what lengths are said; yards at first. */
void rb_fieldwork_set_unit(RbFieldwork *work, RbLengthUnit unit);
RbLengthUnit rb_fieldwork_get_unit(const RbFieldwork *work);

RbFieldworkPhase rb_fieldwork_get_phase(const RbFieldwork *work);

/* The frame that is looked at from now on: when it is shown and for how long, in seconds. Places are
 * clicked on it; the views of places on other frames stay as they were. */
void rb_fieldwork_set_frame(RbFieldwork *work, int64_t frame, double at_s,
                            double length_s);

/* ---- marks */

/* The mark that the next click is, or the one moved last when the view is being mended.
 * Returns: (transfer none). Its pixel: where it should be; (0, 0) while that is not known. */
const RbFieldMark *rb_fieldwork_get_next(const RbFieldwork *work);
/* What the distance to a landmark is measured to: the nearest one until it is turned. Returns:
 * (transfer none) (nullable): something else is measured. */
const RbFieldMark *rb_fieldwork_get_target(const RbFieldwork *work);
/* Another mark, or another landmark while the distance to one is measured: `lines` yard lines on (by fives), across to the other half, of another kind, on the
 * other end of the field. */
void rb_fieldwork_turn_line(RbFieldwork *work, int lines);
void rb_fieldwork_turn_half(RbFieldwork *work);
void rb_fieldwork_turn_end(RbFieldwork *work);
void rb_fieldwork_turn_kind(RbFieldwork *work, RbLandmarkKind kind);
/* A line in place of a point: the click is anywhere on it. */
void rb_fieldwork_turn_to_line(RbFieldwork *work);

int rb_fieldwork_get_marks(const RbFieldwork *work, const RbFieldMark **marks);
/* Returns: (transfer none) (nullable): NULL until the marks fix it. */
const RbCalibration *rb_fieldwork_get_view(const RbFieldwork *work);
/* The view of the frame that is looked at: a better one, or the marks' carried there. loose: not to
 * be measured on. */
void rb_fieldwork_set_view(RbFieldwork *work, const RbCalibration *view, bool loose);
/* The marks as they are kept. Returns: (transfer full). */
RbFieldView *rb_fieldwork_make_view(const RbFieldwork *work, RbFilmId film, int64_t frame,
                                    RbTime time);

/* ---- clicks */

void rb_fieldwork_click(RbFieldwork *work, RbPoint2 pixel);
/* Moves what was clicked last. */
void rb_fieldwork_nudge(RbFieldwork *work, double across, double down);
/* What was clicked last. False when nothing is. */
bool rb_fieldwork_get_last(const RbFieldwork *work, RbPoint2 *pixel);
/* Takes back what was clicked last. False when there was nothing. */
bool rb_fieldwork_take_back(RbFieldwork *work);

/* ---- measures */

/* From now on clicks measure; ends what was being measured. Nothing without a view. */
void rb_fieldwork_measure(RbFieldwork *work, RbMeasureKind kind, RbSide side);
int rb_fieldwork_get_places(const RbFieldwork *work, RbPoint2 places[2]);
/* What is measured so far, by kind and side, with its value when all places are there.
 * Returns: (transfer none) (nullable). */
const RbFilmMeasure *rb_fieldwork_get_measure(const RbFieldwork *work);

/* What to do now, or what is wrong: one sentence. Returns: (transfer full). */
char *rb_fieldwork_get_sentence(const RbFieldwork *work);
