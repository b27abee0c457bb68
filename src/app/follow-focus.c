/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "follow-focus.h"

#include <stdbool.h>

#define MARGIN 20 /* what is kept free above and below */

#define FRAMES "rb-frames" /* frames to come in which the page is rolled */

/* The card the focus is in, if it fits on the page; else the focus alone. */
static bool find_bounds(GtkWidget *focus, GtkWidget *page, double room,
                        graphene_rect_t *bounds)
{
    for (GtkWidget *at = focus; at != NULL && at != page;
         at = gtk_widget_get_parent(at)) {
        if (gtk_widget_has_css_class(at, "card") &&
            gtk_widget_compute_bounds(at, page, bounds) &&
            bounds->size.height + 2 * MARGIN < room) {
            return true;
        }
    }
    return gtk_widget_compute_bounds(focus, page, bounds);
}

static gboolean roll(GtkWidget *window, GdkFrameClock *clock, gpointer data)
{
    (void)clock;
    (void)data;
    GtkWidget *viewport = gtk_scrolled_window_get_child(GTK_SCROLLED_WINDOW(window));
    GtkWidget *page = gtk_viewport_get_child(GTK_VIEWPORT(viewport));
    GtkAdjustment *place =
        gtk_scrolled_window_get_vadjustment(GTK_SCROLLED_WINDOW(window));
    GtkRoot *root = gtk_widget_get_root(window);
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    const int frames = GPOINTER_TO_INT(g_object_get_data(G_OBJECT(window), FRAMES)) - 1;
    graphene_rect_t bounds;
    if (focus != NULL && gtk_widget_is_ancestor(focus, page) &&
        find_bounds(focus, page, gtk_adjustment_get_page_size(place), &bounds)) {
        gtk_adjustment_clamp_page(place, bounds.origin.y - MARGIN,
                                  bounds.origin.y + bounds.size.height + MARGIN);
    }
    g_object_set_data(G_OBJECT(window), FRAMES, GINT_TO_POINTER(frames));
    return frames > 0 ? G_SOURCE_CONTINUE : G_SOURCE_REMOVE;
}

static void on_focus(GtkWidget *window)
{
    if (g_object_get_data(G_OBJECT(window), FRAMES) == NULL) {
        /* In the first the field is laid out, in the second the page is rolled to it. */
        g_object_set_data(G_OBJECT(window), FRAMES, GINT_TO_POINTER(2));
        gtk_widget_add_tick_callback(window, roll, NULL, NULL);
    }
}

static void on_realize(GtkWidget *window)
{
    GtkWidget *viewport = gtk_scrolled_window_get_child(GTK_SCROLLED_WINDOW(window));
    gtk_viewport_set_scroll_to_focus(GTK_VIEWPORT(viewport), FALSE);
    g_signal_connect_object(gtk_widget_get_root(window), "notify::focus-widget",
                            G_CALLBACK(on_focus), window, G_CONNECT_SWAPPED);
}

void rb_follow_focus(GtkScrolledWindow *window)
{
    g_return_if_fail(GTK_IS_SCROLLED_WINDOW(window));
    g_signal_connect(window, "realize", G_CALLBACK(on_realize), NULL);
}

static void on_focus_across(GtkWidget *window)
{
    GtkWidget *table = gtk_scrolled_window_get_child(GTK_SCROLLED_WINDOW(window));
    GtkAdjustment *place =
        gtk_scrolled_window_get_hadjustment(GTK_SCROLLED_WINDOW(window));
    GtkRoot *root = gtk_widget_get_root(window);
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    graphene_rect_t bounds;
    if (focus != NULL && gtk_widget_is_ancestor(focus, table) &&
        gtk_widget_compute_bounds(focus, table, &bounds) &&
        bounds.size.width <= gtk_adjustment_get_page_size(place)) {
        const double left = bounds.origin.x + gtk_adjustment_get_value(place);
        gtk_adjustment_clamp_page(place, left - MARGIN,
                                  left + bounds.size.width + MARGIN);
    }
}

static void on_realize_across(GtkWidget *window)
{
    g_signal_connect_object(gtk_widget_get_root(window), "notify::focus-widget",
                            G_CALLBACK(on_focus_across), window, G_CONNECT_SWAPPED);
}

void rb_follow_focus_across(GtkScrolledWindow *window)
{
    g_return_if_fail(GTK_IS_SCROLLED_WINDOW(window));
    g_signal_connect(window, "realize", G_CALLBACK(on_realize_across), NULL);
}
