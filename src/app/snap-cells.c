/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "snap-cells.h"

#include <glib/gi18n.h>

#include "edit-cell.h"
#include "table-items.h"

static const RbSnapRow *row_of(gconstpointer item)
{
    return rb_table_item_get_row((RbTableItem *)item);
}

const char *rb_snap_cells_label(int column)
{
    return column < 0 ? _("Snap")
                      : _(rb_taggable_parse(rb_snap_columns[column], NULL)->label);
}

static int compare_rows(gconstpointer a, gconstpointer b, gpointer column)
{
    return rb_snap_row_compare(row_of(a), row_of(b), GPOINTER_TO_INT(column));
}

GtkListItem *rb_snap_cell_get_item(GtkWidget *cell)
{
    return g_object_get_data(G_OBJECT(cell), "rb-item");
}

int rb_snap_cell_get_column(GtkWidget *cell)
{
    return GPOINTER_TO_INT(g_object_get_data(G_OBJECT(cell), "rb-column"));
}

static int column_of(GtkListItemFactory *factory)
{
    return GPOINTER_TO_INT(g_object_get_data(G_OBJECT(factory), "rb-column"));
}

static void on_edited(RbEditCell *cell, const char *text, const RbSnapCells *cells)
{
    GtkListItem *item = rb_snap_cell_get_item(GTK_WIDGET(cell));
    gconstpointer row = item != NULL ? gtk_list_item_get_item(item) : NULL;
    if (row != NULL) {
        cells->edited(cells->data, row_of(row)->snap,
                      rb_snap_cell_get_column(GTK_WIDGET(cell)), text);
    }
}

/* The words of the sport are read whole; names, which can be long, are cut at so many letters where
 * there is no more room. */
static int letters_of(int column)
{
    static const char *const words[] = { "spot", "result", "concept", "coverage" };
    static const int letters[] = { 6, 11, 10, 11 };
    for (size_t i = 0; i < G_N_ELEMENTS(words); i++) {
        if (g_str_equal(rb_snap_columns[column], words[i])) {
            return letters[i];
        }
    }
    return 3;
}

/* The still, then the number. */
static GtkWidget *number_cell(const RbSnapCells *cells)
{
    GtkWidget *cell = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    GtkWidget *label = gtk_label_new(NULL);
    gtk_label_set_xalign(GTK_LABEL(label), 1);
    gtk_widget_set_hexpand(label, TRUE);
    gtk_box_append(GTK_BOX(cell), GTK_WIDGET(rb_snap_stills_add(cells->stills)));
    gtk_box_append(GTK_BOX(cell), label);
    return cell;
}

static void show_number(const RbSnapCells *cells, GtkWidget *cell, const RbSnapRow *row)
{
    g_autofree char *number = g_strdup_printf("%d", row->number);
    gtk_label_set_text(GTK_LABEL(gtk_widget_get_last_child(cell)), number);
    rb_snap_stills_show(cells->stills, RB_THUMB_VIEW(gtk_widget_get_first_child(cell)),
                        row->film, row->frame);
}

static void on_setup(GtkListItemFactory *factory, GtkListItem *item,
                     const RbSnapCells *cells)
{
    const int column = column_of(factory);
    if (column < 0) {
        gtk_list_item_set_child(item, number_cell(cells));
        return;
    }
    GtkWidget *cell = rb_edit_cell_new(letters_of(column));
    g_object_set_data(G_OBJECT(cell), "rb-column", GINT_TO_POINTER(column));
    g_object_set_data(G_OBJECT(cell), "rb-item", item);
    g_signal_connect(cell, "edited", G_CALLBACK(on_edited), (gpointer)cells);
    gtk_list_item_set_child(item, cell);
}

static void show_cell(GtkListItem *item)
{
    GtkWidget *cell = gtk_list_item_get_child(item);
    const int column = rb_snap_cell_get_column(cell);
    const RbSnapRow *row = row_of(gtk_list_item_get_item(item));
    g_autofree char *name =
        g_strdup_printf(_("%s of snap %d"), rb_snap_cells_label(column), row->number);
    rb_edit_cell_set(RB_EDIT_CELL(cell), name, row->shown[column]);
}

static void on_bind(GtkListItemFactory *factory, GtkListItem *item,
                    const RbSnapCells *cells)
{
    gpointer row = gtk_list_item_get_item(item);
    if (column_of(factory) < 0) {
        show_number(cells, gtk_list_item_get_child(item), row_of(row));
        return;
    }
    show_cell(item);
    g_signal_connect_object(row, "changed", G_CALLBACK(show_cell), item,
                            G_CONNECT_SWAPPED);
}

static void on_unbind(GtkListItemFactory *factory, GtkListItem *item)
{
    (void)factory;
    g_signal_handlers_disconnect_by_data(gtk_list_item_get_item(item), item);
}

static void on_teardown(GtkListItemFactory *factory, GtkListItem *item)
{
    (void)factory;
    GtkWidget *cell = gtk_list_item_get_child(item);
    if (cell != NULL) {
        g_object_set_data(G_OBJECT(cell), "rb-item", NULL);
    }
}

static void add_column(GtkColumnView *view, const RbSnapCells *cells, int column)
{
    GtkListItemFactory *factory = gtk_signal_list_item_factory_new();
    g_object_set_data(G_OBJECT(factory), "rb-column", GINT_TO_POINTER(column));
    g_signal_connect(factory, "setup", G_CALLBACK(on_setup), (gpointer)cells);
    g_signal_connect(factory, "bind", G_CALLBACK(on_bind), (gpointer)cells);
    g_signal_connect(factory, "unbind", G_CALLBACK(on_unbind), NULL);
    g_signal_connect(factory, "teardown", G_CALLBACK(on_teardown), NULL);
    g_autoptr(GtkColumnViewColumn) head =
        gtk_column_view_column_new(rb_snap_cells_label(column), factory);
    g_autoptr(GtkSorter) sorter =
        GTK_SORTER(gtk_custom_sorter_new(compare_rows, GINT_TO_POINTER(column), NULL));
    gtk_column_view_column_set_sorter(head, sorter);
    gtk_column_view_column_set_resizable(head, TRUE);
    gtk_column_view_column_set_expand(head, column >= 4);
    gtk_column_view_append_column(view, head);
}

void rb_snap_cells_add_columns(GtkColumnView *view, const RbSnapCells *cells)
{
    for (int column = RB_SNAP_CELL_NUMBER; column < RB_SNAP_COLUMNS; column++) {
        add_column(view, cells, column);
    }
}
