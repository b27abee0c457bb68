/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/field-view.h"

/* What is measured on the film. */
typedef enum {
    RB_MEASURE_CUSHION,    /* corner to receiver at the snap, along the field */
    RB_MEASURE_SPLIT,      /* receiver from the ball, across the field */
    RB_MEASURE_NUMBERS,    /* receiver from the numbers of his side, across the field */
    RB_MEASURE_SIDELINE,   /* width left: from a man to the sideline of his side */
    RB_MEASURE_DEPTH,      /* of a break: from the ball, along the field */
    RB_MEASURE_WIDTH,      /* of a break: from the ball, across the field */
    RB_MEASURE_LANDMARK,   /* from a man to a point of the field, straight */
    RB_MEASURE_THROW,      /* from the release to the arrival, straight */
    RB_MEASURE_SEPARATION, /* receiver to defender at arrival, straight */
    RB_MEASURE_SPEED,      /* of a man between two moments */
    RB_MEASURE_LENGTH,     /* any other, straight */
} RbMeasureKind;           /* always known */
#define RB_MEASURE_KINDS (RB_MEASURE_LENGTH + 1)

extern const RbWords rb_film_measure_words;

/* Of lengths a thousandth of a yard, of speeds a thousandth of a yard a second. */
#define RB_MEASURE_PART 1000

/* One measure, with the clicks it was made of, so that it can be made again. A plain value. */
typedef struct {
    RbFilmMeasureId id;
    RbSnapId snap;
    RbClipId clip;
    RbMeasureKind kind;
    RbSide side;     /* of a cushion, or a split that is to feed the picture */
    char *name;      /* owned, nullable: of the point or line of the field measured to */
    int64_t frame_1; /* where the first place was clicked, and the second */
    int x1;          /* hundredths of a pixel of the upright picture */
    int y1;
    int64_t frame_2;
    int x2;
    int y2;
    int value;
    int sd; /* standard deviation */
} RbFilmMeasure;

RbFilmMeasure *rb_film_measure_new(RbSnapId snap, RbClipId clip, RbMeasureKind kind);
RbFilmMeasure *rb_film_measure_copy(const RbFilmMeasure *measure);
void rb_film_measure_free(RbFilmMeasure *measure); /* NULL is allowed */

/* How many places are clicked for one: 1 or 2. */
int rb_measure_places(RbMeasureKind kind);
/* Half the width of the interval that holds the truth in 80 of 100 cases, in the value's parts. */
int rb_film_measure_pm(const RbFilmMeasure *measure);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilmMeasure, rb_film_measure_free)
