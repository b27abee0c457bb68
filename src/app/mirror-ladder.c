/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "mirror-ladder.h"

#include <glib/gi18n.h>
#include <math.h>

#include "rb/report/mirror-chart.h"

#include "help.h"
#include "ink.h"

enum { LEAST_WIDTH = 320, TEXT_POINTS = 12 };

struct _RbMirrorLadder {
    GtkWidget parent_instance;
    RbLadder ladders[2];
};

G_DEFINE_FINAL_TYPE(RbMirrorLadder, rb_mirror_ladder, GTK_TYPE_WIDGET)

static RbMirrorChart chart_of(RbMirrorLadder *mirror)
{
    const PangoFontDescription *font = pango_context_get_font_description(
        gtk_widget_get_pango_context(GTK_WIDGET(mirror)));
    return (RbMirrorChart){
        .first = &mirror->ladders[0],
        .second = &mirror->ladders[1],
        .first_name = _("First"),
        .second_name = _("Second"),
        .font = pango_font_description_get_family(font),
        .size = TEXT_POINTS * rb_ink_unit(GTK_WIDGET(mirror)),
    };
}

static void rb_mirror_ladder_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    const RbMirrorChart chart = chart_of(RB_MIRROR_LADDER(widget));
    const RbPalette palette = rb_ink_palette(widget, RB_INK_PAPER);
    const int width = gtk_widget_get_width(widget);
    cairo_t *cr = gtk_snapshot_append_cairo(
        snapshot,
        &GRAPHENE_RECT_INIT(0, 0, (float)width, (float)gtk_widget_get_height(widget)));
    rb_mirror_draw(cr, &chart, &palette, 0, 0, width);
    cairo_destroy(cr);
}

static GtkSizeRequestMode rb_mirror_ladder_get_request_mode(GtkWidget *widget)
{
    (void)widget;
    return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void rb_mirror_ladder_measure(GtkWidget *widget, GtkOrientation orientation,
                                     int for_size, int *minimum, int *natural,
                                     int *minimum_baseline, int *natural_baseline)
{
    *minimum_baseline = *natural_baseline = -1;
    if (orientation == GTK_ORIENTATION_HORIZONTAL) {
        *minimum = *natural = LEAST_WIDTH;
        return;
    }
    const RbMirrorChart chart = chart_of(RB_MIRROR_LADDER(widget));
    *minimum = *natural = (int)ceil(rb_mirror_height(&chart, MAX(for_size, LEAST_WIDTH)));
}

void rb_mirror_ladder_set(RbMirrorLadder *mirror, const RbLadder ladders[2],
                          const char *said)
{
    g_return_if_fail(RB_IS_MIRROR_LADDER(mirror));
    mirror->ladders[0] = ladders[0];
    mirror->ladders[1] = ladders[1];
    gtk_accessible_update_property(GTK_ACCESSIBLE(mirror), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Both ladders"), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                   said, -1);
    gtk_widget_queue_resize(GTK_WIDGET(mirror));
    gtk_widget_queue_draw(GTK_WIDGET(mirror));
}

static void rb_mirror_ladder_class_init(RbMirrorLadderClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    widget_class->snapshot = rb_mirror_ladder_snapshot;
    widget_class->measure = rb_mirror_ladder_measure;
    widget_class->get_request_mode = rb_mirror_ladder_get_request_mode;
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void rb_mirror_ladder_init(RbMirrorLadder *mirror)
{
    (void)mirror;
    rb_help_mark(GTK_WIDGET(mirror), "figures.html#stages");
}
