/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/film-drawing.h"
#include "rb/work/library.h"

/* What is drawn over the film of a snap. Each change is one action that can be undone. */

/* Of one clip, by first frame. Returns: (transfer full): GPtrArray of RbFilmDrawing. */
GPtrArray *rb_library_load_drawings(RbLibrary *library, RbClipId clip, GError **error);
/* drawing->id: 0 is given a new one. */
bool rb_library_save_drawing(RbLibrary *library, const RbFilmDrawing *drawing,
                             GError **error);
bool rb_library_remove_drawing(RbLibrary *library, RbFilmDrawingId id, GError **error);
