/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "compare-view.h"

#include <glib/gi18n.h>

#include "filter-bar.h"
#include "help.h"
#include "mirror-ladder.h"

struct _RbCompareView {
    GtkWidget parent_instance;
    GtkWidget *box;      /* owned child; what follows is in it */
    RbFilterBar *filter; /* of the second side */
    GtkLabel *warning;
    GtkGrid *grid;
    RbMirrorLadder *mirror;
    RbSession *session; /* owned, nullable */
};

G_DEFINE_FINAL_TYPE(RbCompareView, rb_compare_view, GTK_TYPE_WIDGET)

static void add_cell(RbCompareView *view, const char *text, int column, int row,
                     const char *style)
{
    GtkWidget *label = gtk_label_new(text);
    gtk_label_set_xalign(GTK_LABEL(label), column == 0 ? 0 : 1);
    gtk_widget_add_css_class(label, "figures");
    if (style != NULL) {
        gtk_widget_add_css_class(label, style);
    }
    gtk_grid_attach(view->grid, label, column, row, 1, 1);
}

static void fill_heads(RbCompareView *view)
{
    const char *const heads[] = { _("Measure"),    _("First"), _("Second"),
                                  _("Difference"), _("80 %"),  _("95 %") };
    for (int i = 0; i < (int)G_N_ELEMENTS(heads); i++) {
        add_cell(view, heads[i], i, 0, "second");
    }
}

/* A difference whose 95 % interval leaves zero out is set in bold and said so. */
static void fill_row(RbCompareView *view, RbMeasure measure, const RbCompared *compared)
{
    const RbContrast *contrast = &compared->contrasts[measure];
    g_auto(RbContrastWords) words = rb_contrast_words(compared, measure);
    const bool settled = rb_contrast_is_settled(contrast);
    const char *const cells[] = { rb_words_label(&rb_measure_words, (int)measure),
                                  words.first,
                                  words.second,
                                  words.difference,
                                  words.interval_80,
                                  words.interval_95 };
    for (int i = 0; i < (int)G_N_ELEMENTS(cells); i++) {
        add_cell(view, cells[i] != NULL ? cells[i] : "–", i, (int)measure + 1,
                 settled && i >= 3 ? "section" : NULL);
    }
    GtkWidget *head = gtk_grid_get_child_at(view->grid, 0, (int)measure + 1);
    g_autofree char *said = rb_contrast_text(compared, measure);
    gtk_accessible_update_property(GTK_ACCESSIBLE(head), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   said, -1);
    gtk_widget_set_tooltip_text(head, said);
}

static void fill_grid(RbCompareView *view, const RbCompared *compared)
{
    GtkWidget *child = NULL;
    while ((child = gtk_widget_get_first_child(GTK_WIDGET(view->grid))) != NULL) {
        gtk_grid_remove(view->grid, child);
    }
    fill_heads(view);
    for (int measure = 0; measure < RB_MEASURES; measure++) {
        fill_row(view, (RbMeasure)measure, compared);
    }
}

static void on_study(RbCompareView *view)
{
    const RbCompareAnswer *answer = rb_session_get_compared(view->session);
    const RbFilter *second = rb_session_get_second_filter(view->session);
    RbNames *names = rb_session_get_names(view->session);
    if (answer == NULL || second == NULL || names == NULL) {
        return;
    }
    rb_filter_bar_set(view->filter, names, second, answer->compared.second.dropbacks);
    fill_grid(view, &answer->compared);
    g_autofree char *said = rb_compared_text(&answer->compared, _("First"), _("Second"));
    rb_mirror_ladder_set(view->mirror, answer->compared.ladders, said);
    const char *note = _(
        "Differences in bold are not by chance alone (95 %). First is the filter above.");
    g_autofree char *text = answer->warning != NULL
                                ? g_strdup_printf("%s %s", answer->warning, note)
                                : g_strdup(note);
    gtk_label_set_text(view->warning, text);
}

static void on_filter(RbCompareView *view)
{
    rb_session_take_second_filter(view->session, rb_filter_bar_dup_filter(view->filter));
}

static void on_save(RbCompareView *view, const char *name)
{
    g_autoptr(RbFilter) filter = rb_filter_bar_dup_filter(view->filter);
    rb_session_save_filter(view->session, name, filter);
}

static void on_forget(RbCompareView *view, const char *name)
{
    rb_session_save_filter(view->session, name, NULL);
}

void rb_compare_view_set_session(RbCompareView *view, RbSession *session)
{
    g_return_if_fail(RB_IS_COMPARE_VIEW(view));
    g_return_if_fail(view->session == NULL);
    view->session = g_object_ref(session);
    g_signal_connect_object(session, "study", G_CALLBACK(on_study), view,
                            G_CONNECT_SWAPPED);
    g_signal_connect_object(session, "names", G_CALLBACK(on_study), view,
                            G_CONNECT_SWAPPED);
}

static void rb_compare_view_dispose(GObject *object)
{
    RbCompareView *view = RB_COMPARE_VIEW(object);
    g_clear_pointer(&view->box, gtk_widget_unparent);
    g_clear_object(&view->session);
    G_OBJECT_CLASS(rb_compare_view_parent_class)->dispose(object);
}

static void rb_compare_view_class_init(RbCompareViewClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_compare_view_dispose;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
}

static void set_margins(GtkWidget *widget)
{
    gtk_widget_set_margin_start(widget, 14);
    gtk_widget_set_margin_end(widget, 14);
    gtk_widget_set_margin_top(widget, 8);
    gtk_widget_set_margin_bottom(widget, 8);
}

static void rb_compare_view_init(RbCompareView *view)
{
    view->box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 0);
    gtk_widget_set_parent(view->box, GTK_WIDGET(view));
    view->filter = g_object_new(RB_TYPE_FILTER_BAR, NULL);
    rb_filter_bar_set_title(view->filter, _("Second"));
    gtk_box_append(GTK_BOX(view->box), GTK_WIDGET(view->filter));
    GtkWidget *scrolled = gtk_scrolled_window_new();
    GtkWidget *page = gtk_box_new(GTK_ORIENTATION_VERTICAL, 14);
    view->grid = GTK_GRID(gtk_grid_new());
    gtk_grid_set_column_spacing(view->grid, 22);
    gtk_grid_set_row_spacing(view->grid, 5);
    view->mirror = g_object_new(RB_TYPE_MIRROR_LADDER, NULL);
    gtk_box_append(GTK_BOX(page), GTK_WIDGET(view->grid));
    gtk_box_append(GTK_BOX(page), GTK_WIDGET(view->mirror));
    set_margins(page);
    gtk_scrolled_window_set_child(GTK_SCROLLED_WINDOW(scrolled), page);
    gtk_widget_set_vexpand(scrolled, TRUE);
    gtk_box_append(GTK_BOX(view->box), scrolled);
    view->warning = GTK_LABEL(gtk_label_new(NULL));
    gtk_label_set_xalign(view->warning, 0);
    gtk_label_set_wrap(view->warning, TRUE);
    gtk_widget_add_css_class(GTK_WIDGET(view->warning), "small");
    set_margins(GTK_WIDGET(view->warning));
    gtk_box_append(GTK_BOX(view->box), GTK_WIDGET(view->warning));
    g_signal_connect_swapped(view->filter, "changed", G_CALLBACK(on_filter), view);
    g_signal_connect_swapped(view->filter, "save", G_CALLBACK(on_save), view);
    g_signal_connect_swapped(view->filter, "forget", G_CALLBACK(on_forget), view);
    rb_help_mark(GTK_WIDGET(view), "figures.html#difference");
}
