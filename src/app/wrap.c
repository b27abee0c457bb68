/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "wrap.h"

#include <stdbool.h>

enum { ACROSS = 8, DOWN = 4 };

struct _RbWrap {
    GtkWidget parent_instance;
};

G_DEFINE_FINAL_TYPE(RbWrap, rb_wrap, GTK_TYPE_WIDGET)

GtkWidget *rb_wrap_new(void)
{
    return g_object_new(RB_TYPE_WRAP, NULL);
}

void rb_wrap_add(RbWrap *wrap, GtkWidget *control)
{
    g_return_if_fail(RB_IS_WRAP(wrap));
    gtk_widget_set_parent(control, GTK_WIDGET(wrap));
}

/* What a control is given: its own width, or all there is. */
static int width_of(GtkWidget *control, int most)
{
    int least = 0;
    int wanted = 0;
    gtk_widget_measure(control, GTK_ORIENTATION_HORIZONTAL, -1, &least, &wanted, NULL,
                       NULL);
    return MAX(MIN(wanted, most), least);
}

static int height_of(GtkWidget *control, int width)
{
    int wanted = 0;
    gtk_widget_measure(control, GTK_ORIENTATION_VERTICAL, width, NULL, &wanted, NULL,
                       NULL);
    return wanted;
}

static GtkWidget *next_shown(GtkWidget *control)
{
    while (control != NULL && !gtk_widget_should_layout(control)) {
        control = gtk_widget_get_next_sibling(control);
    }
    return control;
}

/* How many controls from `first` on stand in one line, and how high it is. */
static int fit_line(GtkWidget *first, int width, int *height)
{
    int n = 0;
    int at = 0;
    *height = 0;
    for (GtkWidget *control = first; control != NULL;
         control = next_shown(gtk_widget_get_next_sibling(control))) {
        const int own = width_of(control, width);
        if (n > 0 && at + own > width) {
            break;
        }
        *height = MAX(*height, height_of(control, own));
        at += own + ACROSS;
        n++;
    }
    return n;
}

static void place_line(GtkWidget *wrap, GtkWidget *first, int n, int width, int top,
                       int height)
{
    const bool mirrored = gtk_widget_get_direction(wrap) == GTK_TEXT_DIR_RTL;
    int at = 0;
    GtkWidget *control = first;
    for (int i = 0; i < n; i++) {
        const int own = width_of(control, width);
        const int own_height = height_of(control, own);
        const GtkAllocation place = { mirrored ? width - at - own : at,
                                      top + (height - own_height) / 2, own, own_height };
        gtk_widget_size_allocate(control, &place, -1);
        at += own + ACROSS;
        control = next_shown(gtk_widget_get_next_sibling(control));
    }
}

/* Returns the height of all lines. place: the controls are put there, too. */
static int lay_out(GtkWidget *wrap, int width, bool place)
{
    int top = 0;
    GtkWidget *first = next_shown(gtk_widget_get_first_child(wrap));
    while (first != NULL) {
        int height = 0;
        const int n = fit_line(first, width, &height);
        if (place) {
            place_line(wrap, first, n, width, top, height);
        }
        for (int i = 0; i < n; i++) {
            first = next_shown(gtk_widget_get_next_sibling(first));
        }
        top += height + DOWN;
    }
    return MAX(top - DOWN, 0);
}

static void rb_wrap_measure(GtkWidget *widget, GtkOrientation orientation, int for_size,
                            int *minimum, int *natural, int *minimum_baseline,
                            int *natural_baseline)
{
    int least = 0;
    int whole = 0;
    for (GtkWidget *control = next_shown(gtk_widget_get_first_child(widget));
         control != NULL; control = next_shown(gtk_widget_get_next_sibling(control))) {
        least = MAX(least, width_of(control, 0));
        whole += width_of(control, G_MAXINT) + (whole > 0 ? ACROSS : 0);
    }
    if (orientation == GTK_ORIENTATION_VERTICAL) {
        const int width = for_size < 0 ? whole : for_size;
        least = whole = lay_out(widget, width, false);
    }
    *minimum = least;
    *natural = whole;
    *minimum_baseline = *natural_baseline = -1;
}

static void rb_wrap_size_allocate(GtkWidget *widget, int width, int height, int baseline)
{
    (void)height;
    (void)baseline;
    lay_out(widget, width, true);
}

static GtkSizeRequestMode rb_wrap_get_request_mode(GtkWidget *widget)
{
    (void)widget;
    return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void rb_wrap_dispose(GObject *object)
{
    GtkWidget *child = NULL;
    while ((child = gtk_widget_get_first_child(GTK_WIDGET(object))) != NULL) {
        gtk_widget_unparent(child);
    }
    G_OBJECT_CLASS(rb_wrap_parent_class)->dispose(object);
}

static void rb_wrap_class_init(RbWrapClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_wrap_dispose;
    widget_class->measure = rb_wrap_measure;
    widget_class->size_allocate = rb_wrap_size_allocate;
    widget_class->get_request_mode = rb_wrap_get_request_mode;
}

static void rb_wrap_init(RbWrap *wrap)
{
    (void)wrap;
}
