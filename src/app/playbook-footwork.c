/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "playbook-footwork.h"

#include <glib/gi18n.h>
#include <string.h>

#include "rb/work/footwork.h"

#include "form.h"

#define SECONDS_MOST 10.0
#define FIRST_STEP_MS 300 /* a row more: so much after the one with fewer steps */

/* One value of the table, on screen. */
typedef struct {
    char key[16];
    GtkWidget *seconds;
    GtkWidget *mark;
    GtkWidget *back; /* to the default */
} Row;

struct _RbPlaybookFootwork {
    GtkWidget parent_instance;
    GtkWidget *box;  /* child; the rest is inside */
    GtkWidget *grid; /* of the rows */
    GtkLabel *fault;
    RbChoice *backfield; /* of a row more */
    RbChoice *steps;
    GArray *rows;           /* owned, of Row */
    RbFootwork footwork;    /* as it is on screen */
    RbPlaybookDraft *draft; /* owned, nullable */
    RbSession *session;     /* owned, nullable */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbPlaybookFootwork, rb_playbook_footwork, GTK_TYPE_WIDGET)

static void on_seconds(RbPlaybookFootwork *table);
static void on_back(GtkWidget *button, RbPlaybookFootwork *table);

static Row *row_at(RbPlaybookFootwork *table, guint i)
{
    return &g_array_index(table->rows, Row, i);
}

static void say_fault(RbPlaybookFootwork *table, const char *sentence)
{
    gtk_label_set_text(table->fault, sentence != NULL ? sentence : "");
    gtk_widget_set_visible(GTK_WIDGET(table->fault), sentence != NULL);
}

static void add_row(RbPlaybookFootwork *table, const RbFootworkLine *line)
{
    const int at = (int)table->rows->len;
    g_autofree char *name = rb_footwork_line_text(line);
    g_autofree char *spoken = g_strdup_printf(_("Seconds for %s"), name);
    GtkWidget *label = gtk_label_new(name);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    Row row = { .seconds = rb_number_new(0.1, SECONDS_MOST, 0.05, 2),
                .mark = gtk_label_new(NULL),
                .back = gtk_button_new_with_label(_("Default")) };
    g_strlcpy(row.key, line->key, sizeof row.key);
    g_signal_connect_swapped(row.seconds, "value-changed", G_CALLBACK(on_seconds), table);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row.seconds),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, spoken, -1);
    gtk_label_set_xalign(GTK_LABEL(row.mark), 0);
    gtk_widget_set_hexpand(row.mark, TRUE);
    gtk_widget_add_css_class(row.mark, "small");
    g_signal_connect(row.back, "clicked", G_CALLBACK(on_back), table);
    gtk_widget_add_css_class(row.back, "plain");
    gtk_grid_attach(GTK_GRID(table->grid), label, 0, at, 1, 1);
    gtk_grid_attach(GTK_GRID(table->grid), row.seconds, 1, at, 1, 1);
    gtk_grid_attach(GTK_GRID(table->grid), row.mark, 2, at, 1, 1);
    gtk_grid_attach(GTK_GRID(table->grid), row.back, 3, at, 1, 1);
    g_array_append_val(table->rows, row);
}

/* The rows are built anew only when there are other ones: a field that is typed in stays. */
static void build_rows(RbPlaybookFootwork *table, const GArray *lines)
{
    bool same = lines->len == table->rows->len;
    for (guint i = 0; same && i < lines->len; i++) {
        same = strcmp(row_at(table, i)->key,
                      g_array_index(lines, RbFootworkLine, i).key) == 0;
    }
    if (same) {
        return;
    }
    g_array_set_size(table->rows, 0);
    GtkWidget *child = NULL;
    while ((child = gtk_widget_get_first_child(table->grid)) != NULL) {
        gtk_grid_remove(GTK_GRID(table->grid), child);
    }
    for (guint i = 0; i < lines->len; i++) {
        add_row(table, &g_array_index(lines, RbFootworkLine, i));
    }
}

static void fill(RbPlaybookFootwork *table)
{
    g_autoptr(GArray) lines = rb_footwork_lines(&table->footwork);
    table->is_filling = true;
    build_rows(table, lines);
    for (guint i = 0; i < lines->len; i++) {
        const RbFootworkLine *line = &g_array_index(lines, RbFootworkLine, i);
        const Row *row = row_at(table, i);
        g_autofree char *mark = rb_footwork_mark_text(line);
        rb_number_set(row->seconds, line->ms / 1000.0);
        gtk_label_set_text(GTK_LABEL(row->mark), mark);
        gtk_widget_set_sensitive(row->back, line->ours);
        gtk_button_set_label(GTK_BUTTON(row->back),
                             line->default_ms >= 0 ? _("Default") : _("Take out"));
    }
    table->is_filling = false;
}

/* Takes one value over; what does not fit the others waits until they do. */
static void assign(RbPlaybookFootwork *table, const char *key, const char *value)
{
    g_autoptr(GError) error = NULL;
    g_autofree char *text = g_strconcat(key, "=", value, NULL);
    if (!rb_footwork_assign(&table->footwork, text, &error) ||
        !rb_footwork_check(&table->footwork, &error)) {
        say_fault(table, error->message);
        return;
    }
    say_fault(table, NULL);
    rb_session_change(table->session, rb_errand_set_footwork,
                      g_memdup2(&table->footwork, sizeof table->footwork), g_free);
}

static void assign_ms(RbPlaybookFootwork *table, const char *key, int ms)
{
    char value[G_ASCII_DTOSTR_BUF_SIZE];
    assign(table, key, g_ascii_formatd(value, sizeof value, "%.2f", ms / 1000.0));
}

static void on_seconds(RbPlaybookFootwork *table)
{
    for (guint i = 0; i < table->rows->len && !table->is_filling; i++) {
        const Row *row = row_at(table, i);
        g_autoptr(GArray) lines = rb_footwork_lines(&table->footwork);
        const double value = gtk_spin_button_get_value(GTK_SPIN_BUTTON(row->seconds));
        const int ms = (int)(value * 100.0 + 0.5) * 10;
        if (ms != g_array_index(lines, RbFootworkLine, i).ms) {
            assign_ms(table, row->key, ms);
        }
    }
    fill(table);
}

static void on_back(GtkWidget *button, RbPlaybookFootwork *table)
{
    for (guint i = 0; i < table->rows->len; i++) {
        if (row_at(table, i)->back == button) {
            gtk_widget_grab_focus(row_at(table, i)->seconds);
            assign(table, row_at(table, i)->key, "default");
            fill(table);
            return;
        }
    }
}

/* A row more, a little later than the one with fewer steps. */
static void on_add(RbPlaybookFootwork *table)
{
    const int steps = (int)rb_choice_get(table->steps);
    const RbBackfield backfield = (RbBackfield)rb_choice_get(table->backfield);
    int ms = RB_FOOTWORK_MS_MIN;
    g_autoptr(GArray) lines = rb_footwork_lines(&table->footwork);
    for (guint i = 0; i < lines->len; i++) {
        const RbFootworkLine *line = &g_array_index(lines, RbFootworkLine, i);
        if (line->steps > 0 && line->backfield == backfield) {
            if (line->steps == steps) {
                gtk_widget_grab_focus(row_at(table, i)->seconds);
                return;
            }
            ms = line->steps < steps ? line->ms + FIRST_STEP_MS : ms;
        }
    }
    g_autofree char *key = g_strdup_printf(
        "%s-%d", rb_words_token(&rb_backfield_words, (int)backfield), steps);
    assign_ms(table, key, ms);
    fill(table);
}

/* The library was read anew. A table that cannot go there yet stays as it is. */
static void on_list(RbPlaybookFootwork *table)
{
    const RbNames *names = rb_playbook_draft_get_names(table->draft);
    if (names == NULL || rb_session_is_changing(table->session) ||
        !rb_footwork_check(&table->footwork, NULL)) {
        return;
    }
    table->footwork = *rb_names_footwork(names);
    fill(table);
}

/* A table that is left while it cannot be stored is the library's again. */
static void rb_playbook_footwork_unmap(GtkWidget *widget)
{
    RbPlaybookFootwork *table = RB_PLAYBOOK_FOOTWORK(widget);
    g_autoptr(GError) error = NULL;
    if (table->draft != NULL && !rb_footwork_check(&table->footwork, &error)) {
        g_autofree char *sentence =
            g_strdup_printf(_("The footwork table is not changed: %s"), error->message);
        g_signal_emit_by_name(table->session, "said", sentence);
        table->footwork = *rb_names_footwork(rb_playbook_draft_get_names(table->draft));
        fill(table);
    }
    say_fault(table, NULL);
    GTK_WIDGET_CLASS(rb_playbook_footwork_parent_class)->unmap(widget);
}

void rb_playbook_footwork_set_draft(RbPlaybookFootwork *table, RbPlaybookDraft *draft,
                                    RbSession *session)
{
    g_return_if_fail(RB_IS_PLAYBOOK_FOOTWORK(table));
    table->draft = g_object_ref(draft);
    table->session = g_object_ref(session);
    g_signal_connect_object(draft, "list", G_CALLBACK(on_list), table, G_CONNECT_SWAPPED);
    on_list(table);
}

static void put_more(RbPlaybookFootwork *table)
{
    GtkWidget *line = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 6);
    table->backfield = rb_choice_new(_("From"));
    rb_choice_add_words(table->backfield, &rb_backfield_words, 0);
    table->steps = rb_choice_new(_("Steps"));
    for (int steps = 1; steps <= RB_STEPS_MAX; steps++) {
        g_autofree char *word =
            g_strdup_printf(ngettext("%d step", "%d steps", (gulong)steps), steps);
        rb_choice_add(table->steps, steps, word);
    }
    GtkWidget *add = rb_button_new(_("Add _time"));
    gtk_widget_add_css_class(add, "plain");
    g_signal_connect_swapped(add, "clicked", G_CALLBACK(on_add), table);
    gtk_box_append(GTK_BOX(line), GTK_WIDGET(table->backfield));
    gtk_box_append(GTK_BOX(line), GTK_WIDGET(table->steps));
    gtk_box_append(GTK_BOX(line), add);
    gtk_box_append(GTK_BOX(table->box), line);
}

static GtkWidget *put_label(RbPlaybookFootwork *table, const char *text, const char *css)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_label_set_wrap(GTK_LABEL(label), TRUE);
    gtk_label_set_max_width_chars(GTK_LABEL(label), 64);
    gtk_widget_add_css_class(label, css);
    gtk_box_append(GTK_BOX(table->box), label);
    return label;
}

static void rb_playbook_footwork_dispose(GObject *object)
{
    RbPlaybookFootwork *table = RB_PLAYBOOK_FOOTWORK(object);
    table->is_filling = true;
    g_clear_pointer(&table->box, gtk_widget_unparent);
    g_clear_pointer(&table->rows, g_array_unref);
    g_clear_object(&table->draft);
    g_clear_object(&table->session);
    G_OBJECT_CLASS(rb_playbook_footwork_parent_class)->dispose(object);
}

static gboolean rb_playbook_footwork_grab_focus(GtkWidget *widget)
{
    RbPlaybookFootwork *table = RB_PLAYBOOK_FOOTWORK(widget);
    return table->rows->len > 0 && gtk_widget_grab_focus(row_at(table, 0)->seconds);
}

static void rb_playbook_footwork_class_init(RbPlaybookFootworkClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_playbook_footwork_dispose;
    widget_class->grab_focus = rb_playbook_footwork_grab_focus;
    widget_class->unmap = rb_playbook_footwork_unmap;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_accessible_role(widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void rb_playbook_footwork_init(RbPlaybookFootwork *table)
{
    table->rows = g_array_new(FALSE, FALSE, sizeof(Row));
    table->footwork = *rb_footwork_defaults();
    table->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 6);
    gtk_widget_set_parent(table->box, GTK_WIDGET(table));
    put_label(table, _("Footwork table"), "section");
    put_label(table,
              _("Seconds from the snap until the ball can leave: every clock given as "
                "footwork goes by them."),
              "small");
    table->grid = gtk_grid_new();
    gtk_grid_set_column_spacing(GTK_GRID(table->grid), 12);
    gtk_grid_set_row_spacing(GTK_GRID(table->grid), 3);
    gtk_widget_add_css_class(table->grid, "form");
    gtk_box_append(GTK_BOX(table->box), table->grid);
    table->fault = GTK_LABEL(put_label(table, "", "fault"));
    put_more(table);
    say_fault(table, NULL);
    gtk_accessible_update_property(GTK_ACCESSIBLE(table), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Footwork table"), -1);
}
