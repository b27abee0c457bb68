/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-desk.h"

#include <glib/gi18n.h>

#include "rb/book/check.h"

#include "follow-focus.h"
#include "form.h"
#include "help.h"
#include "notice.h"
#include "playbook-concept-form.h"
#include "playbook-diagram.h"
#include "playbook-export.h"
#include "playbook-picture.h"
#include "playbook-read-form.h"
#include "playbook-reads.h"
#include "playbook-rule-form.h"
#include "playbook-rules.h"
#include "playbook-shelf.h"

struct _RbPlaybookDesk {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *panes; /* bound, so that it goes with the template */
    RbPlaybookShelf *shelf;
    GtkStack *stack;
    GtkScrolledWindow *middle;
    RbNotice *notice;
    RbPlaybookConceptForm *concept_form;
    GtkWidget *fault_box;
    GtkLabel *fault;
    GtkButton *discard;
    GtkButton *add_read;
    GtkButton *remove_read;
    RbPlaybookReads *reads;
    RbPlaybookReadForm *read_form;
    GtkButton *add_rule;
    GtkButton *remove_rule;
    GtkWidget *no_rules;
    RbPlaybookRules *rules;
    RbPlaybookRuleForm *rule_form;
    GtkLabel *warnings;
    RbPlaybookPicture *picture;
    RbPlaybookDiagram *diagram;
    GtkLabel *order;
    GtkLabel *why;
    GtkButton *page;

    RbSession *session;         /* owned, nullable */
    RbPlaybookDraft *draft;     /* owned, nullable */
    GtkFileChooserNative *file; /* owned, nullable: while it is open */
};

G_DEFINE_FINAL_TYPE(RbPlaybookDesk, rb_playbook_desk, GTK_TYPE_WIDGET)

/* The concept. */

static void show_findings(RbPlaybookDesk *desk)
{
    const GPtrArray *findings = rb_playbook_draft_get_findings(desk->draft);
    g_autoptr(GString) warnings = g_string_new(NULL);
    const char *error = NULL;
    for (guint i = 0; findings != NULL && i < findings->len; i++) {
        const RbBookFinding *finding = findings->pdata[i];
        if (finding->is_error) {
            error = error != NULL ? error : finding->sentence;
        } else {
            g_string_append_printf(warnings, "%s%s", warnings->len > 0 ? "\n" : "",
                                   finding->sentence);
        }
    }
    g_autofree char *fault =
        g_strdup_printf(_("Not saved: %s"), error != NULL ? error : "");
    gtk_label_set_text(desk->fault, fault);
    gtk_widget_set_visible(desk->fault_box, !rb_playbook_draft_is_saved(desk->draft));
    gtk_widget_set_tooltip_text(GTK_WIDGET(desk->concept_form),
                                rb_playbook_draft_get_concept(desk->draft)->notes);
    gtk_label_set_text(desk->warnings, warnings->str);
    gtk_widget_set_visible(GTK_WIDGET(desk->warnings), warnings->len > 0);
}

static void on_concept(RbPlaybookDesk *desk)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(desk->draft);
    gtk_stack_set_visible_child_name(desk->stack, concept != NULL ? "concept" : "empty");
    if (concept == NULL) {
        return;
    }
    gtk_widget_set_sensitive(GTK_WIDGET(desk->add_read),
                             concept->reads->len < RB_READS_MAX);
    gtk_widget_set_sensitive(GTK_WIDGET(desk->remove_read), concept->reads->len > 1);
    gtk_widget_set_visible(desk->no_rules, concept->rules->len == 0);
    gtk_widget_set_visible(GTK_WIDGET(desk->rules), concept->rules->len > 0);
    show_findings(desk);
}

static void on_chosen(RbPlaybookDesk *desk)
{
    gtk_widget_set_sensitive(GTK_WIDGET(desk->remove_rule),
                             rb_playbook_draft_get_rule(desk->draft) >= 0);
}

static void on_picture(RbPlaybookDesk *desk)
{
    const RbTryAnswer *answer = rb_playbook_draft_get_answer(desk->draft);
    g_autoptr(GString) why = g_string_new(NULL);
    for (guint i = 1; answer != NULL && i < answer->lines->len; i++) {
        g_string_append_printf(why, "%s%s", i > 1 ? "\n" : "",
                               (const char *)answer->lines->pdata[i]);
    }
    gtk_label_set_text(desk->order, answer != NULL ? answer->lines->pdata[0] : "");
    gtk_label_set_text(desk->why, why->str);
}

static void on_discard(RbPlaybookDesk *desk)
{
    rb_playbook_draft_discard(desk->draft);
}

static void on_page(RbPlaybookDesk *desk)
{
    g_clear_object(&desk->file);
    desk->file = rb_playbook_export(GTK_WIDGET(desk), desk->draft, desk->session);
}

/* Keys. */

static gboolean on_new_key(GtkWidget *widget, GVariant *nothing, gpointer data)
{
    (void)nothing;
    (void)data;
    rb_playbook_shelf_ask_name(RB_PLAYBOOK_DESK(widget)->shelf);
    return TRUE;
}

static void on_new_action(GtkWidget *widget, const char *action, GVariant *nothing)
{
    (void)action;
    (void)nothing;
    rb_playbook_shelf_ask_name(RB_PLAYBOOK_DESK(widget)->shelf);
}

static gboolean on_find_key(GtkWidget *widget, GVariant *nothing, gpointer data)
{
    (void)nothing;
    (void)data;
    rb_playbook_shelf_find(RB_PLAYBOOK_DESK(widget)->shelf);
    return TRUE;
}

/* Round the desk: concepts, reads, rules, picture. */
static gboolean on_next_part(GtkWidget *widget, GVariant *nothing, gpointer data)
{
    (void)nothing;
    (void)data;
    RbPlaybookDesk *desk = RB_PLAYBOOK_DESK(widget);
    const RbConcept *concept = rb_playbook_draft_get_concept(desk->draft);
    if (concept == NULL || rb_focus_is_inside(GTK_WIDGET(desk->picture))) {
        rb_playbook_desk_focus(desk);
    } else if (rb_focus_is_inside(GTK_WIDGET(desk->shelf))) {
        rb_playbook_reads_focus(desk->reads);
    } else if (rb_focus_is_inside(GTK_WIDGET(desk->rules)) ||
               rb_focus_is_inside(GTK_WIDGET(desk->rule_form))) {
        gtk_widget_grab_focus(GTK_WIDGET(desk->picture));
    } else if (concept->rules->len > 0) {
        rb_playbook_rules_focus(desk->rules);
    } else {
        gtk_widget_grab_focus(GTK_WIDGET(desk->picture));
    }
    return TRUE;
}

/* From the fields of a read or rule to its list, from there to the concepts. */
static gboolean on_escape(GtkWidget *widget, GVariant *nothing, gpointer data)
{
    (void)nothing;
    (void)data;
    RbPlaybookDesk *desk = RB_PLAYBOOK_DESK(widget);
    if (rb_focus_is_inside(GTK_WIDGET(desk->read_form))) {
        rb_playbook_reads_focus(desk->reads);
    } else if (rb_focus_is_inside(GTK_WIDGET(desk->rule_form))) {
        rb_playbook_rules_focus(desk->rules);
    } else {
        rb_playbook_desk_focus(desk);
    }
    return TRUE;
}

void rb_playbook_desk_focus(RbPlaybookDesk *desk)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DESK(desk));
    gtk_widget_grab_focus(GTK_WIDGET(desk->shelf));
}

static void follow_draft(RbPlaybookDesk *desk)
{
    static const struct {
        const char *signal;
        void (*callback)(RbPlaybookDesk *desk);
    } table[] = { { "concept", on_concept },
                  { "chosen", on_chosen },
                  { "picture", on_picture } };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++) {
        g_signal_connect_object(desk->draft, table[i].signal,
                                G_CALLBACK(table[i].callback), desk, G_CONNECT_SWAPPED);
    }
    rb_playbook_shelf_set_draft(desk->shelf, desk->draft, desk->session);
    rb_playbook_concept_form_set_draft(desk->concept_form, desk->draft);
    rb_playbook_reads_set_draft(desk->reads, desk->draft);
    rb_playbook_read_form_set_draft(desk->read_form, desk->draft);
    rb_playbook_rules_set_draft(desk->rules, desk->draft);
    rb_playbook_rule_form_set_draft(desk->rule_form, desk->draft);
    rb_playbook_picture_set_draft(desk->picture, desk->draft);
    rb_playbook_diagram_set_draft(desk->diagram, desk->draft);
}

void rb_playbook_desk_set_session(RbPlaybookDesk *desk, RbSession *session)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DESK(desk));
    g_return_if_fail(desk->session == NULL);
    desk->session = g_object_ref(session);
    desk->draft = rb_playbook_draft_new(session);
    follow_draft(desk);
    on_concept(desk);
    on_chosen(desk);
    on_picture(desk);
}

static void connect_buttons(RbPlaybookDesk *desk)
{
    const struct {
        gpointer object;
        const char *signal;
        GCallback callback;
        gpointer data;
    } table[] = {
        { desk->shelf, "started", G_CALLBACK(gtk_widget_grab_focus), desk->read_form },
        { desk->discard, "clicked", G_CALLBACK(on_discard), desk },
        { desk->page, "clicked", G_CALLBACK(on_page), desk },
        { desk->add_read, "clicked", G_CALLBACK(rb_playbook_reads_add), desk->reads },
        { desk->remove_read, "clicked", G_CALLBACK(rb_playbook_reads_remove),
          desk->reads },
        { desk->reads, "entered", G_CALLBACK(gtk_widget_grab_focus), desk->read_form },
        { desk->add_rule, "clicked", G_CALLBACK(rb_playbook_rules_add), desk->rules },
        { desk->remove_rule, "clicked", G_CALLBACK(rb_playbook_rules_remove),
          desk->rules },
        { desk->rules, "entered", G_CALLBACK(gtk_widget_grab_focus), desk->rule_form },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++) {
        g_signal_connect_swapped(table[i].object, table[i].signal, table[i].callback,
                                 table[i].data);
    }
}

static void rb_playbook_desk_dispose(GObject *object)
{
    RbPlaybookDesk *desk = RB_PLAYBOOK_DESK(object);
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_PLAYBOOK_DESK);
    g_clear_object(&desk->file);
    g_clear_object(&desk->draft);
    g_clear_object(&desk->session);
    G_OBJECT_CLASS(rb_playbook_desk_parent_class)->dispose(object);
}

static void ensure_types(void)
{
    g_type_ensure(RB_TYPE_NOTICE);
    g_type_ensure(RB_TYPE_PLAYBOOK_CONCEPT_FORM);
    g_type_ensure(RB_TYPE_PLAYBOOK_DIAGRAM);
    g_type_ensure(RB_TYPE_PLAYBOOK_PICTURE);
    g_type_ensure(RB_TYPE_PLAYBOOK_READ_FORM);
    g_type_ensure(RB_TYPE_PLAYBOOK_READS);
    g_type_ensure(RB_TYPE_PLAYBOOK_RULE_FORM);
    g_type_ensure(RB_TYPE_PLAYBOOK_RULES);
    g_type_ensure(RB_TYPE_PLAYBOOK_SHELF);
}

#define BIND(name)                                                                       \
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, name)

static void rb_playbook_desk_class_init(RbPlaybookDeskClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_desk_dispose;
    ensure_types();
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/playbook-desk.ui");
    BIND(panes);
    BIND(shelf);
    BIND(stack);
    BIND(middle);
    BIND(notice);
    BIND(concept_form);
    BIND(fault_box);
    BIND(fault);
    BIND(discard);
    BIND(add_read);
    BIND(remove_read);
    BIND(reads);
    BIND(read_form);
    BIND(add_rule);
    BIND(remove_rule);
    BIND(no_rules);
    BIND(rules);
    BIND(rule_form);
    BIND(warnings);
    BIND(picture);
    BIND(diagram);
    BIND(order);
    BIND(why);
    BIND(page);
    gtk_widget_class_install_action(widget_class, "playbook.new", NULL, on_new_action);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_n, GDK_CONTROL_MASK, on_new_key,
                                 NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_f, GDK_CONTROL_MASK, on_find_key,
                                 NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_F6, 0, on_next_part, NULL);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Escape, 0, on_escape, NULL);
}

static void rb_playbook_desk_init(RbPlaybookDesk *desk)
{
    gtk_widget_init_template(GTK_WIDGET(desk));
    connect_buttons(desk);
    rb_follow_focus(desk->middle);
    rb_notice_set(desk->notice, _("No concept in this library yet"),
                  _("A concept with its reads, clocks and rules will be here."),
                  _("New concept…"), "playbook.new");
    rb_help_mark(GTK_WIDGET(desk), "concept.html");
}
