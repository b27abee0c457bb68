/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/chart.h"
#include "rb/model/film-measure.h"
#include "rb/work/measuring.h"

/* What rb_film_measure_text() says: told text (rb/base/told.h). Returns: (transfer full). */
char *rb_film_measure_tell(const RbFilmMeasure *measure, RbLengthUnit unit);

/* Of a yard, as a cushion or split is tagged. */
int rb_film_measure_tenths(int thousandths);

/* The tags of one side that a measure feeds. */
typedef struct {
    RbMeasureKind kind;
    RbSide side;
    const char *value; /* of the tag, and of its plus or minus */
    const char *error;
    const char *id; /* one such measure a clip: part of what its id is made of */
    bool yields;    /* to what a person has said */
    const int *(*tenths)(const RbChart *chart);
    const int *(*pm_tenths)(const RbChart *chart);
} RbFedTags;

/* Returns: (transfer none) (nullable): NULL when it feeds no picture. */
const RbFedTags *rb_film_measure_fed(const RbFilmMeasure *measure);
