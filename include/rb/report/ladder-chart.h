/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>

#include "rb/report/palette.h"
#include "rb/stats/ladder.h"

typedef struct _cairo cairo_t; /* as in cairo.h: only who draws needs that header */

/* The ladder as a drawing: one rung a read, as wide as the dropbacks that ended there, cut into
 * the stages at which they ended; each part told apart by pattern and word; points at the
 * right; the break marked. Not-judged dropbacks and others without a read stand last. */

typedef struct {
    const RbLadder *ladder; /* borrowed */
    const RbBreak *found;   /* borrowed, nullable */
    /* borrowed, each nullable: what read 1 and up is: "curl", by slot; [0] is not used. */
    const char *reads[RB_READS_MAX + 1];
    const char *font; /* family; NULL: Sans */
    double size;      /* of the text, in user units; 0: 10 */
    int chosen_read;  /* framed in the accent colour; RB_NO_PART: nothing is chosen */
    RbStage chosen_stage;
} RbLadderChart;

#define RB_NO_PART (-1)

/* A chart of `ladder` with nothing chosen and all else default. */
RbLadderChart rb_ladder_chart(const RbLadder *ladder, const RbBreak *found);

/* What it takes, in user units, for a width of at least 120. */
double rb_ladder_height(const RbLadderChart *chart, double width);

/* Draws with the upper left corner at x, y on whatever ground is there; leaves the context as
 * it was. Returns the height, as rb_ladder_height() does. */
double rb_ladder_draw(cairo_t *cr, const RbLadderChart *chart, const RbPalette *palette,
                      double x, double y, double width);

/* The part at a place, its label included: x and y from the upper left corner. False where there is
 * none. */
bool rb_ladder_find(const RbLadderChart *chart, double width, double x, double y,
                    int *read, RbStage *stage);

/* The parts in reading order (by rung, success first), for moving by keyboard. Returns how many
 * there are; writes at most `max`. */
typedef struct {
    int read;
    RbStage stage;
} RbLadderPart;

int rb_ladder_parts(const RbLadder *ladder, RbLadderPart *parts, int max);
