/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "filter-ask.h"

#include <glib/gi18n.h>

struct _RbFilterAsk {
    GtkPopover parent_instance;
    GtkLabel *question; /* children, as the next two */
    GtkEditable *entry;
    GtkLabel *fault;
};

G_DEFINE_FINAL_TYPE(RbFilterAsk, rb_filter_ask, GTK_TYPE_POPOVER)

static guint answered;

RbFilterAsk *rb_filter_ask_new(void)
{
    return g_object_new(RB_TYPE_FILTER_ASK, NULL);
}

void rb_filter_ask_open(RbFilterAsk *ask, const char *question, const char *text)
{
    g_return_if_fail(RB_IS_FILTER_ASK(ask));
    gtk_label_set_text(ask->question, question);
    gtk_editable_set_text(ask->entry, text);
    gtk_widget_set_visible(GTK_WIDGET(ask->fault), FALSE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(ask->entry),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, question, -1);
    gtk_popover_popup(GTK_POPOVER(ask));
    gtk_widget_grab_focus(GTK_WIDGET(ask->entry));
    gtk_editable_select_region(ask->entry, 0, -1);
}

void rb_filter_ask_refuse(RbFilterAsk *ask, const char *sentence)
{
    g_return_if_fail(RB_IS_FILTER_ASK(ask));
    gtk_label_set_text(ask->fault, sentence);
    gtk_widget_set_visible(GTK_WIDGET(ask->fault), TRUE);
}

static void on_entry(RbFilterAsk *ask)
{
    g_signal_emit(ask, answered, 0, gtk_editable_get_text(ask->entry));
}

static void rb_filter_ask_class_init(RbFilterAskClass *klass)
{
    (void)klass;
    answered = g_signal_new("answered", RB_TYPE_FILTER_ASK, G_SIGNAL_RUN_LAST, 0, NULL,
                            NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}

static GtkLabel *label_new(const char *style)
{
    GtkWidget *label = gtk_label_new(NULL);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_max_width_chars(GTK_LABEL(label), 36);
    gtk_widget_add_css_class(label, style);
    return GTK_LABEL(label);
}

static void rb_filter_ask_init(RbFilterAsk *ask)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    ask->question = label_new("section");
    ask->entry = GTK_EDITABLE(gtk_entry_new());
    ask->fault = label_new("fault");
    gtk_editable_set_width_chars(ask->entry, 30);
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(ask->question));
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(ask->entry));
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(ask->fault));
    gtk_popover_set_child(GTK_POPOVER(ask), box);
    g_signal_connect_swapped(ask->entry, "activate", G_CALLBACK(on_entry), ask);
}
