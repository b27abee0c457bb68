/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>
#include <math.h>

#include "pairing-table-private.h"

enum { PROP_0, PROP_HADJUSTMENT, PROP_VADJUSTMENT, PROP_HPOLICY, PROP_VPOLICY };
enum { CHOSEN, OPENED, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE_WITH_CODE(RbPairingTable, rb_pairing_table, GTK_TYPE_WIDGET,
                              G_IMPLEMENT_INTERFACE(GTK_TYPE_SCROLLABLE, NULL))

static void rb_pairing_table_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    rb_pairing_table_draw(RB_PAIRING_TABLE(widget), snapshot);
}

static int content(RbPairingTable *table, GtkOrientation orientation)
{
    if (table->view == NULL) {
        return 0;
    }
    const RbTableGeometry g = rb_pairing_table_geometry(table, 0);
    return orientation == GTK_ORIENTATION_HORIZONTAL
               ? (int)(g.left + table->view->n_columns * g.cell_width + 2)
               : (int)(g.top + table->view->n_rows * g.cell_height + 2);
}

static void rb_pairing_table_measure(GtkWidget *widget, GtkOrientation orientation,
                                     int for_size, int *minimum, int *natural,
                                     int *minimum_baseline, int *natural_baseline)
{
    (void)for_size;
    *minimum_baseline = *natural_baseline = -1;
    *natural = content(RB_PAIRING_TABLE(widget), orientation);
    *minimum = MIN(*natural, 200);
}

static void rb_pairing_table_size_allocate(GtkWidget *widget, int width, int height,
                                           int baseline)
{
    (void)baseline;
    RbPairingTable *table = RB_PAIRING_TABLE(widget);
    const int sizes[2] = { width, height };
    for (int axis = 0; axis < 2; axis++) {
        GtkAdjustment *adjustment = table->adjustments[axis];
        if (adjustment == NULL) {
            continue;
        }
        const int whole = content(table, axis == 0 ? GTK_ORIENTATION_HORIZONTAL
                                                   : GTK_ORIENTATION_VERTICAL);
        gtk_adjustment_configure(adjustment, gtk_adjustment_get_value(adjustment), 0,
                                 MAX(whole, sizes[axis]), 58, sizes[axis] * 0.9,
                                 sizes[axis]);
    }
}

/* Scrolls so that the chosen cell is whole and not under the names. */
static void reveal_chosen(RbPairingTable *table)
{
    const RbTableGeometry g =
        rb_pairing_table_geometry(table, gtk_widget_get_width(GTK_WIDGET(table)));
    const double starts[2] = { table->column * g.cell_width, table->row * g.cell_height };
    const double sizes[2] = { g.cell_width, g.cell_height };
    const double fixed[2] = { g.left, g.top };
    const int chosen[2] = { table->column, table->row };
    for (int axis = 0; axis < 2; axis++) {
        GtkAdjustment *adjustment = table->adjustments[axis];
        if (adjustment != NULL && chosen[axis] >= 0) {
            const double page = gtk_adjustment_get_page_size(adjustment) - fixed[axis];
            const double value = gtk_adjustment_get_value(adjustment);
            const double most = starts[axis];
            const double least = starts[axis] + sizes[axis] + 2 - page;
            gtk_adjustment_set_value(adjustment, CLAMP(value, MIN(least, most), most));
        }
    }
}

static void say_chosen(RbPairingTable *table)
{
    g_autofree char *text =
        table->view != NULL ? rb_pairing_view_text(table->view, table->row, table->column)
                            : g_strdup(_("empty"));
    gtk_accessible_update_property(GTK_ACCESSIBLE(table),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
}

static void choose(RbPairingTable *table, int row, int column)
{
    if (table->view == NULL) {
        return;
    }
    row = CLAMP(row, -1, table->view->n_rows - 1);
    column = CLAMP(column, -1, table->view->n_columns - 1);
    if (row == table->row && column == table->column) {
        return;
    }
    table->row = row;
    table->column = column;
    reveal_chosen(table);
    say_chosen(table);
    gtk_widget_queue_draw(GTK_WIDGET(table));
    g_signal_emit(table, signals[CHOSEN], 0,
                  row < 0 ? (gint64)0 : table->view->concepts[row].value,
                  column < 0 ? (gint64)0 : table->view->coverages[column].value);
}

/* Index along one axis; -2 outside. */
static int index_at(double at, double fixed_start, double fixed_end, double size,
                    double shift, int n)
{
    if (at < fixed_start) {
        return -2;
    }
    if (at < fixed_end) {
        return -1;
    }
    const int index = (int)floor((at - fixed_end + shift) / size);
    return index < n ? index : -2;
}

static bool cell_under(RbPairingTable *table, double x, double y, int *row, int *column)
{
    if (table->view == NULL) {
        return false;
    }
    const RbTableGeometry g =
        rb_pairing_table_geometry(table, gtk_widget_get_width(GTK_WIDGET(table)));
    *column = index_at(x, 0, g.left, g.cell_width, g.dx, table->view->n_columns);
    *row = index_at(y, 0, g.top, g.cell_height, g.dy, table->view->n_rows);
    return *row > -2 && *column > -2;
}

/* The next order for a column: worst first, best first, then most dropbacks again. */
static void sort_by(RbPairingTable *table, int column)
{
    if (table->view == NULL) {
        return;
    }
    const bool same = table->sorted_by == column;
    const RbConceptId concept =
        table->row >= 0 ? table->view->concepts[table->row] : (RbConceptId){ 0 };
    const RbTermId coverage =
        table->column >= 0 ? table->view->coverages[table->column] : (RbTermId){ 0 };
    table->sort = !same || table->sort == RB_SORT_DROPBACKS ? RB_SORT_WORST
                  : table->sort == RB_SORT_WORST            ? RB_SORT_BEST
                                                            : RB_SORT_DROPBACKS;
    table->sorted_by = column;
    rb_pairing_view_sort(table->view, table->sort, column);
    rb_pairing_table_choose(table, concept, coverage);
}

static void on_pressed(GtkGestureClick *click, int n_press, double x, double y,
                       gpointer data)
{
    (void)click;
    RbPairingTable *table = data;
    int row = 0;
    int column = 0;
    gtk_widget_grab_focus(GTK_WIDGET(table));
    const RbTableGeometry g =
        rb_pairing_table_geometry(table, gtk_widget_get_width(GTK_WIDGET(table)));
    if (table->view != NULL && y < g.head_height) {
        column =
            index_at(x, g.name_width, g.left, g.cell_width, g.dx, table->view->n_columns);
        sort_by(table, MAX(column, -1));
    } else if (cell_under(table, x, y, &row, &column)) {
        choose(table, row, column);
        if (n_press == 2) {
            g_signal_emit(table, signals[OPENED], 0);
        }
    }
}

static gboolean on_tooltip(GtkWidget *widget, int x, int y, gboolean keyboard,
                           GtkTooltip *tooltip, gpointer data)
{
    (void)data;
    RbPairingTable *table = RB_PAIRING_TABLE(widget);
    int row = table->row;
    int column = table->column;
    if (table->view == NULL || (!keyboard && !cell_under(table, x, y, &row, &column))) {
        return FALSE;
    }
    g_autofree char *text = rb_pairing_view_text(table->view, row, column);
    gtk_tooltip_set_text(tooltip, text);
    return TRUE;
}

static gboolean on_move(GtkWidget *widget, GVariant *steps, gpointer data)
{
    (void)data;
    RbPairingTable *table = RB_PAIRING_TABLE(widget);
    int down = 0;
    int across = 0;
    g_variant_get(steps, "(ii)", &down, &across);
    choose(table, table->row + down, table->column + across);
    return TRUE;
}

static gboolean on_open(GtkWidget *widget, GVariant *arguments, gpointer data)
{
    (void)arguments;
    (void)data;
    g_signal_emit(widget, signals[OPENED], 0);
    return TRUE;
}

static gboolean on_sort(GtkWidget *widget, GVariant *arguments, gpointer data)
{
    (void)arguments;
    (void)data;
    RbPairingTable *table = RB_PAIRING_TABLE(widget);
    sort_by(table, table->column);
    return TRUE;
}

void rb_pairing_table_take_view(RbPairingTable *table, RbPairingView *view)
{
    g_return_if_fail(RB_IS_PAIRING_TABLE(table));
    RbConceptId concept = { 0 };
    RbTermId coverage = { 0 };
    if (table->view != NULL && table->row >= 0) {
        concept = table->view->concepts[table->row];
    }
    if (table->view != NULL && table->column >= 0) {
        coverage = table->view->coverages[table->column];
    }
    rb_pairing_view_free(table->view);
    table->view = view;
    if (view != NULL && table->sort != RB_SORT_DROPBACKS) {
        rb_pairing_view_sort(view, table->sort, table->sorted_by);
    }
    rb_pairing_table_choose(table, concept, coverage);
    gtk_widget_queue_resize(GTK_WIDGET(table));
}

void rb_pairing_table_choose(RbPairingTable *table, RbConceptId concept,
                             RbTermId coverage)
{
    g_return_if_fail(RB_IS_PAIRING_TABLE(table));
    table->row = -1;
    table->column = -1;
    const RbPairingView *view = table->view;
    for (int i = 0; view != NULL && i < view->n_rows; i++) {
        if (concept.value != 0 && view->concepts[i].value == concept.value) {
            table->row = i;
        }
    }
    for (int i = 0; view != NULL && i < view->n_columns; i++) {
        if (coverage.value != 0 && view->coverages[i].value == coverage.value) {
            table->column = i;
        }
    }
    reveal_chosen(table);
    say_chosen(table);
    gtk_widget_queue_draw(GTK_WIDGET(table));
}

static void set_adjustment(RbPairingTable *table, int axis, GtkAdjustment *adjustment)
{
    if (table->adjustments[axis] != NULL) {
        g_signal_handlers_disconnect_by_data(table->adjustments[axis], table);
    }
    g_set_object(&table->adjustments[axis], adjustment);
    if (adjustment != NULL) {
        g_signal_connect_swapped(adjustment, "value-changed",
                                 G_CALLBACK(gtk_widget_queue_draw), table);
    }
    gtk_widget_queue_allocate(GTK_WIDGET(table));
}

static void rb_pairing_table_set_property(GObject *object, guint id, const GValue *value,
                                          GParamSpec *pspec)
{
    RbPairingTable *table = RB_PAIRING_TABLE(object);
    switch (id) {
    case PROP_HADJUSTMENT:
    case PROP_VADJUSTMENT:
        set_adjustment(table, id == PROP_VADJUSTMENT, g_value_get_object(value));
        break;
    case PROP_HPOLICY:
    case PROP_VPOLICY:
        break;
    default:
        G_OBJECT_WARN_INVALID_PROPERTY_ID(object, id, pspec);
    }
}

static void rb_pairing_table_get_property(GObject *object, guint id, GValue *value,
                                          GParamSpec *pspec)
{
    RbPairingTable *table = RB_PAIRING_TABLE(object);
    switch (id) {
    case PROP_HADJUSTMENT:
    case PROP_VADJUSTMENT:
        g_value_set_object(value, table->adjustments[id == PROP_VADJUSTMENT]);
        break;
    case PROP_HPOLICY:
    case PROP_VPOLICY:
        g_value_set_enum(value, GTK_SCROLL_MINIMUM);
        break;
    default:
        G_OBJECT_WARN_INVALID_PROPERTY_ID(object, id, pspec);
    }
}

static void rb_pairing_table_dispose(GObject *object)
{
    RbPairingTable *table = RB_PAIRING_TABLE(object);
    set_adjustment(table, 0, NULL);
    set_adjustment(table, 1, NULL);
    g_clear_pointer(&table->view, rb_pairing_view_free);
    G_OBJECT_CLASS(rb_pairing_table_parent_class)->dispose(object);
}

static void bind_key(GtkWidgetClass *klass, guint key, int down, int across)
{
    gtk_widget_class_add_binding(klass, key, 0, on_move, "(ii)", down, across);
}

static void rb_pairing_table_class_init(RbPairingTableClass *klass)
{
    GObjectClass *object_class = G_OBJECT_CLASS(klass);
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    object_class->set_property = rb_pairing_table_set_property;
    object_class->get_property = rb_pairing_table_get_property;
    object_class->dispose = rb_pairing_table_dispose;
    widget_class->snapshot = rb_pairing_table_snapshot;
    widget_class->measure = rb_pairing_table_measure;
    widget_class->size_allocate = rb_pairing_table_size_allocate;
    gtk_widget_class_set_css_name(widget_class, "pairingtable");
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_TABLE);
    g_object_class_override_property(object_class, PROP_HADJUSTMENT, "hadjustment");
    g_object_class_override_property(object_class, PROP_VADJUSTMENT, "vadjustment");
    g_object_class_override_property(object_class, PROP_HPOLICY, "hscroll-policy");
    g_object_class_override_property(object_class, PROP_VPOLICY, "vscroll-policy");
    signals[CHOSEN] =
        g_signal_new("chosen", RB_TYPE_PAIRING_TABLE, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                     NULL, G_TYPE_NONE, 2, G_TYPE_INT64, G_TYPE_INT64);
    signals[OPENED] = g_signal_new("opened", RB_TYPE_PAIRING_TABLE, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 0);
    bind_key(widget_class, GDK_KEY_Up, -1, 0);
    bind_key(widget_class, GDK_KEY_Down, 1, 0);
    bind_key(widget_class, GDK_KEY_Left, 0, -1);
    bind_key(widget_class, GDK_KEY_Right, 0, 1);
    bind_key(widget_class, GDK_KEY_Home, 0, -10000);
    bind_key(widget_class, GDK_KEY_End, 0, 10000);
    bind_key(widget_class, GDK_KEY_Page_Up, -10000, 0);
    bind_key(widget_class, GDK_KEY_Page_Down, 10000, 0);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_s, 0, on_sort, NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Return, 0, on_open, NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_KP_Enter, 0, on_open, NULL);
}

static void rb_pairing_table_init(RbPairingTable *table)
{
    GtkWidget *widget = GTK_WIDGET(table);
    table->row = -1;
    table->column = -1;
    table->sorted_by = -2;
    gtk_widget_set_focusable(widget, TRUE);
    gtk_widget_set_has_tooltip(widget, TRUE);
    gtk_widget_set_overflow(widget, GTK_OVERFLOW_HIDDEN);
    g_signal_connect(widget, "query-tooltip", G_CALLBACK(on_tooltip), NULL);
    gtk_accessible_update_property(GTK_ACCESSIBLE(table), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Pairing table"), -1);
    GtkGesture *click = gtk_gesture_click_new();
    g_signal_connect(click, "pressed", G_CALLBACK(on_pressed), table);
    gtk_widget_add_controller(widget, GTK_EVENT_CONTROLLER(click));
}
