/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "form.h"

#include <math.h>

#define LETTERS_MAX 50

static void on_words_setup(GtkListItemFactory *factory, GtkListItem *item)
{
    const int least = GPOINTER_TO_INT(g_object_get_data(G_OBJECT(factory), "least"));
    const int most = GPOINTER_TO_INT(g_object_get_data(G_OBJECT(factory), "most"));
    GtkWidget *label = gtk_label_new(NULL);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    gtk_label_set_width_chars(GTK_LABEL(label), least);
    gtk_label_set_max_width_chars(GTK_LABEL(label), most);
    gtk_list_item_set_child(item, label);
}

static void on_words_bind(GtkListItemFactory *factory, GtkListItem *item)
{
    (void)factory;
    gtk_label_set_text(GTK_LABEL(gtk_list_item_get_child(item)),
                       gtk_string_object_get_string(gtk_list_item_get_item(item)));
}

void rb_drop_down_may_shrink(GtkDropDown *list, int least, int most)
{
    g_autoptr(GtkListItemFactory) button = gtk_signal_list_item_factory_new();
    g_object_set_data(G_OBJECT(button), "least", GINT_TO_POINTER(least));
    g_object_set_data(G_OBJECT(button), "most", GINT_TO_POINTER(most));
    g_signal_connect(button, "setup", G_CALLBACK(on_words_setup), NULL);
    g_signal_connect(button, "bind", G_CALLBACK(on_words_bind), NULL);
    gtk_drop_down_set_list_factory(list, gtk_drop_down_get_factory(list));
    gtk_drop_down_set_factory(list, button);
}

double rb_text_growth(void)
{
    int dpi = 0; /* in 1024ths */
    g_object_get(gtk_settings_get_default(), "gtk-xft-dpi", &dpi, NULL);
    return MAX(dpi / 1024.0 / 96, 1);
}

int rb_column_letters(int letters)
{
    return letters < 10 ? letters : (int)(letters / (1 + 0.6 * (rb_text_growth() - 1)));
}

GtkWidget *rb_button_new(const char *label)
{
    GtkWidget *button = gtk_button_new_with_mnemonic(label);
    /* The label inside it still names it. */
    gtk_accessible_reset_property(GTK_ACCESSIBLE(button), GTK_ACCESSIBLE_PROPERTY_LABEL);
    return button;
}

GtkWidget *rb_check_new(const char *label)
{
    GtkWidget *check = gtk_check_button_new_with_mnemonic(label);
    g_auto(GStrv) parts = g_strsplit(label, "_", -1);
    g_autofree char *spoken = g_strjoinv("", parts);
    gtk_accessible_update_property(GTK_ACCESSIBLE(check), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
    return check;
}

GtkWidget *rb_form_new(void)
{
    GtkWidget *form = gtk_flow_box_new();
    gtk_flow_box_set_selection_mode(GTK_FLOW_BOX(form), GTK_SELECTION_NONE);
    gtk_flow_box_set_max_children_per_line(GTK_FLOW_BOX(form), 12);
    gtk_flow_box_set_column_spacing(GTK_FLOW_BOX(form), 12);
    gtk_flow_box_set_row_spacing(GTK_FLOW_BOX(form), 6);
    gtk_widget_set_focusable(form, FALSE);
    gtk_widget_add_css_class(form, "form");
    return form;
}

GtkWidget *rb_form_add(GtkWidget *form, const char *label, GtkWidget *field)
{
    GtkWidget *cell = gtk_box_new(GTK_ORIENTATION_VERTICAL, 1);
    GtkWidget *words = gtk_label_new_with_mnemonic(label);
    gtk_label_set_xalign(GTK_LABEL(words), 0);
    gtk_label_set_mnemonic_widget(GTK_LABEL(words), field);
    gtk_widget_add_css_class(words, "small");
    gtk_box_append(GTK_BOX(cell), words);
    gtk_box_append(GTK_BOX(cell), field);
    gtk_flow_box_insert(GTK_FLOW_BOX(form), cell, -1);
    GtkWidget *child = gtk_widget_get_parent(cell);
    gtk_widget_set_focusable(child, FALSE); /* the field has the focus, not its cell */
    gtk_widget_set_halign(child, GTK_ALIGN_START);
    if (!RB_IS_CHOICE(field)) {
        gtk_accessible_update_relation(
            GTK_ACCESSIBLE(field), GTK_ACCESSIBLE_RELATION_LABELLED_BY, words, NULL, -1);
    }
    return field;
}

void rb_form_show(GtkWidget *field, gboolean visible)
{
    GtkWidget *child = gtk_widget_get_ancestor(field, GTK_TYPE_FLOW_BOX_CHILD);
    gtk_widget_set_visible(child, visible);
}

static gboolean on_undo_key(GtkEventControllerKey *controller, guint key, guint code,
                            GdkModifierType state, GtkWidget *field)
{
    (void)controller;
    (void)code;
    if ((state & GDK_CONTROL_MASK) == 0 || gdk_keyval_to_lower(key) != GDK_KEY_z) {
        return FALSE;
    }
    const bool again = (state & GDK_SHIFT_MASK) != 0;
    return gtk_widget_activate_action(field, again ? "win.redo" : "win.undo", NULL);
}

/* The field's own undo takes the key even when it is off. */
static void undo_in_library(GtkWidget *field)
{
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_editable_set_enable_undo(GTK_EDITABLE(field), FALSE);
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect(keys, "key-pressed", G_CALLBACK(on_undo_key), field);
    gtk_widget_add_controller(field, keys);
}

GtkWidget *rb_number_new(double low, double high, double step, int digits)
{
    GtkWidget *number = gtk_spin_button_new_with_range(low, high, step);
    gtk_spin_button_set_digits(GTK_SPIN_BUTTON(number), (guint)digits);
    gtk_spin_button_set_numeric(GTK_SPIN_BUTTON(number), TRUE);
    gtk_editable_set_width_chars(GTK_EDITABLE(number), 3);
    gtk_editable_set_max_width_chars(GTK_EDITABLE(number), 4);
    undo_in_library(number);
    return number;
}

void rb_number_set(GtkWidget *number, double value)
{
    /* Setting what is there already would throw away what is being typed. */
    if (fabs(gtk_spin_button_get_value(GTK_SPIN_BUTTON(number)) - value) > 1e-6) {
        gtk_spin_button_set_value(GTK_SPIN_BUTTON(number), value);
    }
}

/* A value longer than the entry takes is shown cut, and stays whole until it is edited. */
typedef struct {
    char *value; /* owned, nullable */
    char *shown; /* owned, nullable: what the entry made of it */
    void (*changed)(gpointer data);
    gpointer data;
} Text;

static void text_free(gpointer pointer)
{
    Text *text = pointer;
    g_free(text->value);
    g_free(text->shown);
    g_free(text);
}

static void on_done(GtkWidget *entry)
{
    Text *text = g_object_get_data(G_OBJECT(entry), "rb-text");
    g_autofree char *value = rb_text_dup(entry);
    if (g_strcmp0(text->value, value) != 0) {
        g_free(text->value);
        text->value = g_steal_pointer(&value);
        text->changed(text->data);
    }
}

GtkWidget *rb_text_new(const char *placeholder, GCallback changed, gpointer data)
{
    GtkWidget *entry = gtk_entry_new();
    Text *text = g_new0(Text, 1);
    text->changed = (void (*)(gpointer))changed;
    text->data = data;
    g_object_set_data_full(G_OBJECT(entry), "rb-text", text, text_free);
    gtk_entry_set_max_length(GTK_ENTRY(entry), LETTERS_MAX);
    gtk_editable_set_width_chars(GTK_EDITABLE(entry), 15);
    undo_in_library(entry);
    gtk_entry_set_placeholder_text(GTK_ENTRY(entry), placeholder);
    g_signal_connect(entry, "activate", G_CALLBACK(on_done), NULL);
    GtkEventController *focus = gtk_event_controller_focus_new();
    g_signal_connect_swapped(focus, "leave", G_CALLBACK(on_done), entry);
    gtk_widget_add_controller(entry, focus);
    return entry;
}

char *rb_text_dup(GtkWidget *entry)
{
    const Text *text = g_object_get_data(G_OBJECT(entry), "rb-text");
    const char *shown = gtk_editable_get_text(GTK_EDITABLE(entry));
    if (g_strcmp0(shown, text->shown) == 0) {
        return g_strdup(text->value);
    }
    char *value = g_strstrip(g_strdup(shown));
    if (value[0] == '\0') {
        g_clear_pointer(&value, g_free);
    }
    return value;
}

void rb_text_set(GtkWidget *entry, const char *value)
{
    Text *text = g_object_get_data(G_OBJECT(entry), "rb-text");
    const char *shown = gtk_editable_get_text(GTK_EDITABLE(entry));
    if (g_strcmp0(text->value, value) == 0 && text->shown != NULL) {
        return; /* what is being typed stays */
    }
    g_free(text->value);
    text->value = g_strdup(value);
    if (g_strcmp0(shown, value != NULL ? value : "") != 0) {
        gtk_editable_set_text(GTK_EDITABLE(entry), value != NULL ? value : "");
    }
    g_free(text->shown);
    text->shown = g_strdup(gtk_editable_get_text(GTK_EDITABLE(entry)));
}

bool rb_focus_is_inside(GtkWidget *widget)
{
    GtkRoot *root = gtk_widget_get_root(widget);
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    return focus != NULL && (focus == widget || gtk_widget_is_ancestor(focus, widget));
}
