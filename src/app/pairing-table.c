/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "pairing-table.h"

#include <glib/gi18n.h>
#include <math.h>

#include "rb/stats/intervals.h"

#include "ink.h"

/* Lengths at 11 points; see rb_ink_unit(). */
#define NAME_WIDTH 122
#define CELL_WIDTH 75
#define HEAD_HEIGHT 46
#define CELL_HEIGHT 58
#define PAD 6
/* This far from the team's own rate a cell has the scale's strongest colour. */
#define FULL_COLOUR 0.30

struct _RbPairingTable {
    GtkWidget parent_instance;
    RbPairingView *view; /* owned, nullable */
    int row;             /* chosen; -1 is the margin */
    int column;
    GtkAdjustment *adjustments[2]; /* owned, nullable: horizontal, vertical */
};

enum { PROP_0, PROP_HADJUSTMENT, PROP_VADJUSTMENT, PROP_HPOLICY, PROP_VPOLICY };
enum { CHOSEN, OPENED, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE_WITH_CODE(RbPairingTable, rb_pairing_table, GTK_TYPE_WIDGET,
                              G_IMPLEMENT_INTERFACE(GTK_TYPE_SCROLLABLE, NULL))

/* Where things are, in pixels. The name column with its margin cell and the head with its
 * margin row stay while the cells scroll under them. */
typedef struct {
    double name_width;
    double cell_width;
    double head_height;
    double cell_height;
    double left; /* of the scrolled part */
    double top;
    double dx; /* scrolled by */
    double dy;
} Geometry;

static double scrolled(const RbPairingTable *table, int axis)
{
    GtkAdjustment *adjustment = table->adjustments[axis];
    return adjustment != NULL ? gtk_adjustment_get_value(adjustment) : 0;
}

static Geometry geometry_of(RbPairingTable *table)
{
    const double unit = rb_ink_unit(GTK_WIDGET(table));
    Geometry g = {
        .name_width = ceil(NAME_WIDTH * unit),
        .cell_width = ceil(CELL_WIDTH * unit),
        .head_height = ceil(HEAD_HEIGHT * unit),
        .cell_height = ceil(CELL_HEIGHT * unit),
    };
    g.left = g.name_width + g.cell_width;
    g.top = g.head_height + g.cell_height;
    g.dx = scrolled(table, 0);
    g.dy = scrolled(table, 1);
    return g;
}

static double column_x(const Geometry *g, int column)
{
    return column < 0 ? g->name_width : g->left + column * g->cell_width - g->dx;
}

static double row_y(const Geometry *g, int row)
{
    return row < 0 ? g->head_height : g->top + row * g->cell_height - g->dy;
}

static double rate_of(const RbTally *tally)
{
    return (double)tally->successes / tally->dropbacks;
}

/* Rate's interval over the whole width of the cell, 0 to 100 %, with a tick where the team's
 * own rate is. */
static void draw_whisker(GtkSnapshot *snapshot, GtkWidget *widget, const RbTally *tally,
                         double team, double x, double y, double width)
{
    double low = 0;
    double high = 0;
    rb_interval_wilson(tally->successes, tally->dropbacks, 0.8, &low, &high);
    const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
    rb_ink_fill(snapshot, x + low * width, y, MAX((high - low) * width, 1), 1.5, ink);
    rb_ink_fill(snapshot, round(x + team * width), y - 4, 1, 9,
                rb_ink(widget, RB_INK_MUTED));
    GskRoundedRect dot;
    gsk_rounded_rect_init_from_rect(
        &dot,
        &GRAPHENE_RECT_INIT((float)(x + rate_of(tally) * width - 3), (float)(y - 2.25f),
                            6, 6),
        3);
    gtk_snapshot_push_rounded_clip(snapshot, &dot);
    gtk_snapshot_append_color(snapshot, &ink, &dot.bounds);
    gtk_snapshot_pop(snapshot);
}

static void draw_figures(GtkSnapshot *snapshot, GtkWidget *widget, const RbTally *tally,
                         double x, double y, double width)
{
    const bool few = tally->dropbacks < RB_PAIRING_MIN;
    const double unit = rb_ink_unit(widget);
    g_autofree char *rate = g_strdup_printf("%.0f %%", 100 * rate_of(tally));
    g_autofree char *n = g_strdup_printf("%d", tally->dropbacks);
    g_autoptr(PangoLayout) large = rb_ink_layout(
        widget, rate, 12.5, few ? PANGO_WEIGHT_NORMAL : PANGO_WEIGHT_SEMIBOLD);
    g_autoptr(PangoLayout) small = rb_ink_layout(widget, n, 9, PANGO_WEIGHT_NORMAL);
    const GdkRGBA ink = rb_ink(widget, few ? RB_INK_MUTED : RB_INK_INK);
    int w = 0;
    rb_ink_size(small, &w, NULL);
    rb_ink_text(snapshot, small, x + width - PAD - w, y + 3 * unit, ink);
    rb_ink_text(snapshot, large, x + PAD, y + 15 * unit, ink);
}

static void draw_cell(GtkSnapshot *snapshot, RbPairingTable *table, const Geometry *g,
                      int row, int column)
{
    GtkWidget *widget = GTK_WIDGET(table);
    const RbTally *tally = rb_pairing_view_get(table->view, row, column);
    const double x = column_x(g, column);
    const double y = row_y(g, row);
    const double w = g->cell_width;
    const double h = g->cell_height;
    const bool margin = row < 0 || column < 0;
    const double team = table->view->all.dropbacks > 0 ? rate_of(&table->view->all) : 0;
    if (tally->dropbacks >= RB_PAIRING_MIN && !margin) {
        const double where = (rate_of(tally) - team) / FULL_COLOUR;
        rb_ink_fill(snapshot, x + 1, y + 1, w - 1, h - 1, rb_ink_scale(widget, where));
    }
    if (tally->dropbacks > 0) {
        draw_figures(snapshot, widget, tally, x, y, w);
        draw_whisker(snapshot, widget, tally, team, x + PAD, y + h - 11, w - 2 * PAD);
    } else {
        g_autoptr(PangoLayout) none = rb_ink_layout(widget, "·", 13, PANGO_WEIGHT_NORMAL);
        int dot_width = 0;
        int dot_height = 0;
        rb_ink_size(none, &dot_width, &dot_height);
        rb_ink_text(snapshot, none, x + (w - dot_width) / 2, y + (h - dot_height) / 2,
                    rb_ink(widget, RB_INK_MUTED));
    }
    if (row == table->row && column == table->column) {
        rb_ink_frame(snapshot, x, y, w + 1, h + 1, gtk_widget_has_focus(widget) ? 3 : 2,
                     3, rb_ink(widget, RB_INK_ACCENT));
    }
}

static void draw_name(GtkSnapshot *snapshot, GtkWidget *widget, const char *name,
                      double x, double y, double width, double height, bool strong)
{
    g_autoptr(PangoLayout) layout = rb_ink_layout(
        widget, name, 10, strong ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
    pango_layout_set_width(layout, (int)(width - 2 * PAD) * PANGO_SCALE);
    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_height(layout, -2);
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    int h = 0;
    rb_ink_size(layout, NULL, &h);
    rb_ink_text(snapshot, layout, x + PAD, y + (height - h) / 2,
                rb_ink(widget, RB_INK_INK));
}

static void push(GtkSnapshot *snapshot, double x, double y, double width, double height)
{
    gtk_snapshot_push_clip(snapshot,
                           &GRAPHENE_RECT_INIT((float)x, (float)y, (float)MAX(width, 0),
                                               (float)MAX(height, 0)));
}

static void draw_names(GtkSnapshot *snapshot, RbPairingTable *table, const Geometry *g,
                       int width, int height)
{
    GtkWidget *widget = GTK_WIDGET(table);
    const RbPairingView *view = table->view;
    const double right = MIN(column_x(g, view->n_columns), width);
    const double bottom = MIN(row_y(g, view->n_rows), height);
    rb_ink_fill(snapshot, 0, 0, right, g->head_height, rb_ink(widget, RB_INK_PANEL));
    rb_ink_fill(snapshot, 0, 0, g->name_width, bottom, rb_ink(widget, RB_INK_PANEL));
    push(snapshot, g->left, 0, width - g->left, g->head_height);
    for (int i = 0; i < view->n_columns; i++) {
        draw_name(snapshot, widget, view->column_names[i], column_x(g, i), 0,
                  g->cell_width, g->head_height, i == table->column);
    }
    gtk_snapshot_pop(snapshot);
    push(snapshot, 0, g->top, g->name_width, height - g->top);
    for (int i = 0; i < view->n_rows; i++) {
        draw_name(snapshot, widget, view->row_names[i], 0, row_y(g, i), g->name_width,
                  g->cell_height, i == table->row);
    }
    gtk_snapshot_pop(snapshot);
    draw_name(snapshot, widget, _("All"), g->name_width, 0, g->cell_width, g->head_height,
              table->column < 0);
    draw_name(snapshot, widget, _("All concepts"), 0, g->head_height, g->name_width,
              g->cell_height, table->row < 0);
}

static void draw_lines(GtkSnapshot *snapshot, RbPairingTable *table, const Geometry *g,
                       int width, int height)
{
    const RbPairingView *view = table->view;
    const GdkRGBA line = rb_ink(GTK_WIDGET(table), RB_INK_LINE);
    const GdkRGBA strong = rb_ink(GTK_WIDGET(table), RB_INK_MUTED);
    const double right = MIN(column_x(g, view->n_columns), width);
    const double bottom = MIN(row_y(g, view->n_rows), height);
    push(snapshot, 0, g->top, right + 1, height - g->top);
    for (int i = 1; i <= view->n_rows; i++) {
        rb_ink_fill(snapshot, 0, row_y(g, i), right, 1, line);
    }
    gtk_snapshot_pop(snapshot);
    push(snapshot, g->left, 0, width - g->left, bottom + 1);
    for (int i = 1; i <= view->n_columns; i++) {
        rb_ink_fill(snapshot, column_x(g, i), 0, 1, bottom, line);
    }
    gtk_snapshot_pop(snapshot);
    rb_ink_fill(snapshot, 0, g->head_height, right, 1, line);
    rb_ink_fill(snapshot, g->name_width, 0, 1, bottom, line);
    rb_ink_fill(snapshot, 0, g->top, right, 1, strong);
    rb_ink_fill(snapshot, g->left, 0, 1, bottom, strong);
}

static void draw_cells(GtkSnapshot *snapshot, RbPairingTable *table, const Geometry *g,
                       int width, int height)
{
    const RbPairingView *view = table->view;
    push(snapshot, g->left, g->top, width - g->left, height - g->top);
    for (int row = 0; row < view->n_rows; row++) {
        for (int column = 0; column < view->n_columns; column++) {
            draw_cell(snapshot, table, g, row, column);
        }
    }
    gtk_snapshot_pop(snapshot);
    push(snapshot, g->name_width, g->top, g->cell_width + 1, height - g->top);
    for (int row = 0; row < view->n_rows; row++) {
        draw_cell(snapshot, table, g, row, -1);
    }
    gtk_snapshot_pop(snapshot);
    push(snapshot, g->left, g->head_height, width - g->left, g->cell_height + 1);
    for (int column = 0; column < view->n_columns; column++) {
        draw_cell(snapshot, table, g, -1, column);
    }
    gtk_snapshot_pop(snapshot);
    draw_cell(snapshot, table, g, -1, -1);
}

static void rb_pairing_table_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbPairingTable *table = RB_PAIRING_TABLE(widget);
    if (table->view == NULL) {
        return;
    }
    const int width = gtk_widget_get_width(widget);
    const int height = gtk_widget_get_height(widget);
    const Geometry g = geometry_of(table);
    push(snapshot, 0, 0, width, height);
    draw_names(snapshot, table, &g, width, height);
    draw_lines(snapshot, table, &g, width, height);
    draw_cells(snapshot, table, &g, width, height);
    gtk_snapshot_pop(snapshot);
}

static int content(RbPairingTable *table, GtkOrientation orientation)
{
    if (table->view == NULL) {
        return 0;
    }
    const Geometry g = geometry_of(table);
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
                                 MAX(whole, sizes[axis]), CELL_HEIGHT, sizes[axis] * 0.9,
                                 sizes[axis]);
    }
}

/* Scrolls so that the chosen cell is whole and not under the names. */
static void reveal_chosen(RbPairingTable *table)
{
    const Geometry g = geometry_of(table);
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
    const Geometry g = geometry_of(table);
    *column = index_at(x, 0, g.left, g.cell_width, g.dx, table->view->n_columns);
    *row = index_at(y, 0, g.top, g.cell_height, g.dy, table->view->n_rows);
    return *row > -2 && *column > -2;
}

static void on_pressed(GtkGestureClick *click, int n_press, double x, double y,
                       gpointer data)
{
    (void)click;
    RbPairingTable *table = data;
    int row = 0;
    int column = 0;
    gtk_widget_grab_focus(GTK_WIDGET(table));
    if (cell_under(table, x, y, &row, &column)) {
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
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Return, 0, on_open, NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_KP_Enter, 0, on_open, NULL);
}

static void rb_pairing_table_init(RbPairingTable *table)
{
    GtkWidget *widget = GTK_WIDGET(table);
    table->row = -1;
    table->column = -1;
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
