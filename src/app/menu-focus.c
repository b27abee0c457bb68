/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "menu-focus.h"

#include <stdbool.h>

typedef struct {
    GtkMenuButton *button; /* borrowed: it owns this */
    GtkWindow *window;     /* weak, nullable: which it is in */
    gulong handler;        /* of the window's focus */
    GtkWidget *before;     /* weak, nullable: had the keyboard last, outside the menu */
    guint idle;
} MenuFocus;

static GtkWidget *popover_of(const MenuFocus *focus)
{
    return GTK_WIDGET(gtk_menu_button_get_popover(focus->button));
}

static void on_focus(MenuFocus *focus)
{
    GtkWidget *now = gtk_window_get_focus(focus->window);
    GtkWidget *popover = popover_of(focus);
    if (now != NULL && (popover == NULL || !gtk_widget_is_ancestor(now, popover))) {
        g_set_weak_pointer(&focus->before, now);
    }
}

static gboolean give_back(void *data)
{
    MenuFocus *focus = data;
    focus->idle = 0;
    GtkWidget *now = focus->window != NULL ? gtk_window_get_focus(focus->window) : NULL;
    GtkWidget *popover = popover_of(focus);
    const bool open = popover != NULL && gtk_widget_get_mapped(popover);
    if (focus->window == NULL || open || (now != NULL && gtk_widget_get_mapped(now))) {
        return G_SOURCE_REMOVE;
    }
    gtk_window_set_focus(focus->window, NULL);
    if (focus->before == NULL || !gtk_widget_get_mapped(focus->before) ||
        !gtk_widget_grab_focus(focus->before)) {
        gtk_widget_grab_focus(GTK_WIDGET(focus->button));
    }
    return G_SOURCE_REMOVE;
}

/* Only afterwards is it known where GTK leaves the keyboard. */
static void on_closed(MenuFocus *focus)
{
    if (focus->idle == 0) {
        focus->idle = g_idle_add(give_back, focus);
    }
}

static void on_popover(MenuFocus *focus)
{
    GtkWidget *popover = popover_of(focus);
    if (popover != NULL) {
        g_signal_connect_swapped(popover, "closed", G_CALLBACK(on_closed), focus);
    }
}

static void leave_window(MenuFocus *focus)
{
    if (focus->window != NULL) {
        g_clear_signal_handler(&focus->handler, focus->window);
        g_clear_weak_pointer(&focus->window);
    }
}

static void on_root(MenuFocus *focus)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(focus->button));
    leave_window(focus);
    if (GTK_IS_WINDOW(root)) {
        g_set_weak_pointer(&focus->window, GTK_WINDOW(root));
        focus->handler = g_signal_connect_swapped(root, "notify::focus-widget",
                                                  G_CALLBACK(on_focus), focus);
    }
}

static void free_focus(void *data)
{
    MenuFocus *focus = data;
    leave_window(focus);
    g_clear_handle_id(&focus->idle, g_source_remove);
    g_clear_weak_pointer(&focus->before);
    g_free(focus);
}

void rb_menu_gives_keyboard_back(GtkMenuButton *button)
{
    MenuFocus *focus = g_new0(MenuFocus, 1);
    focus->button = button;
    g_object_set_data_full(G_OBJECT(button), "rb-menu-focus", focus, free_focus);
    g_signal_connect_swapped(button, "notify::root", G_CALLBACK(on_root), focus);
    g_signal_connect_swapped(button, "notify::popover", G_CALLBACK(on_popover), focus);
    on_root(focus);
    on_popover(focus);
}
