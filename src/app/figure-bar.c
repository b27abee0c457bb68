/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "figure-bar.h"

#include "ink.h"

enum { WIDTH = 130, HEIGHT = 16, EDGE = 4 };

struct _RbFigureBar {
    GtkWidget parent_instance;
    double value;
    double low;
    double high;
    double norm;
    RbTone tone;
};

G_DEFINE_FINAL_TYPE(RbFigureBar, rb_figure_bar, GTK_TYPE_WIDGET)

static GdkRGBA tone_ink(GtkWidget *widget, RbTone tone)
{
    switch (tone) {
    case RB_TONE_PLAIN:
        break;
    case RB_TONE_GOOD:
        return rb_ink(widget, RB_INK_ABOVE);
    case RB_TONE_BAD:
        return rb_ink(widget, RB_INK_BELOW);
    }
    return rb_ink(widget, RB_INK_MUTED);
}

static void draw_interval(RbFigureBar *bar, GtkSnapshot *snapshot, double span, double y)
{
    GtkWidget *widget = GTK_WIDGET(bar);
    const double low = EDGE + span * bar->low;
    const double high = EDGE + span * bar->high;
    rb_ink_fill(snapshot, EDGE, y - 0.5, span, 1, rb_ink(widget, RB_INK_LINE));
    rb_ink_fill(snapshot, low, y - 1, high - low, 2, rb_ink(widget, RB_INK_MUTED));
    rb_ink_fill(snapshot, low - 0.5, y - 3, 1, 6, rb_ink(widget, RB_INK_MUTED));
    rb_ink_fill(snapshot, high - 0.5, y - 3, 1, 6, rb_ink(widget, RB_INK_MUTED));
    if (bar->norm >= 0) {
        rb_ink_fill(snapshot, EDGE + span * bar->norm - 0.5, y - 7, 1, 14,
                    rb_ink(widget, RB_INK_ACCENT));
    }
    rb_ink_fill(snapshot, EDGE + span * bar->value - 3, y - 3, 6, 6,
                rb_ink(widget, RB_INK_INK));
}

static void rb_figure_bar_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbFigureBar *bar = RB_FIGURE_BAR(widget);
    const double span = gtk_widget_get_width(widget) - 2 * EDGE;
    const double y = gtk_widget_get_height(widget) / 2.0;
    if (bar->value < 0) {
        return;
    }
    if (bar->low <= bar->high) {
        draw_interval(bar, snapshot, span, y);
        return;
    }
    rb_ink_fill(snapshot, EDGE, y - 4, span * bar->value, 8, tone_ink(widget, bar->tone));
    rb_ink_fill(snapshot, EDGE, y - 6, 1, 12, rb_ink(widget, RB_INK_LINE));
}

static void rb_figure_bar_measure(GtkWidget *widget, GtkOrientation orientation,
                                  int for_size, int *minimum, int *natural,
                                  int *minimum_baseline, int *natural_baseline)
{
    (void)for_size;
    const double unit = rb_ink_unit(widget);
    *minimum = *natural =
        (int)((orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH : HEIGHT) * unit);
    *minimum_baseline = *natural_baseline = -1;
}

void rb_figure_bar_set(RbFigureBar *bar, double value, double low, double high,
                       double norm, RbTone tone)
{
    g_return_if_fail(RB_IS_FIGURE_BAR(bar));
    bar->value = value;
    bar->low = low;
    bar->high = high;
    bar->norm = norm;
    bar->tone = tone;
    gtk_widget_queue_draw(GTK_WIDGET(bar));
}

GtkWidget *rb_figure_bar_new(void)
{
    return g_object_new(RB_TYPE_FIGURE_BAR, NULL);
}

static void rb_figure_bar_class_init(RbFigureBarClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    widget_class->snapshot = rb_figure_bar_snapshot;
    widget_class->measure = rb_figure_bar_measure;
    /* The row's text says all that the bar shows. */
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void rb_figure_bar_init(RbFigureBar *bar)
{
    bar->value = -1;
    bar->norm = -1;
    bar->low = 1;
}
