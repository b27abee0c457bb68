/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "snap-list.h"

#include <glib/gi18n.h>

#include "rb/model/yardline.h"

#include "ink.h"
#include "snap-words.h"

/* One line of the list. */
#define RB_TYPE_SNAP_ITEM (rb_snap_item_get_type())
G_DECLARE_FINAL_TYPE(RbSnapItem, rb_snap_item, RB, SNAP_ITEM, GObject)

struct _RbSnapItem {
    GObject parent_instance;
    RbSnapId snap;
    char *where;   /* owned: "Week 3 at Harbor City, 34" */
    char *what;    /* owned: "2nd & 8, own 35: complete, gain of 9" */
    char *verdict; /* owned */
    char *points;  /* owned */
};

G_DEFINE_FINAL_TYPE(RbSnapItem, rb_snap_item, G_TYPE_OBJECT)

struct _RbSnapList {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *scrolled;
    GtkListView *view;

    GListStore *items; /* owned, of RbSnapItem */
};

G_DEFINE_FINAL_TYPE(RbSnapList, rb_snap_list, GTK_TYPE_WIDGET)

enum { OPENED, N_SIGNALS };
static guint signals[N_SIGNALS];

static void rb_snap_item_finalize(GObject *object)
{
    RbSnapItem *item = RB_SNAP_ITEM(object);
    g_free(item->where);
    g_free(item->what);
    g_free(item->verdict);
    g_free(item->points);
    G_OBJECT_CLASS(rb_snap_item_parent_class)->finalize(object);
}

static void rb_snap_item_class_init(RbSnapItemClass *klass)
{
    G_OBJECT_CLASS(klass)->finalize = rb_snap_item_finalize;
}

static void rb_snap_item_init(RbSnapItem *item)
{
    (void)item;
}

static RbSnapItem *item_new(const RbSnapshot *snapshot, RbSnapId id, bool has_film)
{
    RbDropback row;
    g_autoptr(RbSnap) snap = rb_snapshot_dup_facts(snapshot, id);
    if (snap == NULL || !rb_snapshot_find_row(snapshot, id, &row)) {
        return NULL;
    }
    RbSnapItem *item = g_object_new(RB_TYPE_SNAP_ITEM, NULL);
    g_autofree char *down = rb_situation_down_text(&snap->situation);
    g_autofree char *spot = snap->situation.yards_to_goal > 0
                                ? rb_yardline_label(snap->situation.yards_to_goal)
                                : g_strdup("?");
    g_autofree char *result = rb_snap_result_text(snap);
    item->snap = id;
    item->where =
        g_strdup_printf(_("Snap %d, %s"), snap->number,
                        rb_names_game(rb_snapshot_get_names(snapshot), snap->game));
    item->what = g_strdup_printf(has_film ? "%s, %s. %s" : _("No film. %s, %s. %s"), down,
                                 spot, result);
    item->verdict = g_strdup(rb_words_label(&rb_verdict_words, row.verdict));
    item->points = row.has_points ? rb_ink_signed(row.points) : g_strdup("");
    return item;
}

static GtkWidget *line(const char *css, float xalign)
{
    GtkWidget *label = gtk_label_new(NULL);
    gtk_label_set_xalign(GTK_LABEL(label), xalign);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    if (css != NULL) {
        gtk_widget_add_css_class(label, css);
    }
    return label;
}

/* Two lines: where it was and its verdict; what happened and its points. */
static void on_setup(GtkSignalListItemFactory *factory, GtkListItem *cell)
{
    (void)factory;
    GtkWidget *grid = gtk_grid_new();
    static const struct {
        const char *css;
        float xalign;
    } lines[] = { { NULL, 0 }, { NULL, 1 }, { "second", 0 }, { "second", 1 } };
    gtk_grid_set_column_spacing(GTK_GRID(grid), 10);
    gtk_widget_set_margin_start(grid, 12);
    gtk_widget_set_margin_end(grid, 12);
    gtk_widget_set_margin_top(grid, 4);
    gtk_widget_set_margin_bottom(grid, 4);
    for (int i = 0; i < 4; i++) {
        GtkWidget *label = line(lines[i].css, lines[i].xalign);
        gtk_widget_set_hexpand(label, i % 2 == 0);
        gtk_grid_attach(GTK_GRID(grid), label, i % 2, i / 2, 1, 1);
    }
    gtk_list_item_set_child(cell, grid);
}

static void on_bind(GtkSignalListItemFactory *factory, GtkListItem *cell)
{
    (void)factory;
    RbSnapItem *item = RB_SNAP_ITEM(gtk_list_item_get_item(cell));
    GtkGrid *grid = GTK_GRID(gtk_list_item_get_child(cell));
    const char *const texts[] = { item->where, item->verdict, item->what, item->points };
    for (int i = 0; i < 4; i++) {
        gtk_label_set_text(GTK_LABEL(gtk_grid_get_child_at(grid, i % 2, i / 2)),
                           texts[i]);
    }
    /* GTK 4.8 cannot name a list item; its widget, the parent, can be named. */
    GtkWidget *row = gtk_widget_get_parent(GTK_WIDGET(grid));
    g_autofree char *spoken =
        g_strdup_printf("%s. %s. %s", item->where, item->what, item->verdict);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
}

static void on_activate(RbSnapList *list, guint position)
{
    g_autoptr(RbSnapItem) item =
        g_list_model_get_item(G_LIST_MODEL(list->items), position);
    if (item != NULL) {
        g_signal_emit(list, signals[OPENED], 0, item->snap.value);
    }
}

void rb_snap_list_set(RbSnapList *list, const RbSnapshot *snapshot, const GArray *snaps,
                      GHashTable *filmed)
{
    g_return_if_fail(RB_IS_SNAP_LIST(list));
    g_autoptr(GPtrArray) fresh = g_ptr_array_new_with_free_func(g_object_unref);
    for (guint i = 0; i < snaps->len; i++) {
        const RbSnapId id = g_array_index(snaps, RbSnapId, i);
        RbSnapItem *item = item_new(
            snapshot, id, filmed == NULL || g_hash_table_contains(filmed, &id.value));
        if (item != NULL) {
            g_ptr_array_add(fresh, item);
        }
    }
    g_list_store_splice(list->items, 0,
                        g_list_model_get_n_items(G_LIST_MODEL(list->items)), fresh->pdata,
                        fresh->len);
}

GArray *rb_snap_list_dup_snaps(RbSnapList *list, bool *part)
{
    g_return_val_if_fail(RB_IS_SNAP_LIST(list), NULL);
    GtkSelectionModel *model = gtk_list_view_get_model(list->view);
    const guint all = g_list_model_get_n_items(G_LIST_MODEL(list->items));
    g_autoptr(GtkBitset) chosen = gtk_selection_model_get_selection(model);
    const guint64 n = gtk_bitset_get_size(chosen);
    GArray *snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    *part = n > 1 && n < all;
    for (guint i = 0; i < all; i++) {
        g_autoptr(RbSnapItem) item = g_list_model_get_item(G_LIST_MODEL(list->items), i);
        if (!*part || gtk_bitset_contains(chosen, i)) {
            g_array_append_val(snaps, item->snap);
        }
    }
    return snaps;
}

void rb_snap_list_focus(RbSnapList *list)
{
    g_return_if_fail(RB_IS_SNAP_LIST(list));
    gtk_widget_grab_focus(GTK_WIDGET(list->view));
}

static void rb_snap_list_dispose(GObject *object)
{
    RbSnapList *list = RB_SNAP_LIST(object);
    gtk_widget_dispose_template(GTK_WIDGET(list), RB_TYPE_SNAP_LIST);
    g_clear_object(&list->items);
    G_OBJECT_CLASS(rb_snap_list_parent_class)->dispose(object);
}

static void rb_snap_list_class_init(RbSnapListClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_snap_list_dispose;
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/snap-list.ui");
    gtk_widget_class_bind_template_child(widget_class, RbSnapList, scrolled);
    gtk_widget_class_bind_template_child(widget_class, RbSnapList, view);
    signals[OPENED] = g_signal_new("opened", RB_TYPE_SNAP_LIST, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_INT64);
}

static void rb_snap_list_init(RbSnapList *list)
{
    gtk_widget_init_template(GTK_WIDGET(list));
    list->items = g_list_store_new(RB_TYPE_SNAP_ITEM);
    g_autoptr(GtkListItemFactory) factory = gtk_signal_list_item_factory_new();
    g_signal_connect(factory, "setup", G_CALLBACK(on_setup), NULL);
    g_signal_connect(factory, "bind", G_CALLBACK(on_bind), NULL);
    g_autoptr(GtkMultiSelection) selection =
        gtk_multi_selection_new(g_object_ref(G_LIST_MODEL(list->items)));
    gtk_list_view_set_factory(list->view, factory);
    gtk_list_view_set_model(list->view, GTK_SELECTION_MODEL(selection));
    g_signal_connect_swapped(list->view, "activate", G_CALLBACK(on_activate), list);
}
