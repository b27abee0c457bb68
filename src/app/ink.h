/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/report/palette.h"

/* The colours of ui/style.css as drawn widgets see them, and small drawing helpers. Nothing
 * here or in a widget holds a colour of its own. */
typedef enum {
    RB_INK_PAPER,
    RB_INK_PANEL,
    RB_INK_INK,
    RB_INK_MUTED,
    RB_INK_LINE,
    RB_INK_ACCENT,
    RB_INK_ABOVE,
    RB_INK_EVEN,
    RB_INK_BELOW,
    RB_INKS
} RbInk;

GdkRGBA rb_ink(GtkWidget *widget, RbInk ink);
/* The same for a chart of report. ground: what it stands on. */
RbPalette rb_ink_palette(GtkWidget *widget, RbInk ground);

/* a at 0, b at 1. */
GdkRGBA rb_ink_mix(GdkRGBA a, GdkRGBA b, double share);

/* The colour of a figure's ground on the scale from `below` over `even` to `above`;
 * where: -1 to 1. Stays light enough for text in ink at 4.5 : 1. */
GdkRGBA rb_ink_scale(GtkWidget *widget, double where);

/* One line of text with tabular figures; points: size. Returns: (transfer full). */
PangoLayout *rb_ink_layout(GtkWidget *widget, const char *text, double points,
                           PangoWeight weight);

/* Draws the layout with its top left at x, y. */
void rb_ink_text(GtkSnapshot *snapshot, PangoLayout *layout, double x, double y,
                 GdkRGBA colour);
void rb_ink_fill(GtkSnapshot *snapshot, double x, double y, double width, double height,
                 GdkRGBA colour);
void rb_ink_frame(GtkSnapshot *snapshot, double x, double y, double width, double height,
                  double line, double radius, GdkRGBA colour);
void rb_ink_size(PangoLayout *layout, int *width, int *height);

/* "+1.4", "−1.4", "0.0": a true minus sign, one decimal. Returns: (transfer full). */
char *rb_ink_signed(double value);

/* How much larger than at the design's 11 points the widget's text is: what lengths that hold
 * text are multiplied with. */
double rb_ink_unit(GtkWidget *widget);
