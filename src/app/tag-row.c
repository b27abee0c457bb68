/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "tag-row.h"

#include <glib/gi18n.h>

struct _RbTagRow {
    GtkListBoxRow parent_instance;
    /* template children */
    GtkLabel *name;
    GtkLabel *value;

    const RbTaggable *field; /* borrowed: static */
};

G_DEFINE_FINAL_TYPE(RbTagRow, rb_tag_row, GTK_TYPE_LIST_BOX_ROW)

RbTagRow *rb_tag_row_new(const RbTaggable *field)
{
    RbTagRow *row = g_object_new(RB_TYPE_TAG_ROW, NULL);
    row->field = field;
    gtk_label_set_text(row->name, _(field->label));
    return row;
}

const RbTaggable *rb_tag_row_get_field(RbTagRow *row)
{
    g_return_val_if_fail(RB_IS_TAG_ROW(row), NULL);
    return row->field;
}

static void set_class(GtkWidget *widget, const char *name, bool wanted)
{
    if (wanted) {
        gtk_widget_add_css_class(widget, name);
    } else {
        gtk_widget_remove_css_class(widget, name);
    }
}

void rb_tag_row_set_value(RbTagRow *row, const char *value, bool known, bool asked)
{
    g_return_if_fail(RB_IS_TAG_ROW(row));
    gtk_label_set_text(row->value, known ? value : asked ? _("settles it") : "–");
    set_class(GTK_WIDGET(row->value), "muted", !known && !asked);
    set_class(GTK_WIDGET(row), "asked", asked);
    g_autofree char *spoken =
        g_strdup_printf("%s: %s", _(row->field->label), known ? value : _("unknown"));
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   spoken, -1);
}

static void rb_tag_row_class_init(RbTagRowClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/tag-row.ui");
    gtk_widget_class_bind_template_child(widget_class, RbTagRow, name);
    gtk_widget_class_bind_template_child(widget_class, RbTagRow, value);
}

static void rb_tag_row_init(RbTagRow *row)
{
    gtk_widget_init_template(GTK_WIDGET(row));
}
