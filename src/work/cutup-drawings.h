/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/film/cutter.h"
#include "rb/model/film-drawing.h"

/* Adds a picture for each run of frames first..last on which the same drawings (of RbFilmDrawing)
 * are seen; none where nothing is. pictures: of RbCutDrawingPicture; memory: owns their pixels. */
void rb_cutup_add_drawings(const GPtrArray *drawings, int64_t first, int64_t last,
                           bool beside, GArray *pictures, GPtrArray *memory);
