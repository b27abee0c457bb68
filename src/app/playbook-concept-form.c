/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-concept-form.h"

#include <glib/gi18n.h>
#include <math.h>

#include "rb/book/playbook.h"

#include "form.h"

#define PICKS 3
#define NOT_PICKED (-1)
#define FIRST_CUSHION_TENTHS 60

struct _RbPlaybookConceptForm {
    GtkWidget parent_instance;
    GtkWidget *box; /* child; the fields are inside */
    GtkWidget *name;
    GtkWidget *form;
    RbChoice *field;
    RbChoice *picks[PICKS];
    GtkWidget *cushion;
    GtkWidget *notes;
    RbPlaybookDraft *draft; /* owned, nullable */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookConceptForm, rb_playbook_concept_form, GTK_TYPE_WIDGET)

static const RbPick *pick_at(const RbConcept *concept, guint i)
{
    return i < concept->picks->len ? &g_array_index(concept->picks, RbPick, i) : NULL;
}

static int cushion_of(const RbConcept *concept)
{
    for (guint i = 0; i < concept->picks->len; i++) {
        const RbPick *pick = pick_at(concept, i);
        if (pick->kind == RB_PICK_FREE_ACCESS) {
            return pick->cushion_tenths;
        }
    }
    return -1;
}

static void fill(RbPlaybookConceptForm *form)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(form->draft);
    gtk_widget_set_visible(GTK_WIDGET(form), concept != NULL);
    if (concept == NULL) {
        return;
    }
    const int cushion = cushion_of(concept);
    form->is_filling = true;
    rb_text_set(form->name, concept->name);
    rb_text_set(form->notes, concept->notes);
    rb_choice_set(form->field, concept->full_field);
    for (guint i = 0; i < PICKS; i++) {
        const RbPick *pick = pick_at(concept, i);
        rb_choice_set(form->picks[i], pick != NULL ? (gint64)pick->kind : NOT_PICKED);
        /* A way of picking is offered once the one before it is chosen. */
        rb_form_show(GTK_WIDGET(form->picks[i]),
                     !concept->full_field && i <= concept->picks->len);
    }
    if (cushion >= 0) {
        rb_number_set(form->cushion, cushion / 10.0);
    }
    rb_form_show(form->cushion, !concept->full_field && cushion >= 0);
    form->is_filling = false;
}

static void take_picks(RbPlaybookConceptForm *form, RbConcept *concept)
{
    const int had = cushion_of(concept);
    const int cushion =
        had < 0
            ? FIRST_CUSHION_TENTHS
            : (int)lround(gtk_spin_button_get_value(GTK_SPIN_BUTTON(form->cushion)) * 10);
    g_autoptr(GArray) picks = g_array_new(FALSE, TRUE, sizeof(RbPick));
    for (guint i = 0; i < PICKS; i++) {
        const gint64 kind = rb_choice_get(form->picks[i]);
        if (kind != NOT_PICKED) {
            const RbPick pick = { .kind = (RbPickKind)kind,
                                  .cushion_tenths =
                                      kind == RB_PICK_FREE_ACCESS ? cushion : 0 };
            g_array_append_val(picks, pick);
        }
    }
    /* What a file says beyond the three that fit here stays. */
    for (guint i = PICKS; i < concept->picks->len; i++) {
        g_array_append_val(picks, *pick_at(concept, i));
    }
    g_array_unref(concept->picks);
    concept->picks = g_array_ref(picks);
}

static void on_edited(gpointer data)
{
    RbPlaybookConceptForm *form = data;
    RbConcept *concept = form->is_filling ? NULL : rb_playbook_draft_edit(form->draft);
    if (concept == NULL) {
        return;
    }
    g_autofree char *name = rb_text_dup(form->name);
    if (name != NULL) { /* a concept keeps its name until it gets another */
        g_free(concept->name);
        concept->name = g_steal_pointer(&name);
    }
    g_free(concept->notes);
    concept->notes = rb_text_dup(form->notes);
    concept->full_field = rb_choice_get(form->field) != 0;
    take_picks(form, concept);
    rb_playbook_draft_edited(form->draft);
}

void rb_playbook_concept_form_set_draft(RbPlaybookConceptForm *form,
                                        RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_CONCEPT_FORM(form));
    form->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "concept", G_CALLBACK(fill), form, G_CONNECT_SWAPPED);
    fill(form);
}

static RbChoice *add_choice(RbPlaybookConceptForm *form, const char *label)
{
    RbChoice *choice = rb_choice_new(label);
    rb_form_add(form->form, label, GTK_WIDGET(choice));
    g_signal_connect_swapped(choice, "changed", G_CALLBACK(on_edited), form);
    return choice;
}

static void add_picks(RbPlaybookConceptForm *form)
{
    const char *const labels[PICKS] = { _("Side picked by"), _("then by"),
                                        _("and then by") };
    for (guint i = 0; i < PICKS; i++) {
        form->picks[i] = add_choice(form, labels[i]);
        rb_choice_add(form->picks[i], NOT_PICKED, i == 0 ? _("either side") : _("–"));
        rb_choice_add_words(form->picks[i], &rb_pick_words, 0);
    }
    form->cushion =
        rb_form_add(form->form, _("Cushion, yards"), rb_number_new(0, 50, 0.5, 1));
    g_signal_connect_swapped(form->cushion, "value-changed", G_CALLBACK(on_edited), form);
}

static void rb_playbook_concept_form_dispose(GObject *object)
{
    RbPlaybookConceptForm *form = RB_PLAYBOOK_CONCEPT_FORM(object);
    form->is_filling = true;
    g_clear_pointer(&form->box, gtk_widget_unparent);
    g_clear_object(&form->draft);
    G_OBJECT_CLASS(rb_playbook_concept_form_parent_class)->dispose(object);
}

static void rb_playbook_concept_form_class_init(RbPlaybookConceptFormClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_concept_form_dispose;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
}

static void rb_playbook_concept_form_init(RbPlaybookConceptForm *form)
{
    form->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_set_parent(form->box, GTK_WIDGET(form));
    form->name = rb_text_new(_("Name"), G_CALLBACK(on_edited), form);
    gtk_widget_add_css_class(form->name, "title-entry");
    gtk_accessible_update_property(GTK_ACCESSIBLE(form->name),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Name of the concept"), -1);
    gtk_box_append(GTK_BOX(form->box), form->name);
    form->notes = rb_text_new(_("Notes"), G_CALLBACK(on_edited), form);
    gtk_entry_set_max_length(GTK_ENTRY(form->notes), RB_BOOK_NOTES_MAX / 4);
    gtk_widget_add_css_class(form->notes, "notes-entry");
    gtk_accessible_update_property(GTK_ACCESSIBLE(form->notes),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Notes"), -1);
    gtk_box_append(GTK_BOX(form->box), form->notes);
    form->form = rb_form_new();
    gtk_box_append(GTK_BOX(form->box), form->form);
    form->field = add_choice(form, _("Reads"));
    rb_choice_add(form->field, 0, _("one side"));
    rb_choice_add(form->field, 1, _("both sides"));
    add_picks(form);
}
