/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <cairo.h>
#include <glib.h>
#include <stdbool.h>

#include "rb/report/palette.h"

/* A drawing as a list of plain shapes, laid out once and put on a cairo surface or into a page
 * as SVG: both then show the same, and the text of both can be selected and searched. Units
 * are the user's; y grows downwards. */
typedef struct RbDrawing RbDrawing;

typedef enum {
    RB_TOKEN_NONE,
    RB_TOKEN_PAPER,
    RB_TOKEN_PANEL,
    RB_TOKEN_INK,
    RB_TOKEN_MUTED,
    RB_TOKEN_LINE,
    RB_TOKEN_ACCENT,
    RB_TOKEN_ABOVE,
    RB_TOKEN_EVEN,
    RB_TOKEN_BELOW,
    RB_TOKENS,
} RbToken;

typedef enum { RB_ANCHOR_START, RB_ANCHOR_MIDDLE, RB_ANCHOR_END } RbAnchor;

typedef struct {
    double size;
    bool bold;
    RbToken token;
    RbAnchor anchor;
} RbTextStyle;

typedef enum {
    RB_HATCH_NONE,
    RB_HATCH_SLANT,
    RB_HATCH_BACKSLANT,
    RB_HATCH_CROSS, /* both of them */
    RB_HATCH_UPRIGHT,
    RB_HATCH_ACROSS,
    RB_HATCH_GRID, /* both of them */
    RB_HATCH_DOTS,
} RbHatch;

/* font: family, NULL is Sans. Returns: (transfer full). */
RbDrawing *rb_drawing_new(const char *font);
void rb_drawing_free(RbDrawing *drawing);

/* fill and stroke: RB_TOKEN_NONE leaves it out. tint: how much of the fill's colour is mixed
 * into the paper, 0 to 1. */
void rb_drawing_rect(RbDrawing *drawing, const cairo_rectangle_t *rect, RbToken fill,
                     double tint, RbToken stroke, double line_width);
void rb_drawing_line(RbDrawing *drawing, double x1, double y1, double x2, double y2,
                     RbToken token, double line_width);
void rb_drawing_disc(RbDrawing *drawing, double x, double y, double radius, RbToken fill,
                     RbToken stroke, double line_width);
/* A mark that points down at x, y. */
void rb_drawing_pointer(RbDrawing *drawing, double x, double y, double size,
                        RbToken fill);
typedef struct {
    double x, y;
} RbDrawingPoint;

typedef struct {
    RbToken fill; /* RB_TOKEN_NONE: only a line */
    double tint;
    RbToken stroke;
    double line_width;
    double dash; /* strokes and gaps of that length; 0 unbroken */
    bool closed;
} RbPathStyle;

/* A line through points, or the area inside it. */
void rb_drawing_path(RbDrawing *drawing, const RbDrawingPoint *points, int n,
                     const RbPathStyle *style);
/* A pattern of lines or dots `step` apart, kept inside `rect`. */
void rb_drawing_hatch(RbDrawing *drawing, const cairo_rectangle_t *rect, RbHatch hatch,
                      double step, RbToken token, double line_width);
/* y: of the base line. The text is cleaned (clean-private.h). */
void rb_drawing_text(RbDrawing *drawing, double x, double y, const RbTextStyle *style,
                     const char *text);

/* Everything of another drawing, moved by x, y. */
void rb_drawing_append(RbDrawing *drawing, const RbDrawing *other, double x, double y);

double rb_drawing_measure(RbDrawing *drawing, const RbTextStyle *style, const char *text);
/* The text, cut with an ellipsis when it is wider than `width`. Returns: (transfer full). */
char *rb_drawing_fit(RbDrawing *drawing, const RbTextStyle *style, const char *text,
                     double width);

/* Text wrapped at spaces into lines no wider than `width`, `leading` apart; y: of the first base
 * line. Returns the y of the base line after the last. */
double rb_drawing_paragraph(RbDrawing *drawing, double x, double y, double width,
                            double leading, const RbTextStyle *style, const char *text);

void rb_drawing_paint(const RbDrawing *drawing, cairo_t *cr, const RbPalette *palette,
                      double x, double y);
/* An <svg> element. title: for those who cannot see it. font: of all its text; NULL: that of the
 * page it stands in. */
void rb_drawing_svg(const RbDrawing *drawing, const RbPalette *palette, double width,
                    double height, const char *title, const char *font, GString *out);

RbColour rb_palette_colour(const RbPalette *palette, RbToken token, double tint);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbDrawing, rb_drawing_free)
