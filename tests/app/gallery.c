/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shows the drawn widgets with made-up values, for looking at them: gallery [--dark]. */
#include "samples.h"
#include "style.h"

static void add(GtkWidget *box, GtkWidget *child)
{
    gtk_box_append(GTK_BOX(box), child);
}

static GtkWidget *columns(void)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 0);
    GtkWidget *left = gtk_box_new(GTK_ORIENTATION_VERTICAL, 8);
    GtkWidget *right = gtk_box_new(GTK_ORIENTATION_VERTICAL, 8);
    gtk_widget_set_hexpand(left, TRUE);
    gtk_widget_set_size_request(right, 360, -1);
    gtk_widget_add_css_class(right, "side");
    add(row, left);
    add(row, right);
    GtkWidget *scrolled = gtk_scrolled_window_new();
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scrolled), rb_sample_table());
    gtk_widget_set_vexpand(scrolled, TRUE);
    add(left, rb_sample_strip());
    add(left, rb_sample_track());
    add(left, scrolled);
    add(right, rb_sample_read_ladder());
    add(right, rb_sample_pairing_ladder());
    return row;
}

static void on_activate(GtkApplication *application, gpointer data)
{
    rb_style_start(gdk_display_get_default());
    if (*(gboolean *)data) {
        rb_style_set_scheme(RB_STYLE_DARK);
    }
    GtkWidget *window = gtk_application_window_new(application);
    gtk_widget_add_css_class(window, "readbreak");
    gtk_window_set_default_size(GTK_WINDOW(window), 1280, 800);
    gtk_window_set_child(GTK_WINDOW(window), columns());
    gtk_window_present(GTK_WINDOW(window));
}

int main(int argc, char **argv)
{
    gboolean dark = argc > 1 && g_str_equal(argv[1], "--dark");
    g_autoptr(GtkApplication) application =
        gtk_application_new(NULL, G_APPLICATION_NON_UNIQUE);
    g_signal_connect(application, "activate", G_CALLBACK(on_activate), &dark);
    return g_application_run(G_APPLICATION(application), 1, argv);
}
