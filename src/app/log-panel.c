/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "log-panel.h"

#include <glib/gi18n.h>
#include <string.h>

#include "form.h"
#include "help.h"
#include "path-row.h"
#include "task-window.h"
#include "wrap.h"

struct _RbLogPanel {
    GtkWindow parent_instance;
    RbPathRow *path;
    GtkGrid *columns;
    GtkDropDown *yards;
    GtkDropDown *align;
    GtkEditable *us;
    GtkLabel *notes;
    RbTaskFoot foot;

    RbSession *session; /* owned */
    RbLogAsk *ask;      /* owned */
    bool filling;       /* the panel itself sets its menus */
    bool accepted;      /* and waits for the answer */
};

G_DEFINE_FINAL_TYPE(RbLogPanel, rb_log_panel, GTK_TYPE_WINDOW)

static void read_again(RbLogPanel *panel)
{
    g_free(panel->ask->path);
    g_free(panel->ask->us);
    panel->ask->path = g_strdup(rb_path_row_get_path(panel->path));
    panel->ask->us = g_strdup(gtk_editable_get_text(panel->us));
    panel->ask->yards = (RbLogYards)gtk_drop_down_get_selected(panel->yards);
    panel->ask->align = (RbLogAlign)gtk_drop_down_get_selected(panel->align);
    panel->accepted = false;
    if (*panel->ask->path != '\0') {
        rb_session_plan_log(panel->session, panel->ask);
    }
}

/* Another file: what was said of the last one's columns does not hold. */
static void on_path(RbLogPanel *panel)
{
    g_ptr_array_set_size(panel->ask->maps, 0);
    read_again(panel);
}

static void on_option(RbLogPanel *panel)
{
    if (!panel->filling) {
        read_again(panel);
    }
}

static void on_column(GtkDropDown *menu, GParamSpec *spec, RbLogPanel *panel)
{
    (void)spec;
    if (panel->filling) {
        return;
    }
    const int column = GPOINTER_TO_INT(g_object_get_data(G_OBJECT(menu), "column"));
    const char *token =
        rb_words_token(&rb_log_field_words, (int)gtk_drop_down_get_selected(menu));
    g_ptr_array_add(panel->ask->maps, g_strdup_printf("%d=%s", column, token));
    read_again(panel);
}

static GtkWidget *menu_of(const RbWords *words)
{
    GtkStringList *list = gtk_string_list_new(NULL);
    for (int i = 0; i < words->n; i++) {
        gtk_string_list_append(list, _(words->words[i].label));
    }
    return gtk_drop_down_new(G_LIST_MODEL(list), NULL);
}

static GtkWidget *text_of(const char *text, bool muted)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0.0F);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    gtk_label_set_max_width_chars(GTK_LABEL(label), 18);
    if (muted) {
        gtk_widget_add_css_class(label, "muted");
    }
    return label;
}

static void show_heads(RbLogPanel *panel)
{
    const char *const heads[] = { _("Column"), _("Read as"), _("First play"),
                                  _("Second play"), _("Third play") };
    GtkWidget *child = NULL;
    while ((child = gtk_widget_get_first_child(GTK_WIDGET(panel->columns))) != NULL) {
        gtk_grid_remove(panel->columns, child);
    }
    for (int i = 0; i < (int)G_N_ELEMENTS(heads); i++) {
        gtk_grid_attach(panel->columns, text_of(heads[i], true), i, 0, 1, 1);
    }
}

static void show_column(RbLogPanel *panel, const RbLogReading *reading, guint i)
{
    const char *head = reading->table->heads->pdata[i];
    GtkWidget *menu = menu_of(&rb_log_field_words);
    g_autofree char *name = g_strdup_printf(_("Column %s is read as"), head);
    gtk_drop_down_set_selected(GTK_DROP_DOWN(menu), (guint)reading->fields[i]);
    g_object_set_data(G_OBJECT(menu), "column", GINT_TO_POINTER((int)i + 1));
    gtk_accessible_update_property(GTK_ACCESSIBLE(menu), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   name, -1);
    if (reading->by_values[i]) {
        gtk_widget_set_tooltip_text(menu, _("Told by its values"));
    }
    g_signal_connect(menu, "notify::selected", G_CALLBACK(on_column), panel);
    gtk_grid_attach(panel->columns, text_of(head, false), 0, (int)i + 1, 1, 1);
    gtk_grid_attach(panel->columns, menu, 1, (int)i + 1, 1, 1);
    for (guint row = 0; row < 3 && row < reading->table->lines->len; row++) {
        const RbLogLine *line = reading->table->lines->pdata[row];
        gtk_grid_attach(panel->columns, text_of(line->cells[i], true), 2 + (int)row,
                        (int)i + 1, 1, 1);
    }
}

static char *notes_of(const RbLogPlan *plan)
{
    GString *text = g_string_new(NULL);
    g_autofree char *yards = rb_log_yards_text(plan->reading);
    for (guint i = 0; i < plan->reading->questions->len; i++) {
        const RbLogQuestion *question = plan->reading->questions->pdata[i];
        g_string_append_printf(text, _("Asked: %s Choose it in the menus.\n"),
                               question->asked);
    }
    if (yards != NULL) {
        g_string_append_printf(text, "%s\n", yards);
    }
    for (guint i = 0; i < plan->reading->rows->len; i++) {
        const RbLogRow *row = plan->reading->rows->pdata[i];
        if (row->trouble != NULL) {
            g_string_append_printf(text, _("Line %d is left out: %s.\n"), row->line,
                                   row->trouble);
        }
    }
    for (guint i = 0; i < plan->remarks->len; i++) {
        g_string_append_printf(text, "%s\n", (const char *)plan->remarks->pdata[i]);
    }
    return g_string_free(text, FALSE);
}

static void on_log(RbLogPanel *panel)
{
    const RbLogPlan *plan = rb_session_get_log_plan(panel->session);
    const char *trouble = rb_session_get_log_trouble(panel->session);
    panel->filling = true;
    show_heads(panel);
    gtk_widget_set_sensitive(panel->foot.accept, false);
    if (plan == NULL) {
        gtk_label_set_text(panel->notes, trouble != NULL ? trouble : "");
        gtk_label_set_text(panel->foot.summary, "");
        panel->filling = false;
        return;
    }
    for (guint i = 0; i < plan->reading->table->heads->len; i++) {
        show_column(panel, plan->reading, i);
    }
    const bool asks = plan->reading->questions->len > 0;
    const int work = plan->added + (int)plan->changed->len;
    g_autofree char *notes = notes_of(plan);
    g_autofree char *summary = rb_log_plan_text(plan);
    gtk_label_set_text(panel->notes, notes);
    gtk_label_set_text(panel->foot.summary,
                       asks ? _("Answer what is asked first.") : summary);
    gtk_widget_set_sensitive(panel->foot.accept, !asks && work > 0);
    panel->filling = false;
}

static void on_accept(RbLogPanel *panel)
{
    panel->accepted = true;
    gtk_widget_set_sensitive(panel->foot.accept, false);
    rb_session_apply_log(panel->session, panel->ask);
}

/* What came of it is said here too. */
static void on_said(RbLogPanel *panel, const char *sentence)
{
    if (panel->accepted) {
        gtk_label_set_text(panel->foot.summary, sentence);
    }
}

static void rb_log_panel_dispose(GObject *object)
{
    RbLogPanel *panel = RB_LOG_PANEL(object);
    g_clear_object(&panel->session);
    g_clear_pointer(&panel->ask, rb_log_ask_free);
    G_OBJECT_CLASS(rb_log_panel_parent_class)->dispose(object);
}

static void rb_log_panel_class_init(RbLogPanelClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_log_panel_dispose;
    rb_task_window_class_init(GTK_WIDGET_CLASS(klass));
}

static void name(GtkWidget *widget, const char *text)
{
    gtk_accessible_update_property(GTK_ACCESSIBLE(widget), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   text, -1);
    gtk_widget_set_tooltip_text(widget, text);
}

static GtkWidget *make_file_row(RbLogPanel *panel)
{
    GtkWidget *row =
        rb_path_row_new(_("File of the play log"), _("A CSV or TSV file; Enter reads it"),
                        _("Choose a play log"), GTK_FILE_CHOOSER_ACTION_OPEN);
    panel->path = RB_PATH_ROW(row);
    g_signal_connect_swapped(row, "chosen", G_CALLBACK(on_path), panel);
    return row;
}

static GtkWidget *make_option_row(RbLogPanel *panel)
{
    GtkWidget *row = rb_wrap_new();
    GtkWidget *yards = menu_of(&rb_log_yards_words);
    GtkWidget *align = menu_of(&rb_log_align_words);
    GtkWidget *us = gtk_entry_new();
    panel->yards = GTK_DROP_DOWN(yards);
    panel->align = GTK_DROP_DOWN(align);
    panel->us = GTK_EDITABLE(us);
    name(yards, _("How yard lines are written"));
    name(align, _("How plays go to the game's snaps"));
    name(us, _("What the log calls our team"));
    gtk_entry_set_placeholder_text(GTK_ENTRY(us), _("Our team in the log"));
    g_signal_connect_swapped(yards, "notify::selected", G_CALLBACK(on_option), panel);
    g_signal_connect_swapped(align, "notify::selected", G_CALLBACK(on_option), panel);
    g_signal_connect_swapped(us, "activate", G_CALLBACK(on_option), panel);
    GtkWidget *const parts[] = { text_of(_("Yard lines"), true), yards,
                                 text_of(_("Snaps"), true), align, us };
    for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) {
        rb_wrap_add(RB_WRAP(row), parts[i]);
    }
    return row;
}

static GtkWidget *scrolled(GtkWidget *child, int height)
{
    GtkWidget *scroll = gtk_scrolled_window_new();
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scroll), child);
    gtk_scrolled_window_set_min_content_height(GTK_SCROLLED_WINDOW(scroll), height);
    return scroll;
}

static void rb_log_panel_init(RbLogPanel *panel)
{
    rb_help_mark(GTK_WIDGET(panel), "first-game.html");
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 10);
    GtkWidget *grid = gtk_grid_new();
    panel->ask = g_new0(RbLogAsk, 1);
    panel->ask->maps = g_ptr_array_new_with_free_func(g_free);
    panel->columns = GTK_GRID(grid);
    panel->notes = GTK_LABEL(gtk_label_new(_(
        "The plays of the game from a table: what each column holds is found out, shown "
        "here, and nothing is changed before you accept it.")));
    gtk_label_set_wrap(panel->notes, true);
    gtk_label_set_xalign(panel->notes, 0.0F);
    gtk_label_set_yalign(panel->notes, 0.0F);
    gtk_grid_set_column_spacing(panel->columns, 14);
    gtk_grid_set_row_spacing(panel->columns, 4);
    GtkWidget *columns = scrolled(grid, 240);
    gtk_widget_set_vexpand(columns, true);
    gtk_box_append(GTK_BOX(box), make_file_row(panel));
    gtk_box_append(GTK_BOX(box), columns);
    gtk_box_append(GTK_BOX(box), make_option_row(panel));
    gtk_box_append(GTK_BOX(box), scrolled(GTK_WIDGET(panel->notes), 130));
    gtk_box_append(GTK_BOX(box),
                   rb_task_foot_new(&panel->foot, NULL, G_CALLBACK(on_accept), panel));
    rb_task_window_fill(GTK_WINDOW(panel), box, _("Play log"), 900, 640);
}

void rb_log_panel_open(GtkWindow *parent, RbSession *session)
{
    RbLogPanel *panel = RB_LOG_PANEL(rb_task_window_new(RB_TYPE_LOG_PANEL, parent));
    panel->session = g_object_ref(session);
    g_signal_connect_object(session, "log", G_CALLBACK(on_log), panel, G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "said", G_CALLBACK(on_said), panel,
                            G_CONNECT_SWAPPED);
    gtk_window_present(GTK_WINDOW(panel));
}
