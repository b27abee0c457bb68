/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/report/palette.h"
#include "rb/stats/ladder.h"

typedef struct _cairo cairo_t; /* as in cairo.h: only who draws needs that header */

/* Two ladders about one spine: a line each read and stage at which either ended something, the
 * first's bar to the left and the second's to the right. A bar is as long as its share of its
 * own side's dropbacks, so that sides of different size compare; its number and share stand at
 * its end. Those without a read stand last. */
typedef struct {
    const RbLadder *first; /* borrowed, as all here */
    const RbLadder *second;
    const char *first_name;
    const char *second_name;
    const char *font; /* family; NULL: Sans */
    double size;      /* of the text, in user units; 0: 10 */
} RbMirrorChart;

/* What it takes, in user units, for a width of at least 200. */
double rb_mirror_height(const RbMirrorChart *chart, double width);

/* Draws with the upper left corner at x, y. Returns the height. */
double rb_mirror_draw(cairo_t *cr, const RbMirrorChart *chart, const RbPalette *palette,
                      double x, double y, double width);
