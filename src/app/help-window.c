/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "help-window.h"

#include <glib/gi18n.h>
#include <string.h>

#include "form.h"
#include "help-page.h"
#include "help.h"

enum {
    TEXT_CHARS = 76,
    CONTENTS_CHARS = 22,
    SETTLE_FRAMES = 6,
    MEASURE_PX = 620,
    WIDE_PX = 980,
    HIGH_PX = 680
};

struct _RbHelpWindow {
    GtkWindow parent_instance;
    GtkListBox *contents;
    GtkScrolledWindow *scroll;
    GtkWidget *page; /* the blocks of the page shown */
    GtkWidget *back;

    char *topic;       /* owned */
    GPtrArray *trail;  /* owned: of owned char *, topics shown before */
    GtkWidget *wanted; /* borrowed, nullable: to be scrolled to once it has a place */
    guint tick;
    int settling; /* frames until the page has its height */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbHelpWindow, rb_help_window, GTK_TYPE_WINDOW)

static void show_topic(RbHelpWindow *window, const char *topic);

static void go(RbHelpWindow *window, const char *topic)
{
    g_ptr_array_add(window->trail, g_strdup(window->topic));
    show_topic(window, topic);
}

static gboolean on_link(RbHelpWindow *window, const char *target)
{
    g_autofree char *topic = NULL;
    if (*target == '#') {
        g_auto(GStrv) now = g_strsplit(window->topic, "#", 2);
        topic = g_strconcat(now[0], target, NULL);
    } else {
        topic = g_strdup(target);
    }
    go(window, topic);
    return TRUE;
}

static GtkWidget *label_of(RbHelpWindow *window, const char *markup)
{
    GtkWidget *label = gtk_label_new(NULL);
    gtk_label_set_markup(GTK_LABEL(label), markup);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_max_width_chars(GTK_LABEL(label), TEXT_CHARS);
    gtk_label_set_selectable(GTK_LABEL(label), TRUE);
    gtk_widget_set_valign(label, GTK_ALIGN_START);
    /* Only a text with links is a stop of the keyboard; another one that takes none would say that
     * it did, and Tab would end there. */
    gtk_widget_set_can_focus(label, strstr(markup, "<a ") != NULL);
    g_signal_connect_swapped(label, "activate-link", G_CALLBACK(on_link), window);
    return label;
}

static GtkWidget *item_of(RbHelpWindow *window, const RbHelpBlock *block)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    g_autofree char *sign =
        block->number > 0 ? g_strdup_printf("%d.", block->number) : g_strdup("–");
    GtkWidget *mark = gtk_label_new(sign);
    GtkWidget *label = label_of(window, block->texts->pdata[0]);
    gtk_label_set_width_chars(GTK_LABEL(mark), 2);
    gtk_label_set_xalign(GTK_LABEL(mark), 1);
    gtk_widget_set_valign(mark, GTK_ALIGN_START);
    gtk_widget_add_css_class(mark, "second");
    gtk_widget_set_hexpand(label, TRUE);
    gtk_box_append(GTK_BOX(row), mark);
    gtk_box_append(GTK_BOX(row), label);
    return row;
}

static GtkWidget *heading_of(RbHelpWindow *window, const RbHelpBlock *block)
{
    GtkWidget *label = label_of(window, block->texts->pdata[0]);
    gtk_widget_add_css_class(label, block->level == 1 ? "desk-title" : "section");
    gtk_widget_set_margin_top(label, block->level == 1 ? 0 : 14);
    gtk_accessible_update_property(GTK_ACCESSIBLE(label), GTK_ACCESSIBLE_PROPERTY_LEVEL,
                                   block->level, -1);
    return label;
}

static GtkWidget *code_of(RbHelpWindow *window, const RbHelpBlock *block)
{
    g_autofree char *markup =
        g_strconcat("<tt>", (const char *)block->texts->pdata[0], "</tt>", NULL);
    GtkWidget *label = label_of(window, markup);
    gtk_widget_add_css_class(label, "code");
    return label;
}

static GtkWidget *widget_of(RbHelpWindow *window, const RbHelpBlock *block)
{
    switch (block->kind) {
    case RB_HELP_HEADING:
        return heading_of(window, block);
    case RB_HELP_ITEM:
        return item_of(window, block);
    case RB_HELP_CODE:
        return code_of(window, block);
    case RB_HELP_TEXT:
        return label_of(window, block->texts->pdata[0]);
    case RB_HELP_ROW:
        break;
    }
    GtkWidget *table = gtk_grid_new();
    gtk_grid_set_column_spacing(GTK_GRID(table), 18);
    gtk_grid_set_row_spacing(GTK_GRID(table), 4);
    return table;
}

static void add_row(RbHelpWindow *window, GtkWidget *table, const RbHelpBlock *block,
                    int row)
{
    for (guint i = 0; i < block->texts->len; i++) {
        GtkWidget *label = label_of(window, block->texts->pdata[i]);
        const bool last = i + 1 == block->texts->len;
        gtk_label_set_max_width_chars(GTK_LABEL(label), last ? 52 : 24);
        gtk_widget_set_hexpand(label, last);
        if (block->head) {
            gtk_widget_add_css_class(label, "second");
        }
        gtk_grid_attach(GTK_GRID(table), label, (int)i, row, 1, 1);
    }
}

static void fill(RbHelpWindow *window, const GPtrArray *blocks, int wanted)
{
    GtkWidget *table = NULL;
    int rows = 0;
    for (guint i = 0; i < blocks->len; i++) {
        const RbHelpBlock *block = blocks->pdata[i];
        const bool goes_on = block->kind == RB_HELP_ROW && table != NULL;
        if (!goes_on) {
            GtkWidget *widget = widget_of(window, block);
            gtk_box_append(GTK_BOX(window->page), widget);
            table = block->kind == RB_HELP_ROW ? widget : NULL;
            if ((int)i == wanted) { /* near the end of a page it is not the first line */
                gtk_widget_add_css_class(widget, "sought");
                window->wanted = widget;
            }
            rows = 0;
        }
        if (table != NULL) {
            add_row(window, table, block, rows++);
        }
    }
}

static void empty(RbHelpWindow *window)
{
    GtkWidget *child = NULL;
    window->wanted = NULL;
    while ((child = gtk_widget_get_first_child(window->page)) != NULL) {
        gtk_box_remove(GTK_BOX(window->page), child);
    }
}

/* To the heading, once the page is laid out. */
static gboolean on_tick(GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
    (void)clock;
    (void)data;
    RbHelpWindow *window = RB_HELP_WINDOW(widget);
    double x = 0;
    double y = 0;
    GtkAdjustment *bar = gtk_scrolled_window_get_vadjustment(window->scroll);
    if (window->wanted != NULL && gtk_widget_get_height(window->wanted) == 0) {
        return G_SOURCE_CONTINUE;
    }
    if (window->wanted != NULL) {
        gtk_widget_translate_coordinates(window->wanted, window->page, 0, 0, &x, &y);
    }
    gtk_adjustment_set_value(bar, y);
    if (--window->settling > 0) {
        return G_SOURCE_CONTINUE;
    }
    window->tick = 0;
    return G_SOURCE_REMOVE;
}

/* Pages roll by Page up and Page down of themselves. */
static gboolean on_arrow(RbHelpWindow *window, guint keyval, guint keycode,
                         GdkModifierType state)
{
    (void)keycode;
    (void)state;
    const bool down = keyval == GDK_KEY_Down;
    gboolean handled = FALSE;
    if (!gtk_widget_is_focus(GTK_WIDGET(window->scroll)) ||
        (!down && keyval != GDK_KEY_Up)) {
        return FALSE;
    }
    g_signal_emit_by_name(window->scroll, "scroll-child",
                          down ? GTK_SCROLL_STEP_DOWN : GTK_SCROLL_STEP_UP, FALSE,
                          &handled);
    return handled;
}

/* The contents are one stop: Tab leads from any of them to the page they show, and not through all
 * the pages. */
static gboolean on_contents_key(RbHelpWindow *window, guint keyval, guint keycode,
                                GdkModifierType state)
{
    (void)keycode;
    (void)state;
    if (keyval == GDK_KEY_ISO_Left_Tab) {
        return gtk_widget_grab_focus(window->back) ||
               gtk_widget_child_focus(GTK_WIDGET(window->scroll), GTK_DIR_TAB_BACKWARD);
    }
    return keyval == GDK_KEY_Tab &&
           gtk_widget_child_focus(GTK_WIDGET(window->scroll), GTK_DIR_TAB_FORWARD);
}

static void choose_row(RbHelpWindow *window, const char *page)
{
    for (int i = 0; rb_help_pages[i] != NULL; i++) {
        if (strcmp(rb_help_pages[i], page) == 0) {
            window->is_filling = true;
            gtk_list_box_select_row(window->contents,
                                    gtk_list_box_get_row_at_index(window->contents, i));
            window->is_filling = false;
        }
    }
}

/* The page itself takes the keyboard where it has no links. */
static void tell_title(RbHelpWindow *window, const GPtrArray *blocks)
{
    const RbHelpBlock *first = blocks->len > 0 ? blocks->pdata[0] : NULL;
    gtk_accessible_update_property(
        GTK_ACCESSIBLE(window->scroll), GTK_ACCESSIBLE_PROPERTY_LABEL,
        first != NULL ? (const char *)first->texts->pdata[0] : "", -1);
}

static void show_topic(RbHelpWindow *window, const char *topic)
{
    g_auto(GStrv) parts = g_strsplit(topic, "#", 2);
    g_autoptr(GError) failure = NULL;
    g_autoptr(GBytes) bytes = rb_help_load(parts[0]);
    g_autoptr(GPtrArray) blocks =
        bytes != NULL ? rb_help_page_parse(g_bytes_get_data(bytes, NULL),
                                           (gssize)g_bytes_get_size(bytes), &failure)
                      : NULL;
    if (blocks == NULL) {
        g_warning("Help %s: %s", topic, failure != NULL ? failure->message : "missing");
        return;
    }
    g_autofree char *now = g_steal_pointer(&window->topic);
    window->topic = g_strdup(topic);
    empty(window);
    fill(window, blocks, parts[1] != NULL ? rb_help_page_find(blocks, parts[1]) : -1);
    choose_row(window, parts[0]);
    tell_title(window, blocks);
    gtk_widget_set_sensitive(window->back, window->trail->len > 0);
    window->settling = SETTLE_FRAMES;
    if (window->tick == 0) {
        window->tick =
            gtk_widget_add_tick_callback(GTK_WIDGET(window), on_tick, NULL, NULL);
    }
}

static bool shows_page(const RbHelpWindow *window, const char *page)
{
    return window->topic != NULL && g_str_has_prefix(window->topic, page) &&
           strchr("#", window->topic[strlen(page)]) != NULL; /* or the end of it */
}

/* A list tells of its row again when the keyboard comes back to it; the page stays as it is. */
static void on_row(RbHelpWindow *window, GtkListBoxRow *row)
{
    const char *page =
        row != NULL ? rb_help_pages[gtk_list_box_row_get_index(row)] : NULL;
    if (!window->is_filling && page != NULL && !shows_page(window, page)) {
        go(window, page);
    }
}

static void on_back(RbHelpWindow *window)
{
    const guint n = window->trail->len;
    if (n > 0) {
        g_autofree char *topic = g_ptr_array_steal_index(window->trail, n - 1);
        show_topic(window, topic);
    }
}

/* The first heading of the page. Returns: (transfer full). */
static char *title_of(const char *page)
{
    g_autoptr(GBytes) bytes = rb_help_load(page);
    g_autoptr(GPtrArray) blocks =
        bytes != NULL ? rb_help_page_parse(g_bytes_get_data(bytes, NULL),
                                           (gssize)g_bytes_get_size(bytes), NULL)
                      : NULL;
    const RbHelpBlock *first =
        blocks != NULL && blocks->len > 0 ? blocks->pdata[0] : NULL;
    return g_strdup(first != NULL ? first->texts->pdata[0] : page);
}

static void add_contents(RbHelpWindow *window)
{
    for (int i = 0; rb_help_pages[i] != NULL; i++) {
        g_autofree char *title = title_of(rb_help_pages[i]);
        GtkWidget *label = gtk_label_new(NULL);
        gtk_label_set_markup(GTK_LABEL(label), title);
        gtk_label_set_wrap(GTK_LABEL(label), TRUE);
        gtk_label_set_xalign(GTK_LABEL(label), 0);
        gtk_label_set_width_chars(GTK_LABEL(label), CONTENTS_CHARS);
        gtk_label_set_max_width_chars(GTK_LABEL(label), CONTENTS_CHARS);
        gtk_widget_set_margin_start(label, 10);
        gtk_widget_set_margin_end(label, 10);
        gtk_widget_set_margin_top(label, 5);
        gtk_widget_set_margin_bottom(label, 5);
        GtkWidget *row = gtk_list_box_row_new();
        gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), label);
        gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                       gtk_label_get_text(GTK_LABEL(label)), -1);
        gtk_list_box_append(window->contents, row);
    }
    gtk_accessible_update_property(GTK_ACCESSIBLE(window->contents),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Contents"), -1);
}

static void rb_help_window_dispose(GObject *object)
{
    RbHelpWindow *window = RB_HELP_WINDOW(object);
    g_clear_pointer(&window->topic, g_free);
    g_clear_pointer(&window->trail, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_help_window_parent_class)->dispose(object);
}

static void rb_help_window_class_init(RbHelpWindowClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_help_window_dispose;
    gtk_widget_class_add_binding_action(widget_class, GDK_KEY_Escape, 0, "window.close",
                                        NULL);
    gtk_widget_class_add_binding_action(widget_class, GDK_KEY_w, GDK_CONTROL_MASK,
                                        "window.close", NULL);
}

/* Contents and the way back, at the start. */
static GtkWidget *side_of(RbHelpWindow *window)
{
    GtkWidget *side = gtk_box_new(GTK_ORIENTATION_VERTICAL, 0);
    GtkWidget *scroll = gtk_scrolled_window_new();
    window->back = rb_button_new(_("_Back"));
    gtk_widget_add_css_class(window->back, "plain");
    gtk_widget_set_margin_start(window->back, 10);
    gtk_widget_set_margin_end(window->back, 10);
    gtk_widget_set_margin_top(window->back, 10);
    gtk_widget_set_margin_bottom(window->back, 10);
    g_signal_connect_swapped(window->back, "clicked", G_CALLBACK(on_back), window);
    window->contents = GTK_LIST_BOX(gtk_list_box_new());
    gtk_list_box_set_selection_mode(window->contents, GTK_SELECTION_BROWSE);
    add_contents(window);
    g_signal_connect_swapped(window->contents, "row-selected", G_CALLBACK(on_row),
                             window);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_contents_key), window);
    gtk_widget_add_controller(GTK_WIDGET(window->contents), keys);
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(scroll), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scroll),
                                  GTK_WIDGET(window->contents));
    gtk_widget_set_vexpand(scroll, TRUE);
    gtk_widget_add_css_class(side, "side");
    gtk_widget_add_css_class(side, "hair-end");
    gtk_box_append(GTK_BOX(side), window->back);
    gtk_box_append(GTK_BOX(side), scroll);
    return side;
}

static void rb_help_window_init(RbHelpWindow *window)
{
    GtkWidget *whole = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 0);
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 0);
    window->trail = g_ptr_array_new_with_free_func(g_free);
    window->page = gtk_box_new(GTK_ORIENTATION_VERTICAL, 8);
    window->scroll = GTK_SCROLLED_WINDOW(gtk_scrolled_window_new());
    gtk_widget_set_margin_start(window->page, 24);
    gtk_widget_set_margin_end(window->page, 24);
    gtk_widget_set_margin_top(window->page, 18);
    gtk_widget_set_margin_bottom(window->page, 30);
    gtk_widget_set_size_request(window->page, MEASURE_PX, -1); /* short pages too */
    gtk_scrolled_window_set_policy(window->scroll, GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    /* In a row of its own a page is as high as its own width asks, not the window's. */
    gtk_box_append(GTK_BOX(row), window->page);
    gtk_scrolled_window_set_child(window->scroll, row);
    gtk_widget_set_hexpand(GTK_WIDGET(window->scroll), TRUE);
    GtkEventController *keys = gtk_event_controller_key_new();
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_arrow), window);
    gtk_widget_add_controller(GTK_WIDGET(window->scroll), keys);
    gtk_box_append(GTK_BOX(whole), side_of(window));
    gtk_box_append(GTK_BOX(whole), GTK_WIDGET(window->scroll));
    gtk_window_set_child(GTK_WINDOW(window), whole);
    gtk_window_set_title(GTK_WINDOW(window), _("Help"));
    gtk_window_set_default_size(GTK_WINDOW(window), WIDE_PX, HIGH_PX);
    gtk_widget_add_css_class(GTK_WIDGET(window), "readbreak");
}

/* The help that a window has open. Returns: (transfer none) (nullable). */
static RbHelpWindow *help_of(GtkWindow *parent)
{
    g_autoptr(GListModel) all = G_LIST_MODEL(g_object_ref(gtk_window_get_toplevels()));
    for (guint i = 0; i < g_list_model_get_n_items(all); i++) {
        g_autoptr(GObject) one = g_list_model_get_item(all, i);
        if (RB_IS_HELP_WINDOW(one) &&
            gtk_window_get_transient_for(GTK_WINDOW(one)) == parent) {
            return RB_HELP_WINDOW(one);
        }
    }
    return NULL;
}

void rb_help_window_open(GtkWindow *parent, const char *topic)
{
    RbHelpWindow *window = help_of(parent);
    if (window == NULL) {
        window = g_object_new(RB_TYPE_HELP_WINDOW, "transient-for", parent,
                              "destroy-with-parent", TRUE, NULL);
        show_topic(window, topic);
    } else {
        go(window, topic);
    }
    GtkListBoxRow *row = gtk_list_box_get_selected_row(window->contents);
    gtk_widget_grab_focus(row != NULL ? GTK_WIDGET(row) : GTK_WIDGET(window->contents));
    gtk_window_present(GTK_WINDOW(window));
}

const char *rb_help_window_get_topic(RbHelpWindow *window)
{
    g_return_val_if_fail(RB_IS_HELP_WINDOW(window), NULL);
    return window->topic;
}
