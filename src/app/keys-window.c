/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "keys-window.h"

#include <glib/gi18n.h>

#include "form.h"
#include "help.h"

struct _RbKeysWindow {
    GtkWindow parent_instance;
    GtkLabel *said;
    GtkSearchEntry *find;
    GtkListBox *list;
    GtkWidget *all; /* every key as delivered */

    RbKeys *keys; /* owned */
    int waiting;  /* row that waits for its new key; -1 none */
};

G_DEFINE_FINAL_TYPE(RbKeysWindow, rb_keys_window, GTK_TYPE_WINDOW)

static int row_index(GtkListBoxRow *row)
{
    return GPOINTER_TO_INT(g_object_get_data(G_OBJECT(row), "row"));
}

static void say_how(RbKeysWindow *window)
{
    gtk_label_set_text(window->said,
                       _("Enter on a row changes its key, Delete brings its own back. "
                         "Your keys are kept for you on this computer, not in the "
                         "library."));
}

static GtkLabel *key_label(GtkListBoxRow *row)
{
    return g_object_get_data(G_OBJECT(row), "key");
}

/* The row's keys, and what a screen reader says of it. */
static void show_row(RbKeysWindow *window, GtkListBoxRow *row)
{
    const int i = row_index(row);
    const RbKey *key = &rb_key_table[i];
    g_autofree char *text = rb_keys_text(window->keys, i);
    const bool changed = rb_keys_is_changed(window->keys, i);
    g_autofree char *name = g_strdup_printf(changed               ? _("%s: %s, changed")
                                            : key->action == NULL ? _("%s: %s, stays")
                                                                  : "%s: %s",
                                            _(key->title), text);
    gtk_label_set_text(key_label(row), i == window->waiting ? _("press a key") : text);
    gtk_widget_set_visible(g_object_get_data(G_OBJECT(row), "changed"), changed);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   name, -1);
}

static void show_all(RbKeysWindow *window)
{
    bool any = false;
    for (int i = 0; i < rb_n_keys; i++) {
        any = any || rb_keys_is_changed(window->keys, i);
        show_row(window, gtk_list_box_get_row_at_index(window->list, i));
    }
    gtk_widget_set_sensitive(window->all, any);
}

static GtkWidget *label_of(const char *text, const char *style)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    if (style != NULL) {
        gtk_widget_add_css_class(label, style);
    }
    return label;
}

static void add_row(RbKeysWindow *window, int i)
{
    const RbKey *key = &rb_key_table[i];
    GtkWidget *row = gtk_list_box_row_new();
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    GtkWidget *title = label_of(_(key->title), NULL);
    GtkWidget *changed = label_of(_("changed"), "small");
    GtkWidget *text = label_of("", "key");
    gtk_label_set_wrap(GTK_LABEL(title), TRUE);
    gtk_widget_set_hexpand(title, TRUE);
    gtk_widget_set_valign(text, GTK_ALIGN_CENTER);
    gtk_box_append(GTK_BOX(box), title);
    gtk_box_append(GTK_BOX(box), changed);
    gtk_box_append(GTK_BOX(box), text);
    gtk_widget_set_margin_start(box, 10);
    gtk_widget_set_margin_end(box, 10);
    gtk_widget_set_margin_top(box, 3);
    gtk_widget_set_margin_bottom(box, 3);
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    if (key->action == NULL) {
        gtk_widget_add_css_class(title, "muted");
    }
    g_object_set_data(G_OBJECT(row), "row", GINT_TO_POINTER(i));
    g_object_set_data(G_OBJECT(row), "key", text);
    g_object_set_data(G_OBJECT(row), "changed", changed);
    gtk_list_box_append(window->list, row);
}

static void add_head(GtkListBoxRow *row, GtkListBoxRow *before, gpointer data)
{
    (void)data;
    const RbKeyGroup group = rb_key_table[row_index(row)].group;
    if (before != NULL && rb_key_table[row_index(before)].group == group) {
        gtk_list_box_row_set_header(row, NULL);
        return;
    }
    GtkWidget *head = label_of(rb_key_group_title(group), "section");
    gtk_widget_set_margin_start(head, 10);
    gtk_widget_set_margin_top(head, 12);
    gtk_widget_set_margin_bottom(head, 2);
    gtk_list_box_row_set_header(row, head);
}

static gboolean is_found(GtkListBoxRow *row, gpointer data)
{
    RbKeysWindow *window = data;
    const int i = row_index(row);
    g_autofree char *asked =
        g_utf8_casefold(gtk_editable_get_text(GTK_EDITABLE(window->find)), -1);
    g_autofree char *text = rb_keys_text(window->keys, i);
    g_autofree char *all = g_strconcat(_(rb_key_table[i].title), " ", text, NULL);
    g_autofree char *folded = g_utf8_casefold(all, -1);
    return strstr(folded, asked) != NULL;
}

static void wait_for(RbKeysWindow *window, int i)
{
    window->waiting = i;
    if (i >= 0) {
        g_autofree char *sentence =
            g_strdup_printf(_("Press the new key for “%s”. Escape leaves it as it is."),
                            _(rb_key_table[i].title));
        gtk_label_set_text(window->said, sentence);
    }
    show_all(window);
}

static void on_activated(RbKeysWindow *window, GtkListBoxRow *row)
{
    if (rb_key_table[row_index(row)].action == NULL) {
        g_autofree char *sentence = g_strdup_printf(
            _("The key of “%s” stays as it is."), _(rb_key_table[row_index(row)].title));
        gtk_label_set_text(window->said, sentence);
    } else {
        wait_for(window, row_index(row));
    }
}

static void tell(RbKeysWindow *window, int i, bool done, const GError *error)
{
    if (!done) {
        gtk_label_set_text(window->said, error->message);
        return;
    }
    g_autofree char *text = rb_keys_text(window->keys, i);
    g_autofree char *sentence =
        g_strdup_printf(_("“%s” is now on %s."), _(rb_key_table[i].title), text);
    gtk_label_set_text(window->said, sentence);
}

/* While a row waits every key is its answer, but for Shift, Ctrl and Alt alone. */
static void take_key(RbKeysWindow *window, guint keyval, GdkModifierType state)
{
    const int i = window->waiting;
    window->waiting = -1;
    if (keyval == GDK_KEY_Escape) {
        say_how(window);
    } else {
        g_autoptr(GError) error = NULL;
        const bool done = rb_keys_change(window->keys, i, keyval, state, &error);
        tell(window, i, done, error);
    }
    show_all(window);
}

static bool is_modifier(GtkEventControllerKey *controller)
{
    GdkEvent *event =
        gtk_event_controller_get_current_event(GTK_EVENT_CONTROLLER(controller));
    return event != NULL && gdk_key_event_is_modifier(event);
}

static void reset_chosen(RbKeysWindow *window)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(window->list);
    if (row != NULL && rb_keys_is_changed(window->keys, row_index(row))) {
        g_autoptr(GError) error = NULL;
        const bool done = rb_keys_reset(window->keys, row_index(row), &error);
        tell(window, row_index(row), done, error);
    }
}

static gboolean on_key(GtkEventControllerKey *controller, guint keyval, guint code,
                       GdkModifierType state, RbKeysWindow *window)
{
    (void)code;
    if (window->waiting >= 0) {
        if (!is_modifier(controller)) {
            take_key(window, keyval, state);
        }
        return GDK_EVENT_STOP;
    }
    const bool finding = (gtk_widget_get_state_flags(GTK_WIDGET(window->find)) &
                          GTK_STATE_FLAG_FOCUS_WITHIN) != 0;
    if (keyval == GDK_KEY_Escape) {
        gtk_window_close(GTK_WINDOW(window));
        return GDK_EVENT_STOP;
    }
    if (keyval == GDK_KEY_Delete && !finding) {
        reset_chosen(window);
        return GDK_EVENT_STOP;
    }
    return GDK_EVENT_PROPAGATE;
}

static void on_all(RbKeysWindow *window)
{
    rb_keys_reset_all(window->keys);
    say_how(window);
}

static GtkWidget *make_top(RbKeysWindow *window)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 8);
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    GtkWidget *find = gtk_search_entry_new();
    window->find = GTK_SEARCH_ENTRY(find);
    window->all = rb_button_new(_("All as _delivered"));
    window->said = GTK_LABEL(label_of("", "second"));
    gtk_label_set_wrap(window->said, TRUE);
    g_object_set(window->said, "accessible-role", GTK_ACCESSIBLE_ROLE_STATUS, NULL);
    gtk_widget_set_hexpand(find, TRUE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(find), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Find a key or what it does"), -1);
    g_object_set(find, "placeholder-text", _("Find a key or what it does"), NULL);
    g_signal_connect_swapped(find, "search-changed",
                             G_CALLBACK(gtk_list_box_invalidate_filter), window->list);
    g_signal_connect_swapped(window->all, "clicked", G_CALLBACK(on_all), window);
    gtk_box_append(GTK_BOX(row), find);
    gtk_box_append(GTK_BOX(row), window->all);
    gtk_box_append(GTK_BOX(box), row);
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(window->said));
    gtk_widget_set_margin_start(box, 10);
    gtk_widget_set_margin_end(box, 10);
    gtk_widget_set_margin_top(box, 10);
    gtk_widget_set_margin_bottom(box, 6);
    return box;
}

static void rb_keys_window_dispose(GObject *object)
{
    g_clear_object(&RB_KEYS_WINDOW(object)->keys);
    G_OBJECT_CLASS(rb_keys_window_parent_class)->dispose(object);
}

static void rb_keys_window_class_init(RbKeysWindowClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_keys_window_dispose;
}

static void rb_keys_window_init(RbKeysWindow *window)
{
    rb_help_mark(GTK_WIDGET(window), "tagging.html");
    window->waiting = -1;
    window->list = GTK_LIST_BOX(gtk_list_box_new());
    gtk_list_box_set_header_func(window->list, add_head, NULL, NULL);
    gtk_accessible_update_property(GTK_ACCESSIBLE(window->list),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Keys"), -1);
    g_signal_connect_swapped(window->list, "row-activated", G_CALLBACK(on_activated),
                             window);
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 0);
    GtkWidget *scroll = gtk_scrolled_window_new();
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(scroll), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scroll), GTK_WIDGET(window->list));
    gtk_widget_set_vexpand(scroll, TRUE);
    gtk_box_append(GTK_BOX(box), make_top(window));
    gtk_box_append(GTK_BOX(box), scroll);
    gtk_window_set_child(GTK_WINDOW(window), box);
    gtk_window_set_title(GTK_WINDOW(window), _("Keys"));
    gtk_window_set_default_size(GTK_WINDOW(window), 560, 660);
    gtk_widget_add_css_class(GTK_WIDGET(window), "readbreak");
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_key), window);
    gtk_widget_add_controller(GTK_WIDGET(window), keys);
}

void rb_keys_window_open(GtkWindow *parent, RbKeys *keys)
{
    RbKeysWindow *window = g_object_new(RB_TYPE_KEYS_WINDOW, "transient-for", parent,
                                        "destroy-with-parent", TRUE, NULL);
    window->keys = g_object_ref(keys);
    for (int i = 0; i < rb_n_keys; i++) {
        add_row(window, i);
    }
    gtk_list_box_set_filter_func(window->list, is_found, window, NULL);
    g_signal_connect_object(keys, "changed", G_CALLBACK(show_all), window,
                            G_CONNECT_SWAPPED);
    show_all(window);
    say_how(window);
    gtk_window_present(GTK_WINDOW(window));
    gtk_widget_grab_focus(GTK_WIDGET(gtk_list_box_get_row_at_index(window->list, 0)));
}
