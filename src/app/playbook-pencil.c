/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-pencil.h"

#include <math.h>

#include "rb/work/playbook-edit.h"

#include "ink.h"

#define REACH_YD 1.3 /* how near a press must be to take hold of a point */

typedef struct {
    GtkWidget *diagram; /* borrowed: it owns this */
    RbPlaybookDraft *draft;
    RbPencilField get_field;
    RbDiagram field; /* as it was when the stroke began: what is drawn grows meanwhile */
    int held;        /* the point; -1 none */
    double x, y;     /* where the stroke began */
} Pencil;

/* The read that can be drawn. */
static RbRead *drawn_read(RbPlaybookDraft *draft)
{
    RbConcept *concept = rb_playbook_draft_edit(draft);
    const int number = rb_playbook_draft_get_read(draft);
    RbRead *read =
        concept != NULL ? (RbRead *)rb_concept_find_read(concept, number) : NULL;
    return read != NULL && read->route == RB_ROUTE_DRAWN ? read : NULL;
}

static const RbDiagramRoute *route_of(const RbDiagram *field, int number)
{
    for (int i = 0; i < field->n_routes; i++) {
        if (field->routes[i].number == number &&
            field->routes[i].route == RB_ROUTE_DRAWN) {
            return &field->routes[i];
        }
    }
    return NULL;
}

/* Where the man of the drawn read stands and which way is out for him. */
static bool find_man(const RbDiagram *field, int number, RbYards *man, double *out)
{
    const RbDiagramRoute *route = route_of(field, number);
    if (route == NULL || !rb_diagram_man(field, route->runner, route->side, man)) {
        return false;
    }
    *out = route->side == RB_SIDE_LEFT ? -1.0 : 1.0;
    return true;
}

static double to_half_yard(double yards)
{
    return round(yards * 2.0) / 2.0;
}

/* The spot as a point of the read. False when it cannot be drawn. */
static bool point_at(const Pencil *pencil, const RbRead *read, double x, double y,
                     double *deep_yd, double *out_yd)
{
    RbYards man;
    double out = 1.0;
    if (!find_man(&pencil->field, read->number, &man, &out)) {
        return false;
    }
    const RbYards at =
        rb_diagram_place(&pencil->field, gtk_widget_get_width(pencil->diagram), x, y);
    const double across = CLAMP(at.across, 0.5, pencil->field.field.width_yd - 0.5);
    *deep_yd = to_half_yard(at.deep);
    *out_yd = to_half_yard(out * (across - man.across));
    return true;
}

static void on_begin(Pencil *pencil, double x, double y)
{
    RbRead *read = drawn_read(pencil->draft);
    double deep = 0.0;
    double out = 0.0;
    pencil->held = -1;
    pencil->x = x;
    pencil->y = y;
    if (read == NULL || !pencil->get_field(pencil->diagram, &pencil->field) ||
        !point_at(pencil, read, x, y, &deep, &out)) {
        return;
    }
    pencil->held = rb_read_find_point(read, deep, out, REACH_YD);
    if (pencil->held < 0 && rb_read_add_point(read, deep, out)) {
        pencil->held = read->n_points - 1;
    }
    gtk_widget_queue_draw(pencil->diagram);
}

static void on_update(Pencil *pencil, double dx, double dy)
{
    RbRead *read = drawn_read(pencil->draft);
    double deep = 0.0;
    double out = 0.0;
    if (read != NULL && pencil->held >= 0 &&
        point_at(pencil, read, pencil->x + dx, pencil->y + dy, &deep, &out)) {
        rb_read_move_point(read, pencil->held, deep, out);
        gtk_widget_queue_draw(pencil->diagram);
    }
}

static void on_end(Pencil *pencil)
{
    if (pencil->held >= 0) {
        pencil->held = -1;
        rb_playbook_draft_edited(pencil->draft);
    }
}

static void on_take_away(Pencil *pencil, int n, double x, double y)
{
    (void)n;
    RbRead *read = drawn_read(pencil->draft);
    double deep = 0.0;
    double out = 0.0;
    if (read != NULL && pencil->held < 0 &&
        pencil->get_field(pencil->diagram, &pencil->field) &&
        point_at(pencil, read, x, y, &deep, &out) &&
        rb_read_remove_point(read, rb_read_find_point(read, deep, out, REACH_YD))) {
        rb_playbook_draft_edited(pencil->draft);
    }
}

void rb_playbook_pencil_follow(GtkWidget *diagram)
{
    const Pencil *pencil = g_object_get_data(G_OBJECT(diagram), "rb-pencil");
    gtk_widget_set_cursor_from_name(
        diagram, drawn_read(pencil->draft) != NULL ? "crosshair" : NULL);
    gtk_widget_queue_draw(diagram);
}

void rb_playbook_pencil_draw(GtkWidget *diagram, const RbDiagram *field, cairo_t *cr)
{
    const Pencil *pencil = g_object_get_data(G_OBJECT(diagram), "rb-pencil");
    const RbRead *read = drawn_read(pencil->draft);
    RbYards man;
    double out = 1.0;
    if (read == NULL || !find_man(field, read->number, &man, &out)) {
        return;
    }
    const double half = 3.5 * rb_ink_unit(diagram);
    const GdkRGBA paper = rb_ink(diagram, RB_INK_PAPER);
    const GdkRGBA accent = rb_ink(diagram, RB_INK_ACCENT);
    cairo_set_line_width(cr, 1.5);
    for (int i = 0; i < read->n_points; i++) {
        const RbYards at = { man.across + out * read->points[i].out_tenths / 10.0,
                             read->points[i].deep_tenths / 10.0 };
        double x = 0.0;
        double y = 0.0;
        rb_diagram_spot(field, gtk_widget_get_width(diagram), at, &x, &y);
        cairo_rectangle(cr, x - half, y - half, 2.0 * half, 2.0 * half);
        gdk_cairo_set_source_rgba(cr, &paper);
        cairo_fill_preserve(cr);
        gdk_cairo_set_source_rgba(cr, &accent);
        cairo_stroke(cr);
    }
}

void rb_playbook_pencil_add(GtkWidget *diagram, RbPlaybookDraft *draft,
                            RbPencilField field)
{
    Pencil *pencil = g_new0(Pencil, 1);
    *pencil =
        (Pencil){ .diagram = diagram, .draft = draft, .get_field = field, .held = -1 };
    g_object_set_data_full(G_OBJECT(diagram), "rb-pencil", pencil, g_free);
    GtkGesture *stroke = gtk_gesture_drag_new();
    g_signal_connect_swapped(stroke, "drag-begin", G_CALLBACK(on_begin), pencil);
    g_signal_connect_swapped(stroke, "drag-update", G_CALLBACK(on_update), pencil);
    g_signal_connect_swapped(stroke, "drag-end", G_CALLBACK(on_end), pencil);
    gtk_widget_add_controller(diagram, GTK_EVENT_CONTROLLER(stroke));
    GtkGesture *click = gtk_gesture_click_new();
    gtk_gesture_single_set_button(GTK_GESTURE_SINGLE(click), GDK_BUTTON_SECONDARY);
    g_signal_connect_swapped(click, "pressed", G_CALLBACK(on_take_away), pencil);
    gtk_widget_add_controller(diagram, GTK_EVENT_CONTROLLER(click));
}
