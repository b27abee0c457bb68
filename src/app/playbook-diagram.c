/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-diagram.h"

#include <glib/gi18n.h>
#include <math.h>

#include "ink.h"
#include "playbook-pencil.h"

#define NARROWEST 300
#define TEXT_SIZE 12 /* pixels at the design's size of text */

struct _RbPlaybookDiagram {
    GtkWidget parent_instance;
    RbPlaybookDraft *draft; /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbPlaybookDiagram, rb_playbook_diagram, GTK_TYPE_WIDGET)

/* False without a concept. */
static bool make_diagram(GtkWidget *widget, RbDiagram *diagram)
{
    const RbPlaybookDiagram *self = RB_PLAYBOOK_DIAGRAM(widget);
    const RbConcept *concept =
        self->draft != NULL ? rb_playbook_draft_get_concept(self->draft) : NULL;
    if (concept == NULL) {
        return false;
    }
    *diagram = rb_concept_diagram(concept, rb_playbook_draft_get_names(self->draft),
                                  rb_playbook_draft_get_rules(self->draft),
                                  rb_playbook_draft_get_picture(self->draft));
    diagram->text_size = TEXT_SIZE * rb_ink_unit(widget);
    return true;
}

static RbColour colour(GtkWidget *widget, RbInk ink)
{
    const GdkRGBA rgba = rb_ink(widget, ink);
    return (RbColour){ rgba.red, rgba.green, rgba.blue };
}

static RbPalette palette_of(GtkWidget *widget)
{
    return (RbPalette){ .paper = colour(widget, RB_INK_PAPER),
                        .panel = colour(widget, RB_INK_PANEL),
                        .ink = colour(widget, RB_INK_INK),
                        .muted = colour(widget, RB_INK_MUTED),
                        .line = colour(widget, RB_INK_LINE),
                        .accent = colour(widget, RB_INK_ACCENT),
                        .above = colour(widget, RB_INK_ABOVE),
                        .even = colour(widget, RB_INK_EVEN),
                        .below = colour(widget, RB_INK_BELOW) };
}

static void rb_playbook_diagram_snapshot(GtkWidget *widget, GtkSnapshot *snapshot)
{
    RbDiagram diagram;
    if (!make_diagram(widget, &diagram)) {
        return;
    }
    const int width = gtk_widget_get_width(widget);
    const int height = gtk_widget_get_height(widget);
    const RbPalette palette = palette_of(widget);
    cairo_t *cr = gtk_snapshot_append_cairo(
        snapshot, &GRAPHENE_RECT_INIT(0, 0, (float)width, (float)height));
    rb_diagram_draw(cr, &diagram, &palette, 0, 0, width);
    rb_playbook_pencil_draw(widget, &diagram, cr);
    cairo_destroy(cr);
}

static GtkSizeRequestMode rb_playbook_diagram_get_request_mode(GtkWidget *widget)
{
    (void)widget;
    return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void rb_playbook_diagram_measure(GtkWidget *widget, GtkOrientation orientation,
                                        int for_size, int *minimum, int *natural,
                                        int *minimum_baseline, int *natural_baseline)
{
    RbDiagram diagram;
    *minimum_baseline = *natural_baseline = -1;
    if (orientation == GTK_ORIENTATION_HORIZONTAL) {
        *minimum = *natural = NARROWEST;
    } else if (make_diagram(widget, &diagram)) {
        *minimum = *natural =
            (int)ceil(rb_diagram_height(&diagram, MAX(for_size, NARROWEST)));
    } else {
        *minimum = *natural = 0;
    }
}

static void on_changed(RbPlaybookDiagram *self)
{
    RbDiagram diagram;
    g_autofree char *text = make_diagram(GTK_WIDGET(self), &diagram)
                                ? rb_diagram_text(&diagram)
                                : g_strdup("");
    gtk_accessible_update_property(GTK_ACCESSIBLE(self),
                                   GTK_ACCESSIBLE_PROPERTY_DESCRIPTION, text, -1);
    gtk_widget_queue_resize(GTK_WIDGET(self));
}

void rb_playbook_diagram_set_draft(RbPlaybookDiagram *diagram, RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DIAGRAM(diagram));
    diagram->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "picture", G_CALLBACK(on_changed), diagram,
                            G_CONNECT_SWAPPED);
    rb_playbook_pencil_add(GTK_WIDGET(diagram), draft, make_diagram);
    g_signal_connect_object(draft, "chosen", G_CALLBACK(rb_playbook_pencil_follow),
                            diagram, G_CONNECT_SWAPPED);
    on_changed(diagram);
}

static void rb_playbook_diagram_dispose(GObject *object)
{
    g_clear_object(&RB_PLAYBOOK_DIAGRAM(object)->draft);
    G_OBJECT_CLASS(rb_playbook_diagram_parent_class)->dispose(object);
}

static void rb_playbook_diagram_class_init(RbPlaybookDiagramClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_diagram_dispose;
    widget_class->snapshot = rb_playbook_diagram_snapshot;
    widget_class->measure = rb_playbook_diagram_measure;
    widget_class->get_request_mode = rb_playbook_diagram_get_request_mode;
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void rb_playbook_diagram_init(RbPlaybookDiagram *diagram)
{
    gtk_accessible_update_property(GTK_ACCESSIBLE(diagram), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Field diagram"), -1);
}
