/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cutups-head.h"

#include <glib/gi18n.h>

#include "choice.h"
#include "form.h"

struct _RbCutupsHead {
    GtkBox parent_instance;
    GtkDropDown *cutups;
    GtkMenuButton *rename;
    GtkWidget *name;
    GtkWidget *note;
    RbChoice *kind;
    GtkLabel *sums;
    GtkLabel *noted;
    RbCutup *cutup; /* owned, nullable: the one shown */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbCutupsHead, rb_cutups_head, GTK_TYPE_BOX)

enum { CHOSEN, CHANGED, KIND, REMOVE, LEFT, N_SIGNALS };
static guint signals[N_SIGNALS];

#define LETTERS_MAX 120
#define NOTE_MAX 200

static void fill_names(RbCutupsHead *head, const RbCutupsAnswer *answer)
{
    g_autoptr(GtkStringList) names = gtk_string_list_new(NULL);
    guint now = 0;
    for (guint i = 0; i < answer->cutups->len; i++) {
        const RbCutup *cutup = answer->cutups->pdata[i];
        gtk_string_list_append(names, cutup->name);
        now = cutup->id.value == answer->plan->cutup->id.value ? i : now;
    }
    gtk_drop_down_set_model(head->cutups, G_LIST_MODEL(names));
    gtk_drop_down_set_selected(head->cutups, now);
}

static void show_sums(RbCutupsHead *head, const RbCutupPlan *plan)
{
    int64_t whole = 0;
    int missing = 0;
    for (guint i = 0; i < plan->clips->len; i++) {
        const RbCutupClip *clip = plan->clips->pdata[i];
        whole += rb_cutup_clip_us(clip, false);
        missing += clip->missing != NULL;
    }
    g_autofree char *length = rb_time_text(whole);
    g_autofree char *sums =
        g_strdup_printf(ngettext("%u clip, %s", "%u clips, %s", plan->clips->len),
                        plan->clips->len, length);
    g_autofree char *text = missing > 0
                                ? g_strdup_printf(_("%s; %d without film"), sums, missing)
                                : g_strdup(sums);
    gtk_label_set_text(head->sums, text);
}

static void show_kind(RbCutupsHead *head)
{
    const bool can_follow =
        head->cutup->filter != NULL || head->cutup->kind == RB_CUTUP_LIVE;
    rb_choice_set(head->kind, head->cutup->kind);
    gtk_widget_set_sensitive(GTK_WIDGET(head->kind), can_follow);
    gtk_widget_set_tooltip_text(
        GTK_WIDGET(head->kind),
        !can_follow ? _("Made of chosen snaps: there is no filter to follow")
        : head->cutup->kind == RB_CUTUP_LIVE
            ? _("Snaps come and go as they are tagged")
            : _("Its snaps stay, however they are tagged later"));
}

void rb_cutups_head_set(RbCutupsHead *head, const RbCutupsAnswer *answer)
{
    g_return_if_fail(RB_IS_CUTUPS_HEAD(head));
    rb_cutup_free(head->cutup);
    head->cutup = rb_cutup_copy(answer->plan->cutup);
    head->is_filling = true;
    fill_names(head, answer);
    rb_text_set(head->name, head->cutup->name);
    rb_text_set(head->note, head->cutup->note);
    show_kind(head);
    head->is_filling = false;
    show_sums(head, answer->plan);
    gtk_label_set_text(head->noted, head->cutup->note != NULL ? head->cutup->note : "");
    gtk_widget_set_visible(GTK_WIDGET(head->noted), head->cutup->note != NULL);
}

RbCutup *rb_cutups_head_dup_cutup(RbCutupsHead *head)
{
    if (head->cutup == NULL) {
        return NULL;
    }
    g_autoptr(RbCutup) cutup = rb_cutup_copy(head->cutup);
    g_autofree char *name = rb_text_dup(head->name);
    if (name != NULL) { /* without a name it keeps the one it has */
        g_free(cutup->name);
        cutup->name = g_steal_pointer(&name);
    }
    g_free(cutup->note);
    cutup->note = rb_text_dup(head->note);
    const bool same = g_strcmp0(cutup->name, head->cutup->name) == 0 &&
                      g_strcmp0(cutup->note, head->cutup->note) == 0;
    return same ? NULL : g_steal_pointer(&cutup);
}

void rb_cutups_head_rename(RbCutupsHead *head)
{
    gtk_menu_button_popup(head->rename);
    gtk_widget_grab_focus(head->name);
    gtk_editable_select_region(GTK_EDITABLE(head->name), 0, -1);
}

/* ---- what the user does */

static void on_chosen(RbCutupsHead *head)
{
    if (!head->is_filling) {
        g_signal_emit(head, signals[CHOSEN], 0, gtk_drop_down_get_selected(head->cutups));
    }
}

static void on_changed(RbCutupsHead *head)
{
    if (!head->is_filling && head->cutup != NULL) {
        g_signal_emit(head, signals[CHANGED], 0);
    }
}

/* Enter is done with it: what was typed is kept as the focus leaves. */
static void on_entered(RbCutupsHead *head)
{
    gtk_menu_button_popdown(head->rename);
}

static void on_closed(RbCutupsHead *head)
{
    g_signal_emit(head, signals[LEFT], 0);
}

static void on_kind(RbCutupsHead *head)
{
    if (!head->is_filling) {
        g_signal_emit(head, signals[KIND], 0, rb_choice_get(head->kind) == RB_CUTUP_LIVE);
    }
}

static void on_remove(RbCutupsHead *head)
{
    g_signal_emit(head, signals[REMOVE], 0);
}

/* ---- making it */

static GtkWidget *field(RbCutupsHead *head, GtkWidget *box, const char *label, int most)
{
    GtkWidget *words = gtk_label_new(label);
    GtkWidget *text = rb_text_new(NULL, G_CALLBACK(on_changed), head);
    gtk_entry_set_max_length(GTK_ENTRY(text), most);
    gtk_editable_set_width_chars(GTK_EDITABLE(text), 36);
    gtk_label_set_xalign(GTK_LABEL(words), 0);
    gtk_widget_add_css_class(words, "small");
    gtk_box_append(GTK_BOX(box), words);
    gtk_box_append(GTK_BOX(box), text);
    gtk_accessible_update_property(GTK_ACCESSIBLE(text), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   label, -1);
    g_signal_connect_swapped(text, "activate", G_CALLBACK(on_entered), head);
    return text;
}

static GtkWidget *rename_new(RbCutupsHead *head)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 2);
    head->name = field(head, box, _("Name of the cut-up"), LETTERS_MAX);
    head->note = field(head, box, _("Note on the cut-up"), NOTE_MAX);
    GtkWidget *popover = gtk_popover_new();
    gtk_popover_set_child(GTK_POPOVER(popover), box);
    g_signal_connect_swapped(popover, "closed", G_CALLBACK(on_closed), head);
    GtkWidget *button = gtk_menu_button_new();
    head->rename = GTK_MENU_BUTTON(button);
    gtk_menu_button_set_icon_name(head->rename, "document-edit-symbolic");
    gtk_menu_button_set_popover(head->rename, popover);
    gtk_widget_set_tooltip_text(button, _("Name and note (F2)"));
    gtk_accessible_update_property(GTK_ACCESSIBLE(button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Name and note"), -1);
    gtk_widget_add_css_class(button, "bare");
    return button;
}

static GtkWidget *remove_new(RbCutupsHead *head)
{
    GtkWidget *button = gtk_button_new_from_icon_name("user-trash-symbolic");
    gtk_widget_set_tooltip_text(button, _("Remove this cut-up (Ctrl+Z brings it back)"));
    gtk_accessible_update_property(GTK_ACCESSIBLE(button), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Remove this cut-up"), -1);
    gtk_widget_add_css_class(button, "bare");
    g_signal_connect_swapped(button, "clicked", G_CALLBACK(on_remove), head);
    return button;
}

static GtkWidget *first_line(RbCutupsHead *head)
{
    GtkWidget *line = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 4);
    GtkWidget *cutups = gtk_drop_down_new(NULL, NULL);
    head->cutups = GTK_DROP_DOWN(cutups);
    rb_drop_down_may_shrink(head->cutups, 12, 28);
    gtk_widget_set_hexpand(cutups, TRUE);
    gtk_accessible_update_property(GTK_ACCESSIBLE(cutups), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   _("Cut-up"), -1);
    g_signal_connect_swapped(cutups, "notify::selected", G_CALLBACK(on_chosen), head);
    gtk_box_append(GTK_BOX(line), cutups);
    gtk_box_append(GTK_BOX(line), rename_new(head));
    gtk_box_append(GTK_BOX(line), remove_new(head));
    return line;
}

static GtkWidget *second_line(RbCutupsHead *head)
{
    GtkWidget *line = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 8);
    head->kind = rb_choice_new(_("Kind of list"));
    rb_choice_add_words(head->kind, &rb_cutup_kind_words, 0);
    gtk_widget_set_valign(GTK_WIDGET(head->kind), GTK_ALIGN_START);
    g_signal_connect_swapped(head->kind, "changed", G_CALLBACK(on_kind), head);
    GtkWidget *sums = gtk_label_new(NULL);
    head->sums = GTK_LABEL(sums);
    gtk_label_set_xalign(head->sums, 0);
    gtk_label_set_wrap(head->sums, TRUE);
    gtk_widget_set_hexpand(sums, TRUE);
    gtk_widget_add_css_class(sums, "second");
    gtk_box_append(GTK_BOX(line), GTK_WIDGET(head->kind));
    gtk_box_append(GTK_BOX(line), sums);
    return line;
}

static void rb_cutups_head_dispose(GObject *object)
{
    RbCutupsHead *head = RB_CUTUPS_HEAD(object);
    head->is_filling = true;
    g_clear_pointer(&head->cutup, rb_cutup_free);
    G_OBJECT_CLASS(rb_cutups_head_parent_class)->dispose(object);
}

static void rb_cutups_head_class_init(RbCutupsHeadClass *klass)
{
    const GType type = RB_TYPE_CUTUPS_HEAD;
    G_OBJECT_CLASS(klass)->dispose = rb_cutups_head_dispose;
    signals[CHOSEN] = g_signal_new("chosen", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 1, G_TYPE_UINT);
    signals[CHANGED] = g_signal_new("changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                    NULL, G_TYPE_NONE, 0);
    signals[KIND] = g_signal_new("kind", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                 G_TYPE_NONE, 1, G_TYPE_BOOLEAN);
    signals[LEFT] = g_signal_new("left", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                 G_TYPE_NONE, 0);
    signals[REMOVE] = g_signal_new("remove", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 0);
}

static void rb_cutups_head_init(RbCutupsHead *head)
{
    gtk_orientable_set_orientation(GTK_ORIENTABLE(head), GTK_ORIENTATION_VERTICAL);
    gtk_box_set_spacing(GTK_BOX(head), 6);
    gtk_box_append(GTK_BOX(head), first_line(head));
    gtk_box_append(GTK_BOX(head), second_line(head));
    GtkWidget *noted = gtk_label_new(NULL);
    head->noted = GTK_LABEL(noted);
    gtk_label_set_xalign(head->noted, 0);
    gtk_label_set_wrap(head->noted, TRUE);
    gtk_widget_set_visible(noted, FALSE);
    gtk_box_append(GTK_BOX(head), noted);
}
