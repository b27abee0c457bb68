/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rail-list.h"

#include <glib/gi18n.h>

/* More are found by typing: nobody reads down a longer list. */
enum { ROWS_MAX = 24 };

struct _RbRailList {
    GtkWidget parent_instance;
    GtkWidget *scrolled; /* owned: the only child */
    GtkListBox *box;
    int shown;
};

G_DEFINE_FINAL_TYPE(RbRailList, rb_rail_list, GTK_TYPE_WIDGET)

enum { CHOSEN, N_SIGNALS };
static guint signals[N_SIGNALS];

/* Of a row: key, name, share. */
static GtkWidget *part_of(GtkListBoxRow *row, int index)
{
    GtkWidget *part = gtk_widget_get_first_child(gtk_list_box_row_get_child(row));
    for (int i = 0; i < index; i++) {
        part = gtk_widget_get_next_sibling(part);
    }
    return part;
}

static GtkWidget *row_new(void)
{
    GtkWidget *row = gtk_list_box_row_new();
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    GtkWidget *key = gtk_label_new("");
    GtkWidget *name = gtk_label_new("");
    GtkWidget *share = gtk_label_new("");
    gtk_widget_add_css_class(key, "key");
    gtk_widget_set_valign(key, GTK_ALIGN_CENTER);
    gtk_label_set_width_chars(GTK_LABEL(key), 2); /* names stand under one another */
    gtk_label_set_xalign(GTK_LABEL(name), 0);
    gtk_label_set_ellipsize(GTK_LABEL(name), PANGO_ELLIPSIZE_END);
    gtk_widget_set_hexpand(name, TRUE);
    gtk_widget_add_css_class(share, "small");
    gtk_widget_set_margin_start(box, 12);
    gtk_widget_set_margin_end(box, 12);
    gtk_box_append(GTK_BOX(box), key);
    gtk_box_append(GTK_BOX(box), name);
    gtk_box_append(GTK_BOX(box), share);
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    gtk_widget_set_focusable(row, FALSE);
    return row;
}

/* "likely 62 %", "follows", "as tagged". Returns: (transfer full). */
static char *share_text(const RbOption *option, bool follows)
{
    if (option->now) {
        return g_strdup(_("as tagged"));
    }
    if (follows) {
        return g_strdup(_("follows"));
    }
    const int percent = (int)(100.0 * option->share + 0.5);
    return percent > 0 ? g_strdup_printf(_("%d %%"), percent) : g_strdup("");
}

static void fill_row(GtkListBoxRow *row, const RbOption *option, bool first, bool follows)
{
    char key[7] = { 0 };
    if (option->key != 0) {
        g_unichar_to_utf8(option->key, key);
    }
    g_autofree char *share = share_text(option, first && follows);
    GtkWidget *badge = part_of(row, 0);
    gtk_label_set_text(GTK_LABEL(badge), key);
    gtk_widget_set_opacity(badge, option->key != 0 ? 1 : 0);
    gtk_label_set_text(GTK_LABEL(part_of(row, 1)), option->label);
    gtk_label_set_text(GTK_LABEL(part_of(row, 2)), share);
    g_autofree char *spoken = option->key != 0
                                  ? g_strdup_printf(_("%s, key %s"), option->label, key)
                                  : g_strdup(option->label);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
}

void rb_rail_list_set_options(RbRailList *list, const GPtrArray *options, bool follows)
{
    g_return_if_fail(RB_IS_RAIL_LIST(list));
    list->shown = MIN((int)options->len, ROWS_MAX);
    for (int i = 0; i < ROWS_MAX; i++) {
        GtkListBoxRow *row = gtk_list_box_get_row_at_index(list->box, i);
        if (row == NULL && i < list->shown) {
            gtk_list_box_append(list->box, row_new());
            row = gtk_list_box_get_row_at_index(list->box, i);
        }
        if (row == NULL) {
            break;
        }
        gtk_widget_set_visible(GTK_WIDGET(row), i < list->shown);
        if (i < list->shown) {
            fill_row(row, options->pdata[i], i == 0, follows);
        }
    }
    gtk_list_box_select_row(
        list->box, list->shown > 0 ? gtk_list_box_get_row_at_index(list->box, 0) : NULL);
    GtkAdjustment *scroll =
        gtk_scrolled_window_get_vadjustment(GTK_SCROLLED_WINDOW(list->scrolled));
    gtk_adjustment_set_value(scroll, 0);
}

int rb_rail_list_get_chosen(RbRailList *list)
{
    GtkListBoxRow *row = gtk_list_box_get_selected_row(list->box);
    return row != NULL ? gtk_list_box_row_get_index(row) : 0;
}

void rb_rail_list_move(RbRailList *list, int step)
{
    if (list->shown > 0) {
        const int to = CLAMP(rb_rail_list_get_chosen(list) + step, 0, list->shown - 1);
        gtk_list_box_select_row(list->box, gtk_list_box_get_row_at_index(list->box, to));
    }
}

static void on_activated(RbRailList *list, GtkListBoxRow *row)
{
    g_signal_emit(list, signals[CHOSEN], 0, gtk_list_box_row_get_index(row));
}

RbRailList *rb_rail_list_new(void)
{
    return g_object_new(RB_TYPE_RAIL_LIST, NULL);
}

static void rb_rail_list_dispose(GObject *object)
{
    RbRailList *list = RB_RAIL_LIST(object);
    g_clear_pointer(&list->scrolled, gtk_widget_unparent);
    G_OBJECT_CLASS(rb_rail_list_parent_class)->dispose(object);
}

static void rb_rail_list_class_init(RbRailListClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_rail_list_dispose;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_css_name(widget_class, "raillist");
    signals[CHOSEN] = g_signal_new("chosen", RB_TYPE_RAIL_LIST, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT);
}

static void rb_rail_list_init(RbRailList *list)
{
    list->scrolled = gtk_scrolled_window_new();
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(list->scrolled), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_widget_set_parent(list->scrolled, GTK_WIDGET(list));
    list->box = GTK_LIST_BOX(gtk_list_box_new());
    gtk_list_box_set_selection_mode(list->box, GTK_SELECTION_BROWSE);
    gtk_widget_set_focusable(GTK_WIDGET(list->box), FALSE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(list->box),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Choices"), -1);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(list->scrolled),
                                  GTK_WIDGET(list->box));
    g_signal_connect_swapped(list->box, "row-activated", G_CALLBACK(on_activated), list);
}
