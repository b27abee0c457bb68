/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "display.h"

#include <check.h>

#include "style.h"

#define LIMIT_US (20 * G_USEC_PER_SEC)

void rb_display_start(void)
{
    ck_assert_msg(gtk_init_check(), "no display: run under xvfb-run");
    rb_style_start(gdk_display_get_default());
}

void rb_display_settle(void)
{
    while (g_main_context_iteration(NULL, FALSE)) {
    }
}

bool rb_display_run_until(bool (*done)(void *data), void *data)
{
    const gint64 deadline = g_get_monotonic_time() + LIMIT_US;
    while (!done(data)) {
        if (g_get_monotonic_time() > deadline) {
            return false;
        }
        if (!g_main_context_iteration(NULL, FALSE)) {
            g_usleep(2000);
        }
    }
    return true;
}

static bool is_drawn(void *widget)
{
    return gtk_widget_get_mapped(widget) && gtk_widget_get_width(widget) > 0;
}

GtkWidget *rb_display_show(GtkWidget *child, int width, int height)
{
    GtkWidget *window = gtk_window_new();
    gtk_widget_add_css_class(window, "readbreak");
    gtk_window_set_default_size(GTK_WINDOW(window), width, height);
    gtk_window_set_child(GTK_WINDOW(window), child);
    gtk_window_present(GTK_WINDOW(window));
    ck_assert(rb_display_run_until(is_drawn, child));
    rb_display_settle();
    return window;
}

guchar *rb_display_pixels(GtkWidget *widget, int *width, int *height)
{
    *width = gtk_widget_get_width(widget);
    *height = gtk_widget_get_height(widget);
    g_autoptr(GdkPaintable) paintable = gtk_widget_paintable_new(widget);
    GtkSnapshot *snapshot = gtk_snapshot_new();
    gdk_paintable_snapshot(paintable, snapshot, *width, *height);
    GskRenderNode *node = gtk_snapshot_free_to_node(snapshot);
    guchar *pixels = g_malloc0((gsize)*width * *height * 4);
    if (node != NULL) {
        GskRenderer *renderer = gtk_native_get_renderer(gtk_widget_get_native(widget));
        g_autoptr(GdkTexture) texture = gsk_renderer_render_texture(
            renderer, node, &GRAPHENE_RECT_INIT(0, 0, (float)*width, (float)*height));
        gdk_texture_download(texture, pixels, (gsize)*width * 4);
        gsk_render_node_unref(node);
    }
    return pixels;
}
