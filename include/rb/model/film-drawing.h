/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"

RB_DEFINE_ID(RbFilmDrawingId);

/* What a coach draws over the film of a snap. A plain value. */
typedef enum {
    RB_DRAW_LINE,
    RB_DRAW_ARROW,  /* from the first point to the second */
    RB_DRAW_CIRCLE, /* the ellipse in the box of the two points */
    RB_DRAW_TEXT,   /* at the first point */
} RbDrawKind;       /* always known */

extern const RbWords rb_draw_kind_words;

/* Coordinates are parts of the upright picture in ten-thousandths, from its left and top. */
#define RB_DRAW_WHOLE 10000
#define RB_DRAW_TEXT_BYTES 200

typedef struct {
    RbFilmDrawingId id;
    RbClipId clip;
    RbDrawKind kind;
    int x1;
    int y1;
    int x2;
    int y2;
    int64_t first; /* frames of the film on which it is seen, both ends included */
    int64_t last;
    char *words; /* owned, nullable: of a text */
} RbFilmDrawing;

RbFilmDrawing *rb_film_drawing_new(RbFilmDrawingId id, RbClipId clip);
RbFilmDrawing *rb_film_drawing_copy(const RbFilmDrawing *drawing);
void rb_film_drawing_free(RbFilmDrawing *drawing); /* NULL is allowed */

/* False with a sentence when it is outside the picture, has no length, or a text has no words. */
bool rb_film_drawing_check(const RbFilmDrawing *drawing, GError **error);
/* Makes one usable that arrived in pieces from another computer. */
void rb_film_drawing_mend(RbFilmDrawing *drawing);
bool rb_film_drawing_is_seen(const RbFilmDrawing *drawing, int64_t frame);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilmDrawing, rb_film_drawing_free)
