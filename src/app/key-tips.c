/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "key-tips.h"

#include <string.h>

/* What a button says, with the place for its key. */
typedef struct {
    RbKeys *keys;  /* borrowed: lives as long as the program */
    char *action;  /* owned: detailed */
    char *tooltip; /* owned, nullable */
    char *label;   /* owned, nullable */
} Tip;

static void tip_free(void *pointer)
{
    Tip *tip = pointer;
    g_free(tip->action);
    g_free(tip->tooltip);
    g_free(tip->label);
    g_free(tip);
}

char *rb_key_tip_text(RbKeys *keys, const char *words, const char *action)
{
    g_autofree char *key = rb_keys_text_of(keys, action);
    GString *text = g_string_new(words);
    if (*key == '\0') {
        g_string_replace(text, " (%s)", "", 0);
    }
    g_string_replace(text, "%s", key, 0);
    return g_string_free(text, FALSE);
}

static void show(GtkWidget *button)
{
    const Tip *tip = g_object_get_data(G_OBJECT(button), "rb-key-tip");
    if (tip->tooltip != NULL) {
        g_autofree char *text = rb_key_tip_text(tip->keys, tip->tooltip, tip->action);
        gtk_widget_set_tooltip_text(button, text);
    }
    if (tip->label != NULL) {
        g_autofree char *text = rb_key_tip_text(tip->keys, tip->label, tip->action);
        gtk_button_set_label(GTK_BUTTON(button), text);
    }
}

/* Returns: (transfer full) (nullable): NULL when there is no place for a key in it. */
static char *template_of(const char *words)
{
    return words != NULL && strstr(words, "%s") != NULL ? g_strdup(words) : NULL;
}

static void follow(GtkWidget *button, RbKeys *keys)
{
    const char *name = gtk_actionable_get_action_name(GTK_ACTIONABLE(button));
    g_autofree char *tooltip = template_of(gtk_widget_get_tooltip_text(button));
    g_autofree char *label = template_of(gtk_button_get_label(GTK_BUTTON(button)));
    if (name == NULL || (tooltip == NULL && label == NULL)) {
        return;
    }
    Tip *tip = g_new0(Tip, 1);
    tip->keys = keys;
    tip->action = g_action_print_detailed_name(
        name, gtk_actionable_get_action_target_value(GTK_ACTIONABLE(button)));
    tip->tooltip = g_steal_pointer(&tooltip);
    tip->label = g_steal_pointer(&label);
    g_object_set_data_full(G_OBJECT(button), "rb-key-tip", tip, tip_free);
    g_signal_connect_object(keys, "changed", G_CALLBACK(show), button, G_CONNECT_SWAPPED);
    show(button);
}

void rb_key_tips_follow(GtkWidget *root, RbKeys *keys)
{
    if (GTK_IS_BUTTON(root)) {
        follow(root, keys);
        return;
    }
    for (GtkWidget *child = gtk_widget_get_first_child(root); child != NULL;
         child = gtk_widget_get_next_sibling(child)) {
        rb_key_tips_follow(child, keys);
    }
}
