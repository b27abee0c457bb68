/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "exchange-panel.h"

#include <glib/gi18n.h>
#include <string.h>

#include "caution.h"
#include "form.h"
#include "help.h"
#include "path-row.h"
#include "task-window.h"

struct _RbExchangePanel {
    GtkWindow parent_instance;
    RbPathRow *folder;
    GtkWidget *send;
    GtkWidget *take;
    GtkBox *laptops;
    GtkBox *disputes;
    GtkLabel *said;
    RbSession *session; /* owned */
};

G_DEFINE_FINAL_TYPE(RbExchangePanel, rb_exchange_panel, GTK_TYPE_WINDOW)

static const char *folder_of(RbExchangePanel *panel)
{
    return rb_path_row_get_path(panel->folder);
}

static void read_again(RbExchangePanel *panel)
{
    rb_session_want_exchange(panel->session, folder_of(panel));
}

static void empty(GtkBox *box)
{
    GtkWidget *child = NULL;
    while ((child = gtk_widget_get_first_child(GTK_WIDGET(box))) != NULL) {
        gtk_box_remove(box, child);
    }
}

static GtkWidget *line(const char *text, bool muted)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), 0.0F);
    gtk_label_set_wrap(GTK_LABEL(label), true);
    if (muted) {
        gtk_widget_add_css_class(label, "muted");
    }
    return label;
}

static char *laptop_text(const RbExchangeLaptop *laptop)
{
    const char *who = *laptop->who != '\0' ? laptop->who : _("A new laptop");
    const int64_t more = laptop->mine ? laptop->here - laptop->in_folder
                                      : laptop->in_folder - laptop->here;
    if (more <= 0) {
        return g_strdup_printf(laptop->mine ? _("%s (this laptop): all is sent.")
                                            : _("%s: all is taken."),
                               who);
    }
    return laptop->mine
               ? g_strdup_printf(ngettext("%s (this laptop): %d change to send.",
                                          "%s (this laptop): %d changes to send.",
                                          (gulong)more),
                                 who, (int)more)
               : g_strdup_printf(ngettext("%s: %d change to take.",
                                          "%s: %d changes to take.", (gulong)more),
                                 who, (int)more);
}

static void show_laptops(RbExchangePanel *panel, const RbExchangeAnswer *answer)
{
    empty(panel->laptops);
    if (answer->trouble != NULL) {
        gtk_box_append(panel->laptops, line(answer->trouble, false));
    }
    for (guint i = 0; answer->laptops != NULL && i < answer->laptops->len; i++) {
        g_autofree char *text = laptop_text(answer->laptops->pdata[i]);
        gtk_box_append(panel->laptops, line(text, false));
    }
    const bool ready = answer->laptops != NULL;
    gtk_widget_set_sensitive(panel->send, ready);
    gtk_widget_set_sensitive(panel->take, ready);
}

static void on_value(GtkButton *button, RbExchangePanel *panel)
{
    RbDisputeAsk *ask = g_new0(RbDisputeAsk, 1);
    ask->what = g_strdup(g_object_get_data(G_OBJECT(button), "what"));
    ask->text = g_strdup(g_object_get_data(G_OBJECT(button), "text"));
    rb_session_change(panel->session, rb_errand_settle_dispute, ask, rb_dispute_ask_free);
}

static void show_dispute(RbExchangePanel *panel, const RbDispute *dispute)
{
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 6);
    GtkWidget *what = line(dispute->what, false);
    gtk_widget_set_hexpand(what, true);
    gtk_box_append(GTK_BOX(row), what);
    for (guint i = 0; i < dispute->values->len; i++) {
        const RbDisputeValue *value = dispute->values->pdata[i];
        g_autofree char *label =
            g_strdup_printf(_("%s, says %s"), value->text, value->who);
        GtkWidget *button = gtk_button_new_with_label(label);
        g_object_set_data_full(G_OBJECT(button), "what", g_strdup(dispute->what), g_free);
        g_object_set_data_full(G_OBJECT(button), "text", g_strdup(value->text), g_free);
        g_signal_connect(button, "clicked", G_CALLBACK(on_value), panel);
        gtk_box_append(GTK_BOX(row), button);
    }
    gtk_box_append(panel->disputes, row);
}

static void on_exchange(RbExchangePanel *panel)
{
    const RbExchangeAnswer *answer = rb_session_get_exchange(panel->session);
    show_laptops(panel, answer);
    empty(panel->disputes);
    if (answer->disputes->len == 0) {
        gtk_box_append(
            panel->disputes,
            line(_("No two laptops gave different values to one fact."), true));
    }
    for (guint i = 0; i < answer->disputes->len; i++) {
        show_dispute(panel, answer->disputes->pdata[i]);
    }
}

static void on_send(RbExchangePanel *panel)
{
    rb_session_change(panel->session, rb_errand_send, g_strdup(folder_of(panel)), g_free);
}

static void on_take(RbExchangePanel *panel)
{
    rb_session_change(panel->session, rb_errand_take, g_strdup(folder_of(panel)), g_free);
}

static void on_said(RbExchangePanel *panel, const char *sentence)
{
    gtk_label_set_text(panel->said, sentence);
    read_again(panel);
}

static void rb_exchange_panel_dispose(GObject *object)
{
    RbExchangePanel *panel = RB_EXCHANGE_PANEL(object);
    g_clear_object(&panel->session);
    G_OBJECT_CLASS(rb_exchange_panel_parent_class)->dispose(object);
}

static void rb_exchange_panel_class_init(RbExchangePanelClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_exchange_panel_dispose;
    gtk_widget_class_add_binding_action(GTK_WIDGET_CLASS(klass), GDK_KEY_Escape, 0,
                                        "window.close", NULL);
}

static GtkWidget *add_button(RbExchangePanel *panel, GtkWidget *row, const char *label,
                             GCallback callback)
{
    GtkWidget *button = rb_button_new(label);
    g_signal_connect_swapped(button, "clicked", callback, panel);
    gtk_box_append(GTK_BOX(row), button);
    return button;
}

static GtkBox *add_list(GtkWidget *box, const char *title)
{
    GtkWidget *list = gtk_box_new(GTK_ORIENTATION_VERTICAL, 4);
    GtkWidget *scroll = gtk_scrolled_window_new();
    gtk_box_append(GTK_BOX(box), line(title, true));
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scroll), list);
    gtk_widget_set_vexpand(scroll, true);
    gtk_box_append(GTK_BOX(box), scroll);
    return GTK_BOX(list);
}

static void rb_exchange_panel_init(RbExchangePanel *panel)
{
    rb_help_mark(GTK_WIDGET(panel), "exchange.html");
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 10);
    GtkWidget *row = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 6);
    GtkWidget *folder = rb_path_row_new(
        _("The folder that the staff shares"), _("The folder that the staff shares"),
        _("The folder that the staff shares"), GTK_FILE_CHOOSER_ACTION_SELECT_FOLDER);
    panel->folder = RB_PATH_ROW(folder);
    gtk_widget_set_hexpand(folder, true);
    g_signal_connect_swapped(folder, "chosen", G_CALLBACK(read_again), panel);
    gtk_box_append(GTK_BOX(row), folder);
    panel->send = add_button(panel, row, _("_Send mine"), G_CALLBACK(on_send));
    panel->take = add_button(panel, row, _("_Take theirs"), G_CALLBACK(on_take));
    gtk_widget_set_sensitive(panel->send, false);
    gtk_widget_set_sensitive(panel->take, false);
    gtk_box_append(GTK_BOX(box), row);
    panel->laptops = add_list(box, _("Laptops of the staff"));
    panel->disputes = add_list(
        box, _("One fact, two values: choose which one holds. The other stays in "
               "the history."));
    gtk_box_append(
        GTK_BOX(box),
        rb_caution_new(
            _("What is sent holds names of players, some of them minors, and the "
              "staff’s notes: only into a folder that nobody else can read."),
            "privacy.html#names"));
    panel->said = GTK_LABEL(line("", false));
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(panel->said));
    rb_task_window_fill(GTK_WINDOW(panel), box, _("Exchange with the staff"), 820, 520);
}

void rb_exchange_panel_open(GtkWindow *parent, RbSession *session)
{
    RbExchangePanel *panel =
        g_object_new(RB_TYPE_EXCHANGE_PANEL, "transient-for", parent, NULL);
    gtk_window_set_destroy_with_parent(GTK_WINDOW(panel), true);
    panel->session = g_object_ref(session);
    g_signal_connect_object(session, "exchange", G_CALLBACK(on_exchange), panel,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "said", G_CALLBACK(on_said), panel,
                            G_CONNECT_SWAPPED);
    gtk_window_present(GTK_WINDOW(panel));
    read_again(panel);
}
