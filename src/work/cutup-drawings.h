/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/film/cutter.h"
#include "rb/model/film-drawing.h"

/* Size of a picture of drawings for a film that is shown so large: of its shape. */
void rb_cutup_drawing_size(int shown_width, int shown_height, int *width, int *height);

/* Adds a picture for each run of frames first..last on which the same drawings (of RbFilmDrawing)
 * are seen; none where nothing is. film: its path. pictures: of RbCutDrawingPicture; memory: owns their pixels. */
void rb_cutup_add_drawings(const char *film, const GPtrArray *drawings, int64_t first,
                           int64_t last, bool beside, GArray *pictures,
                           GPtrArray *memory);
