/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "new-game-window.h"

#include <glib/gi18n.h>

#include "rb/work/games.h"

#include "form.h"
#include "help.h"
#include "rail-errands.h"

struct _RbNewGameWindow {
    GtkWindow parent_instance;
    GtkEditable *title;
    GtkEditable *played_on;
    GtkEditable *them;
    GtkEditable *us;
    GtkDropDown *kind;
    GtkDropDown *rules;
    GtkLabel *said;

    RbSession *session; /* owned */
    RbGameId waited;    /* being added; 0: none */
};

G_DEFINE_FINAL_TYPE(RbNewGameWindow, rb_new_game_window, GTK_TYPE_WINDOW)

static void *add_errand(RbStoreSide *side, void *data, RbCancel *cancel,
                        RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    char *words = NULL;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    if (rb_library_add_game(side->library, data, &words, error).value == 0) {
        return NULL;
    }
    rb_library_has_changed(side->library); /* the window reads again anyway */
    return rb_words_answer_new(words);
}

static void free_entry(void *entry)
{
    rb_game_entry_free(entry);
}

static char *text_of(GtkEditable *field)
{
    return g_strstrip(g_strdup(gtk_editable_get_text(field)));
}

static void on_add(RbNewGameWindow *window)
{
    g_autoptr(RbGameEntry) entry = g_new0(RbGameEntry, 1);
    entry->title = text_of(window->title);
    entry->played_on = text_of(window->played_on);
    entry->them = text_of(window->them);
    entry->us = text_of(window->us);
    entry->kind = (RbGameKind)gtk_drop_down_get_selected(window->kind);
    entry->rules = (RbRules)gtk_drop_down_get_selected(window->rules);
    window->waited = rb_game_id_of(entry->played_on, entry->title);
    rb_session_change(window->session, add_errand, g_steal_pointer(&entry), free_entry);
}

/* The library tells of its games: the one that was added is shown. */
static void on_names(RbNewGameWindow *window)
{
    const RbNames *names = rb_session_get_names(window->session);
    if (window->waited.value != 0 && names != NULL &&
        rb_names_find_game(names, window->waited) != NULL) {
        rb_session_set_game(window->session, window->waited);
        gtk_window_close(GTK_WINDOW(window));
    }
}

/* What came of it is said here too: a refusal, and what to do. */
static void on_said(RbNewGameWindow *window, const char *sentence)
{
    if (window->waited.value != 0) {
        gtk_label_set_text(window->said, sentence);
    }
}

static void rb_new_game_window_dispose(GObject *object)
{
    g_clear_object(&RB_NEW_GAME_WINDOW(object)->session);
    G_OBJECT_CLASS(rb_new_game_window_parent_class)->dispose(object);
}

static void rb_new_game_window_class_init(RbNewGameWindowClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_new_game_window_dispose;
    gtk_widget_class_add_binding_action(GTK_WIDGET_CLASS(klass), GDK_KEY_Escape, 0,
                                        "window.close", NULL);
}

/* label: with a mnemonic, the field's name for screen readers too. */
static void add_field(GtkGrid *grid, int row, const char *label, GtkWidget *field)
{
    GtkWidget *text = gtk_label_new_with_mnemonic(label);
    gtk_label_set_xalign(GTK_LABEL(text), 0);
    gtk_label_set_mnemonic_widget(GTK_LABEL(text), field);
    gtk_widget_set_hexpand(field, TRUE);
    gtk_grid_attach(grid, text, 0, row, 1, 1);
    gtk_grid_attach(grid, field, 1, row, 1, 1);
}

static GtkEditable *add_entry(RbNewGameWindow *window, GtkGrid *grid, int row,
                              const char *label, const char *hint)
{
    GtkWidget *entry = gtk_entry_new();
    gtk_entry_set_placeholder_text(GTK_ENTRY(entry), hint);
    g_signal_connect_swapped(entry, "activate", G_CALLBACK(on_add), window);
    add_field(grid, row, label, entry);
    return GTK_EDITABLE(entry);
}

static GtkDropDown *add_menu(GtkGrid *grid, int row, const char *label,
                             const RbWords *words)
{
    g_autoptr(GtkStringList) labels = gtk_string_list_new(NULL);
    for (int i = 0; i < words->n; i++) {
        gtk_string_list_append(labels, rb_words_label(words, i));
    }
    GtkWidget *menu = gtk_drop_down_new(G_LIST_MODEL(g_steal_pointer(&labels)), NULL);
    add_field(grid, row, label, menu);
    return GTK_DROP_DOWN(menu);
}

static GtkWidget *make_fields(RbNewGameWindow *window)
{
    GtkWidget *widget = gtk_grid_new();
    GtkGrid *grid = GTK_GRID(widget);
    gtk_grid_set_row_spacing(grid, 8);
    gtk_grid_set_column_spacing(grid, 12);
    window->title = add_entry(window, grid, 0, _("_Name"), _("Week 3 at Harbor City"));
    window->played_on = add_entry(window, grid, 1, _("_Date"), _("2026-09-12"));
    window->them = add_entry(window, grid, 2, _("_Against"), _("The other team"));
    window->us = add_entry(window, grid, 3, _("_Our team"),
                           _("Only when the library does not know it yet"));
    window->kind = add_menu(grid, 4, _("_Kind"), &rb_game_kind_words);
    window->rules = add_menu(grid, 5, _("_Rules"), &rb_rules_words);
    gtk_drop_down_set_selected(window->rules, RB_RULES_COLLEGE);
    return widget;
}

static void rb_new_game_window_init(RbNewGameWindow *window)
{
    rb_help_mark(GTK_WIDGET(window), "tagging.html#film");
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 12);
    GtkWidget *add = rb_button_new(_("Add the _game"));
    GtkWidget *said = gtk_label_new(
        _("Film and snaps go to a game. Load its film next, or log its snaps."));
    window->said = GTK_LABEL(said);
    gtk_label_set_wrap(window->said, TRUE);
    gtk_label_set_xalign(window->said, 0);
    gtk_label_set_max_width_chars(window->said, 44);
    gtk_widget_add_css_class(said, "second");
    gtk_widget_add_css_class(add, "suggested-action");
    gtk_widget_set_halign(add, GTK_ALIGN_END);
    g_signal_connect_swapped(add, "clicked", G_CALLBACK(on_add), window);
    gtk_box_append(GTK_BOX(box), said);
    gtk_box_append(GTK_BOX(box), make_fields(window));
    gtk_box_append(GTK_BOX(box), add);
    gtk_widget_set_margin_start(box, 14);
    gtk_widget_set_margin_end(box, 14);
    gtk_widget_set_margin_top(box, 14);
    gtk_widget_set_margin_bottom(box, 14);
    gtk_window_set_child(GTK_WINDOW(window), box);
    gtk_window_set_title(GTK_WINDOW(window), _("New game"));
    gtk_window_set_default_size(GTK_WINDOW(window), 480, -1);
    gtk_widget_add_css_class(GTK_WIDGET(window), "readbreak");
}

void rb_new_game_window_open(GtkWindow *parent, RbSession *session)
{
    RbNewGameWindow *window = g_object_new(RB_TYPE_NEW_GAME_WINDOW, "transient-for",
                                           parent, "destroy-with-parent", TRUE, NULL);
    window->session = g_object_ref(session);
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    g_autofree char *today = g_date_time_format(now, "%F");
    gtk_editable_set_text(window->played_on, today);
    g_signal_connect_object(session, "names", G_CALLBACK(on_names), window,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "said", G_CALLBACK(on_said), window,
                            G_CONNECT_SWAPPED);
    gtk_widget_grab_focus(GTK_WIDGET(window->title));
    gtk_window_present(GTK_WINDOW(window));
}
