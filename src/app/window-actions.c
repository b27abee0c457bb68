/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>

#include "exchange-panel.h"
#include "film-keys.h"
#include "film-panel.h"
#include "help-window.h"
#include "help.h"
#include "keys-window.h"
#include "log-keys.h"
#include "log-panel.h"
#include "new-game-window.h"
#include "print.h"
#include "quarterback-desk.h"
#include "required-window.h"
#include "snap-marks-panel.h"
#include "window.h"

/* The deck when the Chart desk is shown: its keys mean nothing on another desk. */
static RbDeck *shown_deck(RbWindow *window)
{
    if (g_strcmp0(rb_window_get_desk(window), "cut-ups") == 0) {
        return rb_cutups_desk_get_deck(rb_window_get_cutups(window));
    }
    return g_strcmp0(rb_window_get_desk(window), "chart") == 0
               ? rb_chart_desk_get_deck(rb_window_get_chart(window))
               : NULL;
}

static bool on_desk_named(RbWindow *window, const char *desk)
{
    return g_strcmp0(rb_window_get_desk(window), desk) == 0;
}

static void on_desk(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    rb_window_show_desk(data, g_variant_get_string(value, NULL));
}

static void on_undo(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_session_undo(rb_window_get_session(data));
}

static void on_redo(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_session_redo(rb_window_get_session(data));
}

static void on_play(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    RbDeck *deck = shown_deck(data);
    if (on_desk_named(data, "cut-ups")) {
        rb_cutups_desk_toggle(rb_window_get_cutups(data));
    } else if (deck != NULL) {
        rb_deck_toggle(deck);
    }
}

static void on_stop(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    RbDeck *deck = shown_deck(data);
    if (deck != NULL) {
        rb_deck_play(deck, 0);
    }
}

static void on_step(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    RbDeck *deck = shown_deck(data);
    const int frames = g_variant_get_int32(value);
    if (deck != NULL && rb_film_keys_is_held(data)) {
        rb_deck_hold(deck, frames);
    } else if (deck != NULL) {
        rb_deck_step(deck, frames);
    }
}

static void on_shuttle(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    RbDeck *deck = shown_deck(data);
    if (deck != NULL) {
        rb_deck_shuttle(deck, g_variant_get_int32(value));
    }
}

static void on_jump(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    RbDeck *deck = shown_deck(data);
    const int direction = g_variant_get_int32(value);
    if (on_desk_named(data, "chart")) {
        rb_chart_desk_jump(rb_window_get_chart(data), direction);
    } else if (deck != NULL && direction == 0) {
        rb_deck_jump_to(deck, RB_MARK_SNAP);
    } else if (deck != NULL) {
        rb_deck_jump(deck, direction);
    }
}

static void on_angle(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action; /* its state follows the deck */
    int angle = 0;
    if (rb_words_parse(&rb_angle_words, g_variant_get_string(value, NULL), &angle)) {
        rb_deck_set_angle(rb_chart_desk_get_deck(rb_window_get_chart(data)), angle);
    }
}

static void on_switch_angle(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    RbDeck *deck = shown_deck(data);
    if (on_desk_named(data, "chart")) {
        rb_chart_desk_switch_angle(rb_window_get_chart(data));
    } else if (deck != NULL) {
        rb_deck_switch_angle(deck);
    }
}

static void on_go(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    if (on_desk_named(data, "cut-ups")) {
        rb_cutups_desk_go(rb_window_get_cutups(data), g_variant_get_int32(value));
    } else if (on_desk_named(data, "chart")) {
        rb_chart_desk_go(rb_window_get_chart(data), g_variant_get_int32(value));
    }
}

static void on_read(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    if (on_desk_named(data, "chart")) {
        rb_chart_desk_cycle_read(rb_window_get_chart(data), g_variant_get_int32(value));
    }
}

static void on_tags(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (on_desk_named(data, "chart")) {
        rb_chart_desk_focus_tags(rb_window_get_chart(data));
    }
}

static void on_rail(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (shown_deck(data) != NULL) {
        rb_chart_desk_focus_rail(rb_window_get_chart(data));
    }
}

static void on_settle(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (on_desk_named(data, "chart")) {
        rb_chart_desk_settle(rb_window_get_chart(data));
    }
}

static void on_draw(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (on_desk_named(data, "chart")) {
        rb_chart_desk_draw(rb_window_get_chart(data));
    }
}

static void on_measure(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (on_desk_named(data, "chart")) {
        rb_chart_desk_measure(rb_window_get_chart(data));
    }
}

static void on_make_cutup(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_window_make_cutup(data, false);
}

static void on_make_live_cutup(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_window_make_cutup(data, true);
}

static void on_drawer(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    const char *page = g_variant_get_string(value, NULL);
    rb_window_show_drawer(data, *page != '\0' ? page : NULL);
}

static void on_step_out(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_window_step_out(data);
}

static void on_cancel(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_session_cancel(rb_window_get_session(data));
}

static void on_open_library(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_window_choose_library(data);
}

static void on_open_last(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    RbSession *session = rb_window_get_session(data);
    if (rb_session_get_last(session) != NULL) {
        rb_session_open(session, rb_session_get_last(session));
    }
}

static void on_new_library(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_window_new_library(data);
}

static void on_new_game(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (rb_session_get_state(rb_window_get_session(data)) == RB_SESSION_OPEN) {
        rb_new_game_window_open(data, rb_window_get_session(data));
    } else {
        rb_window_say(data, _("No library is open: open one or make a new one first."));
    }
}

static void on_play_log(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_log_panel_open(data, rb_window_get_session(data));
}

static void on_load_film(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_film_panel_open(data, rb_window_get_session(data));
}

static void on_find_snaps(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_snap_marks_panel_open(data, rb_window_get_session(data));
}

static void on_exchange(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_exchange_panel_open(data, rb_window_get_session(data));
}

static void on_find_film(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_window_choose_film_folder(data);
}

static void on_quiz(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    if (on_desk_named(data, "quarterback")) {
        rb_quarterback_desk_begin_quiz(rb_window_get_quarterback(data));
    }
}

static void on_required(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_required_window_open(data, rb_window_get_session(data));
}

static void on_help(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    GtkWidget *focus = gtk_window_get_focus(data);
    rb_help_window_open(data, rb_help_topic_of(focus));
}

static void on_contents(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    rb_help_window_open(data, g_variant_get_string(value, NULL));
}

static void on_keys(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_keys_window_open(data, rb_keys_get());
}

/* Films dropped anywhere on the window are loaded. */
static gboolean on_drop(GtkDropTarget *target, const GValue *value, double x, double y,
                        RbWindow *window)
{
    (void)target;
    (void)x;
    (void)y;
    g_autoptr(GSList) files = gdk_file_list_get_files(g_value_get_boxed(value));
    return rb_film_panel_open_with(GTK_WINDOW(window), rb_window_get_session(window),
                                   files);
}

static void add_drop(RbWindow *window)
{
    GtkDropTarget *drop = gtk_drop_target_new(GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);
    g_signal_connect(drop, "drop", G_CALLBACK(on_drop), window);
    gtk_widget_add_controller(GTK_WIDGET(window), GTK_EVENT_CONTROLLER(drop));
}

void rb_window_add_actions(RbWindow *window)
{
    static const GActionEntry entries[] = {
        { .name = "desk",
          .parameter_type = "s",
          .state = "'chart'",
          .change_state = on_desk },
        { .name = "angle",
          .parameter_type = "s",
          .state = "'wide'",
          .change_state = on_angle },
        { .name = "undo", .activate = on_undo },
        { .name = "redo", .activate = on_redo },
        { .name = "play", .activate = on_play },
        { .name = "stop", .activate = on_stop },
        { .name = "step", .activate = on_step, .parameter_type = "i" },
        { .name = "shuttle", .activate = on_shuttle, .parameter_type = "i" },
        { .name = "jump", .activate = on_jump, .parameter_type = "i" },
        { .name = "switch-angle", .activate = on_switch_angle },
        { .name = "go", .activate = on_go, .parameter_type = "i" },
        { .name = "read", .activate = on_read, .parameter_type = "i" },
        { .name = "tags", .activate = on_tags },
        { .name = "settle", .activate = on_settle },
        { .name = "make-cutup", .activate = on_make_cutup },
        { .name = "make-live-cutup", .activate = on_make_live_cutup },
        { .name = "rail", .activate = on_rail },
        { .name = "draw", .activate = on_draw },
        { .name = "measure", .activate = on_measure },
        { .name = "drawer", .activate = on_drawer, .parameter_type = "s" },
        { .name = "step-out", .activate = on_step_out },
        { .name = "cancel-open", .activate = on_cancel },
        { .name = "open-library", .activate = on_open_library },
        { .name = "open-last", .activate = on_open_last },
        { .name = "new-library", .activate = on_new_library },
        { .name = "new-game", .activate = on_new_game },
        { .name = "find-film", .activate = on_find_film },
        { .name = "play-log", .activate = on_play_log },
        { .name = "load-film", .activate = on_load_film },
        { .name = "find-snaps", .activate = on_find_snaps },
        { .name = "exchange", .activate = on_exchange },
        { .name = "quiz", .activate = on_quiz },
        { .name = "help", .activate = on_help },
        { .name = "help-on", .activate = on_contents, .parameter_type = "s" },
        { .name = "keys", .activate = on_keys },
        { .name = "required", .activate = on_required },
    };
    g_action_map_add_action_entries(G_ACTION_MAP(window), entries, G_N_ELEMENTS(entries),
                                    window);
    add_drop(window);
    rb_window_add_paper_actions(window);
    rb_film_keys_add(window);
    rb_log_keys_add(window);
}

void rb_window_set_action_state(RbWindow *window, const char *action, const char *state)
{
    GAction *found = g_action_map_lookup_action(G_ACTION_MAP(window), action);
    g_simple_action_set_state(G_SIMPLE_ACTION(found), g_variant_new_string(state));
}
