/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "answer-popover.h"

#include <glib/gi18n.h>

struct _RbAnswerPopover {
    GtkPopover parent_instance;
    /* template children */
    GtkLabel *question;
    GtkEntry *entry;
    GtkLabel *fault;
    GtkWidget *scrolled;
    GtkListBox *list;
    GtkLabel *hint;

    const RbTaggable *field; /* borrowed: static */
    const RbSheet *sheet;    /* borrowed while open */
    GPtrArray *answers;      /* owned, of RbAnswer; the last is "unknown" */
    gunichar *keys;          /* owned: one an answer */
};

G_DEFINE_FINAL_TYPE(RbAnswerPopover, rb_answer_popover, GTK_TYPE_POPOVER)

enum { ANSWERED, N_SIGNALS };
static guint signals[N_SIGNALS];

static bool is_taken(const gunichar *keys, guint n, gunichar key)
{
    for (guint i = 0; i < n; i++) {
        if (keys[i] == key) {
            return true;
        }
    }
    return false;
}

void rb_answer_keys(const GPtrArray *answers, gunichar *keys)
{
    for (guint i = 0; i < answers->len; i++) {
        const RbAnswer *answer = answers->pdata[i];
        keys[i] = answer->token[0] == '\0' ? '-' : 0;
        /* A digit tells answers such as "Cover 3" apart better than their first letter. */
        for (int pass = 0; pass < 2 && keys[i] == 0; pass++) {
            for (const char *at = answer->label; *at != '\0' && keys[i] == 0;
                 at = g_utf8_next_char(at)) {
                const gunichar c = g_unichar_tolower(g_utf8_get_char(at));
                const bool fits = pass == 0 ? g_unichar_isdigit(c) : g_unichar_isalpha(c);
                if (fits && !is_taken(keys, i, c)) {
                    keys[i] = c;
                }
            }
        }
        for (gunichar c = 'a'; c <= 'z' && keys[i] == 0; c++) {
            keys[i] = is_taken(keys, i, c) ? 0 : c;
        }
    }
}

static void answer(RbAnswerPopover *popover, const char *value)
{
    g_autofree char *token = g_strdup(value);
    const RbTaggable *field = popover->field;
    gtk_popover_popdown(GTK_POPOVER(popover));
    g_signal_emit(popover, signals[ANSWERED], 0, field->token, token);
}

static void on_row(RbAnswerPopover *popover, GtkListBoxRow *row)
{
    const int index = gtk_list_box_row_get_index(row);
    answer(popover, ((const RbAnswer *)popover->answers->pdata[index])->token);
}

/* Typed values are tried on copies first: what does not fit is said here. */
static void on_entry(RbAnswerPopover *popover)
{
    const char *text = gtk_editable_get_text(GTK_EDITABLE(popover->entry));
    g_autoptr(RbSnap) snap = rb_snap_copy(popover->sheet->snap);
    g_autoptr(RbChart) chart = rb_chart_copy(popover->sheet->chart);
    g_autoptr(GError) error = NULL;
    if (rb_taggable_set(popover->field, popover->sheet->names, snap, chart, text,
                        &error)) {
        answer(popover, text);
        return;
    }
    gtk_label_set_text(popover->fault, error->message);
    gtk_widget_set_visible(GTK_WIDGET(popover->fault), TRUE);
}

static void choose(RbAnswerPopover *popover, guint index)
{
    GtkListBoxRow *row = gtk_list_box_get_row_at_index(popover->list, (int)index);
    gtk_list_box_select_row(popover->list, row);
    gtk_widget_grab_focus(GTK_WIDGET(row));
}

static gboolean on_key(RbAnswerPopover *popover, guint keyval, guint keycode,
                       GdkModifierType state)
{
    (void)keycode;
    if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0 || popover->answers == NULL ||
        popover->answers->len == 0 ||
        gtk_widget_get_visible(GTK_WIDGET(popover->entry))) {
        return FALSE;
    }
    if (keyval == GDK_KEY_BackSpace || keyval == GDK_KEY_Delete) {
        choose(popover, popover->answers->len - 1);
        return TRUE;
    }
    const gunichar key = g_unichar_tolower(gdk_keyval_to_unicode(keyval));
    for (guint i = 0; key > ' ' && i < popover->answers->len; i++) {
        if (popover->keys[i] == key) {
            choose(popover, i);
            return TRUE;
        }
    }
    return key > ' '; /* no other key may reach the film while a question stands */
}

static GtkWidget *answer_row(const RbAnswer *choice, gunichar key)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_HORIZONTAL, 10);
    GtkWidget *row = gtk_list_box_row_new();
    char text[7] = { 0 };
    g_unichar_to_utf8(key, text);
    GtkWidget *badge = gtk_label_new(text);
    gtk_widget_add_css_class(badge, "key");
    gtk_widget_set_valign(badge, GTK_ALIGN_CENTER);
    gtk_widget_set_opacity(badge, key == 0 ? 0 : 1);
    GtkWidget *label = gtk_label_new(choice->label);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    gtk_widget_set_margin_start(box, 8);
    gtk_widget_set_margin_end(box, 8);
    gtk_box_append(GTK_BOX(box), badge);
    gtk_box_append(GTK_BOX(box), label);
    gtk_list_box_row_set_child(GTK_LIST_BOX_ROW(row), box);
    gtk_accessible_update_property(GTK_ACCESSIBLE(row), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                   choice->label, -1);
    return row;
}

static void add_unknown(GPtrArray *answers)
{
    RbAnswer *unknown = g_new0(RbAnswer, 1);
    unknown->token = g_strdup("");
    unknown->label = g_strdup(_("Unknown"));
    g_ptr_array_add(answers, unknown);
}

static void clear_list(RbAnswerPopover *popover)
{
    GtkListBoxRow *row = NULL;
    while ((row = gtk_list_box_get_row_at_index(popover->list, 0)) != NULL) {
        gtk_list_box_remove(popover->list, GTK_WIDGET(row));
    }
    g_clear_pointer(&popover->answers, g_ptr_array_unref);
    g_clear_pointer(&popover->keys, g_free);
}

/* Looks and the ball offer the reads of this call only. */
static bool is_offered(const RbAnswerPopover *popover, const RbAnswer *choice)
{
    int slot = 0;
    if (!g_str_equal(popover->field->token, "ball") ||
        sscanf(choice->token, "read-%d", &slot) != 1 || popover->sheet->n_slots == 0) {
        return true;
    }
    for (int i = 0; i < popover->sheet->n_slots; i++) {
        if (popover->sheet->slots[i].slot == slot) {
            return true;
        }
    }
    return false;
}

static void fill_list(RbAnswerPopover *popover, const char *now)
{
    const RbSheet *sheet = popover->sheet;
    popover->answers = rb_taggable_answers(popover->field, sheet->names, sheet->snap);
    for (guint i = popover->answers->len; i-- > 0;) {
        if (!is_offered(popover, popover->answers->pdata[i])) {
            g_ptr_array_remove_index(popover->answers, i);
        }
    }
    if (popover->answers->len == 0) {
        return;
    }
    add_unknown(popover->answers);
    popover->keys = g_new0(gunichar, popover->answers->len);
    rb_answer_keys(popover->answers, popover->keys);
    guint chosen = 0;
    for (guint i = 0; i < popover->answers->len; i++) {
        const RbAnswer *choice = popover->answers->pdata[i];
        gtk_list_box_append(popover->list, answer_row(choice, popover->keys[i]));
        if (now[0] != '\0' && g_str_equal(choice->token, now)) {
            chosen = i;
        }
    }
    choose(popover, chosen);
}

void rb_answer_popover_ask(RbAnswerPopover *popover, const RbTaggable *field,
                           const RbSheet *sheet)
{
    g_return_if_fail(RB_IS_ANSWER_POPOVER(popover));
    popover->field = field;
    popover->sheet = sheet;
    g_autofree char *question =
        g_strdup_printf(_("%s of snap %d"), _(field->label), sheet->snap->number);
    g_autofree char *now =
        rb_taggable_get(field, sheet->names, sheet->snap, sheet->chart);
    gtk_label_set_text(popover->question, question);
    gtk_widget_set_visible(GTK_WIDGET(popover->fault), FALSE);
    clear_list(popover);
    fill_list(popover, now);
    const bool typed = popover->answers->len == 0;
    gtk_widget_set_visible(GTK_WIDGET(popover->entry), typed);
    gtk_widget_set_visible(popover->scrolled, !typed);
    g_autofree char *entered =
        rb_taggable_typed(field, sheet->names, sheet->snap, sheet->chart);
    gtk_editable_set_text(GTK_EDITABLE(popover->entry), entered);
    gtk_accessible_update_property(GTK_ACCESSIBLE(popover->entry),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, question, -1);
    gtk_label_set_text(popover->hint, typed
                                          ? _("Type it, Enter accepts. Empty is unknown.")
                                          : _("A key chooses, Enter accepts."));
    gtk_popover_popup(GTK_POPOVER(popover));
    if (typed) {
        gtk_widget_grab_focus(GTK_WIDGET(popover->entry));
    } else {
        gtk_widget_grab_focus(GTK_WIDGET(gtk_list_box_get_selected_row(popover->list)));
    }
}

void rb_answer_popover_set_sheet(RbAnswerPopover *popover, const RbSheet *sheet)
{
    g_return_if_fail(RB_IS_ANSWER_POPOVER(popover));
    popover->sheet = sheet;
}

RbAnswerPopover *rb_answer_popover_new(void)
{
    return g_object_new(RB_TYPE_ANSWER_POPOVER, NULL);
}

static void rb_answer_popover_finalize(GObject *object)
{
    RbAnswerPopover *popover = RB_ANSWER_POPOVER(object);
    g_clear_pointer(&popover->answers, g_ptr_array_unref);
    g_free(popover->keys);
    G_OBJECT_CLASS(rb_answer_popover_parent_class)->finalize(object);
}

static void rb_answer_popover_class_init(RbAnswerPopoverClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->finalize = rb_answer_popover_finalize;
    gtk_widget_class_set_template_from_resource(
        widget_class, "/org/readbreak/Readbreak/answer-popover.ui");
    gtk_widget_class_bind_template_child(widget_class, RbAnswerPopover, question);
    gtk_widget_class_bind_template_child(widget_class, RbAnswerPopover, entry);
    gtk_widget_class_bind_template_child(widget_class, RbAnswerPopover, fault);
    gtk_widget_class_bind_template_child(widget_class, RbAnswerPopover, scrolled);
    gtk_widget_class_bind_template_child(widget_class, RbAnswerPopover, list);
    gtk_widget_class_bind_template_child(widget_class, RbAnswerPopover, hint);
    signals[ANSWERED] =
        g_signal_new("answered", RB_TYPE_ANSWER_POPOVER, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                     NULL, G_TYPE_NONE, 2, G_TYPE_STRING, G_TYPE_STRING);
}

static void rb_answer_popover_init(RbAnswerPopover *popover)
{
    gtk_widget_init_template(GTK_WIDGET(popover));
    g_signal_connect_swapped(popover->list, "row-activated", G_CALLBACK(on_row), popover);
    g_signal_connect_swapped(popover->entry, "activate", G_CALLBACK(on_entry), popover);
    GtkEventController *keys = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(keys, GTK_PHASE_CAPTURE);
    g_signal_connect_swapped(keys, "key-pressed", G_CALLBACK(on_key), popover);
    gtk_widget_add_controller(GTK_WIDGET(popover), keys);
}
