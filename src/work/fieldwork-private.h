/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/fieldwork.h"

/* fieldwork.c clicks and measures, fieldwork-marks.c says which mark is next, fieldwork-words.c what
 * to do. */
enum { RB_FIELDWORK_MARKS = 40 };

struct RbFieldwork {
    RbRules rules;
    int width;
    int height;
    RbFieldMark marks[RB_FIELDWORK_MARKS];
    int n;
    bool kept; /* the marks are those of a kept view */
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
    RbFieldMark target; /* what the distance to a landmark is measured to */
    bool chosen;        /* by a person; else it is the nearest */
    RbLengthUnit unit;
    RbFilmMeasure *measure; /* owned, nullable */
};

RbFieldCode rb_fieldwork_code(const RbFieldwork *work);
/* The distance to a landmark is being measured: keys for marks choose the landmark. */
bool rb_fieldwork_wants_landmark(const RbFieldwork *work);
/* Proposes the next mark. */
void rb_fieldwork_propose(RbFieldwork *work);
/* Where the view shows the next mark, if there is one. */
void rb_fieldwork_place_next(RbFieldwork *work);
/* The landmark that is nearest to the place that was clicked, unless a person chose one. */
void rb_fieldwork_aim(RbFieldwork *work);
/* Measures again what is being measured. */
void rb_fieldwork_take(RbFieldwork *work);
