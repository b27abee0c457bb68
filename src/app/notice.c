/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "notice.h"

struct _RbNotice {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *box;
    GtkLabel *heading;
    GtkLabel *sentence;
    GtkProgressBar *bar;
    GtkButton *button;
    GtkButton *other;
};

G_DEFINE_FINAL_TYPE(RbNotice, rb_notice, GTK_TYPE_WIDGET)

/* The target goes first: GTK 4.8 complains about an action that is named before it. */
static void set_action(GtkActionable *button, const char *detailed)
{
    g_autofree char *name = NULL;
    g_autoptr(GVariant) target = NULL;
    g_return_if_fail(g_action_parse_detailed_name(detailed, &name, &target, NULL));
    gtk_actionable_set_action_name(button, NULL);
    gtk_actionable_set_action_target_value(button, target);
    gtk_actionable_set_action_name(button, name);
}

void rb_notice_set(RbNotice *notice, const char *heading, const char *sentence,
                   const char *label, const char *action)
{
    g_return_if_fail(RB_IS_NOTICE(notice));
    gtk_label_set_text(notice->heading, heading);
    gtk_label_set_text(notice->sentence, sentence != NULL ? sentence : "");
    gtk_widget_set_visible(GTK_WIDGET(notice->sentence), sentence != NULL);
    gtk_widget_set_visible(GTK_WIDGET(notice->bar), FALSE);
    gtk_widget_set_visible(GTK_WIDGET(notice->button), label != NULL);
    gtk_widget_set_visible(GTK_WIDGET(notice->other), FALSE);
    if (label != NULL) {
        gtk_button_set_label(notice->button, label);
        set_action(GTK_ACTIONABLE(notice->button), action);
    }
}

void rb_notice_add_other(RbNotice *notice, const char *label, const char *action)
{
    g_return_if_fail(RB_IS_NOTICE(notice));
    gtk_button_set_label(notice->other, label);
    set_action(GTK_ACTIONABLE(notice->other), action);
    gtk_widget_set_visible(GTK_WIDGET(notice->other), TRUE);
}

void rb_notice_set_progress(RbNotice *notice, double fraction, const char *what)
{
    g_return_if_fail(RB_IS_NOTICE(notice));
    gtk_widget_set_visible(GTK_WIDGET(notice->bar), TRUE);
    /* Of an unknown share the words tell: a bar that swings would move by itself. */
    gtk_progress_bar_set_fraction(notice->bar, CLAMP(fraction, 0, 1));
    gtk_progress_bar_set_show_text(notice->bar, what != NULL);
    gtk_progress_bar_set_text(notice->bar, what);
}

static void rb_notice_dispose(GObject *object)
{
    RbNotice *notice = RB_NOTICE(object);
    gtk_widget_dispose_template(GTK_WIDGET(notice), RB_TYPE_NOTICE);
    G_OBJECT_CLASS(rb_notice_parent_class)->dispose(object);
}

static void rb_notice_class_init(RbNoticeClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_notice_dispose;
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/notice.ui");
    gtk_widget_class_bind_template_child(widget_class, RbNotice, box);
    gtk_widget_class_bind_template_child(widget_class, RbNotice, heading);
    gtk_widget_class_bind_template_child(widget_class, RbNotice, sentence);
    gtk_widget_class_bind_template_child(widget_class, RbNotice, bar);
    gtk_widget_class_bind_template_child(widget_class, RbNotice, button);
    gtk_widget_class_bind_template_child(widget_class, RbNotice, other);
}

static void rb_notice_init(RbNotice *notice)
{
    gtk_widget_init_template(GTK_WIDGET(notice));
}
