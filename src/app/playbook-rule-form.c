/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-rule-form.h"

#include <glib/gi18n.h>

#include "rb/book/playbook.h"

#include "form.h"
#include "playbook-condition.h"

struct _RbPlaybookRuleForm {
    GtkWidget parent_instance;
    GtkWidget *box;  /* child; the rest is inside */
    GtkWidget *form; /* of the action */
    RbChoice *action;
    RbChoice *read;
    RbChoice *route;
    RbChoice *still;
    RbChoice *runner;
    RbChoice *side;
    RbChoice *adjustment;
    GtkWidget *name;
    GtkWidget *conditions; /* of RbPlaybookCondition */
    GtkWidget *add;
    RbPlaybookDraft *draft; /* owned, nullable */
    RbNames *names;         /* owned, nullable: whose words the adjustments are */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookRuleForm, rb_playbook_rule_form, GTK_TYPE_WIDGET)

static void on_edited(gpointer data);
static void on_removed(RbPlaybookRuleForm *form, RbPlaybookCondition *row);

static RbRule *chosen_rule(RbPlaybookRuleForm *form)
{
    RbConcept *concept = rb_playbook_draft_edit(form->draft);
    const int index = rb_playbook_draft_get_rule(form->draft);
    return concept != NULL && index >= 0 && index < (int)concept->rules->len
               ? concept->rules->pdata[index]
               : NULL;
}

static RbPlaybookCondition *condition_at(RbPlaybookRuleForm *form, guint index)
{
    GtkWidget *row = gtk_widget_get_first_child(form->conditions);
    for (guint i = 0; i < index && row != NULL; i++) {
        row = gtk_widget_get_next_sibling(row);
    }
    return row != NULL ? RB_PLAYBOOK_CONDITION(row) : NULL;
}

static void fill_conditions(RbPlaybookRuleForm *form, const RbRule *rule)
{
    for (guint i = 0; i < rule->conditions->len; i++) {
        RbPlaybookCondition *row = condition_at(form, i);
        if (row == NULL) {
            row = g_object_new(RB_TYPE_PLAYBOOK_CONDITION, NULL);
            g_signal_connect_swapped(row, "changed", G_CALLBACK(on_edited), form);
            g_signal_connect_swapped(row, "removed", G_CALLBACK(on_removed), form);
            gtk_box_append(GTK_BOX(form->conditions), GTK_WIDGET(row));
        }
        rb_playbook_condition_set(row, &g_array_index(rule->conditions, RbCondition, i),
                                  rb_names_terms(form->names), (int)i + 1);
    }
    RbPlaybookCondition *spare = NULL;
    while ((spare = condition_at(form, rule->conditions->len)) != NULL) {
        gtk_box_remove(GTK_BOX(form->conditions), GTK_WIDGET(spare));
    }
    gtk_widget_set_sensitive(form->add, rule->conditions->len < RB_BOOK_CONDITIONS_MAX);
}

static void fill_reads(RbPlaybookRuleForm *form, const RbRule *rule)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(form->draft);
    rb_choice_clear(form->read);
    if (rule->action == RB_DO_REQUIRE_ADJUSTMENT) {
        rb_choice_add(form->read, 0, _("no read"));
    }
    for (guint i = 0; i < concept->reads->len; i++) {
        const RbRead *read = concept->reads->pdata[i];
        g_autofree char *word = g_strdup_printf(
            "%d %s", read->number, rb_words_label(&rb_route_words, read->route));
        rb_choice_add(form->read, read->number, word);
    }
    rb_choice_set(form->read, rule->read);
}

static void show_parts(RbPlaybookRuleForm *form, RbActionKind action)
{
    rb_form_show(GTK_WIDGET(form->read), action != RB_DO_SIDE);
    rb_form_show(GTK_WIDGET(form->route), action == RB_DO_CONVERT);
    rb_form_show(GTK_WIDGET(form->still), action == RB_DO_CONVERT);
    rb_form_show(GTK_WIDGET(form->runner), action == RB_DO_RUNNER);
    rb_form_show(GTK_WIDGET(form->side), action == RB_DO_SIDE);
    rb_form_show(GTK_WIDGET(form->adjustment), action == RB_DO_REQUIRE_ADJUSTMENT);
}

static void take_names(RbPlaybookRuleForm *form)
{
    RbNames *names = rb_playbook_draft_get_names(form->draft);
    if (names != form->names) {
        rb_names_unref(form->names);
        form->names = rb_names_ref(names);
        rb_choice_clear(form->adjustment);
        rb_choice_add_terms(form->adjustment, rb_names_terms(names), RB_TERM_ADJUSTMENT);
    }
}

static void fill(RbPlaybookRuleForm *form)
{
    const RbRule *rule = chosen_rule(form);
    gtk_widget_set_visible(GTK_WIDGET(form), rule != NULL);
    if (rule == NULL) {
        return;
    }
    form->is_filling = true;
    take_names(form);
    rb_choice_set(form->action, rule->action);
    fill_reads(form, rule);
    rb_choice_set(form->route, rule->route);
    rb_choice_set(form->still, rule->clear_out);
    rb_choice_set(form->runner, rule->runner);
    rb_choice_set(form->side, rule->where);
    rb_choice_set(form->adjustment, rule->adjustment.value);
    rb_text_set(form->name, rule->name[0] != '\0' ? rule->name : NULL);
    show_parts(form, rule->action);
    fill_conditions(form, rule);
    form->is_filling = false;
}

/* What a rule of that action has; the rest is as if it had never been chosen. */
static void take_action(RbPlaybookRuleForm *form, RbRule *rule)
{
    const bool is_new = rule->action != (RbActionKind)rb_choice_get(form->action);
    rule->action = (RbActionKind)rb_choice_get(form->action);
    if (rule->action == RB_DO_SIDE) {
        rule->read = 0;
    } else if (!is_new || rule->read == 0) {
        rule->read = (int)rb_choice_get(form->read);
    }
    const bool converts = rule->action == RB_DO_CONVERT;
    rule->route = converts ? (RbRoute)rb_choice_get(form->route) : RB_ROUTE_UNKNOWN;
    rule->clear_out = converts && rb_choice_get(form->still) != 0;
    rule->runner = rule->action == RB_DO_RUNNER ? (RbRunner)rb_choice_get(form->runner)
                                                : RB_RUNNER_UNKNOWN;
    rule->where = rule->action == RB_DO_SIDE ? (RbWhere)rb_choice_get(form->side)
                                             : RB_WHERE_READ_SIDE;
    rule->adjustment.value =
        rule->action == RB_DO_REQUIRE_ADJUSTMENT ? rb_choice_get(form->adjustment) : 0;
    if (rule->read == 0 && rule->action != RB_DO_SIDE &&
        rule->action != RB_DO_REQUIRE_ADJUSTMENT) {
        rule->read = rb_playbook_draft_get_read(form->draft);
    }
}

static void on_edited(gpointer data)
{
    RbPlaybookRuleForm *form = data;
    RbRule *rule = form->is_filling ? NULL : chosen_rule(form);
    if (rule == NULL) {
        return;
    }
    take_action(form, rule);
    g_autofree char *name = rb_text_dup(form->name);
    g_free(rule->name);
    rule->name = g_strdup(name != NULL ? name : "");
    for (guint i = 0; i < rule->conditions->len; i++) {
        g_array_index(rule->conditions, RbCondition, i) =
            rb_playbook_condition_get(condition_at(form, i));
    }
    rb_playbook_draft_edited(form->draft);
}

static void on_add(RbPlaybookRuleForm *form)
{
    static const RbCondition first = { .kind = RB_IF_TECHNIQUE,
                                       .value = RB_TECHNIQUE_PRESS };
    RbRule *rule = chosen_rule(form);
    if (rule == NULL) {
        return;
    }
    g_array_append_val(rule->conditions, first);
    rb_playbook_draft_edited(form->draft);
    RbPlaybookCondition *row = condition_at(form, rule->conditions->len - 1);
    gtk_widget_grab_focus(GTK_WIDGET(row));
}

static void on_removed(RbPlaybookRuleForm *form, RbPlaybookCondition *row)
{
    RbRule *rule = chosen_rule(form);
    for (guint i = 0; rule != NULL && i < rule->conditions->len; i++) {
        if (condition_at(form, i) == row) {
            gtk_widget_grab_focus(form->add);
            g_array_remove_index(rule->conditions, i);
            rb_playbook_draft_edited(form->draft);
            return;
        }
    }
}

void rb_playbook_rule_form_set_draft(RbPlaybookRuleForm *form, RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_RULE_FORM(form));
    form->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "concept", G_CALLBACK(fill), form, G_CONNECT_SWAPPED);
    g_signal_connect_object(draft, "chosen", G_CALLBACK(fill), form, G_CONNECT_SWAPPED);
    fill(form);
}

static RbChoice *add_choice(RbPlaybookRuleForm *form, const char *mnemonic,
                            const char *label)
{
    RbChoice *choice = rb_choice_new(label);
    rb_form_add(form->form, mnemonic, GTK_WIDGET(choice));
    g_signal_connect_swapped(choice, "changed", G_CALLBACK(on_edited), form);
    return choice;
}

static void add_action_fields(RbPlaybookRuleForm *form)
{
    form->action = add_choice(form, _("The rule"), _("What the rule does"));
    rb_choice_add_words(form->action, &rb_action_words, 0);
    form->read = add_choice(form, _("Read"), _("Read the rule speaks of"));
    form->route = add_choice(form, _("Becomes"), _("Route it becomes"));
    for (int route = RB_ROUTE_HITCH; route < rb_route_words.n; route++) {
        if (route == RB_ROUTE_DRAWN) { /* a rule names a route, it draws none */
            continue;
        }
        rb_choice_add(form->route, route, rb_words_label(&rb_route_words, route));
    }
    form->still = add_choice(form, _("And is"), _("Still thrown, or a clear-out"));
    rb_choice_add(form->still, 0, _("still thrown"));
    rb_choice_add(form->still, 1, _("a clear-out"));
    form->runner = add_choice(form, _("Run by"), _("Who runs it"));
    rb_choice_add_words(form->runner, &rb_runner_words, 1);
    form->side = add_choice(form, _("Side"), _("Side to work"));
    rb_choice_add(form->side, RB_WHERE_READ_SIDE, _("the strong side"));
    rb_choice_add(form->side, RB_WHERE_OTHER_SIDE, _("the weak side"));
    rb_choice_add(form->side, RB_WHERE_LEFT, _("the left"));
    rb_choice_add(form->side, RB_WHERE_RIGHT, _("the right"));
    form->adjustment =
        add_choice(form, _("Adjustment"), _("Adjustment that must be made"));
    form->name =
        rb_form_add(form->form, _("Called"),
                    rb_text_new(_("in the staff's words"), G_CALLBACK(on_edited), form));
}

static void rb_playbook_rule_form_dispose(GObject *object)
{
    RbPlaybookRuleForm *form = RB_PLAYBOOK_RULE_FORM(object);
    form->is_filling = true;
    g_clear_pointer(&form->box, gtk_widget_unparent);
    g_clear_object(&form->draft);
    g_clear_pointer(&form->names, rb_names_unref);
    G_OBJECT_CLASS(rb_playbook_rule_form_parent_class)->dispose(object);
}

static gboolean rb_playbook_rule_form_grab_focus(GtkWidget *widget)
{
    return gtk_widget_grab_focus(GTK_WIDGET(RB_PLAYBOOK_RULE_FORM(widget)->action));
}

static void rb_playbook_rule_form_class_init(RbPlaybookRuleFormClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_rule_form_dispose;
    widget_class->grab_focus = rb_playbook_rule_form_grab_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void rb_playbook_rule_form_init(RbPlaybookRuleForm *form)
{
    form->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_set_parent(form->box, GTK_WIDGET(form));
    form->form = rb_form_new();
    gtk_box_append(GTK_BOX(form->box), form->form);
    add_action_fields(form);
    GtkWidget *label = gtk_label_new(_("if all of this holds"));
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_add_css_class(label, "small");
    gtk_box_append(GTK_BOX(form->box), label);
    form->conditions = gtk_box_new(GTK_ORIENTATION_VERTICAL, 4);
    gtk_box_append(GTK_BOX(form->box), form->conditions);
    form->add = rb_button_new(_("Add _condition"));
    gtk_widget_add_css_class(form->add, "plain");
    gtk_widget_set_halign(form->add, GTK_ALIGN_START);
    g_signal_connect_swapped(form->add, "clicked", G_CALLBACK(on_add), form);
    gtk_box_append(GTK_BOX(form->box), form->add);
    gtk_accessible_update_property(GTK_ACCESSIBLE(form), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("The chosen rule"), -1);
}
