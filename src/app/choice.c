/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "choice.h"

#include <stdbool.h>

#include "form.h"

/* Of a chosen word so many letters are seen where there is no room for all of it. */
#define LETTERS_LEAST 5

/* Letters typed closer together than this are one word. */
#define TYPING_US (900 * 1000)

struct _RbChoice {
    GtkWidget parent_instance;
    GtkDropDown *drop_down; /* child */
    GtkStringList *words;   /* owned */
    GArray *values;         /* owned, of gint64 */
    bool is_staging;        /* a new list is being made, until it is set or asked */
    GArray *next_values;    /* owned, of gint64 */
    GPtrArray *next_words;  /* owned, of char * */
    GString *typed;         /* owned: folded */
    gint64 typed_us;
    int quiet;
};

G_DEFINE_FINAL_TYPE(RbChoice, rb_choice, GTK_TYPE_WIDGET)

enum { CHANGED, N_SIGNALS };
static guint signals[N_SIGNALS];

static void on_selected(RbChoice *choice)
{
    if (choice->quiet == 0 && choice->values->len > 0) {
        g_signal_emit(choice, signals[CHANGED], 0);
    }
}

void rb_choice_set_label(RbChoice *choice, const char *label)
{
    g_return_if_fail(RB_IS_CHOICE(choice));
    gtk_accessible_update_property(GTK_ACCESSIBLE(choice->drop_down),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
}

RbChoice *rb_choice_new(const char *label)
{
    RbChoice *choice = g_object_new(RB_TYPE_CHOICE, NULL);
    rb_choice_set_label(choice, label);
    return choice;
}

void rb_choice_clear(RbChoice *choice)
{
    g_return_if_fail(RB_IS_CHOICE(choice));
    choice->is_staging = true;
    g_array_set_size(choice->next_values, 0);
    g_ptr_array_set_size(choice->next_words, 0);
}

void rb_choice_add(RbChoice *choice, gint64 value, const char *word)
{
    g_return_if_fail(RB_IS_CHOICE(choice));
    if (choice->is_staging) {
        g_array_append_val(choice->next_values, value);
        g_ptr_array_add(choice->next_words, g_strdup(word));
        return;
    }
    choice->quiet++;
    g_array_append_val(choice->values, value);
    gtk_string_list_append(choice->words, word);
    choice->quiet--;
}

static bool is_same_list(RbChoice *choice)
{
    if (choice->values->len != choice->next_values->len) {
        return false;
    }
    for (guint i = 0; i < choice->values->len; i++) {
        if (g_array_index(choice->values, gint64, i) !=
                g_array_index(choice->next_values, gint64, i) ||
            !g_str_equal(gtk_string_list_get_string(choice->words, i),
                         choice->next_words->pdata[i])) {
            return false;
        }
    }
    return true;
}

/* The new list in one step, and only if it is another one: a drop-down without entries cannot
 * have the focus, and would lose it. */
static void commit(RbChoice *choice)
{
    if (!choice->is_staging) {
        return;
    }
    choice->is_staging = false;
    if (is_same_list(choice)) {
        return;
    }
    choice->quiet++;
    g_array_set_size(choice->values, 0);
    g_array_append_vals(choice->values, choice->next_values->data,
                        choice->next_values->len);
    g_ptr_array_add(choice->next_words, NULL);
    gtk_string_list_splice(choice->words, 0,
                           g_list_model_get_n_items(G_LIST_MODEL(choice->words)),
                           (const char *const *)choice->next_words->pdata);
    choice->quiet--;
}

void rb_choice_add_words(RbChoice *choice, const RbWords *words, int first)
{
    for (int i = first; i < words->n; i++) {
        rb_choice_add(choice, i, rb_words_label(words, i));
    }
}

void rb_choice_add_terms(RbChoice *choice, const GPtrArray *terms, RbTermKind kind)
{
    for (guint i = 0; i < terms->len; i++) {
        const RbTerm *term = terms->pdata[i];
        if (term->kind == kind && !term->hidden) {
            rb_choice_add(choice, term->id.value, term->name);
        }
    }
}

void rb_choice_set(RbChoice *choice, gint64 value)
{
    g_return_if_fail(RB_IS_CHOICE(choice));
    commit(choice);
    guint place = 0;
    for (guint i = 0; i < choice->values->len; i++) {
        if (g_array_index(choice->values, gint64, i) == value) {
            place = i;
        }
    }
    choice->quiet++;
    gtk_drop_down_set_selected(choice->drop_down, place);
    choice->quiet--;
}

gint64 rb_choice_get(RbChoice *choice)
{
    g_return_val_if_fail(RB_IS_CHOICE(choice), 0);
    commit(choice);
    const guint place = gtk_drop_down_get_selected(choice->drop_down);
    return place < choice->values->len ? g_array_index(choice->values, gint64, place) : 0;
}

static bool begins(RbChoice *choice, guint place)
{
    g_autofree char *word =
        g_utf8_casefold(gtk_string_list_get_string(choice->words, place), -1);
    return g_str_has_prefix(word, choice->typed->str);
}

/* The entry that begins with what was typed, from the chosen one on; a single letter goes on to
 * the next that begins with it. */
static void find_typed(RbChoice *choice)
{
    const guint n = choice->values->len;
    const guint from = gtk_drop_down_get_selected(choice->drop_down);
    const guint skip = g_utf8_strlen(choice->typed->str, -1) == 1 ? 1 : 0;
    for (guint i = skip; n > 0 && i < n + skip; i++) {
        if (begins(choice, (from + i) % n)) {
            gtk_drop_down_set_selected(choice->drop_down, (from + i) % n);
            return;
        }
    }
}

static gboolean step(RbChoice *choice, int by)
{
    const int to = (int)gtk_drop_down_get_selected(choice->drop_down) + by;
    if (to >= 0 && to < (int)choice->values->len) {
        gtk_drop_down_set_selected(choice->drop_down, (guint)to);
    }
    return TRUE;
}

static gboolean is_open(RbChoice *choice)
{
    GtkRoot *root = gtk_widget_get_root(GTK_WIDGET(choice));
    GtkWidget *focus = root != NULL ? gtk_root_get_focus(root) : NULL;
    return focus == NULL ||
           gtk_widget_get_ancestor(focus, GTK_TYPE_POPOVER) !=
               gtk_widget_get_ancestor(GTK_WIDGET(choice), GTK_TYPE_POPOVER);
}

/* A closed choice takes letters and arrows itself, so that a form is filled without opening
 * anything. */
static gboolean on_key(GtkEventControllerKey *key, guint keyval, guint code,
                       GdkModifierType state, gpointer data)
{
    (void)key;
    (void)code;
    RbChoice *choice = data;
    const gunichar letter = gdk_keyval_to_unicode(keyval);
    const gint64 now = g_get_monotonic_time();
    if ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK | GDK_SUPER_MASK)) != 0 ||
        is_open(choice)) {
        return FALSE;
    }
    if (keyval == GDK_KEY_Up || keyval == GDK_KEY_Down) {
        return step(choice, keyval == GDK_KEY_Up ? -1 : 1);
    }
    const bool goes_on = now - choice->typed_us < TYPING_US && choice->typed->len > 0;
    if (letter == 0 || !g_unichar_isprint(letter) || (letter == ' ' && !goes_on)) {
        return FALSE;
    }
    if (!goes_on) {
        g_string_truncate(choice->typed, 0);
    }
    choice->typed_us = now;
    g_string_append_unichar(choice->typed, g_unichar_tolower(letter));
    find_typed(choice);
    return TRUE;
}

static void rb_choice_dispose(GObject *object)
{
    RbChoice *choice = RB_CHOICE(object);
    if (choice->drop_down != NULL) {
        gtk_widget_unparent(GTK_WIDGET(choice->drop_down));
        choice->drop_down = NULL;
    }
    G_OBJECT_CLASS(rb_choice_parent_class)->dispose(object);
}

static void rb_choice_finalize(GObject *object)
{
    RbChoice *choice = RB_CHOICE(object);
    g_object_unref(choice->words);
    g_array_unref(choice->values);
    g_array_unref(choice->next_values);
    g_ptr_array_unref(choice->next_words);
    g_string_free(choice->typed, TRUE);
    G_OBJECT_CLASS(rb_choice_parent_class)->finalize(object);
}

static gboolean rb_choice_grab_focus(GtkWidget *widget)
{
    return gtk_widget_grab_focus(GTK_WIDGET(RB_CHOICE(widget)->drop_down));
}

static void rb_choice_class_init(RbChoiceClass *klass)
{
    GtkWidgetClass *widget_class = GTK_WIDGET_CLASS(klass);
    G_OBJECT_CLASS(klass)->dispose = rb_choice_dispose;
    G_OBJECT_CLASS(klass)->finalize = rb_choice_finalize;
    widget_class->grab_focus = rb_choice_grab_focus;
    gtk_widget_class_set_layout_manager_type(widget_class, GTK_TYPE_BIN_LAYOUT);
    gtk_widget_class_set_css_name(widget_class, "choice");
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_CHOICE, G_SIGNAL_RUN_LAST, 0, NULL,
                                    NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_choice_init(RbChoice *choice)
{
    choice->words = gtk_string_list_new(NULL);
    choice->typed = g_string_new(NULL);
    choice->next_values = g_array_new(FALSE, FALSE, sizeof(gint64));
    choice->next_words = g_ptr_array_new_with_free_func(g_free);
    choice->values = g_array_new(FALSE, FALSE, sizeof(gint64));
    GtkExpression *word =
        gtk_property_expression_new(GTK_TYPE_STRING_OBJECT, NULL, "string");
    choice->drop_down =
        GTK_DROP_DOWN(gtk_drop_down_new(G_LIST_MODEL(g_object_ref(choice->words)), word));
    rb_drop_down_may_shrink(choice->drop_down, LETTERS_LEAST, -1);
    gtk_widget_set_parent(GTK_WIDGET(choice->drop_down), GTK_WIDGET(choice));
    g_signal_connect_swapped(choice->drop_down, "notify::selected",
                             G_CALLBACK(on_selected), choice);
    GtkEventController *key = gtk_event_controller_key_new();
    gtk_event_controller_set_propagation_phase(key, GTK_PHASE_CAPTURE);
    g_signal_connect(key, "key-pressed", G_CALLBACK(on_key), choice);
    gtk_widget_add_controller(GTK_WIDGET(choice), key);
}
