/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/film-drawing.h"
#include "rb/store/store.h"

/* What is drawn over film. The pattern is that of staff.h. */

RbFilmDrawing *rb_store_load_film_drawing(RbStore *store, RbFilmDrawingId id,
                                          GError **error);
/* Of one clip, by first frame, then id. Returns: (transfer full): of RbFilmDrawing. */
GPtrArray *rb_store_list_film_drawings(RbStore *store, RbClipId clip, GError **error);
bool rb_store_save_film_drawing(RbStore *store, const RbFilmDrawing *drawing,
                                GError **error);
bool rb_store_remove_film_drawing(RbStore *store, RbFilmDrawingId id, GError **error);
