/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/film-drawing.h"

#include "row.h"
#include "tables.h"

static const RbColumn columns[] = {
    RB_ID(RbFilmDrawing, clip, "clip"),
    RB_KNOWN_WORD(RbFilmDrawing, kind, "kind", rb_draw_kind_words),
    RB_INT(RbFilmDrawing, x1, "x1", RB_ALWAYS_KNOWN),
    RB_INT(RbFilmDrawing, y1, "y1", RB_ALWAYS_KNOWN),
    RB_INT(RbFilmDrawing, x2, "x2", RB_ALWAYS_KNOWN),
    RB_INT(RbFilmDrawing, y2, "y2", RB_ALWAYS_KNOWN),
    RB_LONG(RbFilmDrawing, first, "first"),
    RB_LONG(RbFilmDrawing, last, "last"),
    RB_TEXT(RbFilmDrawing, words, "words"),
};

static void *make(void)
{
    return rb_film_drawing_new((RbFilmDrawingId){ 0 }, (RbClipId){ 0 });
}

const RbTable rb_drawing_table = {
    "drawing", "drawing",
    columns,   G_N_ELEMENTS(columns),
    make,      (GDestroyNotify)rb_film_drawing_free,
};

RbFilmDrawing *rb_store_load_film_drawing(RbStore *store, RbFilmDrawingId id,
                                          GError **error)
{
    RbFilmDrawing *drawing = rb_row_load(store, &rb_drawing_table, id.value, error);
    if (drawing != NULL) {
        rb_film_drawing_mend(drawing);
    }
    return drawing;
}

GPtrArray *rb_store_list_film_drawings(RbStore *store, RbClipId clip, GError **error)
{
    GPtrArray *list =
        rb_row_list(store, &rb_drawing_table,
                    "WHERE t.clip = ? AND t.removed = 0 ORDER BY t.first, t.id",
                    &clip.value, 1, error);
    for (guint i = 0; list != NULL && i < list->len; i++) {
        rb_film_drawing_mend(list->pdata[i]);
    }
    return list;
}

bool rb_store_save_film_drawing(RbStore *store, const RbFilmDrawing *drawing,
                                GError **error)
{
    return rb_row_save(store, &rb_drawing_table, drawing, error);
}

bool rb_store_remove_film_drawing(RbStore *store, RbFilmDrawingId id, GError **error)
{
    return rb_row_remove(store, &rb_drawing_table, id.value, error);
}
