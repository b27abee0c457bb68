/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/ladder-chart.h"

#include "drawing-private.h"

/* One part as laid out: the bar and its label, for finding what was clicked. */
typedef struct {
    RbLadderPart part;
    cairo_rectangle_t bar;
    cairo_rectangle_t label;
} RbLadderBox;

/* Lays the chart out. boxes: (nullable): an array of RbLadderBox to append to.
 * height: (out). Returns: (transfer full). */
RbDrawing *rb_ladder_chart_lay_out(const RbLadderChart *chart, double width,
                                   GArray *boxes, double *height);

/* How one part is drawn, the same on every chart. */
typedef struct {
    double size; /* of the text around it */
    bool broken; /* the break point */
    bool chosen;
} RbStageInk;

void rb_stage_patch(RbDrawing *drawing, const cairo_rectangle_t *bar, RbStage stage,
                    const RbStageInk *ink);
