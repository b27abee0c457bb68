/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-desk.h"

#include <glib/gi18n.h>

#include "notice.h"

struct _RbPlaybookDesk {
    GtkWidget parent_instance;
    /* template children */
    GtkStack *stack;
    RbNotice *notice;
    GtkListBox *concepts;
    GtkLabel *name;
    GtkLabel *notes;
    GtkGrid *reads;
    GtkLabel *rules;

    RbSession *session; /* owned, nullable */
    RbNames *names;     /* owned, nullable: what the list shows */
};

G_DEFINE_FINAL_TYPE(RbPlaybookDesk, rb_playbook_desk, GTK_TYPE_WIDGET)

static char *clock_text(const RbClock *clock)
{
    int ms = 0;
    if (!rb_clock_ms(clock, rb_footwork_defaults(), &ms)) {
        return g_strdup(_("no clock"));
    }
    if (clock->tolerance_ms == 0) {
        return g_strdup_printf(_("by %.1f s"), ms / 1000.0);
    }
    return g_strdup_printf(_("by %.1f s, ± %.1f"), ms / 1000.0,
                           clock->tolerance_ms / 1000.0);
}

static char *footwork_text(const RbClock *clock)
{
    if (clock->kind != RB_CLOCK_FOOTWORK) {
        return g_strdup("");
    }
    g_autofree char *steps =
        g_strdup_printf(ngettext("%d step", "%d steps", clock->steps), clock->steps);
    g_autofree char *hitches =
        clock->hitches == 0
            ? g_strdup(_("no hitch"))
            : g_strdup_printf(ngettext("%d hitch", "%d hitches", clock->hitches),
                              clock->hitches);
    return g_strdup_printf("%s, %s", steps, hitches);
}

static char *route_text(const RbRead *read)
{
    GString *text = g_string_new(rb_words_label(&rb_route_words, read->route));
    if (read->depth_yd > 0) {
        g_string_append_printf(text, _(", %d yd"), read->depth_yd);
    }
    if (read->landmark != NULL) {
        g_string_append_printf(text, ", %s", read->landmark);
    }
    return g_string_free(text, FALSE);
}

static void put(RbPlaybookDesk *desk, int column, int row, const char *text,
                const char *css)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    if (css != NULL) {
        gtk_widget_add_css_class(label, css);
    }
    gtk_grid_attach(desk->reads, label, column, row, 1, 1);
}

static void put_read(RbPlaybookDesk *desk, int row, const RbRead *read)
{
    g_autofree char *number = g_strdup_printf("%d", read->number);
    g_autofree char *route = route_text(read);
    g_autofree char *clock = clock_text(&read->clock);
    g_autofree char *footwork = footwork_text(&read->clock);
    put(desk, 0, row, number, "section");
    put(desk, 1, row, route, NULL);
    put(desk, 2, row, rb_words_label(&rb_runner_words, read->runner), "second");
    put(desk, 3, row, clock, NULL);
    put(desk, 4, row, footwork, "second");
    put(desk, 5, row,
        read->clear_out     ? _("clear-out: not thrown")
        : read->outlet      ? _("outlet")
        : read->key != NULL ? read->key
                            : "",
        "second");
}

static void show_concept(RbPlaybookDesk *desk, const RbConcept *concept)
{
    gtk_label_set_text(desk->name, concept->name);
    gtk_label_set_text(desk->notes, concept->notes != NULL ? concept->notes : "");
    gtk_widget_set_visible(GTK_WIDGET(desk->notes), concept->notes != NULL);
    GtkWidget *old = NULL;
    while ((old = gtk_widget_get_first_child(GTK_WIDGET(desk->reads))) != NULL) {
        gtk_grid_remove(desk->reads, old);
    }
    for (guint i = 0; i < concept->reads->len; i++) {
        put_read(desk, (int)i, concept->reads->pdata[i]);
    }
    g_autoptr(GString) rules = g_string_new(NULL);
    for (guint i = 0; i < concept->rules->len; i++) {
        const RbRule *rule = concept->rules->pdata[i];
        g_string_append_printf(rules, "%s•  %s", i > 0 ? "\n" : "", rule->name);
    }
    gtk_label_set_text(desk->rules, rules->len > 0
                                        ? rules->str
                                        : _("None: the reads stand in this order against "
                                            "every picture."));
}

static void on_row(RbPlaybookDesk *desk, GtkListBoxRow *row)
{
    if (row != NULL && desk->names != NULL) {
        const GPtrArray *concepts = rb_names_concepts(desk->names);
        const int index = gtk_list_box_row_get_index(row);
        if (index < (int)concepts->len) {
            show_concept(desk, concepts->pdata[index]);
        }
    }
}

static void fill(RbPlaybookDesk *desk, int chosen)
{
    GtkListBoxRow *row = NULL;
    while ((row = gtk_list_box_get_row_at_index(desk->concepts, 0)) != NULL) {
        gtk_list_box_remove(desk->concepts, GTK_WIDGET(row));
    }
    const GPtrArray *concepts = rb_names_concepts(desk->names);
    for (guint i = 0; i < concepts->len; i++) {
        GtkWidget *label = gtk_label_new(((const RbConcept *)concepts->pdata[i])->name);
        gtk_label_set_xalign(GTK_LABEL(label), 0);
        gtk_widget_set_margin_start(label, 14);
        gtk_widget_set_margin_top(label, 6);
        gtk_widget_set_margin_bottom(label, 6);
        gtk_list_box_append(desk->concepts, label);
    }
    row = gtk_list_box_get_row_at_index(desk->concepts, chosen);
    if (row != NULL) {
        gtk_list_box_select_row(desk->concepts, row);
    }
}

static void on_names(RbPlaybookDesk *desk)
{
    RbNames *names = rb_session_get_names(desk->session);
    if (names == NULL || rb_names_concepts(names)->len == 0) {
        gtk_stack_set_visible_child_name(desk->stack, "empty");
        rb_notice_set(desk->notice, _("No concept in this library yet"),
                      _("Concepts with their reads, clocks and rules will be here. "
                        "“readbreak-cli playbook import FILE” brings them in."),
                      NULL, NULL);
        return;
    }
    gtk_stack_set_visible_child_name(desk->stack, "book");
    GtkListBoxRow *row = gtk_list_box_get_selected_row(desk->concepts);
    const int chosen = row != NULL ? gtk_list_box_row_get_index(row) : 0;
    if (names != desk->names) {
        g_clear_pointer(&desk->names, rb_names_unref);
        desk->names = rb_names_ref(names);
        fill(desk, chosen);
    }
}

void rb_playbook_desk_set_session(RbPlaybookDesk *desk, RbSession *session)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DESK(desk));
    g_return_if_fail(desk->session == NULL);
    desk->session = g_object_ref(session);
    g_signal_connect_object(session, "names", G_CALLBACK(on_names), desk,
                            G_CONNECT_SWAPPED);
    on_names(desk);
}

void rb_playbook_desk_focus(RbPlaybookDesk *desk)
{
    g_return_if_fail(RB_IS_PLAYBOOK_DESK(desk));
    GtkListBoxRow *row = gtk_list_box_get_selected_row(desk->concepts);
    if (row != NULL) {
        gtk_widget_grab_focus(GTK_WIDGET(row));
    }
}

static void rb_playbook_desk_dispose(GObject *object)
{
    RbPlaybookDesk *desk = RB_PLAYBOOK_DESK(object);
    gtk_widget_dispose_template(GTK_WIDGET(desk), RB_TYPE_PLAYBOOK_DESK);
    g_clear_object(&desk->session);
    g_clear_pointer(&desk->names, rb_names_unref);
    G_OBJECT_CLASS(rb_playbook_desk_parent_class)->dispose(object);
}

static void rb_playbook_desk_class_init(RbPlaybookDeskClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_desk_dispose;
    g_type_ensure(RB_TYPE_NOTICE);
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/playbook-desk.ui");
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, stack);
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, notice);
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, concepts);
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, name);
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, notes);
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, reads);
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookDesk, rules);
}

static void rb_playbook_desk_init(RbPlaybookDesk *desk)
{
    gtk_widget_init_template(GTK_WIDGET(desk));
    g_signal_connect_swapped(desk->concepts, "row-selected", G_CALLBACK(on_row), desk);
}
