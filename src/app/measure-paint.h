/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/work/fieldwork.h"

/* What stands over the film while it is measured. */

/* area: where the whole picture lies. width, height: of the picture in its pixels. */
typedef struct {
    graphene_rect_t area;
    int width;
    int height;
} RbMeasureGround;

RbPoint2 rb_measure_ground_place(const RbMeasureGround *ground, RbPoint2 pixel);
RbPoint2 rb_measure_ground_pixel(const RbMeasureGround *ground, double x, double y);

/* Lines of the field, marks with how far they are off (drawn ten times as long), the worst one in
 * words, the next one as a ring, places and the way between them. carried: the marks stand on another
 * frame. */
void rb_measure_paint(cairo_t *cr, const RbMeasureGround *ground, RbRules rules,
                      const RbFieldwork *work, bool carried);
/* The picture about a pixel, enlarged, at the upper right of the view, or left when it
 * is there. */
void rb_measure_paint_loupe(GtkSnapshot *snapshot, const RbMeasureGround *ground,
                            GdkTexture *texture, RbPoint2 pixel, double view_width);
