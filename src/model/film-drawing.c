/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/model/film-drawing.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"

/* Shorter than this, of both sides together, is a slip of the hand. */
#define LEAST 40

static const RbWord kind_table[] = {
    [RB_DRAW_LINE] = { "line", N_("Line") },
    [RB_DRAW_ARROW] = { "arrow", N_("Arrow") },
    [RB_DRAW_CIRCLE] = { "circle", N_("Circle") },
    [RB_DRAW_TEXT] = { "text", N_("Text") },
};
const RbWords rb_draw_kind_words = { N_("kind of drawing"), kind_table,
                                     G_N_ELEMENTS(kind_table) };

RbFilmDrawing *rb_film_drawing_new(RbFilmDrawingId id, RbClipId clip)
{
    RbFilmDrawing *drawing = g_new0(RbFilmDrawing, 1);
    drawing->id = id;
    drawing->clip = clip;
    return drawing;
}

RbFilmDrawing *rb_film_drawing_copy(const RbFilmDrawing *drawing)
{
    RbFilmDrawing *copy = g_memdup2(drawing, sizeof *drawing);
    copy->words = g_strdup(drawing->words);
    return copy;
}

void rb_film_drawing_free(RbFilmDrawing *drawing)
{
    if (drawing != NULL) {
        g_free(drawing->words);
        g_free(drawing);
    }
}

static bool is_inside(int value)
{
    return value >= 0 && value <= RB_DRAW_WHOLE;
}

static bool refuse(GError **error, const char *sentence)
{
    g_set_error_literal(error, RB_BASE_ERROR, RB_BASE_ERROR_RANGE, sentence);
    return false;
}

bool rb_film_drawing_check(const RbFilmDrawing *drawing, GError **error)
{
    if (!is_inside(drawing->x1) || !is_inside(drawing->y1) || !is_inside(drawing->x2) ||
        !is_inside(drawing->y2)) {
        return refuse(error, _("A drawing lies outside the picture; draw it inside."));
    }
    if (drawing->first < 0 || drawing->last < drawing->first) {
        return refuse(error,
                      _("A drawing ends before it begins; give it one frame or more."));
    }
    if (drawing->kind == RB_DRAW_TEXT) {
        const char *words = drawing->words != NULL ? drawing->words : "";
        if (words[0] == '\0' || strlen(words) > RB_DRAW_TEXT_BYTES ||
            !g_utf8_validate(words, -1, NULL)) {
            return refuse(error,
                          _("A text over the film needs words, a line of them at most."));
        }
        return true;
    }
    return ABS(drawing->x2 - drawing->x1) + ABS(drawing->y2 - drawing->y1) >= LEAST ||
           refuse(error, _("The drawing is too small to be seen; draw it longer."));
}

void rb_film_drawing_mend(RbFilmDrawing *drawing)
{
    int *const values[] = { &drawing->x1, &drawing->y1, &drawing->x2, &drawing->y2 };
    for (size_t i = 0; i < G_N_ELEMENTS(values); i++) {
        *values[i] = CLAMP(*values[i], 0, RB_DRAW_WHOLE);
    }
    drawing->first = MAX(drawing->first, 0);
    drawing->last = MAX(drawing->last, drawing->first);
}

bool rb_film_drawing_is_seen(const RbFilmDrawing *drawing, int64_t frame)
{
    return frame >= drawing->first && frame <= drawing->last;
}
