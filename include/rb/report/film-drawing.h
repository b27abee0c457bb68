/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <cairo.h>
#include <glib.h>
#include <stdint.h>

#include "rb/model/film-drawing.h"

/* What is drawn over film, the same on the screen and in an exported cut-up: a bright line with a
 * dark edge, seen on grass, chalk and jerseys alike. */

/* Into the box 0, 0, width, height of cr: the picture. */
void rb_film_drawing_paint(cairo_t *cr, const RbFilmDrawing *drawing, double width,
                           double height);

/* Those of `drawings` (of RbFilmDrawing) that are seen on a frame, on nothing: width * height
 * pixels of 4 bytes, red, green, blue, opacity; colours are not multiplied by it. Returns:
 * (transfer full) (nullable): NULL when nothing is seen. */
uint8_t *rb_film_drawings_picture(const GPtrArray *drawings, int64_t frame, int width,
                                  int height);
