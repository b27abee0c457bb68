/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "card-words.h"

#include <glib/gi18n.h>

#include "rb/model/cutup.h"

/* Words there are; see rb_card_words in the model. */
#define WORDS (RB_CARD_NOTE + 1)

struct _RbCardWords {
    GtkWidget parent_instance;
    GtkMenuButton *button; /* owned child */
    GtkCheckButton *checks[WORDS];
    bool is_filling;
};

G_DEFINE_FINAL_TYPE(RbCardWords, rb_card_words, GTK_TYPE_WIDGET)

enum { CHANGED, LOOKING, N_SIGNALS };
static guint signals[N_SIGNALS];

static unsigned bits_of(RbCardWords *words)
{
    unsigned bits = 0;
    for (int i = 0; i < WORDS; i++) {
        bits |= gtk_check_button_get_active(words->checks[i]) ? 1U << i : 0;
    }
    return bits;
}

/* "None", or its words. */
static void show_label(RbCardWords *words)
{
    g_autoptr(GString) label = g_string_new(NULL);
    const unsigned bits = bits_of(words);
    for (int i = 0; i < WORDS; i++) {
        if ((bits & 1U << i) != 0) {
            g_string_append_printf(label, "%s%s", label->len > 0 ? ", " : "",
                                   rb_words_label(&rb_card_words, i));
        }
    }
    const char *shown = label->len > 0 ? label->str : _("None");
    GtkWidget *text = gtk_menu_button_get_child(words->button);
    gtk_label_set_text(GTK_LABEL(text), shown);
    g_autofree char *spoken = g_strdup_printf(_("Title card: %s"), shown);
    gtk_accessible_update_property(GTK_ACCESSIBLE(words->button),
                                   GTK_ACCESSIBLE_PROPERTY_LABEL, spoken, -1);
    gtk_widget_set_tooltip_text(GTK_WIDGET(words->button), shown);
}

void rb_card_words_set(RbCardWords *words, const char *card)
{
    g_return_if_fail(RB_IS_CARD_WORDS(words));
    unsigned bits = 0;
    rb_card_parse(card, &bits, NULL); /* what is stored was checked when it was stored */
    words->is_filling = true;
    for (int i = 0; i < WORDS; i++) {
        gtk_check_button_set_active(words->checks[i], (bits & 1U << i) != 0);
    }
    words->is_filling = false;
    show_label(words);
}

char *rb_card_words_dup(RbCardWords *words)
{
    return rb_card_text(bits_of(words));
}

static void on_toggled(RbCardWords *words)
{
    if (!words->is_filling) {
        show_label(words);
        g_signal_emit(words, signals[CHANGED], 0);
    }
}

static void on_visible(GtkWidget *popover, GParamSpec *spec, RbCardWords *words)
{
    (void)spec;
    g_signal_emit(words, signals[LOOKING], 0, gtk_widget_get_visible(popover));
}

static GtkWidget *popover_new(RbCardWords *words)
{
    GtkWidget *box = gtk_box_new(GTK_ORIENTATION_VERTICAL, 2);
    for (int i = 0; i < WORDS; i++) {
        GtkWidget *check =
            gtk_check_button_new_with_label(rb_words_label(&rb_card_words, i));
        words->checks[i] = GTK_CHECK_BUTTON(check);
        gtk_box_append(GTK_BOX(box), check);
        g_signal_connect_swapped(check, "toggled", G_CALLBACK(on_toggled), words);
    }
    GtkWidget *popover = gtk_popover_new();
    gtk_popover_set_child(GTK_POPOVER(popover), box);
    gtk_popover_set_position(GTK_POPOVER(popover), GTK_POS_TOP);
    g_signal_connect(popover, "notify::visible", G_CALLBACK(on_visible), words);
    return popover;
}

static void rb_card_words_dispose(GObject *object)
{
    RbCardWords *words = RB_CARD_WORDS(object);
    if (words->button != NULL) {
        g_signal_handlers_disconnect_by_data(gtk_menu_button_get_popover(words->button),
                                             words);
        gtk_widget_unparent(GTK_WIDGET(words->button));
        words->button = NULL;
    }
    G_OBJECT_CLASS(rb_card_words_parent_class)->dispose(object);
}

static gboolean rb_card_words_grab_focus(GtkWidget *widget)
{
    return gtk_widget_grab_focus(GTK_WIDGET(RB_CARD_WORDS(widget)->button));
}

/* Opens it: GTK's own answer, to give the focus to the first child that takes it, ends in an
 * endless recursion through a menu button (GTK 4.8). */
static gboolean rb_card_words_mnemonic_activate(GtkWidget *widget, gboolean cycling)
{
    (void)cycling;
    gtk_menu_button_popup(RB_CARD_WORDS(widget)->button);
    return TRUE;
}

static void rb_card_words_class_init(RbCardWordsClass *klass)
{
    G_OBJECT_CLASS(klass)->dispose = rb_card_words_dispose;
    GTK_WIDGET_CLASS(klass)->grab_focus = rb_card_words_grab_focus;
    GTK_WIDGET_CLASS(klass)->mnemonic_activate = rb_card_words_mnemonic_activate;
    gtk_widget_class_set_layout_manager_type(GTK_WIDGET_CLASS(klass),
                                             GTK_TYPE_BIN_LAYOUT);
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_CARD_WORDS, G_SIGNAL_RUN_LAST, 0,
                                    NULL, NULL, NULL, G_TYPE_NONE, 0);
    signals[LOOKING] = g_signal_new("looking", RB_TYPE_CARD_WORDS, G_SIGNAL_RUN_LAST, 0,
                                    NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_BOOLEAN);
}

static void rb_card_words_init(RbCardWords *words)
{
    GtkWidget *label = gtk_label_new(NULL);
    gtk_label_set_ellipsize(GTK_LABEL(label), PANGO_ELLIPSIZE_END);
    gtk_label_set_max_width_chars(GTK_LABEL(label), 40);
    gtk_label_set_xalign(GTK_LABEL(label), 0);
    GtkWidget *button = gtk_menu_button_new();
    gtk_widget_add_css_class(button, "plain");
    words->button = GTK_MENU_BUTTON(button);
    gtk_widget_set_halign(label, GTK_ALIGN_START);
    gtk_menu_button_set_child(words->button, label);
    gtk_menu_button_set_always_show_arrow(words->button, TRUE);
    gtk_menu_button_set_popover(words->button, popover_new(words));
    gtk_widget_set_parent(button, GTK_WIDGET(words));
    show_label(words);
}

RbCardWords *rb_card_words_new(void)
{
    return g_object_new(RB_TYPE_CARD_WORDS, NULL);
}
