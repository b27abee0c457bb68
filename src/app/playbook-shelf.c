/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-shelf.h"

#include <glib/gi18n.h>
#include <string.h>

#include "form.h"
#include "playbook-footwork.h"

/* Letters of a name that are seen whole. */
enum { NAME_SEEN = 40 };

struct _RbPlaybookShelf {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *page; /* bound, so that it goes with the template */
    GtkSearchEntry *search;
    GtkListBox *concepts;
    GtkCheckButton *with_hidden;
    GtkMenuButton *new_button;
    GtkPopover *new_popover;
    GtkEntry *new_name;
    GtkLabel *new_fault;
    GtkButton *twin;
    GtkButton *hide;
    GtkMenuButton *footwork_button;
    GtkPopover *footwork_popover;
    RbPlaybookFootwork *footwork;

    RbPlaybookDraft *draft; /* owned, nullable */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookShelf, rb_playbook_shelf, GTK_TYPE_WIDGET)

static guint started_signal;

static gint64 row_concept(GtkListBoxRow *row)
{
    return *(const gint64 *)g_object_get_data(G_OBJECT(row), "concept");
}

static GtkWidget *make_row(const RbConcept *concept)
{
    GtkWidget *label = gtk_label_new(concept->name);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    /* Names of one family begin alike: the second line tells them apart. */
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_wrap_mode(GTK_LABEL(label), PANGO_WRAP_WORD_CHAR);
    gtk_label_set_lines(GTK_LABEL(label), 2);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    gtk_label_set_width_chars(GTK_LABEL(label), 1);
    gtk_widget_set_tooltip_text(
        label, g_utf8_strlen(concept->name, -1) > NAME_SEEN ? concept->name : NULL);
    gtk_widget_set_margin_start(label, 14);
    gtk_widget_set_margin_top(label, 5);
    gtk_widget_set_margin_bottom(label, 5);
    if (concept->hidden) {
        gtk_widget_add_css_class(label, "muted");
    }
    GtkWidget *row = gtk_list_box_row_new();
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), label);
    g_object_set_data_full(G_OBJECT(row), "concept",
                           g_memdup2(&concept->id.value, sizeof(gint64)), g_free);
    g_object_set_data_full(G_OBJECT(row), "folded", g_utf8_casefold(concept->name, -1),
                           g_free);
    g_object_set_data(G_OBJECT(row), "hidden", GINT_TO_POINTER(concept->hidden));
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   concept->name, -1);
    return row;
}

static gboolean is_listed(GtkListBoxRow *row, gpointer data)
{
    RbPlaybookShelf *shelf = data;
    g_autofree char *typed =
        g_utf8_casefold(gtk_editable_get_text(GTK_EDITABLE(shelf->search)), -1);
    const bool hidden = g_object_get_data(G_OBJECT(row), "hidden") != NULL;
    return (!hidden || gtk_check_button_get_active(shelf->with_hidden)) &&
           strstr(g_object_get_data(G_OBJECT(row), "folded"), typed) != NULL;
}

static void choose_row(RbPlaybookShelf *shelf)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(shelf->draft);
    GtkListBoxRow *row = NULL;
    shelf->is_filling = true;
    for (int i = 0; (row = gtk_list_box_get_row_at_index(shelf->concepts, i)) != NULL;
         i++) {
        if (concept != NULL && row_concept(row) == concept->id.value) {
            gtk_list_box_select_row(shelf->concepts, row);
        }
    }
    shelf->is_filling = false;
}

static void on_list(RbPlaybookShelf *shelf)
{
    const GPtrArray *concepts =
        rb_names_concepts(rb_playbook_draft_get_names(shelf->draft));
    const bool had_focus = rb_focus_is_inside(GTK_WIDGET(shelf->concepts));
    GtkListBoxRow *row = NULL;
    shelf->is_filling = true;
    while ((row = gtk_list_box_get_row_at_index(shelf->concepts, 0)) != NULL) {
        gtk_list_box_remove(shelf->concepts, GTK_WIDGET(row));
    }
    for (guint i = 0; i < concepts->len; i++) {
        gtk_list_box_append(shelf->concepts, make_row(concepts->pdata[i]));
    }
    shelf->is_filling = false;
    choose_row(shelf);
    if (had_focus) {
        gtk_widget_grab_focus(GTK_WIDGET(shelf));
    }
}

static void on_row(RbPlaybookShelf *shelf, GtkListBoxRow *row)
{
    if (!shelf->is_filling && row != NULL) {
        rb_playbook_draft_choose(shelf->draft, (RbConceptId){ row_concept(row) });
    }
}

static void on_filter(RbPlaybookShelf *shelf)
{
    gtk_list_box_invalidate_filter(shelf->concepts);
}

/* Enter in the search takes the first that is left. */
static void on_found(RbPlaybookShelf *shelf)
{
    GtkListBoxRow *row = NULL;
    for (int i = 0; (row = gtk_list_box_get_row_at_index(shelf->concepts, i)) != NULL;
         i++) {
        if (is_listed(row, shelf)) {
            gtk_list_box_select_row(shelf->concepts, row);
            gtk_widget_grab_focus(GTK_WIDGET(row));
            return;
        }
    }
}

static void on_search_left(RbPlaybookShelf *shelf)
{
    gtk_editable_set_text(GTK_EDITABLE(shelf->search), "");
    gtk_widget_grab_focus(GTK_WIDGET(shelf));
}

/* What can be done with the chosen one. */

static void on_concept(RbPlaybookShelf *shelf)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(shelf->draft);
    gtk_widget_set_sensitive(GTK_WIDGET(shelf->twin), concept != NULL);
    gtk_widget_set_sensitive(GTK_WIDGET(shelf->hide), concept != NULL);
    if (concept != NULL) {
        gtk_button_set_label(shelf->hide, concept->hidden ? _("Show") : _("Hide"));
        choose_row(shelf);
    }
}

static void on_twin(RbPlaybookShelf *shelf)
{
    rb_playbook_draft_twin(shelf->draft);
}

static void on_hide(RbPlaybookShelf *shelf)
{
    RbConcept *concept = rb_playbook_draft_edit(shelf->draft);
    concept->hidden = !concept->hidden;
    rb_playbook_draft_edited(shelf->draft);
}

/* A new one. */

static void on_new_opened(RbPlaybookShelf *shelf)
{
    gtk_editable_set_text(GTK_EDITABLE(shelf->new_name), "");
    gtk_widget_set_visible(GTK_WIDGET(shelf->new_fault), FALSE);
    gtk_widget_grab_focus(GTK_WIDGET(shelf->new_name));
}

static void on_new_named(RbPlaybookShelf *shelf)
{
    g_autoptr(GError) error = NULL;
    const char *name = gtk_editable_get_text(GTK_EDITABLE(shelf->new_name));
    if (!rb_playbook_draft_start(shelf->draft, name, &error)) {
        gtk_label_set_text(shelf->new_fault, error->message);
        gtk_widget_set_visible(GTK_WIDGET(shelf->new_fault), TRUE);
        return;
    }
    gtk_popover_popdown(shelf->new_popover);
    g_signal_emit(shelf, started_signal, 0);
}

static void on_footwork_opened(RbPlaybookShelf *shelf)
{
    gtk_widget_grab_focus(GTK_WIDGET(shelf->footwork));
}

static gboolean grab_focus(GtkWidget *widget)
{
    RbPlaybookShelf *shelf = RB_PLAYBOOK_SHELF(widget);
    GtkListBoxRow *row = gtk_list_box_get_selected_row(shelf->concepts);
    return gtk_widget_grab_focus(row != NULL ? GTK_WIDGET(row)
                                             : GTK_WIDGET(shelf->new_button));
}

void rb_playbook_shelf_find(RbPlaybookShelf *shelf)
{
    g_return_if_fail(RB_IS_PLAYBOOK_SHELF(shelf));
    gtk_widget_grab_focus(GTK_WIDGET(shelf->search));
}

void rb_playbook_shelf_ask_name(RbPlaybookShelf *shelf)
{
    g_return_if_fail(RB_IS_PLAYBOOK_SHELF(shelf));
    gtk_menu_button_popup(shelf->new_button);
}

void rb_playbook_shelf_set_draft(RbPlaybookShelf *shelf, RbPlaybookDraft *draft,
                                 RbSession *session)
{
    g_return_if_fail(RB_IS_PLAYBOOK_SHELF(shelf));
    g_return_if_fail(shelf->draft == NULL);
    shelf->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "list", G_CALLBACK(on_list), shelf, G_CONNECT_SWAPPED);
    g_signal_connect_object(draft, "concept", G_CALLBACK(on_concept), shelf,
                            G_CONNECT_SWAPPED);
    rb_playbook_footwork_set_draft(shelf->footwork, draft, session);
    if (rb_playbook_draft_get_names(draft) != NULL) {
        on_list(shelf);
    }
    on_concept(shelf);
}

static void connect_buttons(RbPlaybookShelf *shelf)
{
    const struct {
        gpointer object;
        const char *signal;
        GCallback callback;
    } table[] = {
        { shelf->concepts, "row-selected", G_CALLBACK(on_row) },
        { shelf->search, "search-changed", G_CALLBACK(on_filter) },
        { shelf->search, "activate", G_CALLBACK(on_found) },
        { shelf->search, "stop-search", G_CALLBACK(on_search_left) },
        { shelf->with_hidden, "toggled", G_CALLBACK(on_filter) },
        { shelf->new_popover, "show", G_CALLBACK(on_new_opened) },
        { shelf->footwork_popover, "show", G_CALLBACK(on_footwork_opened) },
        { shelf->new_name, "activate", G_CALLBACK(on_new_named) },
        { shelf->twin, "clicked", G_CALLBACK(on_twin) },
        { shelf->hide, "clicked", G_CALLBACK(on_hide) },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++) {
        g_signal_connect_swapped(table[i].object, table[i].signal, table[i].callback,
                                 shelf);
    }
}

static void rb_playbook_shelf_dispose(GObject *object)
{
    RbPlaybookShelf *shelf = RB_PLAYBOOK_SHELF(object);
    gtk_widget_dispose_template(GTK_WIDGET(shelf), RB_TYPE_PLAYBOOK_SHELF);
    g_clear_object(&shelf->draft);
    G_OBJECT_CLASS(rb_playbook_shelf_parent_class)->dispose(object);
}

#define BIND(name)                                                                       \
    gtk_widget_class_bind_template_child(widget_class, RbPlaybookShelf, name)

static void rb_playbook_shelf_class_init(RbPlaybookShelfClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_shelf_dispose;
    widget_class->grab_focus = grab_focus;
    started_signal = g_signal_new("started", RB_TYPE_PLAYBOOK_SHELF, G_SIGNAL_RUN_LAST, 0,
                                  NULL, NULL, NULL, G_TYPE_NONE, 0);
    g_type_ensure(RB_TYPE_PLAYBOOK_FOOTWORK);
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/playbook-shelf.ui");
    BIND(page);
    BIND(search);
    BIND(concepts);
    BIND(with_hidden);
    BIND(new_button);
    BIND(new_popover);
    BIND(new_name);
    BIND(new_fault);
    BIND(twin);
    BIND(hide);
    BIND(footwork_button);
    BIND(footwork_popover);
    BIND(footwork);
}

static void rb_playbook_shelf_init(RbPlaybookShelf *shelf)
{
    gtk_widget_init_template(GTK_WIDGET(shelf));
    gtk_list_box_set_filter_func(shelf->concepts, is_listed, shelf, NULL);
    connect_buttons(shelf);
}
