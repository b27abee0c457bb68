/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <glib/gi18n.h>
#include <math.h>

#include "ink.h"
#include "pairing-table-private.h"

/* Lengths at 11 points; see rb_ink_unit(). */
#define NAME_WIDTH 122
#define NAME_SPARE 120 /* as much more on a wide screen */
#define CELL_WIDTH 92
#define CELL_SPARE 70
#define HEAD_HEIGHT 52
#define CELL_HEIGHT 58
#define PAD 6

static double scrolled(const RbPairingTable *table, int axis)
{
    GtkAdjustment *adjustment = table->adjustments[axis];
    return adjustment != NULL ? gtk_adjustment_get_value(adjustment) : 0;
}

RbTableGeometry rb_pairing_table_geometry(RbPairingTable *table, int width)
{
    const double unit = rb_ink_unit(GTK_WIDGET(table));
    const int n = table->view != NULL ? table->view->n_columns : 0;
    RbTableGeometry g = {
        .name_width = ceil(NAME_WIDTH * unit),
        .cell_width = ceil(CELL_WIDTH * unit),
        .head_height = ceil(HEAD_HEIGHT * unit),
        .cell_height = ceil(CELL_HEIGHT * unit),
    };
    /* A wide window gives its width to names and cells, each up to a limit. */
    double spare = width - 2 - g.name_width - (n + 1) * g.cell_width;
    if (spare > 0) {
        const double names = MIN(spare / 3, ceil(NAME_SPARE * unit));
        g.name_width += floor(names);
        spare -= names;
        g.cell_width += floor(MIN(spare / (n + 1), CELL_SPARE * unit));
    }
    g.left = g.name_width + g.cell_width;
    g.top = g.head_height + g.cell_height;
    g.dx = scrolled(table, 0);
    g.dy = scrolled(table, 1);
    return g;
}

static double column_x(const RbTableGeometry *g, int column)
{
    return column < 0 ? g->name_width : g->left + column * g->cell_width - g->dx;
}

static double row_y(const RbTableGeometry *g, int row)
{
    return row < 0 ? g->head_height : g->top + row * g->cell_height - g->dy;
}

/* The interval over the whole width of the cell, with a tick where the team's own stands. */
static void draw_whisker(GtkSnapshot *snapshot, RbPairingTable *table,
                         const RbMeasured *figure, double x, double y, double width)
{
    GtkWidget *widget = GTK_WIDGET(table);
    const RbMeasure measure = table->view->measure;
    const RbMeasured *own = &table->view->all_figure;
    const double at = rb_figure_place(measure, figure->shown) * width;
    const double low = rb_figure_place(measure, figure->low) * width;
    const double high = rb_figure_place(measure, figure->high) * width;
    const GdkRGBA ink = rb_ink(widget, RB_INK_INK);
    if (figure->has_interval) {
        rb_ink_fill(snapshot, x + low, y, MAX(high - low, 1), 1.5, ink);
    }
    rb_ink_fill(snapshot, round(x + rb_figure_place(measure, own->shown) * width), y - 4,
                1, 9, rb_ink(widget, RB_INK_MUTED));
    GskRoundedRect dot;
    gsk_rounded_rect_init_from_rect(
        &dot, &GRAPHENE_RECT_INIT((float)(x + at - 3), (float)(y - 2.25), 6, 6), 3);
    gtk_snapshot_push_rounded_clip(snapshot, &dot);
    gtk_snapshot_append_color(snapshot, &ink, &dot.bounds);
    gtk_snapshot_pop(snapshot);
}

static void draw_right(GtkSnapshot *snapshot, GtkWidget *widget, const char *text,
                       double right, double y)
{
    g_autoptr(PangoLayout) small = rb_ink_layout(widget, text, 9, PANGO_WEIGHT_NORMAL);
    int width = 0;
    rb_ink_size(small, &width, NULL);
    rb_ink_text(snapshot, small, right - width, y, rb_ink(widget, RB_INK_INK));
}

/* The figure large, n at the upper right, points a dropback under it, and a flag. */
static void draw_figures(GtkSnapshot *snapshot, RbPairingTable *table,
                         const RbTally *tally, const RbMeasured *figure, double x,
                         double y, double width)
{
    GtkWidget *widget = GTK_WIDGET(table);
    const RbMeasure measure = table->view->measure;
    const bool few = tally->dropbacks < RB_PAIRING_MIN;
    const double unit = rb_ink_unit(widget);
    const GdkRGBA ink = rb_ink(widget, few ? RB_INK_MUTED : RB_INK_INK);
    g_autofree char *value = rb_figure_text(measure, figure);
    g_autofree char *large_text =
        figure->flagged ? g_strdup_printf("▾%s", value) : g_strdup(value);
    g_autofree char *n = g_strdup_printf("%d", tally->dropbacks);
    g_autoptr(PangoLayout) large = rb_ink_layout(
        widget, large_text, 12.5, few ? PANGO_WEIGHT_NORMAL : PANGO_WEIGHT_SEMIBOLD);
    rb_ink_text(snapshot, large, x + PAD, y + 6 * unit, ink);
    draw_right(snapshot, widget, n, x + width - PAD, y + 3 * unit);
    if (measure != RB_MEASURE_POINTS && tally->pointed > 0) {
        RbMeasured points;
        rb_measure_figure(RB_MEASURE_POINTS, tally, &points);
        g_autofree char *mean = rb_figure_text(RB_MEASURE_POINTS, &points);
        draw_right(snapshot, widget, mean, x + width - PAD, y + 27 * unit);
    }
}

static void draw_none(GtkSnapshot *snapshot, GtkWidget *widget, double x, double y,
                      double width, double height)
{
    g_autoptr(PangoLayout) none = rb_ink_layout(widget, "·", 13, PANGO_WEIGHT_NORMAL);
    int w = 0;
    int h = 0;
    rb_ink_size(none, &w, &h);
    rb_ink_text(snapshot, none, x + (width - w) / 2, y + (height - h) / 2,
                rb_ink(widget, RB_INK_MUTED));
}

static void draw_cell(GtkSnapshot *snapshot, RbPairingTable *table,
                      const RbTableGeometry *g, int row, int column)
{
    GtkWidget *widget = GTK_WIDGET(table);
    const RbPairingView *view = table->view;
    const RbTally *tally = rb_pairing_view_get(view, row, column);
    const RbMeasured *figure = rb_pairing_view_figure(view, row, column);
    const double x = column_x(g, column);
    const double y = row_y(g, row);
    const double w = g->cell_width;
    const double h = g->cell_height;
    if (x > gtk_widget_get_width(widget) || y > gtk_widget_get_height(widget)) {
        return;
    }
    const bool margin = row < 0 || column < 0;
    if (tally->dropbacks >= RB_PAIRING_MIN && figure->known && !margin) {
        const double shade = rb_figure_shade(view->measure, figure, &view->all_figure);
        rb_ink_fill(snapshot, x + 1, y + 1, w - 1, h - 1, rb_ink_scale(widget, shade));
    }
    if (tally->dropbacks == 0) {
        draw_none(snapshot, widget, x, y, w, h);
    } else {
        draw_figures(snapshot, table, tally, figure, x, y, w);
        if (figure->known) {
            draw_whisker(snapshot, table, figure, x + PAD, y + h - 11, w - 2 * PAD);
        }
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
    pango_layout_set_height(layout, -3);
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

static void draw_names(GtkSnapshot *snapshot, RbPairingTable *table,
                       const RbTableGeometry *g, int width, int height)
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

static void draw_lines(GtkSnapshot *snapshot, RbPairingTable *table,
                       const RbTableGeometry *g, int width, int height)
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

static void draw_cells(GtkSnapshot *snapshot, RbPairingTable *table,
                       const RbTableGeometry *g, int width, int height)
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

void rb_pairing_table_draw(RbPairingTable *table, GtkSnapshot *snapshot)
{
    GtkWidget *widget = GTK_WIDGET(table);
    if (table->view == NULL) {
        return;
    }
    const int width = gtk_widget_get_width(widget);
    const int height = gtk_widget_get_height(widget);
    const RbTableGeometry g = rb_pairing_table_geometry(table, width);
    push(snapshot, 0, 0, width, height);
    draw_names(snapshot, table, &g, width, height);
    draw_lines(snapshot, table, &g, width, height);
    draw_cells(snapshot, table, &g, width, height);
    gtk_snapshot_pop(snapshot);
}
