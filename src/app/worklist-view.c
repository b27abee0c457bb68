/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "worklist-view.h"

#include <glib/gi18n.h>

#include "figure-list.h"
#include "help.h"

struct _RbWorklistView {
    GtkWidget parent_instance;
    GtkWidget *box; /* owned child; what follows is in it */
    GtkLabel *head;
    RbFigureList *list;
    RbSession *session; /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbWorklistView, rb_worklist_view, GTK_TYPE_WIDGET)

static guint opened;

/* At the right stands what the order comes from: points beyond the norm, and how often the same
 * was found again. */
static RbFigure *figure_of(const RbWorkItem *item)
{
    return rb_figure_new(item->sentence,
                         g_strdup_printf(_("%.1f points × %.0f %%"), item->found.excess,
                                         100.0 * item->found.share),
                         NULL);
}

static void on_study(RbWorklistView *view)
{
    const RbWorklistAnswer *answer = rb_session_get_worklist(view->session);
    if (answer == NULL) {
        return;
    }
    GPtrArray *figures = g_ptr_array_new_with_free_func((GDestroyNotify)rb_figure_free);
    for (guint i = 0; i < answer->items->len; i++) {
        g_ptr_array_add(figures, figure_of(answer->items->pdata[i]));
    }
    rb_figure_list_take(view->list, figures);
    gtk_label_set_text(
        view->head,
        answer->items->len == 0
            ? answer->empty
            : _("Pairings that cost more than our norm, by points lost times how often the "
                "same break point is found again. Enter goes to its ladder."));
}

static void on_chosen(RbWorklistView *view, guint index)
{
    const RbWorklistAnswer *answer = rb_session_get_worklist(view->session);
    if (answer != NULL && index < answer->items->len) {
        const RbWorkItem *item = answer->items->pdata[index];
        rb_session_set_pairing(view->session, item->concept, item->coverage);
    }
}

static void on_opened(RbWorklistView *view)
{
    g_signal_emit(view, opened, 0);
}

void rb_worklist_view_set_session(RbWorklistView *view, RbSession *session)
{
    g_return_if_fail(RB_IS_WORKLIST_VIEW(view));
    g_return_if_fail(view->session == NULL);
    view->session = g_object_ref(session);
    g_signal_connect_object(session, "study", G_CALLBACK(on_study), view,
                            G_CONNECT_SWAPPED);
}

static gboolean rb_worklist_view_grab_focus(GtkWidget *widget)
{
    return gtk_widget_child_focus(GTK_WIDGET(RB_WORKLIST_VIEW(widget)->list),
                                  GTK_DIR_TAB_FORWARD);
}

static void rb_worklist_view_dispose(GObject *object)
{
    RbWorklistView *view = RB_WORKLIST_VIEW(object);
    g_clear_pointer(&view->box, gtk_widget_unparent);
    g_clear_object(&view->session);
    G_OBJECT_CLASS(rb_worklist_view_parent_class)->dispose(object);
}

static void rb_worklist_view_class_init(RbWorklistViewClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_worklist_view_dispose;
    widget_class->grab_focus = rb_worklist_view_grab_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    opened = g_signal_new("opened", RB_TYPE_WORKLIST_VIEW, G_SIGNAL_RUN_LAST, 0, NULL,
                          NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_worklist_view_init(RbWorklistView *view)
{
    view->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 0);
    gtk_widget_set_parent(view->box, GTK_WIDGET(view));
    view->head = GTK_LABEL(gtk_label_new(_("Looking for break points…")));
    gtk_label_set_xalign(view->head, 0);
    gtk_label_set_wrap(view->head, TRUE);
    gtk_widget_add_css_class(GTK_WIDGET(view->head), "list-head");
    view->list = g_object_new(RB_TYPE_FIGURE_LIST, NULL);
    rb_figure_list_set_title(view->list, _("What to work on"));
    GtkWidget *scrolled = gtk_scrolled_window_new();
    gtk_scrolled_window_set_policy(GTK_SCROLLED_WINDOW(scrolled), GTK_POLICY_NEVER,
                                   GTK_POLICY_AUTOMATIC);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scrolled), GTK_WIDGET(view->list));
    gtk_widget_set_vexpand(scrolled, TRUE);
    gtk_box_append(GTK_BOX(view->box), GTK_WIDGET(view->head));
    gtk_box_append(GTK_BOX(view->box), scrolled);
    g_signal_connect_swapped(view->list, "chosen", G_CALLBACK(on_chosen), view);
    g_signal_connect_swapped(view->list, "opened", G_CALLBACK(on_opened), view);
    rb_help_mark(GTK_WIDGET(view), "figures.html#worth");
}
