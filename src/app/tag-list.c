/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "tag-list.h"

#include <glib/gi18n.h>

#include "answer-popover.h"
#include "tag-row.h"

struct _RbTagList {
    GtkWidget parent_instance;
    /* template children */
    GtkWidget *scrolled;
    GtkListBox *list;

    RbAnswerPopover *popover; /* child of this widget */
    const RbSheet *sheet;     /* borrowed, nullable */
    RbSnapId snap;            /* of the sheet; 0 none */
    RbTagRow *asked;          /* row whose choices are open; borrowed */
};

G_DEFINE_FINAL_TYPE(RbTagList, rb_tag_list, GTK_TYPE_WIDGET)

enum { ANSWERED, N_SIGNALS };
static guint signals[N_SIGNALS];

static const char *group_name(RbTagGroup group)
{
    switch (group) {
    case RB_GROUP_SITUATION:
        return _("Situation");
    case RB_GROUP_OFFENSE:
        return _("Offense");
    case RB_GROUP_SHOWN:
        return _("Shown at the snap");
    case RB_GROUP_PLAYED:
        return _("Played after it");
    case RB_GROUP_READS:
        return _("Reads and ball");
    case RB_GROUP_OUTCOME:
        return _("Outcome");
    }
    return "";
}

static void add_header(GtkListBoxRow *row, GtkListBoxRow *before, gpointer data)
{
    (void)data;
    const RbTagGroup group = rb_tag_row_get_field(RB_TAG_ROW(row))->group;
    if (before != NULL && rb_tag_row_get_field(RB_TAG_ROW(before))->group == group) {
        gtk_list_box_row_set_header(row, NULL);
        return;
    }
    GtkWidget *label = gtk_label_new(group_name(group));
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_add_css_class(label, "tag-group");
    gtk_list_box_row_set_header(row, label);
}

static RbTagRow *row_at(RbTagList *list, int index)
{
    GtkListBoxRow *row = gtk_list_box_get_row_at_index(list->list, index);
    return row != NULL ? RB_TAG_ROW(row) : NULL;
}

/* Looks beyond the reads of the call are not asked. */
static bool is_shown(const RbSheet *sheet, const RbTaggable *field)
{
    if (field->slot == 0) {
        return true;
    }
    for (int i = 0; i < sheet->n_slots; i++) {
        if (sheet->slots[i].slot == field->slot) {
            return true;
        }
    }
    return false;
}

void rb_tag_list_set_sheet(RbTagList *list, const RbSheet *sheet)
{
    g_return_if_fail(RB_IS_TAG_LIST(list));
    const bool same = sheet != NULL && sheet->snap->id.value == list->snap.value;
    list->sheet = sheet;
    list->snap = sheet != NULL ? sheet->snap->id : (RbSnapId){ 0 };
    if (same) {
        rb_answer_popover_set_sheet(list->popover, sheet);
    } else if (gtk_widget_get_visible(GTK_WIDGET(list->popover))) {
        gtk_popover_popdown(GTK_POPOVER(list->popover)); /* it asks about another snap */
    }
    const RbTaggable *settles =
        sheet != NULL && sheet->judged ? rb_taggable_for(&sheet->judgment.settle) : NULL;
    for (int i = 0; row_at(list, i) != NULL; i++) {
        RbTagRow *row = row_at(list, i);
        const RbTaggable *field = rb_tag_row_get_field(row);
        if (sheet == NULL) {
            rb_tag_row_set_value(row, "", false, false);
            continue;
        }
        g_autofree char *token =
            rb_taggable_get(field, sheet->names, sheet->snap, sheet->chart);
        g_autofree char *value =
            rb_taggable_show(field, sheet->names, sheet->snap, sheet->chart);
        rb_tag_row_set_value(row, value, token[0] != '\0', field == settles);
        gtk_widget_set_visible(GTK_WIDGET(row), is_shown(sheet, field));
    }
}

static void ask(RbTagList *list, RbTagRow *row)
{
    graphene_rect_t bounds;
    if (list->sheet == NULL ||
        !gtk_widget_compute_bounds(GTK_WIDGET(row), GTK_WIDGET(list), &bounds)) {
        return;
    }
    list->asked = row;
    /* A row that is scrolled half out of sight is pointed at where it can be seen. */
    const int height = gtk_widget_get_height(GTK_WIDGET(list));
    const GdkRectangle at = { (int)bounds.origin.x,
                              CLAMP((int)bounds.origin.y, 0, MAX(height - 26, 0)),
                              (int)bounds.size.width, (int)bounds.size.height };
    gtk_popover_set_pointing_to(GTK_POPOVER(list->popover), &at);
    rb_answer_popover_ask(list->popover, rb_tag_row_get_field(row), list->sheet);
}

static void on_row(RbTagList *list, GtkListBoxRow *row)
{
    ask(list, RB_TAG_ROW(row));
}

static void on_answered(RbTagList *list, const char *field, const char *value)
{
    g_signal_emit(list, signals[ANSWERED], 0, field, value);
}

static void on_closed(RbTagList *list)
{
    if (list->asked != NULL) {
        gtk_widget_grab_focus(GTK_WIDGET(list->asked));
        list->asked = NULL;
    }
}

bool rb_tag_list_open(RbTagList *list, const char *token)
{
    g_return_val_if_fail(RB_IS_TAG_LIST(list), false);
    for (int i = 0; row_at(list, i) != NULL; i++) {
        RbTagRow *row = row_at(list, i);
        if (g_str_equal(rb_tag_row_get_field(row)->token, token)) {
            gtk_list_box_select_row(list->list, GTK_LIST_BOX_ROW(row));
            gtk_widget_grab_focus(GTK_WIDGET(row));
            ask(list, row);
            return true;
        }
    }
    return false;
}

void rb_tag_list_focus(RbTagList *list)
{
    g_return_if_fail(RB_IS_TAG_LIST(list));
    GtkListBoxRow *row = gtk_list_box_get_selected_row(list->list);
    if (row == NULL) {
        row = gtk_list_box_get_row_at_index(list->list, 0);
        gtk_list_box_select_row(list->list, row);
    }
    gtk_widget_grab_focus(GTK_WIDGET(row));
}

static void rb_tag_list_measure(GtkWidget *widget, GtkOrientation orientation,
                                int for_size, int *minimum, int *natural,
                                int *minimum_baseline, int *natural_baseline)
{
    gtk_widget_measure(RB_TAG_LIST(widget)->scrolled, orientation, for_size, minimum,
                       natural, minimum_baseline, natural_baseline);
}

static void rb_tag_list_size_allocate(GtkWidget *widget, int width, int height,
                                      int baseline)
{
    RbTagList *list = RB_TAG_LIST(widget);
    gtk_widget_size_allocate(list->scrolled, &(GtkAllocation){ 0, 0, width, height },
                             baseline);
    gtk_popover_present(GTK_POPOVER(list->popover));
}

static void rb_tag_list_dispose(GObject *object)
{
    RbTagList *list = RB_TAG_LIST(object);
    if (list->popover != NULL) {
        gtk_widget_unparent(GTK_WIDGET(list->popover));
        list->popover = NULL;
    }
    gtk_widget_dispose_template(GTK_WIDGET(list), RB_TYPE_TAG_LIST);
    G_OBJECT_CLASS(rb_tag_list_parent_class)->dispose(object);
}

static void rb_tag_list_class_init(RbTagListClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_tag_list_dispose;
    widget_class->measure = rb_tag_list_measure;
    widget_class->size_allocate = rb_tag_list_size_allocate;
    gtk_widget_class_set_template_from_resource(widget_class,
                                                "/org/readbreak/Readbreak/tag-list.ui");
    gtk_widget_class_bind_template_child(widget_class, RbTagList, scrolled);
    gtk_widget_class_bind_template_child(widget_class, RbTagList, list);
    signals[ANSWERED] =
        g_signal_new("answered", RB_TYPE_TAG_LIST, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                     G_TYPE_NONE, 2, G_TYPE_STRING, G_TYPE_STRING);
}

/* What a person judges comes first; the situation is told above the list and is last. */
static void add_rows(RbTagList *list)
{
    static const RbTagGroup order[] = { RB_GROUP_OFFENSE, RB_GROUP_SHOWN,
                                        RB_GROUP_PLAYED,  RB_GROUP_READS,
                                        RB_GROUP_OUTCOME, RB_GROUP_SITUATION };
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (size_t group = 0; group < G_N_ELEMENTS(order); group++) {
        for (int i = 0; i < n; i++) {
            if (fields[i].group == order[group]) {
                gtk_list_box_append(list->list, GTK_WIDGET(rb_tag_row_new(&fields[i])));
            }
        }
    }
}

static void rb_tag_list_init(RbTagList *list)
{
    gtk_widget_init_template(GTK_WIDGET(list));
    add_rows(list);
    gtk_list_box_set_header_func(list->list, add_header, NULL, NULL);
    g_signal_connect_swapped(list->list, "row-activated", G_CALLBACK(on_row), list);
    list->popover = rb_answer_popover_new();
    gtk_widget_set_parent(GTK_WIDGET(list->popover), GTK_WIDGET(list));
    g_signal_connect_swapped(list->popover, "answered", G_CALLBACK(on_answered), list);
    g_signal_connect_swapped(list->popover, "closed", G_CALLBACK(on_closed), list);
}
