/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "rb/film/picture.h"

/* The film's picture of the moment, in its true shape. One for as long as a view lives; each
 * frame replaces the texture only. */
#define RB_TYPE_FILM_PAINTABLE (rb_film_paintable_get_type())
G_DECLARE_FINAL_TYPE(RbFilmPaintable, rb_film_paintable, RB, FILM_PAINTABLE, GObject)

/* texture: (nullable). pixel_shape: width : height of one pixel. */
void rb_film_paintable_set(RbFilmPaintable *paintable, GdkTexture *texture,
                           RbRational pixel_shape);

/* Which part of the picture is drawn. */
typedef struct {
    double zoom; /* 1: all of it; 4: a quarter of its width and of its height */
    double x;    /* middle of what is drawn, 0 to 1 of the picture's width */
    double y;
} RbFilmWindow;

/* Clamped, so that nothing outside the picture is ever drawn. */
void rb_film_paintable_set_window(RbFilmPaintable *paintable, RbFilmWindow window);
RbFilmWindow rb_film_paintable_get_window(RbFilmPaintable *paintable);

/* Wraps the picture's bytes without a copy; the picture is let go when GTK lets go of the
 * texture. picture: (transfer full). Returns: (transfer full). */
GdkTexture *rb_film_texture_new(RbPicture *picture);
