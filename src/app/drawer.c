/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "drawer.h"

#include <glib/gi18n.h>

#include "rb/work/checks.h"

#include "drawer-snaps.h"
#include "drawer-two.h"
#include "form.h"

/* Lines of the history shown at first, and how many more a press adds. */
enum { LINES = 500, LEAST_HEIGHT = 300, LEAST_LINES = 10 };

struct _RbDrawer {
    GtkWidget parent_instance;
    GtkWidget *box;
    GtkStack *stack;
    RbDrawerSnaps *snaps;
    GtkListView *open_ends;
    GtkStringList *open_words; /* owned */
    GtkListView *history;
    GtkStringList *history_words; /* owned */
    GtkButton *older;
    RbDrawerTwo *two;

    RbSession *session; /* owned, nullable */
    int limit;          /* lines of the history */
};

G_DEFINE_FINAL_TYPE(RbDrawer, rb_drawer, GTK_TYPE_WIDGET)

static const struct {
    const char *name;
    RbReviewPage page;
} pages[] = {
    { "snaps", RB_REVIEW_SNAPS },
    { "open-ends", RB_REVIEW_OPEN_ENDS },
    { "history", RB_REVIEW_HISTORY },
    { "two-charts", RB_REVIEW_TWO },
};

static RbReviewPage shown_page(RbDrawer *drawer)
{
    const char *name = gtk_stack_get_visible_child_name(drawer->stack);
    for (size_t i = 0; i < G_N_ELEMENTS(pages); i++) {
        if (gtk_widget_get_visible(GTK_WIDGET(drawer)) &&
            g_strcmp0(name, pages[i].name) == 0) {
            return pages[i].page;
        }
    }
    return RB_REVIEW_NONE;
}

static void ask(RbDrawer *drawer)
{
    if (drawer->session == NULL) {
        return;
    }
    RbReviewAsk wanted = { .page = shown_page(drawer), .limit = drawer->limit };
    if (wanted.page == RB_REVIEW_TWO) {
        rb_drawer_two_show(drawer->two); /* the staff, so that there is a choice */
        wanted = rb_drawer_two_ask(drawer->two);
    }
    rb_session_want_review(drawer->session, &wanted);
}

/* Rows that say the same stay, and the keyboard with them. Where its own row goes, it waits on the
 * list, then takes the row at its place: keys that came meanwhile would be lost. */
static void set_words(GtkListView *view, GtkStringList *list, const GPtrArray *words)
{
    const guint had = g_list_model_get_n_items(G_LIST_MODEL(list));
    guint first = 0;
    guint last = 0;
    while (first < MIN(had, words->len) &&
           g_str_equal(gtk_string_list_get_string(list, first), words->pdata[first])) {
        first++;
    }
    while (last < MIN(had, words->len) - first &&
           g_str_equal(gtk_string_list_get_string(list, had - 1 - last),
                       words->pdata[words->len - 1 - last])) {
        last++;
    }
    g_autoptr(GPtrArray) fresh = g_ptr_array_new();
    for (guint i = first; i < words->len - last; i++) {
        g_ptr_array_add(fresh, words->pdata[i]);
    }
    if (fresh->len == 0 && had == words->len) {
        return;
    }
    g_ptr_array_add(fresh, NULL);
    const bool inside = rb_focus_is_inside(GTK_WIDGET(view));
    if (inside) {
        gtk_root_set_focus(gtk_widget_get_root(GTK_WIDGET(view)), GTK_WIDGET(view));
    }
    gtk_string_list_splice(list, first, had - first - last,
                           (const char *const *)fresh->pdata);
    if (inside) {
        gtk_widget_grab_focus(GTK_WIDGET(view));
    }
}

static void show_open_ends(RbDrawer *drawer, const GPtrArray *checks)
{
    g_autoptr(GPtrArray) words = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < checks->len; i++) {
        g_ptr_array_add(words, g_strdup(((const RbCheck *)checks->pdata[i])->sentence));
    }
    if (checks->len == 0) {
        g_ptr_array_add(words, g_strdup(_("Nothing is open in this game: every verdict "
                                          "stands and the snaps follow one another.")));
    }
    set_words(drawer->open_ends, drawer->open_words, words);
}

/* "13 Sep 22:41  Ana  coverage of snap 34 changed from …". Returns: (transfer full). */
static char *line_text(const RbHistoryLine *line)
{
    g_autoptr(GDateTime) moment =
        g_date_time_new_from_unix_local(line->stamp_us / G_USEC_PER_SEC);
    g_autofree char *when =
        moment != NULL ? g_date_time_format(moment, "%e %b %H:%M") : g_strdup("?");
    const char *who = *line->who != '\0' ? line->who : _("nobody");
    return line->undone
               ? g_strdup_printf(_("%s, by %s: %s (undone)"), when, who, line->words)
               : g_strdup_printf(_("%s, by %s: %s"), when, who, line->words);
}

static void show_history(RbDrawer *drawer, const GPtrArray *lines)
{
    g_autoptr(GPtrArray) words = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; i < lines->len; i++) {
        g_ptr_array_add(words, line_text(lines->pdata[i]));
    }
    set_words(drawer->history, drawer->history_words, words);
    gtk_widget_set_visible(GTK_WIDGET(drawer->older), (int)lines->len >= drawer->limit);
}

static void on_review(RbDrawer *drawer)
{
    const RbReviewAnswer *answer = rb_session_get_review(drawer->session);
    if (answer == NULL || answer->page != shown_page(drawer)) {
        return;
    }
    switch (answer->page) {
    case RB_REVIEW_NONE:
        break;
    case RB_REVIEW_SNAPS:
        rb_drawer_snaps_show(drawer->snaps);
        break;
    case RB_REVIEW_OPEN_ENDS:
        show_open_ends(drawer, answer->open_ends);
        break;
    case RB_REVIEW_HISTORY:
        show_history(drawer, answer->lines);
        break;
    case RB_REVIEW_TWO:
        rb_drawer_two_show(drawer->two);
        break;
    }
}

static void on_open_end(RbDrawer *drawer, guint position)
{
    const RbReviewAnswer *answer = rb_session_get_review(drawer->session);
    if (answer != NULL && answer->open_ends != NULL &&
        position < answer->open_ends->len) {
        const RbCheck *check = answer->open_ends->pdata[position];
        rb_session_open_snap(drawer->session, check->snap);
    }
}

static void on_older(RbDrawer *drawer)
{
    drawer->limit *= 2;
    ask(drawer);
}

void rb_drawer_set_session(RbDrawer *drawer, RbSession *session)
{
    g_return_if_fail(RB_IS_DRAWER(drawer));
    g_set_object(&drawer->session, session);
    rb_drawer_snaps_set_session(drawer->snaps, session);
    rb_drawer_two_set_session(drawer->two, session);
    g_signal_connect_object(session, "review", G_CALLBACK(on_review), drawer,
                            G_CONNECT_SWAPPED);
}

static void focus_page(RbDrawer *drawer)
{
    switch (shown_page(drawer)) {
    case RB_REVIEW_NONE:
        break;
    case RB_REVIEW_SNAPS:
        rb_drawer_snaps_focus(drawer->snaps);
        break;
    case RB_REVIEW_OPEN_ENDS:
        gtk_widget_grab_focus(GTK_WIDGET(drawer->open_ends));
        break;
    case RB_REVIEW_HISTORY:
        gtk_widget_grab_focus(GTK_WIDGET(drawer->history));
        break;
    case RB_REVIEW_TWO:
        rb_drawer_two_focus(drawer->two);
        break;
    }
}

/* Two fifths of the window: on a large screen more rows, not larger ones. For large text up to a
 * half. */
static void fit_height(RbDrawer *drawer)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(drawer));
    const int whole = root != NULL ? gtk_widget_get_height(GTK_WIDGET(root)) : 0;
    g_autoptr(PangoLayout) line = gtk_widget_create_pango_layout(drawer->box, "X");
    int line_height = 0;
    pango_layout_get_pixel_size(line, NULL, &line_height);
    const int lines = MIN(LEAST_LINES * line_height, whole / 2);
    gtk_widget_set_size_request(drawer->box, -1,
                                MAX(MAX(whole * 2 / 5, lines), LEAST_HEIGHT));
}

void rb_drawer_toggle(RbDrawer *drawer, const char *page)
{
    g_return_if_fail(RB_IS_DRAWER(drawer));
    const bool was_shown = gtk_widget_get_visible(GTK_WIDGET(drawer));
    const char *now = gtk_stack_get_visible_child_name(drawer->stack);
    if (page == NULL || (was_shown && g_strcmp0(page, now) == 0)) {
        gtk_widget_set_visible(GTK_WIDGET(drawer), FALSE);
    } else {
        fit_height(drawer);
        gtk_widget_set_visible(GTK_WIDGET(drawer), TRUE);
        gtk_stack_set_visible_child_name(drawer->stack, page);
        focus_page(drawer);
    }
    ask(drawer);
}

bool rb_drawer_make_cutup(RbDrawer *drawer)
{
    g_return_val_if_fail(RB_IS_DRAWER(drawer), false);
    return shown_page(drawer) == RB_REVIEW_SNAPS &&
           rb_drawer_snaps_make_cutup(drawer->snaps);
}

bool rb_drawer_has_focus(RbDrawer *drawer)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(drawer));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    return focus != NULL && gtk_widget_is_ancestor(focus, GTK_WIDGET(drawer));
}

static void on_setup(GtkListItemFactory *factory, GtkListItem *cell)
{
    (void)factory;
    GtkWidget *label = gtk_label_new(NULL);
    g_object_set(label, "xalign", 0.0, "wrap", TRUE, "margin-start", 14, "margin-end", 14,
                 "margin-top", 3, "margin-bottom", 3, NULL);
    gtk_list_item_set_child(cell, label);
}

static void on_bind(GtkListItemFactory *factory, GtkListItem *cell)
{
    (void)factory;
    GtkStringObject *words = gtk_list_item_get_item(cell);
    GtkWidget *label = gtk_list_item_get_child(cell);
    gtk_label_set_text(GTK_LABEL(label), gtk_string_object_get_string(words));
    /* GTK 4.8 cannot name a list item; its widget, the parent, can be named. */
    gtk_accessible_update_property(GTK_ACCESSIBLE(gtk_widget_get_parent(label)),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   gtk_string_object_get_string(words), -1);
}

/* A list of sentences. words: (out) (transfer full). */
static GtkListView *make_sentences(GtkStringList **words, const char *spoken)
{
    GtkListItemFactory *factory = gtk_signal_list_item_factory_new();
    g_signal_connect(factory, "setup", G_CALLBACK(on_setup), NULL);
    g_signal_connect(factory, "bind", G_CALLBACK(on_bind), NULL);
    *words = gtk_string_list_new(NULL);
    GtkSingleSelection *chosen =
        gtk_single_selection_new(g_object_ref(G_LIST_MODEL(*words)));
    GtkWidget *view = gtk_list_view_new(GTK_SELECTION_MODEL(chosen), factory);
    gtk_accessible_update_property(GTK_ACCESSIBLE(view), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
    return GTK_LIST_VIEW(view);
}

static GtkWidget *scrolled(GtkWidget *child)
{
    GtkWidget *window = gtk_scrolled_window_new();
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(window), child);
    gtk_widget_set_vexpand(window, TRUE);
    return window;
}

static GtkWidget *make_history(RbDrawer *drawer)
{
    GtkWidget *page = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    drawer->history = make_sentences(&drawer->history_words, _("History"));
    GtkWidget *bar = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    static const struct {
        const char *label;
        const char *action;
    } buttons[] = { { N_("_Undo"), "win.undo" }, { N_("_Redo"), "win.redo" } };
    for (size_t i = 0; i < G_N_ELEMENTS(buttons); i++) {
        GtkWidget *button = rb_button_new(_(buttons[i].label));
        gtk_actionable_set_action_name(GTK_ACTIONABLE(button), buttons[i].action);
        gtk_widget_add_css_class(button, "plain");
        gtk_box_append(GTK_BOX(bar), button);
    }
    GtkWidget *older = rb_button_new(_("Show _older"));
    gtk_widget_add_css_class(older, "plain");
    drawer->older = GTK_BUTTON(older);
    g_signal_connect_swapped(older, "clicked", G_CALLBACK(on_older), drawer);
    gtk_box_append(GTK_BOX(bar), older);
    gtk_box_append(GTK_BOX(page), bar);
    gtk_box_append(GTK_BOX(page), scrolled(GTK_WIDGET(drawer->history)));
    return page;
}

static GtkWidget *make_head(RbDrawer *drawer)
{
    GtkWidget *head = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    GtkWidget *switcher = gtk_stack_switcher_new();
    gtk_stack_switcher_set_stack(GTK_STACK_SWITCHER(switcher), drawer->stack);
    gtk_widget_add_css_class(switcher, "plain");
    gtk_box_append(GTK_BOX(head), switcher);
    GtkWidget *close = gtk_button_new_from_icon_name("window-close-symbolic");
    gtk_widget_add_css_class(close, "bare");
    gtk_widget_set_tooltip_text(close, _("Put away (Escape)"));
    gtk_accessible_update_property(GTK_ACCESSIBLE(close), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Put the drawer away"), -1);
    gtk_widget_set_hexpand(close, TRUE);
    gtk_widget_set_halign(close, GTK_ALIGN_END);
    gtk_actionable_set_action_name(GTK_ACTIONABLE(close), "win.drawer");
    gtk_actionable_set_action_target(GTK_ACTIONABLE(close), "s", "");
    gtk_box_append(GTK_BOX(head), close);
    return head;
}

static void rb_drawer_dispose(GObject *object)
{
    RbDrawer *drawer = RB_DRAWER(object);
    g_clear_object(&drawer->session); /* first: pages that go away ask nothing */
    g_clear_pointer(&drawer->box, gtk_widget_unparent);
    g_clear_object(&drawer->open_words);
    g_clear_object(&drawer->history_words);
    G_OBJECT_CLASS(rb_drawer_parent_class)->dispose(object);
}

static void rb_drawer_class_init(RbDrawerClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_drawer_dispose;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_css_name(GTK_WIDGET_CLASS(klass), "drawer");
}

static void rb_drawer_init(RbDrawer *drawer)
{
    drawer->limit = LINES;
    drawer->stack = GTK_STACK(gtk_stack_new());
    drawer->snaps = g_object_new(RB_TYPE_DRAWER_SNAPS, NULL);
    drawer->two = g_object_new(RB_TYPE_DRAWER_TWO, NULL);
    drawer->open_ends = make_sentences(&drawer->open_words, _("Still open"));
    g_signal_connect_swapped(drawer->open_ends, "activate", G_CALLBACK(on_open_end),
                             drawer);
    gtk_stack_add_titled(drawer->stack, GTK_WIDGET(drawer->snaps), "snaps", _("Snaps"));
    gtk_stack_add_titled(drawer->stack, scrolled(GTK_WIDGET(drawer->open_ends)),
                         "open-ends", _("Still open"));
    gtk_stack_add_titled(drawer->stack, make_history(drawer), "history", _("History"));
    gtk_stack_add_titled(drawer->stack, GTK_WIDGET(drawer->two), "two-charts",
                         _("Two charts"));
    g_signal_connect_swapped(drawer->stack, "notify::visible-child", G_CALLBACK(ask),
                             drawer);
    drawer->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_add_css_class(drawer->box, "drawer");
    gtk_widget_set_size_request(drawer->box, -1, LEAST_HEIGHT);
    gtk_box_append(GTK_BOX(drawer->box), make_head(drawer));
    gtk_box_append(GTK_BOX(drawer->box), GTK_WIDGET(drawer->stack));
    gtk_widget_set_parent(drawer->box, GTK_WIDGET(drawer));
}
