/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "window.h"

#include <glib/gi18n.h>

#include "access.h"
#include "cutups-desk.h"
#include "drawer.h"
#include "form.h"
#include "key-tips.h"
#include "keys.h"
#include "menu-focus.h"
#include "notice.h"
#include "pairings-desk.h"
#include "place.h"
#include "playbook-desk.h"
#include "quarterback-desk.h"
#include "start-page.h"

struct _RbWindow {
    GtkApplicationWindow parent_instance;
    /* template children */
    GtkStack *front;
    RbNotice *notice;
    RbStartPage *start;
    GtkStack *stack;
    RbChartDesk *chart;
    RbPlaybookDesk *playbook;
    RbPairingsDesk *pairings;
    RbQuarterbackDesk *quarterback;
    RbCutupsDesk *cut_ups;
    GtkDropDown *games;
    GtkLabel *who;
    GtkLabel *said;
    RbDrawer *drawer;
    GtkShortcutController *keys;
    GtkMenuButton *menu;
    GMenuModel *menu_model; /* owned, nullable: taken off the button for now */

    RbSession *session;         /* owned */
    GtkFileChooserNative *file; /* owned, nullable: while it is open */
    bool is_filling;            /* the list of games, not a choice */
};

G_DEFINE_FINAL_TYPE(RbWindow, rb_window, GTK_TYPE_APPLICATION_WINDOW)

static void focus_desk(RbWindow *window)
{
    const char *desk = rb_window_get_desk(window);
    if (g_str_equal(desk, "chart")) {
        rb_chart_desk_focus_rail(window->chart);
    } else if (g_str_equal(desk, "pairings")) {
        rb_pairings_desk_focus_table(window->pairings);
    } else if (g_str_equal(desk, "playbook")) {
        rb_playbook_desk_focus(window->playbook);
    } else if (g_str_equal(desk, "cut-ups")) {
        rb_cutups_desk_focus(window->cut_ups);
    } else if (g_str_equal(desk, "quarterback")) {
        rb_quarterback_desk_focus(window->quarterback);
    }
}

void rb_window_show_desk(RbWindow *window, const char *desk)
{
    g_return_if_fail(RB_IS_WINDOW(window));
    if (gtk_stack_get_child_by_name(window->stack, desk) == NULL) {
        return;
    }
    if (!g_str_equal(desk, "chart")) {
        rb_deck_play(rb_chart_desk_get_deck(window->chart), 0);
    }
    if (!g_str_equal(desk, "cut-ups")) {
        rb_deck_play(rb_cutups_desk_get_deck(window->cut_ups), 0);
    }
    gtk_stack_set_visible_child_name(window->stack, desk);
    rb_window_set_action_state(window, "desk", desk);
    focus_desk(window);
}

void rb_window_show_drawer(RbWindow *window, const char *page)
{
    g_return_if_fail(RB_IS_WINDOW(window));
    rb_drawer_toggle(window->drawer, page);
    if (!gtk_widget_get_visible(GTK_WIDGET(window->drawer))) {
        focus_desk(window);
    }
}

const char *rb_window_get_desk(RbWindow *window)
{
    g_return_val_if_fail(RB_IS_WINDOW(window), NULL);
    return gtk_stack_get_visible_child_name(window->stack);
}

void rb_window_step_out(RbWindow *window)
{
    g_return_if_fail(RB_IS_WINDOW(window));
    if (rb_drawer_has_focus(window->drawer)) {
        rb_window_show_drawer(window, NULL);
    } else if (g_str_equal(rb_window_get_desk(window), "pairings")) {
        rb_pairings_desk_step_out(window->pairings);
    } else if (g_str_equal(rb_window_get_desk(window), "chart")) {
        rb_chart_desk_step_out(window->chart);
    } else {
        focus_desk(window);
    }
}

void rb_window_say(RbWindow *window, const char *sentence)
{
    g_return_if_fail(RB_IS_WINDOW(window));
    rb_access_announce(window->said, sentence);
    gtk_widget_set_tooltip_text(GTK_WIDGET(window->said), sentence);
}

RbSession *rb_window_get_session(RbWindow *window)
{
    return window->session;
}

RbCutupsDesk *rb_window_get_cutups(RbWindow *window)
{
    return window->cut_ups;
}

RbQuarterbackDesk *rb_window_get_quarterback(RbWindow *window)
{
    return window->quarterback;
}

void rb_window_make_cutup(RbWindow *window, bool live)
{
    g_return_if_fail(RB_IS_WINDOW(window));
    const char *desk = rb_window_get_desk(window);
    if (rb_drawer_has_focus(window->drawer)) {
        rb_drawer_make_cutup(window->drawer);
    } else if ((g_str_equal(desk, "pairings") &&
                rb_pairings_desk_make_cutup(window->pairings, live)) ||
               (g_str_equal(desk, "quarterback") &&
                rb_quarterback_desk_make_cutup(window->quarterback, live))) {
        rb_window_show_desk(window, "cut-ups");
    }
}

RbChartDesk *rb_window_get_chart(RbWindow *window)
{
    return window->chart;
}

static void show_opening(RbWindow *window)
{
    const char *what = NULL;
    const double progress = rb_session_get_progress(window->session, &what);
    const bool demo = rb_session_is_making_demo(window->session) && what != NULL;
    rb_notice_set(window->notice,
                  demo ? _("Making the demo season") : _("Opening the library"),
                  demo ? _("An invented team's six games, with film of one. This happens "
                           "once.")
                       : NULL,
                  C_("command", "Stop"), "win.cancel-open");
    rb_notice_set_progress(window->notice, progress, what);
}

static void show_games(RbWindow *window)
{
    const RbNames *names = rb_session_get_names(window->session);
    gtk_widget_set_visible(GTK_WIDGET(window->games),
                           rb_session_get_state(window->session) == RB_SESSION_OPEN &&
                               rb_names_games(names)->len > 0);
}

static void show_start(RbWindow *window, const char *trouble)
{
    rb_start_page_set_trouble(window->start, trouble);
    rb_start_page_focus(window->start);
}

static void on_last(RbWindow *window)
{
    rb_start_page_set_last(window->start, rb_session_get_last(window->session));
}

static void on_state(RbWindow *window)
{
    const RbSessionState state = rb_session_get_state(window->session);
    const bool were_shown =
        g_strcmp0(gtk_stack_get_visible_child_name(window->front), "desks") == 0;
    gtk_stack_set_visible_child_name(window->front, state == RB_SESSION_OPEN ? "desks"
                                                    : state == RB_SESSION_OPENING
                                                        ? "notice"
                                                        : "start");
    show_games(window);
    switch (state) {
    case RB_SESSION_EMPTY:
        show_start(window, NULL);
        break;
    case RB_SESSION_OPENING:
        show_opening(window);
        break;
    case RB_SESSION_FAILED:
        show_start(window, rb_session_get_sentence(window->session));
        break;
    case RB_SESSION_OPEN: {
        g_autofree char *name = g_path_get_basename(rb_session_get_path(window->session));
        g_autofree char *title = g_strdup_printf("%s – Readbreak", name);
        gtk_window_set_title(GTK_WINDOW(window), title);
        gtk_label_set_text(window->who, rb_session_get_person(window->session));
        if (!were_shown) { /* another person who charts is no reason to move the focus */
            focus_desk(window);
        }
        break;
    }
    }
}

static void on_names(RbWindow *window)
{
    const RbNames *names = rb_session_get_names(window->session);
    const GPtrArray *games = rb_names_games(names);
    g_autoptr(GtkStringList) titles = gtk_string_list_new(NULL);
    const gint64 now = rb_session_get_game(window->session).value;
    guint chosen = GTK_INVALID_LIST_POSITION;
    for (guint i = 0; i < games->len; i++) {
        const RbGame *game = games->pdata[i];
        gtk_string_list_append(titles, game->title);
        chosen = game->id.value == now ? i : chosen;
    }
    window->is_filling = true;
    gtk_drop_down_set_model(window->games, G_LIST_MODEL(titles));
    gtk_drop_down_set_selected(window->games, chosen);
    window->is_filling = false;
    show_games(window);
}

static void on_snaps(RbWindow *window)
{
    const RbNames *names = rb_session_get_names(window->session);
    const gint64 now = rb_session_get_game(window->session).value;
    const GPtrArray *games = rb_names_games(names);
    window->is_filling = true;
    for (guint i = 0; i < games->len; i++) {
        if (((const RbGame *)games->pdata[i])->id.value == now) {
            gtk_drop_down_set_selected(window->games, i);
        }
    }
    window->is_filling = false;
}

static void on_game_chosen(RbWindow *window)
{
    const RbNames *names = rb_session_get_names(window->session);
    const guint index = gtk_drop_down_get_selected(window->games);
    if (window->is_filling || names == NULL || index >= rb_names_games(names)->len) {
        return;
    }
    rb_session_set_game(window->session,
                        ((const RbGame *)rb_names_games(names)->pdata[index])->id);
}

static void on_opened_snap(RbWindow *window)
{
    rb_window_show_desk(window, "chart");
}

static void on_deck(RbWindow *window)
{
    RbDeck *deck = rb_chart_desk_get_deck(window->chart);
    rb_window_set_action_state(window, "angle",
                               rb_words_token(&rb_angle_words, rb_deck_get_angle(deck)));
    GAction *angle = g_action_map_lookup_action(G_ACTION_MAP(window), "angle");
    g_simple_action_set_enabled(G_SIMPLE_ACTION(angle),
                                rb_deck_has_angle(deck, RB_ANGLE_WIDE) &&
                                    rb_deck_has_angle(deck, RB_ANGLE_TIGHT));
}

static void open_chooser(RbWindow *window, const char *title, GtkFileChooserAction action,
                         GCallback done)
{
    g_clear_object(&window->file);
    window->file = gtk_file_chooser_native_new(title, GTK_WINDOW(window), action,
                                               _("_Open"), _("_Cancel"));
    g_signal_connect_swapped(window->file, "response", done, window);
    gtk_native_dialog_show(GTK_NATIVE_DIALOG(window->file));
}

/* Returns: (transfer full) (nullable): the path that was chosen. */
static char *take_chosen(RbWindow *window, int response)
{
    g_autoptr(GFile) file =
        response == GTK_RESPONSE_ACCEPT
            ? gtk_file_chooser_get_file(GTK_FILE_CHOOSER(window->file))
            : NULL;
    g_clear_object(&window->file);
    return file != NULL ? g_file_get_path(file) : NULL;
}

static void on_library_chosen(RbWindow *window, int response)
{
    g_autofree char *path = take_chosen(window, response);
    if (path != NULL) {
        rb_session_open(window->session, path);
    }
}

static void on_new_library(RbWindow *window, int response)
{
    g_autofree char *chosen = take_chosen(window, response);
    if (chosen != NULL) {
        g_autofree char *path = g_str_has_suffix(chosen, ".readbreak")
                                    ? g_strdup(chosen)
                                    : g_strconcat(chosen, ".readbreak", NULL);
        rb_session_make_library(window->session, path);
    }
}

static void on_folder_chosen(RbWindow *window, int response)
{
    g_autofree char *path = take_chosen(window, response);
    if (path != NULL) {
        rb_session_find_films(window->session, path);
    }
}

void rb_window_choose_library(RbWindow *window)
{
    open_chooser(window, _("Open a library"), GTK_FILE_CHOOSER_ACTION_OPEN,
                 G_CALLBACK(on_library_chosen));
    g_autoptr(GtkFileFilter) filter = gtk_file_filter_new();
    gtk_file_filter_set_name(filter, _("Readbreak libraries"));
    gtk_file_filter_add_suffix(filter, "readbreak");
    gtk_file_chooser_add_filter(GTK_FILE_CHOOSER(window->file), filter);
}

void rb_window_new_library(RbWindow *window)
{
    open_chooser(window, _("Where the new library goes"), GTK_FILE_CHOOSER_ACTION_SAVE,
                 G_CALLBACK(on_new_library));
    gtk_file_chooser_set_current_name(GTK_FILE_CHOOSER(window->file), "season.readbreak");
}

void rb_window_choose_film_folder(RbWindow *window)
{
    open_chooser(window, _("Folder with the films"),
                 GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER, G_CALLBACK(on_folder_chosen));
}

RbWindow *rb_window_new(RbApplication *application)
{
    return g_object_new(RB_TYPE_WINDOW, "application", application, NULL);
}

static void follow_session(RbWindow *window)
{
    static const struct {
        const char *signal;
        GCallback callback;
    } table[] = {
        { "state", G_CALLBACK(on_state) },
        { "names", G_CALLBACK(on_names) },
        { "snaps", G_CALLBACK(on_snaps) },
        { "said", G_CALLBACK(rb_window_say) },
        { "opened-snap", G_CALLBACK(on_opened_snap) },
        { "last-known", G_CALLBACK(on_last) },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++) {
        g_signal_connect_object(window->session, table[i].signal, table[i].callback,
                                window, G_CONNECT_SWAPPED);
    }
    rb_chart_desk_set_session(window->chart, window->session);
    rb_playbook_desk_set_session(window->playbook, window->session);
    rb_pairings_desk_set_session(window->pairings, window->session);
    rb_quarterback_desk_set_session(window->quarterback, window->session);
    rb_cutups_desk_set_session(window->cut_ups, window->session);
    rb_drawer_set_session(window->drawer, window->session);
}

static void rb_window_dispose(GObject *object)
{
    RbWindow *window = RB_WINDOW(object);
    if (window->session != NULL) {
        rb_session_close(window->session);
    }
    g_clear_object(&window->file);
    g_clear_object(&window->menu_model);
    g_clear_object(&window->session);
    G_OBJECT_CLASS(rb_window_parent_class)->dispose(object);
}

static void rb_window_class_init(RbWindowClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_window_dispose;
    g_type_ensure(RB_TYPE_NOTICE);
    g_type_ensure(RB_TYPE_START_PAGE);
    g_type_ensure(RB_TYPE_DRAWER);
    g_type_ensure(RB_TYPE_CHART_DESK);
    g_type_ensure(RB_TYPE_CUTUPS_DESK);
    g_type_ensure(RB_TYPE_PLAYBOOK_DESK);
    g_type_ensure(RB_TYPE_PAIRINGS_DESK);
    g_type_ensure(RB_TYPE_QUARTERBACK_DESK);
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/window.ui");
    gtk_widget_class_bind_template_child(widget_class, RbWindow, front);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, notice);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, start);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, stack);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, chart);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, playbook);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, pairings);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, quarterback);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, cut_ups);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, games);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, who);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, said);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, drawer);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, keys);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, menu);
}

/* While keys are bound anew: a menu entry of GTK 4.8 that loses its key frees it twice. */
static void take_menu_off(RbWindow *window)
{
    g_set_object(&window->menu_model, gtk_menu_button_get_menu_model(window->menu));
    gtk_menu_button_set_menu_model(window->menu, NULL);
}

static void put_menu_on(RbWindow *window)
{
    gtk_menu_button_set_menu_model(window->menu, window->menu_model);
    g_clear_object(&window->menu_model);
}

static void bind_keys(RbWindow *window)
{
    RbKeys *keys = rb_keys_get();
    rb_keys_bind(keys, window->keys);
    rb_key_tips_follow(GTK_WIDGET(window), keys);
    g_signal_connect_object(keys, "changing", G_CALLBACK(take_menu_off), window,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(keys, "changed", G_CALLBACK(put_menu_on), window,
                            G_CONNECT_SWAPPED);
}

static void rb_window_init(RbWindow *window)
{
    gtk_widget_init_template(GTK_WIDGET(window));
    rb_window_add_actions(window);
    bind_keys(window);
    rb_menu_gives_keyboard_back(window->menu);
    window->session = rb_session_new();
    follow_session(window);
    rb_place_keep(window, window->session);
    g_signal_connect_object(rb_chart_desk_get_deck(window->chart), "changed",
                            G_CALLBACK(on_deck), window, G_CONNECT_SWAPPED);
    rb_drop_down_may_shrink(window->games, 12, -1);
    g_signal_connect_swapped(window->games, "notify::selected",
                             G_CALLBACK(on_game_chosen), window);
    rb_window_say(window, _("Every answer is on the disk as soon as it is given. F1 "
                            "helps, Ctrl+? shows the keys."));
    on_state(window);
}
