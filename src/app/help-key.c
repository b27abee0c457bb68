/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "help-key.h"

#include "help-window.h"
#include "help.h"
#include "keys.h"

#define SERVED "rb-help-key"

static gboolean on_help(GtkWidget *widget, GVariant *value, gpointer data)
{
    (void)value;
    (void)data;
    GtkWindow *window = GTK_WINDOW(widget);
    if (GTK_IS_APPLICATION_WINDOW(window)) {
        return FALSE; /* its own action does it */
    }
    if (RB_IS_HELP_WINDOW(window)) {
        rb_help_window_open(gtk_window_get_transient_for(window), rb_help_pages[0]);
        return TRUE;
    }
    GtkWidget *focus = gtk_window_get_focus(window);
    rb_help_window_open(window, rb_help_topic_of(focus != NULL ? focus : widget));
    return TRUE;
}

static const char *accelerators(RbKeys *keys)
{
    int row = 0;
    while (g_strcmp0(rb_key_table[row].action, "win.help") != 0) {
        row++;
    }
    return rb_keys_of(keys, row);
}

static void fill(RbKeys *keys, GtkShortcutController *controller)
{
    GListModel *model = G_LIST_MODEL(controller);
    while (g_list_model_get_n_items(model) > 0) {
        g_autoptr(GtkShortcut) old = g_list_model_get_item(model, 0);
        gtk_shortcut_controller_remove_shortcut(controller, old);
    }
    g_auto(GStrv) list = g_strsplit(accelerators(keys), " ", -1);
    for (char **accelerator = list; *accelerator != NULL; accelerator++) {
        guint keyval = 0;
        GdkModifierType state = 0;
        if (gtk_accelerator_parse(*accelerator, &keyval, &state)) {
            gtk_shortcut_controller_add_shortcut(
                controller,
                gtk_shortcut_new(gtk_keyval_trigger_new(keyval, state),
                                 gtk_callback_action_new(on_help, NULL, NULL)));
        }
    }
}

/* A window is in the list before it is of its own type: what it is, is asked when the key comes. */
static void serve(GtkWidget *window)
{
    if (g_object_get_data(G_OBJECT(window), SERVED) != NULL) {
        return;
    }
    GtkShortcutController *controller =
        GTK_SHORTCUT_CONTROLLER(gtk_shortcut_controller_new());
    g_object_set_data(G_OBJECT(window), SERVED, controller);
    fill(rb_keys_get(), controller);
    g_signal_connect_object(rb_keys_get(), "changed", G_CALLBACK(fill), controller, 0);
    gtk_widget_add_controller(window, GTK_EVENT_CONTROLLER(controller));
}

static void on_windows(GListModel *windows, guint at, guint removed, guint added)
{
    (void)removed;
    for (guint i = at; i < at + added; i++) {
        g_autoptr(GtkWidget) window = g_list_model_get_item(windows, i);
        serve(window);
    }
}

void rb_help_key_serve(void)
{
    static bool serves = false;
    if (!serves) {
        serves = true;
        g_signal_connect(gtk_window_get_toplevels(), "items-changed",
                         G_CALLBACK(on_windows), NULL);
    }
}
