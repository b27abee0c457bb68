/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "task-window.h"

#include <glib/gi18n.h>

#include "form.h"

#define MARGIN 14
/* What a small laptop has room for. */
#define ROOM_WIDE 1280
#define ROOM_HIGH 700

void rb_task_window_class_init(GtkWidgetClass *widget_class)
{
    gtk_widget_class_add_binding_action(widget_class, GDK_KEY_Escape, 0, "window.close",
                                        NULL);
}

void rb_task_window_fill(GtkWindow *window, GtkWidget *box, const char *title, int width,
                         int height)
{
    gtk_widget_set_margin_top(box, MARGIN);
    gtk_widget_set_margin_bottom(box, MARGIN);
    gtk_widget_set_margin_start(box, MARGIN);
    gtk_widget_set_margin_end(box, MARGIN);
    gtk_window_set_child(window, box);
    const double growth = rb_text_growth();
    gtk_window_set_default_size(window, MIN((int)(width * growth), MAX(width, ROOM_WIDE)),
                                MIN((int)(height * growth), MAX(height, ROOM_HIGH)));
    gtk_window_set_title(window, title);
    gtk_widget_add_css_class(GTK_WIDGET(window), "readbreak");
}

GtkWindow *rb_task_window_new(GType type, GtkWindow *parent)
{
    return g_object_new(type, "transient-for", parent, "destroy-with-parent", TRUE, NULL);
}

GtkWidget *rb_task_table_new(GtkListBox **list, const char *name, const char *placeholder,
                             GCallback key, GCallback row, void *window)
{
    GtkWidget *table = gtk_list_box_new();
    GtkWidget *scroll = gtk_scrolled_window_new();
    GtkEventController *keys = gtk_event_controller_key_new();
    *list = GTK_LIST_BOX(table);
    if (placeholder != NULL) {
        GtkWidget *words = gtk_label_new(placeholder);
        gtk_label_set_wrap(GTK_LABEL(words), TRUE);
        gtk_label_set_justify(GTK_LABEL(words), GTK_JUSTIFY_CENTER);
        gtk_list_box_set_placeholder(*list, words);
    }
    gtk_accessible_update_property(GTK_ACCESSIBLE(table), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   name, -1);
    g_signal_connect(keys, "key-pressed", key, window);
    g_signal_connect_swapped(table, "row-selected", row, window);
    gtk_widget_add_controller(table, keys);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scroll), table);
    gtk_widget_set_vexpand(scroll, TRUE);
    return scroll;
}

GtkWidget *rb_task_foot_new(RbTaskFoot *foot, GCallback stop, GCallback accept,
                            void *window)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    foot->summary = GTK_LABEL(gtk_label_new(""));
    foot->bar = GTK_PROGRESS_BAR(gtk_progress_bar_new());
    foot->stop = rb_button_new(_("_Stop"));
    foot->accept = rb_button_new(_("_Accept"));
    gtk_label_set_wrap(foot->summary, TRUE);
    gtk_label_set_xalign(foot->summary, 0.0F);
    gtk_widget_set_hexpand(GTK_WIDGET(foot->summary), TRUE);
    gtk_widget_add_css_class(foot->accept, "suggested-action");
    if (stop != NULL) {
        g_signal_connect_swapped(foot->stop, "clicked", stop, window);
    }
    g_signal_connect_swapped(foot->accept, "clicked", accept, window);
    GtkWidget *const parts[] = { GTK_WIDGET(foot->summary), GTK_WIDGET(foot->bar),
                                 foot->stop, foot->accept };
    for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) {
        gtk_widget_set_valign(parts[i], GTK_ALIGN_CENTER);
        gtk_box_append(GTK_BOX(row), parts[i]);
    }
    rb_task_foot_set_busy(foot, false, false);
    return row;
}

void rb_task_foot_set_busy(const RbTaskFoot *foot, bool busy, bool can_accept)
{
    gtk_widget_set_visible(GTK_WIDGET(foot->bar), busy);
    gtk_widget_set_visible(foot->stop, busy);
    gtk_widget_set_sensitive(foot->accept, !busy && can_accept);
}
