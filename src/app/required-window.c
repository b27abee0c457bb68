/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "required-window.h"

#include <glib/gi18n.h>

#include "rb/work/rail.h"

#include "form.h"
#include "help.h"
#include "rail-errands.h"

struct _RbRequiredWindow {
    GtkWindow parent_instance;
    GtkWidget *boxes; /* all of them, below headings */
    GtkLabel *said;

    RbSession *session; /* owned */
    bool filling;       /* the window itself sets its boxes */
};

G_DEFINE_FINAL_TYPE(RbRequiredWindow, rb_required_window, GTK_TYPE_WINDOW)

/* One field asked for or no longer; NULL: the list as delivered. */
typedef struct {
    const RbTaggable *field;
    bool required;
} RequiredAsk;

static void *set_errand(RbStoreSide *side, void *data, RbCancel *cancel,
                        RbProgress *progress, GError **error)
{
    (void)cancel;
    (void)progress;
    const RequiredAsk *ask = data;
    if (!rb_store_side_has_library(side, error)) {
        return NULL;
    }
    g_autofree char *now = rb_library_get_required(side->library, error);
    g_autofree char *list = now == NULL ? NULL
                            : ask->field != NULL
                                ? rb_required_with(now, ask->field, ask->required)
                                : g_strdup(rb_required_default);
    char *words = NULL;
    if (list == NULL || !rb_library_set_required(side->library, list, &words, error)) {
        return NULL;
    }
    rb_library_has_changed(side->library); /* the window reads again anyway */
    return rb_words_answer_new(words);
}

static void send(RbRequiredWindow *window, const RbTaggable *field, bool required)
{
    RequiredAsk *ask = g_new0(RequiredAsk, 1);
    ask->field = field;
    ask->required = required;
    rb_session_change(window->session, set_errand, ask, g_free);
    rb_session_ask_rail_seed(window->session); /* read after the change: one thread */
}

static void on_box(GtkCheckButton *box, RbRequiredWindow *window)
{
    if (!window->filling) {
        send(window, g_object_get_data(G_OBJECT(box), "field"),
             gtk_check_button_get_active(box));
    }
}

static void on_default(RbRequiredWindow *window)
{
    send(window, NULL, false);
}

static void on_seed(RbRequiredWindow *window, RbRailSeed *seed)
{
    int count = 0;
    window->filling = true;
    for (GtkWidget *child = gtk_widget_get_first_child(window->boxes); child != NULL;
         child = gtk_widget_get_next_sibling(child)) {
        const RbTaggable *field = g_object_get_data(G_OBJECT(child), "field");
        if (field != NULL) {
            const bool is = rb_required_has(seed->required, field);
            gtk_check_button_set_active(GTK_CHECK_BUTTON(child), is);
            count += is;
        }
    }
    window->filling = false;
    if (!gtk_widget_get_sensitive(window->boxes)) {
        gtk_widget_set_sensitive(window->boxes, TRUE);
        gtk_widget_child_focus(window->boxes, GTK_DIR_TAB_FORWARD);
    }
    g_autofree char *text = g_strdup_printf(
        ngettext("%d tag is required of every dropback. The rail asks it, and “What is "
                 "still open” lists where it is missing.",
                 "%d tags are required of every dropback. The rail asks them, and “What "
                 "is still open” lists where they are missing.",
                 (gulong)count),
        count);
    gtk_label_set_text(window->said, text);
}

static const char *group_title(RbTagGroup group)
{
    switch (group) {
    case RB_GROUP_SITUATION:
        return _("Situation");
    case RB_GROUP_OFFENSE:
        return _("Offense and call");
    case RB_GROUP_SHOWN:
        return _("Picture shown");
    case RB_GROUP_PLAYED:
        return _("Picture played");
    case RB_GROUP_READS:
        return _("Read states");
    case RB_GROUP_OUTCOME:
        return _("Decision and result");
    }
    return "";
}

static void add_head(RbRequiredWindow *window, RbTagGroup group)
{
    GtkWidget *head = gtk_label_new(group_title(group));
    gtk_label_set_xalign(GTK_LABEL(head), 0);
    gtk_widget_add_css_class(head, "section");
    gtk_widget_set_margin_top(head, 10);
    gtk_box_append(GTK_BOX(window->boxes), head);
}

/* In the order of the tags, which is that of their groups. */
static void add_boxes(RbRequiredWindow *window)
{
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        if (i == 0 || fields[i].group != fields[i - 1].group) {
            add_head(window, fields[i].group);
        }
        GtkWidget *box = gtk_check_button_new_with_label(_(fields[i].label));
        g_object_set_data(G_OBJECT(box), "field", (gpointer)&fields[i]);
        g_signal_connect(box, "toggled", G_CALLBACK(on_box), window);
        gtk_box_append(GTK_BOX(window->boxes), box);
    }
}

static void rb_required_window_dispose(GObject *object)
{
    g_clear_object(&RB_REQUIRED_WINDOW(object)->session);
    G_OBJECT_CLASS(rb_required_window_parent_class)->dispose(object);
}

static void rb_required_window_class_init(RbRequiredWindowClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_required_window_dispose;
    gtk_widget_class_add_binding_action(GTK_WIDGET_CLASS(klass), GDK_KEY_Escape, 0,
                                        "window.close", NULL);
}

static void rb_required_window_init(RbRequiredWindow *window)
{
    rb_help_mark(GTK_WIDGET(window), "tagging.html#rail");
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 8);
    GtkWidget *scroll = gtk_scrolled_window_new();
    GtkWidget *standard = rb_button_new(_("As _delivered"));
    window->boxes = gtk_box_new(GTK_ORIENTATION_VERTICAL, 2);
    window->said = GTK_LABEL(gtk_label_new(_("Reading the list")));
    gtk_label_set_wrap(window->said, TRUE);
    gtk_label_set_xalign(window->said, 0);
    gtk_label_set_max_width_chars(window->said, 40);
    gtk_widget_add_css_class(GTK_WIDGET(window->said), "second");
    gtk_widget_set_margin_start(window->boxes, 8);
    gtk_widget_set_margin_end(window->boxes, 8);
    gtk_widget_set_sensitive(window->boxes, FALSE);
    add_boxes(window);
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(scroll), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scroll), window->boxes);
    gtk_widget_set_vexpand(scroll, TRUE);
    gtk_widget_set_halign(standard, GTK_ALIGN_END);
    g_signal_connect_swapped(standard, "clicked", G_CALLBACK(on_default), window);
    gtk_box_append(GTK_BOX(box), GTK_WIDGET(window->said));
    gtk_box_append(GTK_BOX(box), scroll);
    gtk_box_append(GTK_BOX(box), standard);
    gtk_widget_set_margin_start(box, 14);
    gtk_widget_set_margin_end(box, 14);
    gtk_widget_set_margin_top(box, 12);
    gtk_widget_set_margin_bottom(box, 12);
    gtk_window_set_child(GTK_WINDOW(window), box);
    gtk_window_set_title(GTK_WINDOW(window), _("Required tags"));
    gtk_window_set_default_size(GTK_WINDOW(window), 400, 620);
    gtk_widget_add_css_class(GTK_WIDGET(window), "readbreak");
}

void rb_required_window_open(GtkWindow *parent, RbSession *session)
{
    RbRequiredWindow *window = g_object_new(RB_TYPE_REQUIRED_WINDOW, "transient-for",
                                            parent, "destroy-with-parent", TRUE, NULL);
    window->session = g_object_ref(session);
    g_signal_connect_object(session, "rail-seed", G_CALLBACK(on_seed), window,
                            G_CONNECT_SWAPPED);
    rb_session_ask_rail_seed(session);
    gtk_window_present(GTK_WINDOW(window));
}
