/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-condition.h"

#include <glib/gi18n.h>
#include <math.h>

#include "form.h"

struct _RbPlaybookCondition {
    GtkWidget parent_instance;
    GtkWidget *box; /* child: what is spoken of, then what it is */
    RbChoice *kind;
    RbChoice *where;
    RbChoice *is;
    RbChoice *value;
    GtkWidget *number;
    GtkWidget *remove;
    const GPtrArray *terms; /* borrowed, while it is filled */
    RbConditionKind shown;  /* what value and number are made for */
    bool has_shown;
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookCondition, rb_playbook_condition, GTK_TYPE_WIDGET)

enum { CHANGED, REMOVED, N_SIGNALS };
static guint signals[N_SIGNALS];

/* Tenths of a yard are shown as yards. */
static double unit_of(RbConditionKind kind)
{
    const RbConditionForm *form = rb_book_condition_form(kind);
    return form->form == RB_FORM_NUMBER && form->sided ? 10.0 : 1.0;
}

static const char *flag_label(RbConditionKind kind, bool yes)
{
    switch ((int)kind) {
    case RB_IF_ROTATION:
        return yes ? _("toward it") : _("away from it");
    case RB_IF_FIELD_SIDE:
        return yes ? _("the field") : _("the boundary");
    default:
        return yes ? _("more receivers") : _("fewer receivers");
    }
}

/* Value and number for a kind. */
static void prepare(RbPlaybookCondition *row, RbConditionKind kind,
                    const GPtrArray *terms)
{
    const RbConditionForm *form = rb_book_condition_form(kind);
    if (row->has_shown && row->shown == kind) {
        return;
    }
    row->shown = kind;
    row->has_shown = true;
    rb_choice_clear(row->value);
    switch (form->form) {
    case RB_FORM_WORD:
        rb_choice_add_words(row->value, form->words, 1);
        break;
    case RB_FORM_TERM:
        rb_choice_add_terms(row->value, terms, form->term);
        break;
    case RB_FORM_FLAG:
        rb_choice_add(row->value, 1, flag_label(kind, true));
        rb_choice_add(row->value, 0, flag_label(kind, false));
        break;
    case RB_FORM_NUMBER:
        gtk_spin_button_set_digits(GTK_SPIN_BUTTON(row->number),
                                   unit_of(kind) > 1.0 ? 1 : 0);
        gtk_spin_button_set_increments(GTK_SPIN_BUTTON(row->number),
                                       unit_of(kind) > 1.0 ? 0.5 : 1.0, 1.0);
        gtk_spin_button_set_range(GTK_SPIN_BUTTON(row->number), form->low / unit_of(kind),
                                  form->high / unit_of(kind));
        break;
    case RB_FORM_NONE:
        break;
    }
    const bool chosen = form->form == RB_FORM_WORD || form->form == RB_FORM_TERM ||
                        form->form == RB_FORM_FLAG;
    gtk_widget_set_visible(GTK_WIDGET(row->where), form->sided);
    gtk_widget_set_visible(GTK_WIDGET(row->value), chosen);
    gtk_widget_set_visible(row->number, form->form == RB_FORM_NUMBER);
    /* With a place there is room for it only on two lines. */
    gtk_orientable_set_orientation(GTK_ORIENTABLE(row->box),
                                   form->sided ? GTK_ORIENTATION_VERTICAL
                                               : GTK_ORIENTATION_HORIZONTAL);
}

void rb_playbook_condition_set(RbPlaybookCondition *row, const RbCondition *condition,
                               const GPtrArray *terms, int number)
{
    g_return_if_fail(RB_IS_PLAYBOOK_CONDITION(row));
    row->is_filling = true;
    row->terms = terms;
    rb_choice_set(row->kind, condition->kind);
    prepare(row, condition->kind, terms);
    rb_choice_set(row->where, condition->where);
    rb_choice_set(row->is, condition->negated);
    rb_choice_set(row->value, condition->value);
    rb_number_set(row->number, (double)condition->value / unit_of(condition->kind));
    row->is_filling = false;
    g_autofree char *label = g_strdup_printf(_("Condition %d"), number);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   label, -1);
    g_autofree char *remove = g_strdup_printf(_("Remove condition %d"), number);
    gtk_widget_set_tooltip_text(row->remove, remove);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row->remove),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, remove, -1);
}

RbCondition rb_playbook_condition_get(RbPlaybookCondition *row)
{
    const RbConditionKind kind = (RbConditionKind)rb_choice_get(row->kind);
    const RbConditionForm *form = rb_book_condition_form(kind);
    RbCondition condition = { .kind = kind, .negated = rb_choice_get(row->is) != 0 };
    if (form->sided) {
        condition.where = (RbWhere)rb_choice_get(row->where);
    }
    switch (form->form) {
    case RB_FORM_WORD:
    case RB_FORM_TERM:
    case RB_FORM_FLAG:
        condition.value = rb_choice_get(row->value);
        break;
    case RB_FORM_NUMBER:
        condition.value = lround(gtk_spin_button_get_value(GTK_SPIN_BUTTON(row->number)) *
                                 unit_of(kind));
        break;
    case RB_FORM_NONE:
        break;
    }
    return condition;
}

static void on_changed(RbPlaybookCondition *row)
{
    if (!row->is_filling) {
        g_signal_emit(row, signals[CHANGED], 0);
    }
}

/* What a number is likely to be. */
static double likely_number(RbConditionKind kind)
{
    switch ((int)kind) {
    case RB_IF_DOWN:
        return 3;
    case RB_IF_DISTANCE_AT_LEAST:
        return 7;
    case RB_IF_SPLIT_AT_MOST:
    case RB_IF_SPLIT_AT_LEAST:
        return 8; /* of the quick out, 12 of hitch and slant: Walsh, staff notes */
    default:      /* yards of cushion, rushers, yards to gain at most */
        return 5;
    }
}

/* Another kind starts from its first value. */
static void on_kind(RbPlaybookCondition *row)
{
    row->is_filling = true;
    const RbConditionKind kind = (RbConditionKind)rb_choice_get(row->kind);
    prepare(row, kind, row->terms);
    rb_number_set(row->number, likely_number(kind));
    row->is_filling = false;
    on_changed(row);
}

static void on_remove(RbPlaybookCondition *row)
{
    g_signal_emit(row, signals[REMOVED], 0);
}

static gboolean rb_playbook_condition_grab_focus(GtkWidget *widget)
{
    return gtk_widget_grab_focus(GTK_WIDGET(RB_PLAYBOOK_CONDITION(widget)->kind));
}

static void rb_playbook_condition_dispose(GObject *object)
{
    RbPlaybookCondition *row = RB_PLAYBOOK_CONDITION(object);
    row->is_filling = true;
    g_clear_pointer(&row->box, gtk_widget_unparent);
    G_OBJECT_CLASS(rb_playbook_condition_parent_class)->dispose(object);
}

static void rb_playbook_condition_class_init(RbPlaybookConditionClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_condition_dispose;
    widget_class->grab_focus = rb_playbook_condition_grab_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
    signals[CHANGED] =
        g_signal_new("changed", RB_TYPE_PLAYBOOK_CONDITION, G_SIGNAL_RUN_LAST, 0, NULL,
                     NULL, NULL, G_TYPE_NONE, 0);
    signals[REMOVED] =
        g_signal_new("removed", RB_TYPE_PLAYBOOK_CONDITION, G_SIGNAL_RUN_LAST, 0, NULL,
                     NULL, NULL, G_TYPE_NONE, 0);
}

static GtkWidget *add_line(RbPlaybookCondition *row)
{
    GtkWidget *line = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 6);
    gtk_box_append(GTK_BOX(row->box), line);
    return line;
}

static void add_cell(GtkWidget *line, GtkWidget *part)
{
    gtk_widget_set_valign(part, GTK_ALIGN_CENTER);
    gtk_box_append(GTK_BOX(line), part);
}

static RbChoice *add_part(GtkWidget *line, const char *label)
{
    RbChoice *choice = rb_choice_new(label);
    add_cell(line, GTK_WIDGET(choice));
    return choice;
}

static void rb_playbook_condition_init(RbPlaybookCondition *row)
{
    row->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 4);
    gtk_widget_set_parent(row->box, GTK_WIDGET(row));
    gtk_widget_set_margin_bottom(GTK_WIDGET(row), 4);
    GtkWidget *what = add_line(row);
    GtkWidget *how = add_line(row);
    row->kind = add_part(what, _("What the condition speaks of"));
    rb_choice_add_words(row->kind, &rb_condition_words, 0);
    row->where = add_part(what, _("Where"));
    rb_choice_add_words(row->where, &rb_where_words, 0);
    row->is = add_part(how, _("Is or is not"));
    rb_choice_add(row->is, 0, _("is"));
    rb_choice_add(row->is, 1, _("is not"));
    row->value = add_part(how, _("Value"));
    row->number = rb_number_new(0, 50, 0.5, 1);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row->number),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Value"), -1);
    add_cell(how, row->number);
    row->remove = gtk_button_new_from_icon_name("list-remove-symbolic");
    gtk_widget_add_css_class(row->remove, "bare");
    add_cell(how, row->remove);
    g_signal_connect_swapped(row->kind, "changed", G_CALLBACK(on_kind), row);
    g_signal_connect_swapped(row->where, "changed", G_CALLBACK(on_changed), row);
    g_signal_connect_swapped(row->is, "changed", G_CALLBACK(on_changed), row);
    g_signal_connect_swapped(row->value, "changed", G_CALLBACK(on_changed), row);
    g_signal_connect_swapped(row->number, "value-changed", G_CALLBACK(on_changed), row);
    g_signal_connect_swapped(row->remove, "clicked", G_CALLBACK(on_remove), row);
}
