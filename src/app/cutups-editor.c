/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "cutups-editor.h"

#include <glib/gi18n.h>

#include "card-words.h"
#include "choice.h"
#include "form.h"

struct _RbCutupsEditor {
    GtkGrid parent_instance;
    RbChoice *view;
    RbChoice *start;
    RbChoice *stop;
    RbChoice *freeze;
    GtkWidget *freeze_s;
    GtkWidget *speed;
    GtkWidget *loops;
    RbCardWords *card;
    GtkWidget *note;
    RbCutupEntry *entry; /* owned, nullable: as it is kept */
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbCutupsEditor, rb_cutups_editor, GTK_TYPE_GRID)

enum { EDITED, ALL, LOOKING, N_SIGNALS };
static guint signals[N_SIGNALS];

/* A note has this many letters. */
#define NOTE_MAX 200

const RbCutupEntry *rb_cutups_editor_get_entry(RbCutupsEditor *editor)
{
    return editor->entry;
}

void rb_cutups_editor_set(RbCutupsEditor *editor, const RbCutupClip *clip)
{
    g_return_if_fail(RB_IS_CUTUPS_EDITOR(editor));
    rb_cutup_entry_free(editor->entry);
    editor->entry = clip != NULL ? rb_cutup_entry_copy(clip->entry) : NULL;
    gtk_widget_set_sensitive(GTK_WIDGET(editor), clip != NULL);
    if (clip == NULL) {
        return;
    }
    const RbCut *cut = &clip->entry->cut;
    editor->is_filling = true;
    rb_choice_set(editor->view, cut->view);
    rb_choice_set(editor->start, cut->start);
    rb_choice_set(editor->stop, cut->stop);
    rb_choice_set(editor->freeze, cut->freeze);
    rb_number_set(editor->freeze_s, cut->freeze_ms / 1000.0);
    gtk_widget_set_sensitive(editor->freeze_s, cut->freeze != RB_POINT_NONE);
    rb_number_set(editor->speed, cut->speed);
    rb_number_set(editor->loops, cut->loops);
    rb_card_words_set(editor->card, cut->card);
    rb_text_set(editor->note, clip->entry->note);
    editor->is_filling = false;
}

RbCutupEntry *rb_cutups_editor_dup_entry(RbCutupsEditor *editor)
{
    if (editor->entry == NULL) {
        return NULL;
    }
    g_autoptr(RbCutupEntry) entry = rb_cutup_entry_copy(editor->entry);
    RbCut *cut = &entry->cut;
    cut->view = (RbView)rb_choice_get(editor->view);
    cut->start = (RbPoint)rb_choice_get(editor->start);
    cut->stop = (RbPoint)rb_choice_get(editor->stop);
    cut->freeze = (RbPoint)rb_choice_get(editor->freeze);
    cut->freeze_ms =
        (int)(gtk_spin_button_get_value(GTK_SPIN_BUTTON(editor->freeze_s)) * 1000 + 0.5);
    cut->speed = gtk_spin_button_get_value_as_int(GTK_SPIN_BUTTON(editor->speed));
    cut->loops = gtk_spin_button_get_value_as_int(GTK_SPIN_BUTTON(editor->loops));
    g_free(cut->card);
    cut->card = rb_card_words_dup(editor->card);
    g_free(entry->note);
    entry->note = rb_text_dup(editor->note);
    const bool same = rb_cut_equal(cut, &editor->entry->cut) &&
                      g_strcmp0(entry->note, editor->entry->note) == 0;
    return same ? NULL : g_steal_pointer(&entry);
}

static void on_changed(RbCutupsEditor *editor)
{
    if (!editor->is_filling && editor->entry != NULL) {
        g_signal_emit(editor, signals[EDITED], 0);
    }
}

static void on_all(RbCutupsEditor *editor)
{
    g_signal_emit(editor, signals[ALL], 0);
}

static void on_looking(RbCutupsEditor *editor, gboolean looking)
{
    g_signal_emit(editor, signals[LOOKING], 0, looking);
}

/* ---- the fields, three in a row */

static void place(RbCutupsEditor *editor, int row, int column, int width,
                  const char *label, GtkWidget *field)
{
    GtkWidget *words = gtk_label_new_with_mnemonic(label);
    gtk_label_set_xalign(GTK_LABEL(words), 0);
    gtk_label_set_mnemonic_widget(GTK_LABEL(words), field);
    gtk_widget_add_css_class(words, "second");
    gtk_grid_attach(GTK_GRID(editor), words, column * 2, row, 1, 1);
    gtk_grid_attach(GTK_GRID(editor), field, column * 2 + 1, row, width, 1);
    if (!RB_IS_CHOICE(field) && !RB_IS_CARD_WORDS(field)) {
        gtk_accessible_update_relation(
            GTK_ACCESSIBLE(field), GTK_ACCESSIBLE_RELATION_LABELLED_BY, words, NULL, -1);
    }
}

static RbChoice *add_choice(RbCutupsEditor *editor, int row, int column,
                            const char *label, const char *spoken, const RbWords *words,
                            int first, int last)
{
    RbChoice *choice = rb_choice_new(spoken);
    for (int i = first; i <= last; i++) {
        rb_choice_add(choice, i, rb_words_label(words, i));
    }
    place(editor, row, column, 1, label, GTK_WIDGET(choice));
    g_signal_connect_swapped(choice, "changed", G_CALLBACK(on_changed), editor);
    return choice;
}

static GtkWidget *add_number(RbCutupsEditor *editor, int row, int column,
                             const char *label, double low, double high, double step,
                             int digits)
{
    GtkWidget *number = rb_number_new(low, high, step, digits);
    place(editor, row, column, 1, label, number);
    g_signal_connect_swapped(number, "value-changed", G_CALLBACK(on_changed), editor);
    return number;
}

static void add_card(RbCutupsEditor *editor)
{
    editor->card = rb_card_words_new();
    place(editor, 2, 1, 3, _("Title _card"), GTK_WIDGET(editor->card));
    g_signal_connect_swapped(editor->card, "changed", G_CALLBACK(on_changed), editor);
    g_signal_connect_swapped(editor->card, "looking", G_CALLBACK(on_looking), editor);
}

static void add_note(RbCutupsEditor *editor)
{
    editor->note = rb_text_new(NULL, G_CALLBACK(on_changed), editor);
    gtk_entry_set_max_length(GTK_ENTRY(editor->note), NOTE_MAX);
    place(editor, 3, 0, 5, _("_Note"), editor->note);
    GtkWidget *all = rb_button_new(_("A_ll clips like this one"));
    gtk_widget_set_tooltip_text(
        all, _("Angle, from, to, speed, stop and card of this clip, for every clip"));
    gtk_widget_add_css_class(all, "plain");
    gtk_grid_attach(GTK_GRID(editor), all, 1, 4, 3, 1);
    gtk_widget_set_halign(all, GTK_ALIGN_START);
    g_signal_connect_swapped(all, "clicked", G_CALLBACK(on_all), editor);
}

static void rb_cutups_editor_finalize(GObject *object)
{
    rb_cutup_entry_free(RB_CUTUPS_EDITOR(object)->entry);
    G_OBJECT_CLASS(rb_cutups_editor_parent_class)->finalize(object);
}

static void rb_cutups_editor_class_init(RbCutupsEditorClass *klass)
{
    const GType type = RB_TYPE_CUTUPS_EDITOR;
    G_OBJECT_CLASS(klass)->finalize = rb_cutups_editor_finalize;
    signals[EDITED] = g_signal_new("edited", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 0);
    signals[ALL] =
        g_signal_new("all", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
    signals[LOOKING] = g_signal_new("looking", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                    NULL, G_TYPE_NONE, 1, G_TYPE_BOOLEAN);
}

static void rb_cutups_editor_init(RbCutupsEditor *editor)
{
    gtk_grid_set_row_spacing(GTK_GRID(editor), 4);
    gtk_grid_set_column_spacing(GTK_GRID(editor), 8);
    editor->view = add_choice(editor, 0, 0, _("An_gle"), C_("of the camera", "Angle"),
                              &rb_view_words, 0, RB_VIEW_BOTH);
    editor->start = add_choice(editor, 1, 0, _("_From"), _("From"), &rb_point_words,
                               RB_POINT_FIRST, RB_POINT_END);
    editor->stop = add_choice(editor, 2, 0, _("_To"), _("To"), &rb_point_words,
                              RB_POINT_SET, RB_POINT_LAST);
    editor->speed =
        add_number(editor, 0, 1, _("_Speed, %"), RB_SPEED_MIN, RB_SPEED_MAX, 5, 0);
    editor->loops = add_number(editor, 1, 1, _("Times sho_wn"), 1, RB_LOOPS_MAX, 1, 0);
    add_card(editor);
    editor->freeze = add_choice(editor, 0, 2, _("St_ands still at"), _("Stands still at"),
                                &rb_point_words, RB_POINT_NONE, RB_POINT_LAST);
    editor->freeze_s = add_number(editor, 1, 2, _("For secon_ds"), 0.5,
                                  RB_FREEZE_MS_MAX / 1000.0, 0.5, 1);
    add_note(editor);
    rb_cutups_editor_set(editor, NULL);
}
