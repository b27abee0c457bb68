/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/film-measure.h"

#include <glib/gi18n-lib.h>
#include <math.h>

/* The normal deviate that leaves a tenth on each side. */
#define DEVIATE_80 1.2815515655446004

static const RbWord kind_table[] = {
    [RB_MEASURE_CUSHION] = { "cushion", N_("Cushion") },
    [RB_MEASURE_SPLIT] = { "split", N_("Split from the ball") },
    [RB_MEASURE_NUMBERS] = { "numbers", N_("Split from the numbers") },
    [RB_MEASURE_SIDELINE] = { "sideline", N_("Width left to the sideline") },
    [RB_MEASURE_DEPTH] = { "depth", N_("Depth of the break") },
    [RB_MEASURE_WIDTH] = { "width", N_("Width of the break") },
    [RB_MEASURE_LANDMARK] = { "landmark", N_("Distance to a landmark") },
    [RB_MEASURE_THROW] = { "throw", N_("Throw") },
    [RB_MEASURE_SEPARATION] = { "separation", N_("Separation at arrival") },
    [RB_MEASURE_SPEED] = { "speed", N_("Speed") },
    [RB_MEASURE_LENGTH] = { "length", N_("Length") },
};
const RbWords rb_film_measure_words = { N_("measure"), kind_table,
                                        G_N_ELEMENTS(kind_table) };

RbFilmMeasure *rb_film_measure_new(RbSnapId snap, RbClipId clip, RbMeasureKind kind)
{
    RbFilmMeasure *measure = g_new0(RbFilmMeasure, 1);
    measure->snap = snap;
    measure->clip = clip;
    measure->kind = kind;
    return measure;
}

RbFilmMeasure *rb_film_measure_copy(const RbFilmMeasure *measure)
{
    RbFilmMeasure *copy = g_memdup2(measure, sizeof *measure);
    copy->name = g_strdup(measure->name);
    return copy;
}

void rb_film_measure_free(RbFilmMeasure *measure)
{
    if (measure != NULL) {
        g_free(measure->name);
        g_free(measure);
    }
}

int rb_measure_places(RbMeasureKind kind)
{
    switch (kind) {
    case RB_MEASURE_NUMBERS:
    case RB_MEASURE_SIDELINE:
    case RB_MEASURE_LANDMARK:
        return 1;
    case RB_MEASURE_CUSHION:
    case RB_MEASURE_SPLIT:
    case RB_MEASURE_DEPTH:
    case RB_MEASURE_WIDTH:
    case RB_MEASURE_THROW:
    case RB_MEASURE_SEPARATION:
    case RB_MEASURE_SPEED:
    case RB_MEASURE_LENGTH:
        break;
    }
    return 2;
}

int rb_film_measure_pm(const RbFilmMeasure *measure)
{
    return (int)lround(DEVIATE_80 * measure->sd);
}
