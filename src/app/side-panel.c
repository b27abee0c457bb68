/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "side-panel.h"

enum { BESIDE = 14, ABOVE = 8, BELOW = 10, TEXT_CHARS = 30 };

GtkWidget *rb_side_panel_fill(GtkWidget *panel, const char *name, int spacing,
                              GtkWidget **box)
{
    GtkWidget *column = gtk_box_new(GTK_ORIENTATION_VERTICAL, spacing);
    GtkWidget *scrolled = gtk_scrolled_window_new();
    gtk_widget_set_margin_start(column, BESIDE);
    gtk_widget_set_margin_end(column, BESIDE);
    gtk_widget_set_margin_top(column, ABOVE);
    gtk_widget_set_margin_bottom(column, BELOW);
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(scrolled), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scrolled), column);
    gtk_widget_set_focusable(scrolled, FALSE);
    gtk_widget_set_parent(scrolled, panel);
    gtk_accessible_update_property(GTK_ACCESSIBLE(panel), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   name, -1);
    *box = column;
    return scrolled;
}

bool rb_side_panel_roll(GtkWidget *scrolled, guint keyval)
{
    const bool down = keyval == GDK_KEY_Page_Down;
    gboolean handled = FALSE;
    if (!down && keyval != GDK_KEY_Page_Up) {
        return false;
    }
    g_signal_emit_by_name(scrolled, "scroll-child",
                          down ? GTK_SCROLL_PAGE_DOWN : GTK_SCROLL_PAGE_UP, FALSE,
                          &handled);
    return true;
}

GtkWidget *rb_side_label_new(const char *text, const char *style)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_wrap_mode(GTK_LABEL(label), PANGO_WRAP_WORD_CHAR);
    gtk_label_set_max_width_chars(GTK_LABEL(label),
                                  TEXT_CHARS); /* the panel sets the width */
    if (style != NULL) {
        gtk_widget_add_css_class(label, style);
    }
    return label;
}
