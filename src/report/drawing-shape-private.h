/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <pango/pango.h>

#include "drawing-private.h"

/* What a drawing is made of: for drawing.c and drawing-svg.c. */

typedef enum {
    SHAPE_RECT,
    SHAPE_LINE,
    SHAPE_DISC,
    SHAPE_POINTER,
    SHAPE_PATH,
    SHAPE_TEXT
} ShapeKind;

/* Rect: x, y, a wide, b high. Line: to a, b. Disc: radius a. Pointer: size a. Path: `points`. */
typedef struct {
    ShapeKind kind;
    double x, y, a, b;
    RbToken fill;
    double tint;
    RbToken stroke;
    double line_width;
    double dash;            /* of a path: strokes and gaps of that length; 0 unbroken */
    bool closed;            /* of a path */
    RbDrawingPoint *points; /* owned, nullable */
    int n;
    RbTextStyle style;
    char *text; /* owned, nullable */
} Shape;

struct RbDrawing {
    GArray *shapes;      /* owned, of Shape */
    char *font;          /* owned */
    cairo_t *scratch;    /* owned: what text is measured on */
    PangoLayout *layout; /* owned */
};
