/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-rules.h"

#include <glib/gi18n.h>

#include "rb/book/check.h"
#include "rb/book/playbook.h"
#include "rb/work/playbook-edit.h"

#include "form.h"

struct _RbPlaybookRules {
    GtkWidget parent_instance;
    GtkListBox *list;       /* child */
    RbPlaybookDraft *draft; /* owned, nullable */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookRules, rb_playbook_rules, GTK_TYPE_WIDGET)

enum { ENTERED, N_SIGNALS };
static guint signals[N_SIGNALS];

static GtkWidget *make_row(const RbRule *rule, int index, const GPtrArray *terms)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    g_autofree char *number = g_strdup_printf("%d", index + 1);
    g_autofree char *sentence = rb_book_rule_text(rule, terms);
    GtkWidget *place = gtk_label_new(number);
    gtk_widget_add_css_class(place, "second");
    gtk_widget_set_valign(place, GTK_ALIGN_START);
    GtkWidget *words = gtk_label_new(sentence);
    gtk_label_set_wrap(GTK_LABEL(words), TRUE);
    gtk_label_set_xalign(GTK_LABEL(words), 0);
    gtk_widget_set_hexpand(words, TRUE);
    GtkWidget *now = gtk_label_new(_("matches"));
    gtk_widget_add_css_class(now, "matches");
    gtk_widget_set_valign(now, GTK_ALIGN_START);
    gtk_box_append(GTK_BOX(box), place);
    gtk_box_append(GTK_BOX(box), words);
    gtk_box_append(GTK_BOX(box), now);
    gtk_widget_add_css_class(box, "rung");
    GtkWidget *row = gtk_list_box_row_new();
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    g_object_set_data(G_OBJECT(row), "now", now);
    g_autofree char *label = g_strdup_printf(_("Rule %d: %s"), index + 1, sentence);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   label, -1);
    return row;
}

static void mark_matches(RbPlaybookRules *rules)
{
    const RbTryAnswer *answer = rb_playbook_draft_get_answer(rules->draft);
    GtkListBoxRow *row = NULL;
    for (int i = 0; (row = gtk_list_box_get_row_at_index(rules->list, i)) != NULL; i++) {
        const bool matches =
            answer != NULL && i < 64 && (answer->order.matched >> i & 1) != 0;
        gtk_widget_set_visible(g_object_get_data(G_OBJECT(row), "now"), matches);
    }
}

static void choose_row(RbPlaybookRules *rules)
{
    const int index = rb_playbook_draft_get_rule(rules->draft);
    GtkListBoxRow *row =
        index >= 0 ? gtk_list_box_get_row_at_index(rules->list, index) : NULL;
    rules->is_filling = true;
    gtk_list_box_select_row(rules->list, row);
    rules->is_filling = false;
}

static void on_concept(RbPlaybookRules *rules)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(rules->draft);
    const bool had_focus = rb_focus_is_inside(GTK_WIDGET(rules));
    GtkListBoxRow *row = NULL;
    rules->is_filling = true;
    while ((row = gtk_list_box_get_row_at_index(rules->list, 0)) != NULL) {
        gtk_list_box_remove(rules->list, GTK_WIDGET(row));
    }
    for (guint i = 0; concept != NULL && i < concept->rules->len; i++) {
        const GPtrArray *terms =
            rb_names_terms(rb_playbook_draft_get_names(rules->draft));
        gtk_list_box_append(rules->list,
                            make_row(concept->rules->pdata[i], (int)i, terms));
    }
    rules->is_filling = false;
    mark_matches(rules);
    choose_row(rules);
    if (had_focus) {
        rb_playbook_rules_focus(rules);
    }
}

static void on_row(RbPlaybookRules *rules, GtkListBoxRow *row)
{
    if (!rules->is_filling && row != NULL) {
        rb_playbook_draft_set_rule(rules->draft, gtk_list_box_row_get_index(row));
    }
}

static void on_activated(RbPlaybookRules *rules)
{
    g_signal_emit(rules, signals[ENTERED], 0);
}

static gboolean on_move(GtkWidget *widget, GVariant *step, gpointer data)
{
    (void)data;
    RbPlaybookRules *rules = RB_PLAYBOOK_RULES(widget);
    RbConcept *concept = rb_playbook_draft_edit(rules->draft);
    const int index = rb_playbook_draft_get_rule(rules->draft);
    const int by = g_variant_get_int32(step);
    if (concept != NULL && rb_concept_move_rule(concept, index, by)) {
        rb_playbook_draft_set_rule(rules->draft, index + by);
        rb_playbook_draft_edited(rules->draft);
    }
    return TRUE;
}

static gboolean on_delete(GtkWidget *widget, GVariant *nothing, gpointer data)
{
    (void)nothing;
    (void)data;
    rb_playbook_rules_remove(RB_PLAYBOOK_RULES(widget));
    return TRUE;
}

void rb_playbook_rules_add(RbPlaybookRules *rules)
{
    static const RbCondition first = { .kind = RB_IF_TECHNIQUE,
                                       .value = RB_TECHNIQUE_PRESS };
    g_return_if_fail(RB_IS_PLAYBOOK_RULES(rules));
    RbConcept *concept = rb_playbook_draft_edit(rules->draft);
    if (concept == NULL || concept->rules->len >= RB_BOOK_RULES_MAX) {
        return;
    }
    RbRule *rule = rb_rule_new(RB_DO_DROP, rb_playbook_draft_get_read(rules->draft));
    g_array_append_val(rule->conditions, first);
    g_ptr_array_add(concept->rules, rule);
    rb_playbook_draft_set_rule(rules->draft, (int)concept->rules->len - 1);
    rb_playbook_draft_edited(rules->draft);
    on_activated(rules);
}

void rb_playbook_rules_remove(RbPlaybookRules *rules)
{
    g_return_if_fail(RB_IS_PLAYBOOK_RULES(rules));
    RbConcept *concept = rb_playbook_draft_edit(rules->draft);
    const int index = rb_playbook_draft_get_rule(rules->draft);
    if (concept != NULL && index >= 0) {
        g_ptr_array_remove_index(concept->rules, (guint)index);
        rb_playbook_draft_edited(rules->draft);
    }
}

void rb_playbook_rules_focus(RbPlaybookRules *rules)
{
    g_return_if_fail(RB_IS_PLAYBOOK_RULES(rules));
    GtkListBoxRow *row = gtk_list_box_get_selected_row(rules->list);
    if (row == NULL) {
        row = gtk_list_box_get_row_at_index(rules->list, 0);
    }
    if (row != NULL) {
        gtk_widget_grab_focus(GTK_WIDGET(row));
    }
}

void rb_playbook_rules_set_draft(RbPlaybookRules *rules, RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_RULES(rules));
    rules->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "concept", G_CALLBACK(on_concept), rules,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(draft, "chosen", G_CALLBACK(choose_row), rules,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(draft, "picture", G_CALLBACK(mark_matches), rules,
                            G_CONNECT_SWAPPED);
    on_concept(rules);
}

static void rb_playbook_rules_dispose(GObject *object)
{
    RbPlaybookRules *rules = RB_PLAYBOOK_RULES(object);
    if (rules->list != NULL) {
        gtk_widget_unparent(GTK_WIDGET(rules->list));
        rules->list = NULL;
    }
    g_clear_object(&rules->draft);
    G_OBJECT_CLASS(rb_playbook_rules_parent_class)->dispose(object);
}

static void rb_playbook_rules_class_init(RbPlaybookRulesClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_rules_dispose;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Up, GDK_ALT_MASK, on_move, "i",
                                 -1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Down, GDK_ALT_MASK, on_move, "i",
                                 1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Delete, 0, on_delete, NULL);
    signals[ENTERED] = g_signal_new("entered", RB_TYPE_PLAYBOOK_RULES, G_SIGNAL_RUN_LAST,
                                    0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_playbook_rules_init(RbPlaybookRules *rules)
{
    rules->list = GTK_LIST_BOX(gtk_list_box_new());
    gtk_list_box_set_selection_mode(rules->list, GTK_SELECTION_SINGLE);
    gtk_widget_set_parent(GTK_WIDGET(rules->list), GTK_WIDGET(rules));
    gtk_accessible_update_property(GTK_ACCESSIBLE(rules->list),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Rules in order"),
                                   -1);
    g_signal_connect_swapped(rules->list, "row-selected", G_CALLBACK(on_row), rules);
    g_signal_connect_swapped(rules->list, "row-activated", G_CALLBACK(on_activated),
                             rules);
}
