/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-keys.h"

#include "film-settings.h"

/* How far one key moves an enlarged picture, as a part of what is seen. */
#define PAN 0.15

typedef struct {
    RbWindow *window; /* borrowed: the window owns this */
    guint keyval;     /* of the key that is down; 0 none */
    bool held;        /* it repeats */
} Watch;

static bool film_is_shown(RbWindow *window)
{
    return g_strcmp0(rb_window_get_desk(window), "chart") == 0;
}

static RbDeck *deck_of(RbWindow *window)
{
    return rb_chart_desk_get_deck(rb_window_get_chart(window));
}

static RbFilmView *view_of(RbWindow *window)
{
    return rb_chart_desk_get_film(rb_window_get_chart(window));
}

static void on_loop(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (film_is_shown(data)) {
        RbDeck *deck = deck_of(data);
        rb_deck_set_loop(deck, !rb_deck_get_loop(deck));
    }
}

/* 0 and 1: the frame shown becomes the span's first, last; -1: the whole clip again. */
static void on_span(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    const int end = g_variant_get_int32(value);
    if (!film_is_shown(data)) {
        return;
    }
    if (end < 0) {
        rb_deck_clear_span(deck_of(data));
    } else {
        rb_deck_set_span_end(deck_of(data), end);
    }
}

static void on_both(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (film_is_shown(data)) {
        RbDeck *deck = deck_of(data);
        rb_deck_set_both(deck, !rb_deck_get_both(deck));
    }
}

static void on_zoom(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    if (film_is_shown(data)) {
        rb_film_view_zoom(view_of(data), g_variant_get_int32(value));
    }
}

/* 0 left, 1 right, 2 up, 3 down. */
static void on_pan(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    static const double ways[][2] = { { -PAN, 0 }, { PAN, 0 }, { 0, -PAN }, { 0, PAN } };
    const int way = g_variant_get_int32(value);
    if (film_is_shown(data) && way >= 0 && way < (int)G_N_ELEMENTS(ways)) {
        rb_film_view_pan(view_of(data), ways[way][0], ways[way][1]);
    }
}

static void on_counts(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (film_is_shown(data)) {
        rb_film_view_toggle_counts(view_of(data));
    }
}

/* Only looks on: what a key does is decided elsewhere. */
static gboolean on_pressed(GtkEventControllerKey *controller, guint keyval, guint keycode,
                           GdkModifierType state, gpointer data)
{
    (void)controller;
    (void)keycode;
    (void)state;
    Watch *watch = data;
    watch->held = watch->keyval == keyval;
    watch->keyval = keyval;
    return FALSE;
}

static void on_released(GtkEventControllerKey *controller, guint keyval, guint keycode,
                        GdkModifierType state, gpointer data)
{
    (void)controller;
    (void)keycode;
    (void)state;
    Watch *watch = data;
    if (watch->keyval == keyval) {
        watch->keyval = 0;
        watch->held = false;
    }
    rb_deck_let_go(deck_of(watch->window));
}

/* A window that is left hears no release. */
static void on_active(RbWindow *window)
{
    Watch *watch = g_object_get_data(G_OBJECT(window), "film-keys");
    if (!gtk_window_is_active(GTK_WINDOW(window))) {
        watch->keyval = 0;
        watch->held = false;
        rb_deck_let_go(deck_of(window));
    }
}

bool rb_film_keys_is_held(RbWindow *window)
{
    const Watch *watch = g_object_get_data(G_OBJECT(window), "film-keys");
    return watch != NULL && watch->held;
}

void rb_film_keys_add(RbWindow *window)
{
    static const GActionEntry entries[] = {
        { .name = "loop", .activate = on_loop },
        { .name = "span", .activate = on_span, .parameter_type = "i" },
        { .name = "both", .activate = on_both },
        { .name = "zoom", .activate = on_zoom, .parameter_type = "i" },
        { .name = "pan", .activate = on_pan, .parameter_type = "i" },
        { .name = "counts", .activate = on_counts },
    };
    g_autoptr(GSimpleActionGroup) group = g_simple_action_group_new();
    g_action_map_add_action_entries(G_ACTION_MAP(group), entries, G_N_ELEMENTS(entries),
                                    window);
    rb_film_settings_add_actions(G_ACTION_MAP(group));
    gtk_widget_insert_action_group(GTK_WIDGET(window), "film", G_ACTION_GROUP(group));
    Watch *watch = g_new0(Watch, 1);
    watch->window = window;
    g_object_set_data_full(G_OBJECT(window), "film-keys", watch, g_free);
    GtkEventController *look = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(look, GTK_PHASE_CAPTURE);
    g_signal_connect(look, "key-pressed", G_CALLBACK(on_pressed), watch);
    g_signal_connect(look, "key-released", G_CALLBACK(on_released), watch);
    gtk_widget_add_controller(GTK_WIDGET(window), look);
    g_signal_connect(window, "notify::is-active", G_CALLBACK(on_active), NULL);
}
