/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "window.h"

#include <glib/gi18n.h>

#include "notice.h"

struct _RbWindow {
    GtkApplicationWindow parent_instance;
    /* template children */
    GtkStack *stack;
    GtkLabel *who;
    GtkLabel *said;
};

G_DEFINE_FINAL_TYPE(RbWindow, rb_window, GTK_TYPE_APPLICATION_WINDOW)

static void add_page(RbWindow *window, const char *desk, const char *heading,
                     const char *sentence)
{
    GtkWidget *notice = g_object_new(RB_TYPE_NOTICE, NULL);
    rb_notice_set(RB_NOTICE(notice), heading, sentence, NULL, NULL);
    gtk_stack_add_named(window->stack, notice, desk);
}

static void on_desk(GSimpleAction *action, GVariant *value, gpointer data)
{
    RbWindow *window = data;
    const char *desk = g_variant_get_string(value, NULL);
    if (gtk_stack_get_child_by_name(window->stack, desk) == NULL) {
        return;
    }
    gtk_stack_set_visible_child_name(window->stack, desk);
    g_simple_action_set_state(action, value);
}

void rb_window_show_desk(RbWindow *window, const char *desk)
{
    g_return_if_fail(RB_IS_WINDOW(window));
    g_action_group_activate_action(G_ACTION_GROUP(window), "desk",
                                   g_variant_new_string(desk));
}

const char *rb_window_get_desk(RbWindow *window)
{
    g_return_val_if_fail(RB_IS_WINDOW(window), NULL);
    return gtk_stack_get_visible_child_name(window->stack);
}

void rb_window_say(RbWindow *window, const char *sentence)
{
    g_return_if_fail(RB_IS_WINDOW(window));
    gtk_label_set_text(window->said, sentence);
}

RbWindow *rb_window_new(RbApplication *application)
{
    return g_object_new(RB_TYPE_WINDOW, "application", application, NULL);
}

static void rb_window_class_init(RbWindowClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/window.ui");
    gtk_widget_class_bind_template_child(widget_class, RbWindow, stack);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, who);
    gtk_widget_class_bind_template_child(widget_class, RbWindow, said);
}

static void rb_window_init(RbWindow *window)
{
    static const GActionEntry actions[] = {
        { .name = "desk",
          .parameter_type = "s",
          .state = "'chart'",
          .change_state = on_desk },
    };
    gtk_widget_init_template(GTK_WIDGET(window));
    g_action_map_add_action_entries(G_ACTION_MAP(window), actions, G_N_ELEMENTS(actions),
                                    window);
    add_page(window, "chart", _("Chart"),
             _("The film of a snap, its tags and its verdict."));
    add_page(window, "playbook", _("Playbook"),
             _("The concepts of this library, with their reads and rules."));
    add_page(window, "pairings", _("Pairings"),
             _("Each concept against each coverage, and where it breaks."));
    add_page(window, "quarterback", _("Quarterback"),
             _("One quarterback's decisions, his clock and his errors will be here. "
               "Until then, his snaps are on the Pairings desk."));
    add_page(
        window, "cut-ups", _("Cut-ups"),
        _("Lists of snaps to watch and to export will be here. Until then, the snaps "
          "behind every figure of the Pairings desk open on their film."));
}
