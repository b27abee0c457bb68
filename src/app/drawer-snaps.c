/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "drawer-snaps.h"

#include <glib/gi18n.h>

#include "cutup-pick.h"
#include "edit-cell.h"
#include "follow-focus.h"
#include "form.h"
#include "snap-cells.h"
#include "snap-stills.h"
#include "table-items.h"
#include "wrap.h"

struct _RbDrawerSnaps {
    GtkWidget parent_instance;
    GtkWidget *box;
    GtkEditable *search;
    GtkDropDown *field;
    GtkEditable *value;
    GtkButton *set;
    RbCutupPick *pick; /* a child of the button */
    GtkColumnView *view;
    GtkLabel *count;

    GListStore *items;            /* owned */
    GtkFilterListModel *filtered; /* borrowed */
    GtkFilter *filter;            /* borrowed */
    GtkSelectionModel *chosen;    /* borrowed */
    RbSnapStills *stills;         /* owned */
    RbSnapCells cells;
    RbSession *session; /* owned, nullable */
    int sorted;         /* the column that a key sorted by; NOT_SORTED */
    bool is_down;
};

enum { BY_NUMBER = RB_SNAP_CELL_NUMBER, NOT_SORTED = -2 };

G_DEFINE_FINAL_TYPE(RbDrawerSnaps, rb_drawer_snaps, GTK_TYPE_WIDGET)

static const RbSnapRow *row_of(gconstpointer item)
{
    return rb_table_item_get_row((RbTableItem *)item);
}

static gboolean is_wanted(gpointer item, gpointer data)
{
    RbDrawerSnaps *table = data;
    return rb_snap_row_matches(row_of(item), gtk_editable_get_text(table->search));
}

/* In the order of the table. all: not only the chosen ones. Returns: (transfer full): of RbSnapId. */
static GArray *listed_snaps(RbDrawerSnaps *table, bool all)
{
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    const guint n = g_list_model_get_n_items(G_LIST_MODEL(table->chosen));
    for (guint i = 0; i < n; i++) {
        if (all || gtk_selection_model_is_selected(table->chosen, i)) {
            g_autoptr(RbTableItem) item =
                g_list_model_get_item(G_LIST_MODEL(table->chosen), i);
            g_array_append_val(snaps, row_of(item)->snap);
        }
    }
    return snaps;
}

static GArray *chosen_snaps(RbDrawerSnaps *table)
{
    return listed_snaps(table, false);
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
    g_autoptr(RbTableItem) item =
        g_list_model_get_item(G_LIST_MODEL(table->chosen), position);
    if (item != NULL) {
        rb_session_open_snap(table->session, row_of(item)->snap);
    }
}

/* The chosen snaps, or all that are listed when none is. */
bool rb_drawer_snaps_make_cutup(RbDrawerSnaps *table)
{
    g_return_val_if_fail(RB_IS_DRAWER_SNAPS(table), false);
    g_autoptr(GArray) snaps = chosen_snaps(table);
    if (snaps->len == 0) {
        g_array_unref(snaps);
        snaps = listed_snaps(table, true);
    }
    const RbNames *names = rb_session_get_names(table->session);
    const RbGame *game =
        names != NULL ? rb_names_find_game(names, rb_session_get_game(table->session))
                      : NULL;
    if (snaps->len == 0) {
        return false;
    }
    const char *words = gtk_editable_get_text(table->search);
    const char *title = game != NULL ? game->title : "";
    g_autofree char *name =
        words[0] != '\0' ? g_strdup_printf("%s, %s", title, words) : g_strdup(title);
    rb_cutup_pick_open(table->pick, g_steal_pointer(&snaps), name);
    return true;
}

/* A row that goes takes the focus with it, and GTK 4.8 sends keys to it, in vain, up to the next
 * frame: the focus waits on the list itself while rows come and go. Returns whether it was in it. */
static bool hold_focus(RbDrawerSnaps *table)
{
    const bool inside = rb_focus_is_inside(rows_of(table));
    if (inside) {
        gtk_root_set_focus(gtk_widget_get_root(GTK_WIDGET(table)), rows_of(table));
    }
    return inside;
}

/* The row that has the focus gives it to its cell of that column. */
static void focus_cell(RbDrawerSnaps *table, int column)
{
    GtkWidget *rows = rows_of(table);
    GtkWidget *row = gtk_root_get_focus(gtk_widget_get_root(GTK_WIDGET(table)));
    while (row != NULL && gtk_widget_get_parent(row) != rows) {
        row = gtk_widget_get_parent(row);
    }
    GtkWidget *cell = row != NULL ? gtk_widget_get_first_child(row) : NULL;
    for (int i = BY_NUMBER; cell != NULL && i < column; i++) {
        cell = gtk_widget_get_next_sibling(cell);
    }
    if (cell != NULL && gtk_widget_get_first_child(cell) != NULL) {
        gtk_widget_grab_focus(gtk_widget_get_first_child(cell));
    }
}

/* By that column; once more: the other way round. The snap with the focus keeps it. */
static void sort_by(RbDrawerSnaps *table, int column)
{
    g_autoptr(GtkColumnViewColumn) head = g_list_model_get_item(
        gtk_column_view_get_columns(table->view), (guint)(column - BY_NUMBER));
    table->is_down = column == table->sorted && !table->is_down;
    table->sorted = column;
    const bool inside = hold_focus(table);
    gtk_column_view_sort_by_column(table->view, NULL, GTK_SORT_ASCENDING);
    gtk_column_view_sort_by_column(
        table->view, head, table->is_down ? GTK_SORT_DESCENDING : GTK_SORT_ASCENDING);
    if (inside && gtk_widget_grab_focus(rows_of(table)) && column > BY_NUMBER) {
        focus_cell(table, column);
    }
    g_autofree char *spoken =
        g_strdup_printf(table->is_down ? _("Sorted by %s, from last to first")
                                       : _("Sorted by %s, from first to last"),
                        rb_snap_cells_label(column));
    gtk_accessible_update_property(GTK_ACCESSIBLE(table->view),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, spoken, -1);
}

/* In a cell Enter shows the snap, as it does on the row; F2 changes the cell; Shift+S sorts. */
static gboolean on_table_key(RbDrawerSnaps *table, guint key, guint code,
                             GdkModifierType state)
{
    (void)code;
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(table));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    GtkWidget *cell =
        focus != NULL ? gtk_widget_get_ancestor(focus, RB_TYPE_EDIT_CELL) : NULL;
    GtkListItem *item = cell != NULL ? rb_snap_cell_get_item(cell) : NULL;
    if (item != NULL && rb_edit_cell_is_edited(RB_EDIT_CELL(cell))) {
        return FALSE;
    }
    if (key == GDK_KEY_S && (state & GDK_SHIFT_MASK) != 0) {
        sort_by(table, item == NULL ? BY_NUMBER : rb_snap_cell_get_column(cell));
        return TRUE;
    }
    if (item != NULL && key == GDK_KEY_F2) {
        rb_edit_cell_edit(RB_EDIT_CELL(cell));
        return TRUE;
    }
    if (item != NULL &&
        (key == GDK_KEY_Return || key == GDK_KEY_KP_Enter || key == GDK_KEY_ISO_Enter)) {
        on_activate(table, gtk_list_item_get_position(item));
        return TRUE;
    }
    return FALSE;
}

/* A cell was changed in place. */
static void on_edited(void *data, RbSnapId snap, int column, const char *text)
{
    RbDrawerSnaps *table = data;
    GArray *one = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    g_array_append_val(one, snap);
    rb_session_tag_snaps(table->session, one, rb_snap_columns[column], text);
}

static void replace_rows(RbDrawerSnaps *table, GPtrArray *rows)
{
    g_autoptr(GArray) chosen = chosen_snaps(table);
    g_autoptr(GHashTable) again = g_hash_table_new(g_int64_hash, g_int64_equal);
    for (guint i = 0; i < chosen->len; i++) {
        g_hash_table_add(again, &g_array_index(chosen, RbSnapId, i).value);
    }
    rb_table_items_replace(table->items, rows);
    const guint n = g_list_model_get_n_items(G_LIST_MODEL(table->chosen));
    for (guint i = 0; i < n && g_hash_table_size(again) > 0; i++) {
        g_autoptr(RbTableItem) item =
            g_list_model_get_item(G_LIST_MODEL(table->chosen), i);
        if (g_hash_table_contains(again, &row_of(item)->snap.value)) {
            gtk_selection_model_select_item(table->chosen, i, FALSE);
        }
    }
}

static bool have_film(const GPtrArray *rows)
{
    bool have = false;
    for (guint i = 0; i < rows->len && !have; i++) {
        have = ((const RbSnapRow *)rows->pdata[i])->film != NULL;
    }
    return have;
}

static void take_rows(RbDrawerSnaps *table, GPtrArray *rows)
{
    rb_snap_stills_set_any(table->stills, have_film(rows));
    if (rb_table_items_take_values(table->items, rows)) {
        return;
    }
    const bool inside = hold_focus(table);
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
    rb_cutup_pick_set_session(table->pick, session);
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
        labels[i] = rb_snap_cells_label(i);
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
    GtkWidget *to_cutup = rb_button_new(_("To a _cut-up…"));
    gtk_widget_add_css_class(to_cutup, "plain");
    gtk_widget_set_tooltip_text(to_cutup, _("The chosen snaps, or all listed ones: a new "
                                            "cut-up, or added to one (%s)"));
    gtk_actionable_set_action_name(GTK_ACTIONABLE(to_cutup), "win.make-cutup");
    table->pick = rb_cutup_pick_new();
    gtk_widget_set_parent(GTK_WIDGET(table->pick), to_cutup);
    GtkWidget *const parts[] = { search, count, field, value, set, to_cutup };
    for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) {
        rb_wrap_add(RB_WRAP(bar), parts[i]);
    }
    return bar;
}

static GtkWidget *make_table(RbDrawerSnaps *table)
{
    GtkWidget *view = gtk_column_view_new(NULL);
    table->view = GTK_COLUMN_VIEW(view);
    table->stills = rb_snap_stills_new();
    table->cells = (RbSnapCells){ table->stills, on_edited, table };
    rb_snap_cells_add_columns(table->view, &table->cells);
    table->items = g_list_store_new(RB_TYPE_TABLE_ITEM);
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
    gtk_widget_set_tooltip_text(
        view,
        _("Enter shows the snap, F2 changes the cell, Shift+S sorts by its column"));
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
    rb_snap_stills_watch(table->stills, GTK_SCROLLED_WINDOW(scrolled));
    return scrolled;
}

static void rb_drawer_snaps_dispose(GObject *object)
{
    RbDrawerSnaps *table = RB_DRAWER_SNAPS(object);
    if (table->box != NULL) { /* a popover is no child that goes by itself */
        gtk_widget_unparent(GTK_WIDGET(table->pick));
    }
    g_clear_pointer(&table->box, gtk_widget_unparent);
    g_clear_pointer(&table->stills, rb_snap_stills_free);
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
    table->sorted = NOT_SORTED;
    table->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_set_parent(table->box, GTK_WIDGET(table));
    gtk_box_append(GTK_BOX(table->box), make_bar(table));
    gtk_box_append(GTK_BOX(table->box), make_table(table));
    show_count(table);
}
