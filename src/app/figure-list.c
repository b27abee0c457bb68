/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "figure-list.h"

#include "rb/model/ids.h"

struct _RbFigureList {
    GtkWidget parent_instance;
    GtkListBox *box;    /* owned child */
    GPtrArray *figures; /* owned, of RbFigure */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbFigureList, rb_figure_list, GTK_TYPE_WIDGET)

enum { CHOSEN, OPENED, N_SIGNALS };
static guint signals[N_SIGNALS];

RbFigure *rb_figure_new(const char *label, char *number, const GArray *snaps)
{
    RbFigure *figure = g_new0(RbFigure, 1);
    figure->label = g_strdup(label);
    figure->number = number;
    figure->value = -1;
    figure->low = 1;
    figure->norm = -1;
    figure->snaps = snaps != NULL ? g_array_ref((GArray *)snaps)
                                  : g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    return figure;
}

void rb_figure_free(RbFigure *figure)
{
    g_free(figure->label);
    g_free(figure->number);
    g_free(figure->said);
    g_array_unref(figure->snaps);
    g_free(figure);
}

/* The words of a row, with a bar in halves, so that the bars of all rows start at one line. */
static GtkWidget *words_of(const RbFigure *figure)
{
    GtkWidget *label = gtk_label_new(figure->label);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_set_hexpand(label, TRUE);
    if (figure->value < 0) {
        gtk_label_set_wrap(GTK_LABEL(label), TRUE);
        return label;
    }
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    GtkWidget *bar = rb_figure_bar_new();
    rb_figure_bar_set(RB_FIGURE_BAR(bar), figure->value, figure->low, figure->high,
                      figure->norm, figure->tone);
    gtk_widget_set_hexpand(bar, TRUE);
    GtkWidget *halves = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    gtk_box_set_homogeneous(GTK_BOX(halves), TRUE);
    gtk_box_append(GTK_BOX(halves), label);
    gtk_box_append(GTK_BOX(halves), bar);
    return halves;
}

static GtkWidget *row_of(const RbFigure *figure)
{
    GtkWidget *row = gtk_list_box_row_new();
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    gtk_box_append(GTK_BOX(box), words_of(figure));
    GtkWidget *number = gtk_label_new(figure->number);
    gtk_label_set_xalign(GTK_LABEL(number), 1);
    gtk_label_set_width_chars(GTK_LABEL(number), figure->value >= 0 ? 11 : 7);
    gtk_widget_add_css_class(number, "figures");
    gtk_box_append(GTK_BOX(box), number);
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    const bool is_sentence = g_str_has_suffix(figure->label, ".");
    g_autofree char *plain =
        g_strdup_printf(is_sentence ? "%s %s" : "%s: %s", figure->label, figure->number);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   figure->said != NULL ? figure->said : plain, -1);
    return row;
}

void rb_figure_list_take(RbFigureList *list, GPtrArray *figures)
{
    g_return_if_fail(RB_IS_FIGURE_LIST(list));
    const GtkListBoxRow *selected = gtk_list_box_get_selected_row(list->box);
    const int chosen =
        selected != NULL ? gtk_list_box_row_get_index((GtkListBoxRow *)selected) : -1;
    list->is_filling = true;
    GtkWidget *child = NULL;
    while ((child = gtk_widget_get_first_child(GTK_WIDGET(list->box))) != NULL) {
        gtk_list_box_remove(list->box, child);
    }
    g_ptr_array_unref(list->figures);
    list->figures = figures;
    for (guint i = 0; i < figures->len; i++) {
        gtk_list_box_append(list->box, row_of(figures->pdata[i]));
    }
    gtk_list_box_select_row(list->box, gtk_list_box_get_row_at_index(list->box, chosen));
    list->is_filling = false;
}

void rb_figure_list_set_title(RbFigureList *list, const char *title)
{
    g_return_if_fail(RB_IS_FIGURE_LIST(list));
    gtk_accessible_update_property(GTK_ACCESSIBLE(list->box),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, title, -1);
}

const RbFigure *rb_figure_list_get(RbFigureList *list, guint index)
{
    g_return_val_if_fail(RB_IS_FIGURE_LIST(list), NULL);
    return index < list->figures->len ? list->figures->pdata[index] : NULL;
}

void rb_figure_list_focus(RbFigureList *list)
{
    g_return_if_fail(RB_IS_FIGURE_LIST(list));
    GtkListBoxRow *row = gtk_list_box_get_selected_row(list->box);
    for (guint i = 0; row == NULL && i < list->figures->len; i++) {
        if (((const RbFigure *)list->figures->pdata[i])->snaps->len > 0) {
            row = gtk_list_box_get_row_at_index(list->box, (int)i);
        }
    }
    row = row != NULL ? row : gtk_list_box_get_row_at_index(list->box, 0);
    if (row != NULL) {
        gtk_list_box_select_row(list->box, row);
        gtk_widget_grab_focus(GTK_WIDGET(row));
    }
}

void rb_figure_list_unchoose(RbFigureList *list)
{
    g_return_if_fail(RB_IS_FIGURE_LIST(list));
    list->is_filling = true;
    gtk_list_box_unselect_all(list->box);
    list->is_filling = false;
}

static void on_selected(RbFigureList *list, GtkListBoxRow *row)
{
    if (row != NULL && !list->is_filling) {
        g_signal_emit(list, signals[CHOSEN], 0, (guint)gtk_list_box_row_get_index(row));
    }
}

static void on_activated(RbFigureList *list, GtkListBoxRow *row)
{
    g_signal_emit(list, signals[OPENED], 0, (guint)gtk_list_box_row_get_index(row));
}

static void rb_figure_list_dispose(GObject *object)
{
    RbFigureList *list = RB_FIGURE_LIST(object);
    if (list->box != NULL) {
        gtk_widget_unparent(GTK_WIDGET(list->box));
        list->box = NULL;
    }
    g_clear_pointer(&list->figures, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_figure_list_parent_class)->dispose(object);
}

static void rb_figure_list_class_init(RbFigureListClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_figure_list_dispose;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
    signals[CHOSEN] = g_signal_new("chosen", RB_TYPE_FIGURE_LIST, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
    signals[OPENED] = g_signal_new("opened", RB_TYPE_FIGURE_LIST, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
}

static void rb_figure_list_init(RbFigureList *list)
{
    list->figures = g_ptr_array_new_with_free_func((GDestroyNotify)rb_figure_free);
    list->box = GTK_LIST_BOX(gtk_list_box_new());
    gtk_widget_add_css_class(GTK_WIDGET(list->box), "figure-list");
    gtk_widget_set_parent(GTK_WIDGET(list->box), GTK_WIDGET(list));
    g_signal_connect_swapped(list->box, "row-selected", G_CALLBACK(on_selected), list);
    g_signal_connect_swapped(list->box, "row-activated", G_CALLBACK(on_activated), list);
}
