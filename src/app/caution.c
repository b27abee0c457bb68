/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "caution.h"

#include <glib/gi18n.h>

#include "help-window.h"

/* A panel's help is its own, so that it is not behind the panel. */
static gboolean on_link(GtkWidget *label, const char *topic)
{
    rb_help_window_open(GTK_WINDOW(gtk_widget_get_root(label)), topic);
    return TRUE;
}

GtkWidget *rb_caution_new(const char *sentence, const char *topic)
{
    GtkWidget *label = gtk_label_new(NULL);
    g_autofree char *markup =
        g_markup_printf_escaped("%s <a href=\"%s\">%s</a>", sentence, topic, _("More"));
    gtk_label_set_markup(GTK_LABEL(label), markup);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_max_width_chars(GTK_LABEL(label), 40);
    gtk_widget_add_css_class(label, "second");
    gtk_widget_add_css_class(label, "caution");
    g_signal_connect(label, "activate-link", G_CALLBACK(on_link), NULL);
    return label;
}
