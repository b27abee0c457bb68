/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-reads.h"

#include <glib/gi18n.h>

#include "rb/work/playbook-edit.h"

#include "form.h"

struct _RbPlaybookReads {
    GtkWidget parent_instance;
    GtkListBox *list;       /* child */
    RbPlaybookDraft *draft; /* owned, nullable */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookReads, rb_playbook_reads, GTK_TYPE_WIDGET)

enum { ENTERED, N_SIGNALS };
static guint signals[N_SIGNALS];

static int row_number(GtkListBoxRow *row)
{
    return GPOINTER_TO_INT(g_object_get_data(G_OBJECT(row), "read"));
}

static GtkWidget *make_label(const char *text, const char *css)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    if (css != NULL) {
        gtk_widget_add_css_class(label, css);
    }
    return label;
}

/* So much of a read's title is always seen. */
#define TITLE_LETTERS 14

static char *title_text(const RbRead *read)
{
    GString *text = g_string_new(rb_words_label(&rb_route_words, read->route));
    if (read->depth_yd != 0) {
        g_string_append_printf(text, _(", %d yd"), read->depth_yd);
    }
    g_autofree char *landmark = rb_landmark_text(read);
    if (*landmark != '\0') {
        g_string_append_printf(text, ", %s", landmark);
    }
    return g_string_free(text, FALSE);
}

static char *second_text(const RbRead *read)
{
    GString *text = g_string_new(rb_words_label(&rb_runner_words, read->runner));
    if (read->side == RB_READ_SIDE_OTHER) {
        g_string_append_printf(text, ", %s", _("other side"));
    }
    if (read->outlet) {
        g_string_append_printf(text, ", %s", _("outlet"));
    }
    if (read->key != NULL) {
        g_string_append_printf(text, _(", key: %s"), read->key);
    }
    return g_string_free(text, FALSE);
}

/* Dragging: the number of the read goes along. */
static GdkContentProvider *on_drag(GtkDragSource *source, double x, double y,
                                   gpointer data)
{
    (void)source;
    (void)x;
    (void)y;
    return gdk_content_provider_new_typed(G_TYPE_INT, row_number(data));
}

/* What is carried looks like the read it is. */
static void on_drag_begin(GtkDragSource *source, GdkDrag *drag, gpointer row)
{
    (void)drag;
    g_autoptr(GdkPaintable) picture = gtk_widget_paintable_new(row);
    gtk_drag_source_set_icon(source, picture, 0, 0);
}

static gboolean on_drop(GtkDropTarget *target, const GValue *value, double x, double y,
                        gpointer data)
{
    (void)target;
    (void)x;
    (void)y;
    GtkListBoxRow *row = data;
    RbPlaybookReads *reads = RB_PLAYBOOK_READS(
        gtk_widget_get_ancestor(GTK_WIDGET(row), RB_TYPE_PLAYBOOK_READS));
    RbConcept *concept = rb_playbook_draft_edit(reads->draft);
    const int number = g_value_get_int(value);
    int from = -1;
    for (guint i = 0; i < concept->reads->len; i++) {
        from = ((RbRead *)concept->reads->pdata[i])->number == number ? (int)i : from;
    }
    const int by = gtk_list_box_row_get_index(row) - from;
    if (from < 0 || !rb_concept_move_read(concept, number, by)) {
        return FALSE;
    }
    rb_playbook_draft_set_read(reads->draft, number);
    rb_playbook_draft_edited(reads->draft);
    return TRUE;
}

static GtkWidget *make_row(const RbRead *read, const RbFootwork *footwork)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    GtkWidget *words = gtk_box_new(GTK_ORIENTATION_VERTICAL, 0);
    g_autofree char *number = g_strdup_printf("%d", read->number);
    g_autofree char *title = title_text(read);
    g_autofree char *second = second_text(read);
    g_autofree char *clock = rb_clock_text(&read->clock, footwork);
    GtkWidget *badge = gtk_label_new(number);
    gtk_widget_add_css_class(badge, read->clear_out ? "badge-clear" : "badge");
    gtk_widget_set_valign(badge, GTK_ALIGN_CENTER);
    GtkWidget *name = make_label(title, NULL);
    gtk_label_set_width_chars(GTK_LABEL(name), TITLE_LETTERS);
    gtk_box_append(GTK_BOX(words), name);
    gtk_box_append(GTK_BOX(words), make_label(second, "small"));
    gtk_widget_set_hexpand(words, TRUE);
    GtkWidget *time =
        make_label(read->clear_out ? _("clear-out: not thrown") : clock, "second");
    gtk_label_set_ellipsize(GTK_LABEL(time), PANGO_ELLIPSIZE_NONE); /* words give way */
    gtk_box_append(GTK_BOX(box), badge);
    gtk_box_append(GTK_BOX(box), words);
    gtk_box_append(GTK_BOX(box), time);
    gtk_widget_add_css_class(box, "rung");
    GtkWidget *row = gtk_list_box_row_new();
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    g_object_set_data(G_OBJECT(row), "read", GINT_TO_POINTER(read->number));
    g_autofree char *spoken = rb_read_text(read, footwork);
    g_autofree char *label = g_strdup_printf(_("Read %d: %s"), read->number, spoken);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   label, -1);
    gtk_widget_set_tooltip_text(words, spoken); /* a long landmark or key is cut short */
    GtkDragSource *source = gtk_drag_source_new();
    gtk_drag_source_set_actions(source, GDK_ACTION_MOVE);
    g_signal_connect(source, "prepare", G_CALLBACK(on_drag), row);
    g_signal_connect(source, "drag-begin", G_CALLBACK(on_drag_begin), row);
    gtk_widget_add_controller(row, GTK_EVENT_CONTROLLER(source));
    GtkDropTarget *target = gtk_drop_target_new(G_TYPE_INT, GDK_ACTION_MOVE);
    g_signal_connect(target, "drop", G_CALLBACK(on_drop), row);
    gtk_widget_add_controller(row, GTK_EVENT_CONTROLLER(target));
    return row;
}

static void choose_row(RbPlaybookReads *reads)
{
    const int number = rb_playbook_draft_get_read(reads->draft);
    GtkListBoxRow *row = NULL;
    reads->is_filling = true;
    for (int i = 0; (row = gtk_list_box_get_row_at_index(reads->list, i)) != NULL; i++) {
        if (row_number(row) == number) {
            gtk_list_box_select_row(reads->list, row);
            break;
        }
    }
    reads->is_filling = false;
}

static void on_concept(RbPlaybookReads *reads)
{
    const RbConcept *concept = rb_playbook_draft_get_concept(reads->draft);
    const RbNames *names = rb_playbook_draft_get_names(reads->draft);
    const bool had_focus = rb_focus_is_inside(GTK_WIDGET(reads));
    GtkListBoxRow *row = NULL;
    reads->is_filling = true;
    while ((row = gtk_list_box_get_row_at_index(reads->list, 0)) != NULL) {
        gtk_list_box_remove(reads->list, GTK_WIDGET(row));
    }
    for (guint i = 0; concept != NULL && i < concept->reads->len; i++) {
        gtk_list_box_append(reads->list,
                            make_row(concept->reads->pdata[i], rb_names_footwork(names)));
    }
    reads->is_filling = false;
    choose_row(reads);
    if (had_focus) {
        rb_playbook_reads_focus(reads);
    }
}

static void on_row(RbPlaybookReads *reads, GtkListBoxRow *row)
{
    if (!reads->is_filling && row != NULL) {
        rb_playbook_draft_set_read(reads->draft, row_number(row));
    }
}

static void on_activated(RbPlaybookReads *reads)
{
    g_signal_emit(reads, signals[ENTERED], 0);
}

static gboolean on_move(GtkWidget *widget, GVariant *step, gpointer data)
{
    (void)data;
    RbPlaybookReads *reads = RB_PLAYBOOK_READS(widget);
    RbConcept *concept = rb_playbook_draft_edit(reads->draft);
    if (concept != NULL &&
        rb_concept_move_read(concept, rb_playbook_draft_get_read(reads->draft),
                             g_variant_get_int32(step))) {
        rb_playbook_draft_edited(reads->draft);
    }
    return TRUE;
}

static gboolean on_delete(GtkWidget *widget, GVariant *nothing, gpointer data)
{
    (void)nothing;
    (void)data;
    rb_playbook_reads_remove(RB_PLAYBOOK_READS(widget));
    return TRUE;
}

void rb_playbook_reads_add(RbPlaybookReads *reads)
{
    g_return_if_fail(RB_IS_PLAYBOOK_READS(reads));
    RbConcept *concept = rb_playbook_draft_edit(reads->draft);
    const int number = concept != NULL ? rb_concept_add_read(concept) : 0;
    if (number != 0) {
        rb_playbook_draft_set_read(reads->draft, number);
        rb_playbook_draft_edited(reads->draft);
        on_activated(reads);
    }
}

void rb_playbook_reads_remove(RbPlaybookReads *reads)
{
    g_return_if_fail(RB_IS_PLAYBOOK_READS(reads));
    RbConcept *concept = rb_playbook_draft_edit(reads->draft);
    if (concept != NULL &&
        rb_concept_remove_read(concept, rb_playbook_draft_get_read(reads->draft)) >= 0) {
        rb_playbook_draft_edited(reads->draft);
    }
}

void rb_playbook_reads_focus(RbPlaybookReads *reads)
{
    g_return_if_fail(RB_IS_PLAYBOOK_READS(reads));
    GtkListBoxRow *row = gtk_list_box_get_selected_row(reads->list);
    if (row != NULL) {
        gtk_widget_grab_focus(GTK_WIDGET(row));
    }
}

void rb_playbook_reads_set_draft(RbPlaybookReads *reads, RbPlaybookDraft *draft)
{
    g_return_if_fail(RB_IS_PLAYBOOK_READS(reads));
    reads->draft = g_object_ref(draft);
    g_signal_connect_object(draft, "concept", G_CALLBACK(on_concept), reads,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(draft, "chosen", G_CALLBACK(choose_row), reads,
                            G_CONNECT_SWAPPED);
    on_concept(reads);
}

static void rb_playbook_reads_dispose(GObject *object)
{
    RbPlaybookReads *reads = RB_PLAYBOOK_READS(object);
    if (reads->list != NULL) {
        gtk_widget_unparent(GTK_WIDGET(reads->list));
        reads->list = NULL;
    }
    g_clear_object(&reads->draft);
    G_OBJECT_CLASS(rb_playbook_reads_parent_class)->dispose(object);
}

static void rb_playbook_reads_class_init(RbPlaybookReadsClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_reads_dispose;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Up, GDK_ALT_MASK, on_move, "i",
                                 -1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Down, GDK_ALT_MASK, on_move, "i",
                                 1);
    gtk_widget_class_add_binding(widget_class, GDK_KEY_Delete, 0, on_delete, NULL);
    signals[ENTERED] = g_signal_new("entered", RB_TYPE_PLAYBOOK_READS, G_SIGNAL_RUN_LAST,
                                    0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_playbook_reads_init(RbPlaybookReads *reads)
{
    reads->list = GTK_LIST_BOX(gtk_list_box_new());
    gtk_list_box_set_selection_mode(reads->list, GTK_SELECTION_BROWSE);
    gtk_widget_set_parent(GTK_WIDGET(reads->list), GTK_WIDGET(reads));
    gtk_accessible_update_property(GTK_ACCESSIBLE(reads->list),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, _("Reads in order"),
                                   -1);
    g_signal_connect_swapped(reads->list, "row-selected", G_CALLBACK(on_row), reads);
    g_signal_connect_swapped(reads->list, "row-activated", G_CALLBACK(on_activated),
                             reads);
}
