/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "edit-cell.h"

struct _RbEditCell {
    GtkWidget parent_instance;
    GtkWidget *label; /* child */
    GtkWidget *field; /* child, nullable: never edited yet */
    char *name;       /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbEditCell, rb_edit_cell, GTK_TYPE_WIDGET)

enum { EDITED, N_SIGNALS };
static guint signals[N_SIGNALS];

bool rb_edit_cell_is_edited(RbEditCell *cell)
{
    return cell->field != NULL && gtk_widget_get_visible(cell->field);
}

void rb_edit_cell_set(RbEditCell *cell, const char *name, const char *text)
{
    g_return_if_fail(RB_IS_EDIT_CELL(cell));
    if (g_strcmp0(name, cell->name) == 0 &&
        g_str_equal(text, gtk_label_get_text(GTK_LABEL(cell->label)))) {
        return;
    }
    g_autofree char *spoken =
        text[0] != '\0' ? g_strdup_printf("%s: %s", name, text) : g_strdup(name);
    g_free(cell->name);
    cell->name = g_strdup(name);
    gtk_label_set_text(GTK_LABEL(cell->label), text);
    gtk_accessible_update_property(GTK_ACCESSIBLE(cell), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
}

/* The stored text stays until the change is stored: a refused value must not stay on screen. */
static void end(RbEditCell *cell, bool keep)
{
    if (!rb_edit_cell_is_edited(cell)) {
        return;
    }
    g_autofree char *text = g_strdup(gtk_editable_get_text(GTK_EDITABLE(cell->field)));
    const char *stored = gtk_label_get_text(GTK_LABEL(cell->label));
    gtk_widget_set_visible(cell->field, FALSE);
    gtk_widget_set_visible(cell->label, TRUE);
    if (keep && g_strcmp0(text, stored) != 0) {
        g_signal_emit(cell, signals[EDITED], 0, text);
    }
}

static void on_activate(RbEditCell *cell)
{
    end(cell, true);
    gtk_widget_grab_focus(GTK_WIDGET(cell));
}

static void on_leave(RbEditCell *cell)
{
    end(cell, true);
}

static gboolean on_key(RbEditCell *cell, guint keyval)
{
    if (keyval != GDK_KEY_Escape) {
        return GDK_EVENT_PROPAGATE;
    }
    end(cell, false);
    gtk_widget_grab_focus(GTK_WIDGET(cell));
    return GDK_EVENT_STOP;
}

static void make_field(RbEditCell *cell)
{
    cell->field = gtk_text_new();
    /* Undo is the library's. */
    g_object_set(cell->field, "enable-undo", FALSE, "visible", FALSE, NULL);
    gtk_accessible_update_property(GTK_ACCESSIBLE(cell->field),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, cell->name, -1);
    g_signal_connect_swapped(cell->field, "activate", G_CALLBACK(on_activate), cell);
    GtkEventController *focus = gtk_event_controller_focus_new();
    g_signal_connect_swapped(focus, "leave", G_CALLBACK(on_leave), cell);
    gtk_widget_add_controller(cell->field, focus);
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_key), cell);
    gtk_widget_add_controller(cell->field, keys);
    gtk_widget_set_parent(cell->field, GTK_WIDGET(cell));
}

void rb_edit_cell_edit(RbEditCell *cell)
{
    g_return_if_fail(RB_IS_EDIT_CELL(cell));
    if (cell->field == NULL) {
        make_field(cell);
    }
    gtk_editable_set_text(GTK_EDITABLE(cell->field),
                          gtk_label_get_text(GTK_LABEL(cell->label)));
    gtk_widget_set_visible(cell->label, FALSE);
    gtk_widget_set_visible(cell->field, TRUE);
    gtk_widget_grab_focus(cell->field);
    gtk_editable_select_region(GTK_EDITABLE(cell->field), 0, -1);
}

/* A second press on the cell that has the focus. */
static void on_pressed(GtkGestureClick *click, int n, double x, double y,
                       RbEditCell *cell)
{
    (void)click;
    (void)x;
    (void)y;
    if (n == 1 && gtk_widget_has_focus(GTK_WIDGET(cell))) {
        rb_edit_cell_edit(cell);
    }
}

static void rb_edit_cell_dispose(GObject *object)
{
    RbEditCell *cell = RB_EDIT_CELL(object);
    g_clear_pointer(&cell->label, gtk_widget_unparent);
    g_clear_pointer(&cell->field, gtk_widget_unparent);
    g_clear_pointer(&cell->name, g_free);
    G_OBJECT_CLASS(rb_edit_cell_parent_class)->dispose(object);
}

static void rb_edit_cell_class_init(RbEditCellClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_edit_cell_dispose;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_css_name(GTK_WIDGET_CLASS(klass), "editcell");
    signals[EDITED] = g_signal_new("edited", RB_TYPE_EDIT_CELL, G_SIGNAL_RUN_LAST, 0,
                                   NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void rb_edit_cell_init(RbEditCell *cell)
{
    cell->label = gtk_label_new(NULL);
    gtk_label_set_xalign(GTK_LABEL(cell->label), 0);
    gtk_label_set_ellipsize(GTK_LABEL(cell->label), PANGO_ELLIPSIZE_END);
    gtk_widget_set_parent(cell->label, GTK_WIDGET(cell));
    gtk_widget_set_focusable(GTK_WIDGET(cell), TRUE);
    GtkGesture *click = gtk_gesture_click_new();
    g_signal_connect(click, "pressed", G_CALLBACK(on_pressed), cell);
    gtk_widget_add_controller(GTK_WIDGET(cell), GTK_EVENT_CONTROLLER(click));
}

GtkWidget *rb_edit_cell_new(int letters)
{
    RbEditCell *cell = g_object_new(RB_TYPE_EDIT_CELL, NULL);
    gtk_label_set_width_chars(GTK_LABEL(cell->label), letters);
    return GTK_WIDGET(cell);
}
