/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/film-measures.h"

#include "row.h"
#include "tables.h"

static const RbColumn columns[] = {
    RB_ID(RbFilmMeasure, snap, "snap"),
    RB_ID(RbFilmMeasure, clip, "clip"),
    RB_KNOWN_WORD(RbFilmMeasure, kind, "kind", rb_film_measure_words),
    RB_WORD(RbFilmMeasure, side, "side", rb_side_words),
    RB_TEXT(RbFilmMeasure, name, "name"),
    RB_LONG(RbFilmMeasure, frame_1, "frame_1"),
    RB_INT(RbFilmMeasure, x1, "x1", RB_ALWAYS_KNOWN),
    RB_INT(RbFilmMeasure, y1, "y1", RB_ALWAYS_KNOWN),
    RB_LONG(RbFilmMeasure, frame_2, "frame_2"),
    RB_INT(RbFilmMeasure, x2, "x2", RB_ALWAYS_KNOWN),
    RB_INT(RbFilmMeasure, y2, "y2", RB_ALWAYS_KNOWN),
    RB_INT(RbFilmMeasure, value, "value", RB_ALWAYS_KNOWN),
    RB_INT(RbFilmMeasure, sd, "sd", RB_ALWAYS_KNOWN),
};

static void *make(void)
{
    return rb_film_measure_new((RbSnapId){ 0 }, (RbClipId){ 0 }, RB_MEASURE_LENGTH);
}

const RbTable rb_measure_table = {
    "measure", "measure",
    columns,   G_N_ELEMENTS(columns),
    make,      (GDestroyNotify)rb_film_measure_free,
};

#define IN_ORDER " t.kind, t.frame_1, t.id"

RbFilmMeasure *rb_store_load_measure(RbStore *store, RbFilmMeasureId id, GError **error)
{
    return rb_row_load(store, &rb_measure_table, id.value, error);
}

GPtrArray *rb_store_list_measures(RbStore *store, RbSnapId snap, GError **error)
{
    return rb_row_list(store, &rb_measure_table,
                       "WHERE t.snap = ? AND t.removed = 0 ORDER BY" IN_ORDER,
                       &snap.value, 1, error);
}

GPtrArray *rb_store_list_game_measures(RbStore *store, RbGameId game, GError **error)
{
    if (game.value == 0) {
        return rb_row_list(store, &rb_measure_table,
                           "JOIN snap s ON s.id = t.snap JOIN game g ON g.id = s.game"
                           " WHERE t.removed = 0 AND s.removed = 0 AND g.removed = 0"
                           " ORDER BY g.played_on, g.id, s.number, s.id," IN_ORDER,
                           NULL, 0, error);
    }
    return rb_row_list(store, &rb_measure_table,
                       "JOIN snap s ON s.id = t.snap WHERE s.game = ? AND t.removed = 0"
                       " AND s.removed = 0 ORDER BY s.number, s.id," IN_ORDER,
                       &game.value, 1, error);
}

bool rb_store_save_measure(RbStore *store, const RbFilmMeasure *measure, GError **error)
{
    return rb_row_save(store, &rb_measure_table, measure, error);
}

bool rb_store_remove_measure(RbStore *store, RbFilmMeasureId id, GError **error)
{
    return rb_row_remove(store, &rb_measure_table, id.value, error);
}
