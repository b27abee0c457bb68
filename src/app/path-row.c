/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "path-row.h"

#include <glib/gi18n.h>

#include "form.h"

struct _RbPathRow {
    GtkBox parent_instance;
    GtkEditable *path;
    char *title; /* owned */
    GtkFileChooserAction action;
    GtkFileChooserNative *chooser; /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbPathRow, rb_path_row, GTK_TYPE_BOX)

static guint chosen_signal;

static void send_chosen(RbPathRow *row)
{
    g_signal_emit(row, chosen_signal, 0);
}

static void on_response(RbPathRow *row, int response)
{
    g_autoptr(GFile) file =
        response == GTK_RESPONSE_ACCEPT
            ? gtk_file_chooser_get_file(GTK_FILE_CHOOSER(row->chooser))
            : NULL;
    g_autofree char *path = file != NULL ? g_file_get_path(file) : NULL;
    g_clear_object(&row->chooser);
    if (path != NULL) {
        gtk_editable_set_text(row->path, path);
        send_chosen(row);
    }
}

static void on_choose(RbPathRow *row)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(row));
    g_clear_object(&row->chooser);
    row->chooser = gtk_file_chooser_native_new(
        row->title, GTK_IS_WINDOW(root) ? GTK_WINDOW(root) : NULL, row->action, NULL,
        NULL);
    g_signal_connect_swapped(row->chooser, "response", G_CALLBACK(on_response), row);
    gtk_native_dialog_show(GTK_NATIVE_DIALOG(row->chooser));
}

static void rb_path_row_dispose(GObject *object)
{
    RbPathRow *row = RB_PATH_ROW(object);
    g_clear_object(&row->chooser);
    g_clear_pointer(&row->title, g_free);
    G_OBJECT_CLASS(rb_path_row_parent_class)->dispose(object);
}

static void rb_path_row_class_init(RbPathRowClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_path_row_dispose;
    chosen_signal = g_signal_new("chosen", RB_TYPE_PATH_ROW, G_SIGNAL_RUN_LAST, 0, NULL,
                                 NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_path_row_init(RbPathRow *row)
{
    GtkWidget *path = gtk_entry_new();
    GtkWidget *choose = rb_button_new(_("_Choose…"));
    row->path = GTK_EDITABLE(path);
    gtk_box_set_spacing(GTK_BOX(row), 6);
    gtk_widget_set_hexpand(path, true);
    g_signal_connect_swapped(path, "activate", G_CALLBACK(send_chosen), row);
    g_signal_connect_swapped(choose, "clicked", G_CALLBACK(on_choose), row);
    gtk_box_append(GTK_BOX(row), path);
    gtk_box_append(GTK_BOX(row), choose);
}

GtkWidget *rb_path_row_new(const char *name, const char *placeholder, const char *title,
                           GtkFileChooserAction action)
{
    RbPathRow *row = g_object_new(RB_TYPE_PATH_ROW, NULL);
    row->title = g_strdup(title);
    row->action = action;
    gtk_entry_set_placeholder_text(GTK_ENTRY(row->path), placeholder);
    gtk_widget_set_tooltip_text(GTK_WIDGET(row->path), name);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row->path),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
    return GTK_WIDGET(row);
}

const char *rb_path_row_get_path(RbPathRow *row)
{
    return gtk_editable_get_text(row->path);
}

void rb_path_row_show(RbPathRow *row, const char *path)
{
    gtk_editable_set_text(row->path, path);
}
