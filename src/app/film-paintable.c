/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "film-paintable.h"

#include <math.h>

struct _RbFilmPaintable {
    GObject parent_instance;
    GdkTexture *texture; /* owned, nullable */
    double shape;        /* width : height of one pixel */
    RbFilmWindow window;
};

static void paintable_init(GdkPaintableInterface *iface);

G_DEFINE_FINAL_TYPE_WITH_CODE(RbFilmPaintable, rb_film_paintable, G_TYPE_OBJECT,
                              G_IMPLEMENT_INTERFACE(GDK_TYPE_PAINTABLE, paintable_init))

static void film_snapshot(GdkPaintable *paintable, GdkSnapshot *snapshot, double width,
                          double height)
{
    RbFilmPaintable *film = RB_FILM_PAINTABLE(paintable);
    const RbFilmWindow *window = &film->window;
    if (film->texture == NULL) {
        return;
    }
    if (window->zoom <= 1) {
        gdk_paintable_snapshot(GDK_PAINTABLE(film->texture), snapshot, width, height);
        return;
    }
    const double full_width = width * window->zoom;
    const double full_height = height * window->zoom;
    gtk_snapshot_push_clip(snapshot,
                           &GRAPHENE_RECT_INIT(0, 0, (float)width, (float)height));
    gtk_snapshot_save(snapshot);
    gtk_snapshot_translate(
        snapshot, &GRAPHENE_POINT_INIT((float)(width / 2 - window->x * full_width),
                                       (float)(height / 2 - window->y * full_height)));
    gdk_paintable_snapshot(GDK_PAINTABLE(film->texture), snapshot, full_width,
                           full_height);
    gtk_snapshot_restore(snapshot);
    gtk_snapshot_pop(snapshot);
}

static int film_width(GdkPaintable *paintable)
{
    RbFilmPaintable *film = RB_FILM_PAINTABLE(paintable);
    return film->texture == NULL
               ? 0
               : (int)lround(gdk_texture_get_width(film->texture) * film->shape);
}

static int film_height(GdkPaintable *paintable)
{
    RbFilmPaintable *film = RB_FILM_PAINTABLE(paintable);
    return film->texture == NULL ? 0 : gdk_texture_get_height(film->texture);
}

static void paintable_init(GdkPaintableInterface *iface)
{
    iface->snapshot = film_snapshot;
    iface->get_intrinsic_width = film_width;
    iface->get_intrinsic_height = film_height;
}

void rb_film_paintable_set(RbFilmPaintable *paintable, GdkTexture *texture,
                           RbRational pixel_shape)
{
    g_return_if_fail(RB_IS_FILM_PAINTABLE(paintable));
    const int width = film_width(GDK_PAINTABLE(paintable));
    const int height = film_height(GDK_PAINTABLE(paintable));
    g_set_object(&paintable->texture, texture);
    paintable->shape = pixel_shape.num > 0 && pixel_shape.den > 0
                           ? (double)pixel_shape.num / pixel_shape.den
                           : 1;
    if (width != film_width(GDK_PAINTABLE(paintable)) ||
        height != film_height(GDK_PAINTABLE(paintable))) {
        gdk_paintable_invalidate_size(GDK_PAINTABLE(paintable));
    }
    gdk_paintable_invalidate_contents(GDK_PAINTABLE(paintable));
}

#define ZOOM_MOST 8

void rb_film_paintable_set_window(RbFilmPaintable *paintable, RbFilmWindow window)
{
    g_return_if_fail(RB_IS_FILM_PAINTABLE(paintable));
    window.zoom = CLAMP(window.zoom, 1, ZOOM_MOST);
    const double half = 0.5 / window.zoom;
    window.x = CLAMP(window.x, half, 1 - half);
    window.y = CLAMP(window.y, half, 1 - half);
    paintable->window = window;
    gdk_paintable_invalidate_contents(GDK_PAINTABLE(paintable));
}

RbFilmWindow rb_film_paintable_get_window(RbFilmPaintable *paintable)
{
    return paintable->window;
}

static void drop_picture(void *picture)
{
    rb_picture_unref(picture);
}

GdkTexture *rb_film_texture_new(RbPicture *picture)
{
    g_return_val_if_fail(rb_picture_get_pixels(picture) == RB_PIXELS_BGRA, NULL);
    g_autoptr(GBytes) bytes =
        g_bytes_new_with_free_func(rb_picture_get_bytes(picture),
                                   rb_picture_get_size(picture), drop_picture, picture);
    /* Alpha is 255 throughout, so premultiplied and straight are the same; this is the one
     * format that the GL renderer takes as it is. */
    return gdk_memory_texture_new(
        rb_picture_get_width(picture), rb_picture_get_height(picture),
        GDK_MEMORY_B8G8R8A8_PREMULTIPLIED, bytes, rb_picture_get_stride(picture));
}

static void rb_film_paintable_dispose(GObject *object)
{
    g_clear_object(&RB_FILM_PAINTABLE(object)->texture);
    G_OBJECT_CLASS(rb_film_paintable_parent_class)->dispose(object);
}

static void rb_film_paintable_class_init(RbFilmPaintableClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_film_paintable_dispose;
}

static void rb_film_paintable_init(RbFilmPaintable *paintable)
{
    paintable->shape = 1;
    paintable->window = (RbFilmWindow){ 1, 0.5, 0.5 };
}
