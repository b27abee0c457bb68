/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "drawer-snaps.h"

#include <glib/gi18n.h>

#include "edit-cell.h"
#include "follow-focus.h"
#include "form.h"

/* One row as a list model wants it. */
#define RB_TYPE_ROW_ITEM (rb_row_item_get_type())
G_DECLARE_FINAL_TYPE(RbRowItem, rb_row_item, RB, ROW_ITEM, GObject)

struct _RbRowItem {
    GObject parent_instance;
    GPtrArray *rows;      /* owned reference: keeps `row` */
    const RbSnapRow *row; /* borrowed */
};

G_DEFINE_FINAL_TYPE(RbRowItem, rb_row_item, G_TYPE_OBJECT)

static void rb_row_item_finalize(GObject *object)
{
    g_clear_pointer(&RB_ROW_ITEM(object)->rows, g_ptr_array_unref);
    G_OBJECT_CLASS(rb_row_item_parent_class)->finalize(object);
}

static guint row_changed; /* signal of the item: it has other values */

static void rb_row_item_class_init(RbRowItemClass *klass)
{
    G_OBJECT_CLASS(klass)->finalize = rb_row_item_finalize;
    row_changed = g_signal_new("changed", RB_TYPE_ROW_ITEM, G_SIGNAL_RUN_LAST, 0, NULL,
                               NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_row_item_init(RbRowItem *item)
{
    (void)item;
}

struct _RbDrawerSnaps {
    GtkWidget parent_instance;
    GtkWidget *box;
    GtkEditable *search;
    GtkDropDown *field;
    GtkEditable *value;
    GtkButton *set;
    GtkColumnView *view;
    GtkLabel *count;

    GListStore *items;            /* owned */
    GtkFilterListModel *filtered; /* borrowed */
    GtkFilter *filter;            /* borrowed */
    GtkSelectionModel *chosen;    /* borrowed */
    RbSession *session;           /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbDrawerSnaps, rb_drawer_snaps, GTK_TYPE_WIDGET)

static const char *field_label(int column)
{
    return column < 0 ? _("Snap")
                      : rb_taggable_parse(rb_snap_columns[column], NULL)->label;
}

static gboolean is_wanted(gpointer item, gpointer data)
{
    RbDrawerSnaps *table = data;
    return rb_snap_row_matches(RB_ROW_ITEM(item)->row,
                               gtk_editable_get_text(table->search));
}

static int compare_rows(gconstpointer a, gconstpointer b, gpointer column)
{
    return rb_snap_row_compare(((const RbRowItem *)a)->row, ((const RbRowItem *)b)->row,
                               GPOINTER_TO_INT(column));
}

/* Returns: (transfer full): of RbSnapId. */
static GArray *chosen_snaps(RbDrawerSnaps *table)
{
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    const guint n = g_list_model_get_n_items(G_LIST_MODEL(table->chosen));
    for (guint i = 0; i < n; i++) {
        if (gtk_selection_model_is_selected(table->chosen, i)) {
            g_autoptr(RbRowItem) item =
                g_list_model_get_item(G_LIST_MODEL(table->chosen), i);
            g_array_append_val(snaps, item->row->snap);
        }
    }
    return snaps;
}

static void show_count(RbDrawerSnaps *table)
{
    g_autoptr(GArray) chosen = chosen_snaps(table);
    const guint n = g_list_model_get_n_items(G_LIST_MODEL(table->chosen));
    g_autofree char *count =
        g_strdup_printf(g_dngettext(NULL, "%u snap, %u chosen", "%u snaps, %u chosen", n),
                        n, chosen->len);
    gtk_label_set_text(table->count, count);
    gtk_widget_set_sensitive(GTK_WIDGET(table->set), chosen->len > 0);
}

static void on_search(RbDrawerSnaps *table)
{
    gtk_filter_changed(table->filter, GTK_FILTER_CHANGE_DIFFERENT);
    show_count(table);
}

/* The list under the heads of the columns. */
static GtkWidget *rows_of(RbDrawerSnaps *table)
{
    return gtk_widget_get_last_child(GTK_WIDGET(table->view));
}

/* From the words to the rows that have them. */
static void on_search_done(RbDrawerSnaps *table)
{
    gtk_widget_grab_focus(rows_of(table));
}

/* The entry keeps Escape for itself. */
static void on_search_left(RbDrawerSnaps *table)
{
    gtk_widget_activate_action(GTK_WIDGET(table), "win.step-out", NULL);
}

static void on_set(RbDrawerSnaps *table)
{
    const guint column = gtk_drop_down_get_selected(table->field);
    GArray *chosen = chosen_snaps(table);
    if (column >= RB_SNAP_COLUMNS || chosen->len == 0) {
        g_array_unref(chosen);
        return;
    }
    rb_session_tag_snaps(table->session, chosen, rb_snap_columns[column],
                         gtk_editable_get_text(table->value));
}

static void on_activate(RbDrawerSnaps *table, guint position)
{
    g_autoptr(RbRowItem) item =
        g_list_model_get_item(G_LIST_MODEL(table->chosen), position);
    if (item != NULL) {
        rb_session_open_snap(table->session, item->row->snap);
    }
}

/* In a cell Enter shows the snap, as it does on the row; F2 changes the cell. */
static gboolean on_table_key(RbDrawerSnaps *table, guint key)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(table));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    GtkWidget *cell =
        focus != NULL ? gtk_widget_get_ancestor(focus, RB_TYPE_EDIT_CELL) : NULL;
    GtkListItem *item =
        cell != NULL ? g_object_get_data(G_OBJECT(cell), "rb-item") : NULL;
    if (item == NULL || rb_edit_cell_is_edited(RB_EDIT_CELL(cell))) {
        return FALSE;
    }
    if (key == GDK_KEY_F2) {
        rb_edit_cell_edit(RB_EDIT_CELL(cell));
        return TRUE;
    }
    if (key == GDK_KEY_Return || key == GDK_KEY_KP_Enter || key == GDK_KEY_ISO_Enter) {
        on_activate(table, gtk_list_item_get_position(item));
        return TRUE;
    }
    return FALSE;
}

static int column_of(GtkListItemFactory *factory)
{
    return GPOINTER_TO_INT(g_object_get_data(G_OBJECT(factory), "rb-column"));
}

/* A cell was changed in place. */
static void on_edited(RbEditCell *cell, const char *text, RbDrawerSnaps *table)
{
    GtkListItem *item = g_object_get_data(G_OBJECT(cell), "rb-item");
    const int column = GPOINTER_TO_INT(g_object_get_data(G_OBJECT(cell), "rb-column"));
    RbRowItem *row = item != NULL ? gtk_list_item_get_item(item) : NULL;
    if (row == NULL) {
        return;
    }
    GArray *one = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    g_array_append_val(one, row->row->snap);
    rb_session_tag_snaps(table->session, one, rb_snap_columns[column], text);
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

static void on_setup(GtkListItemFactory *factory, GtkListItem *item, gpointer table)
{
    const int column = column_of(factory);
    if (column < 0) {
        GtkWidget *label = gtk_label_new(NULL);
        gtk_label_set_xalign(GTK_LABEL(label), 1);
        gtk_list_item_set_child(item, label);
        return;
    }
    GtkWidget *cell = rb_edit_cell_new(letters_of(column));
    g_object_set_data(G_OBJECT(cell), "rb-column", GINT_TO_POINTER(column));
    g_object_set_data(G_OBJECT(cell), "rb-item", item);
    g_signal_connect(cell, "edited", G_CALLBACK(on_edited), table);
    gtk_list_item_set_child(item, cell);
}

static void show_cell(GtkListItem *item)
{
    GtkWidget *cell = gtk_list_item_get_child(item);
    const int column = GPOINTER_TO_INT(g_object_get_data(G_OBJECT(cell), "rb-column"));
    const RbSnapRow *row = RB_ROW_ITEM(gtk_list_item_get_item(item))->row;
    g_autofree char *name =
        g_strdup_printf(_("%s of snap %d"), field_label(column), row->number);
    rb_edit_cell_set(RB_EDIT_CELL(cell), name, row->shown[column]);
}

static void on_bind(GtkListItemFactory *factory, GtkListItem *item)
{
    RbRowItem *row = gtk_list_item_get_item(item);
    if (column_of(factory) < 0) {
        g_autofree char *number = g_strdup_printf("%d", row->row->number);
        gtk_label_set_text(GTK_LABEL(gtk_list_item_get_child(item)), number);
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

static void add_column(RbDrawerSnaps *table, int column)
{
    GtkListItemFactory *factory = gtk_signal_list_item_factory_new();
    g_object_set_data(G_OBJECT(factory), "rb-column", GINT_TO_POINTER(column));
    g_signal_connect(factory, "setup", G_CALLBACK(on_setup), table);
    g_signal_connect(factory, "bind", G_CALLBACK(on_bind), NULL);
    g_signal_connect(factory, "unbind", G_CALLBACK(on_unbind), NULL);
    g_signal_connect(factory, "teardown", G_CALLBACK(on_teardown), NULL);
    g_autoptr(GtkColumnViewColumn) head =
        gtk_column_view_column_new(field_label(column), factory);
    g_autoptr(GtkSorter) sorter =
        GTK_SORTER(gtk_custom_sorter_new(compare_rows, GINT_TO_POINTER(column), NULL));
    gtk_column_view_column_set_sorter(head, sorter);
    gtk_column_view_column_set_resizable(head, TRUE);
    gtk_column_view_column_set_expand(head, column >= 4);
    gtk_column_view_append_column(table->view, head);
}

static void set_row(RbRowItem *item, GPtrArray *rows, guint i)
{
    g_clear_pointer(&item->rows, g_ptr_array_unref);
    item->rows = g_ptr_array_ref(rows);
    item->row = rows->pdata[i];
}

/* The same snaps in the same order get their new values where they stand: the focus stays in its
 * cell, and a row that was changed stays in sight until the list is narrowed again. Returns false
 * when other snaps came. */
static bool take_values(RbDrawerSnaps *table, GPtrArray *rows)
{
    GListModel *items = G_LIST_MODEL(table->items);
    bool same = g_list_model_get_n_items(items) == rows->len;
    for (guint i = 0; same && i < rows->len; i++) {
        g_autoptr(RbRowItem) item = g_list_model_get_item(items, i);
        same = item->row->snap.value == ((const RbSnapRow *)rows->pdata[i])->snap.value &&
               item->row->number == ((const RbSnapRow *)rows->pdata[i])->number;
    }
    for (guint i = 0; same && i < rows->len; i++) {
        g_autoptr(RbRowItem) item = g_list_model_get_item(items, i);
        set_row(item, rows, i);
        g_signal_emit(item, row_changed, 0);
    }
    return same;
}

static void replace_rows(RbDrawerSnaps *table, GPtrArray *rows)
{
    g_autoptr(GArray) chosen = chosen_snaps(table);
    g_autoptr(GHashTable) again = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < chosen->len; i++) {
        g_hash_table_add(again, &g_array_index(chosen, RbSnapId, i).value);
    }
    g_autoptr(GPtrArray) fresh = g_ptr_array_new_with_free_func(g_object_unref);
    for (guint i = 0; i < rows->len; i++) {
        RbRowItem *item = g_object_new(RB_TYPE_ROW_ITEM, NULL);
        set_row(item, rows, i);
        g_ptr_array_add(fresh, item);
    }
    g_list_store_splice(table->items, 0,
                        g_list_model_get_n_items(G_LIST_MODEL(table->items)),
                        fresh->pdata, fresh->len);
    const guint n = g_list_model_get_n_items(G_LIST_MODEL(table->chosen));
    for (guint i = 0; i < n && g_hash_table_size(again) > 0; i++) {
        g_autoptr(RbRowItem) item = g_list_model_get_item(G_LIST_MODEL(table->chosen), i);
        if (g_hash_table_contains(again, &item->row->snap.value)) {
            gtk_selection_model_select_item(table->chosen, i, FALSE);
        }
    }
}

static void take_rows(RbDrawerSnaps *table, GPtrArray *rows)
{
    if (take_values(table, rows)) {
        return;
    }
    /* A row that goes takes the focus with it, and GTK 4.8 sends keys to it, in vain, up to the next
     * frame: the focus waits on the list itself. */
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(table));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    const bool inside = focus != NULL && gtk_widget_is_ancestor(focus, rows_of(table));
    if (inside) {
        gtk_root_set_focus(root, rows_of(table));
    }
    replace_rows(table, rows);
    if (inside) {
        gtk_widget_grab_focus(rows_of(table));
    }
    show_count(table);
}

void rb_drawer_snaps_show(RbDrawerSnaps *table)
{
    g_return_if_fail(RB_IS_DRAWER_SNAPS(table));
    const RbReviewAnswer *answer = rb_session_get_review(table->session);
    if (answer != NULL && answer->rows != NULL) {
        take_rows(table, answer->rows);
    }
}

void rb_drawer_snaps_focus(RbDrawerSnaps *table)
{
    gtk_widget_grab_focus(GTK_WIDGET(table->search));
}

void rb_drawer_snaps_set_session(RbDrawerSnaps *table, RbSession *session)
{
    g_return_if_fail(RB_IS_DRAWER_SNAPS(table));
    g_set_object(&table->session, session);
}

static void name(GtkWidget *widget, const char *words)
{
    gtk_accessible_update_property(GTK_ACCESSIBLE(widget), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   words, -1);
}

static GtkWidget *make_bar(RbDrawerSnaps *table)
{
    GtkWidget *bar = rb_wrap_new();
    GtkWidget *search = gtk_search_entry_new();
    g_object_set(search, "placeholder-text", _("Narrow: words that occur in the row"),
                 "width-chars", 12, "max-width-chars", 24, NULL);
    name(search, _("Narrow the list of snaps"));
    table->search = GTK_EDITABLE(search);
    g_signal_connect_swapped(search, "search-changed", G_CALLBACK(on_search), table);
    g_signal_connect_swapped(search, "activate", G_CALLBACK(on_search_done), table);
    g_signal_connect_swapped(search, "stop-search", G_CALLBACK(on_search_left), table);
    const char *labels[RB_SNAP_COLUMNS + 1] = { NULL };
    for (int i = 0; i < RB_SNAP_COLUMNS; i++) {
        labels[i] = field_label(i);
    }
    GtkWidget *field = gtk_drop_down_new_from_strings(labels);
    gtk_drop_down_set_selected(GTK_DROP_DOWN(field), 6);
    name(field, _("Field to set"));
    table->field = GTK_DROP_DOWN(field);
    GtkWidget *value = gtk_entry_new();
    g_object_set(value, "placeholder-text", _("Value, “-” for unknown"), "width-chars",
                 10, "max-width-chars", 22, NULL);
    name(value, _("Value to set"));
    table->value = GTK_EDITABLE(value);
    GtkWidget *set = rb_button_new(_("_Set on the chosen snaps"));
    gtk_widget_add_css_class(set, "plain");
    table->set = GTK_BUTTON(set);
    g_signal_connect_swapped(set, "clicked", G_CALLBACK(on_set), table);
    g_signal_connect_swapped(value, "activate", G_CALLBACK(on_set), table);
    GtkWidget *count = gtk_label_new(NULL);
    gtk_widget_add_css_class(count, "second");
    table->count = GTK_LABEL(count);
    GtkWidget *const parts[] = { search, count, field, value, set };
    for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) {
        rb_wrap_add(bar, parts[i]);
    }
    return bar;
}

static GtkWidget *make_table(RbDrawerSnaps *table)
{
    GtkWidget *view = gtk_column_view_new(NULL);
    table->view = GTK_COLUMN_VIEW(view);
    for (int column = -1; column < RB_SNAP_COLUMNS; column++) {
        add_column(table, column);
    }
    table->items = g_list_store_new(RB_TYPE_ROW_ITEM);
    table->filter = GTK_FILTER(gtk_custom_filter_new(is_wanted, table, NULL));
    table->filtered = gtk_filter_list_model_new(g_object_ref(G_LIST_MODEL(table->items)),
                                                table->filter);
    GtkSortListModel *sorted =
        gtk_sort_list_model_new(G_LIST_MODEL(table->filtered),
                                g_object_ref(gtk_column_view_get_sorter(table->view)));
    table->chosen = GTK_SELECTION_MODEL(gtk_multi_selection_new(G_LIST_MODEL(sorted)));
    gtk_column_view_set_model(table->view, table->chosen);
    g_object_unref(table->chosen); /* the view holds it */
    name(view, _("Snaps of the game"));
    name(rows_of(table), _("Rows of the snaps"));
    gtk_widget_set_tooltip_text(view, _("Enter shows the snap, F2 changes the cell"));
    g_signal_connect_swapped(view, "activate", G_CALLBACK(on_activate), table);
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_table_key), table);
    gtk_widget_add_controller(view, keys);
    g_signal_connect_object(table->chosen, "selection-changed", G_CALLBACK(show_count),
                            table, G_CONNECT_SWAPPED);
    GtkWidget *scrolled = gtk_scrolled_window_new();
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scrolled), view);
    gtk_widget_set_vexpand(scrolled, TRUE);
    rb_follow_focus_across(GTK_SCROLLED_WINDOW(scrolled));
    return scrolled;
}

static void rb_drawer_snaps_dispose(GObject *object)
{
    RbDrawerSnaps *table = RB_DRAWER_SNAPS(object);
    g_clear_pointer(&table->box, gtk_widget_unparent);
    g_clear_object(&table->items);
    g_clear_object(&table->session);
    G_OBJECT_CLASS(rb_drawer_snaps_parent_class)->dispose(object);
}

static void rb_drawer_snaps_class_init(RbDrawerSnapsClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_drawer_snaps_dispose;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
}

static void rb_drawer_snaps_init(RbDrawerSnaps *table)
{
    table->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_set_parent(table->box, GTK_WIDGET(table));
    gtk_box_append(GTK_BOX(table->box), make_bar(table));
    gtk_box_append(GTK_BOX(table->box), make_table(table));
    show_count(table);
}
