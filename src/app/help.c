/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "help.h"

#include <glib/gi18n.h>

#include "rb/stats/measure.h"

#include "help-window.h"

#define FOLDER "/org/readbreak/Readbreak/help"
#define TOPIC "rb-help-topic"

const char *const rb_help_pages[] = {
    "index.html",    "first-game.html", "tagging.html",   "concept.html",
    "pairings.html", "figures.html",    "measuring.html", "cutups.html",
    "exchange.html", "privacy.html",    "open-data.html", NULL,
};

static void on_press(GtkGestureClick *press, int n, double x, double y, GtkWidget *label)
{
    (void)n;
    (void)x;
    (void)y;
    GtkRoot *root = gtk_widget_get_root(label);
    const char *link = gtk_label_get_current_uri(GTK_LABEL(label));
    if (link == NULL && GTK_IS_WINDOW(root)) {
        gtk_gesture_set_state(GTK_GESTURE(press), GTK_EVENT_SEQUENCE_CLAIMED);
        rb_help_window_open(GTK_WINDOW(root), rb_help_topic_of(label));
    }
}

void rb_help_mark(GtkWidget *widget, const char *topic)
{
    const bool again = g_object_get_data(G_OBJECT(widget), TOPIC) != NULL;
    g_object_set_data(G_OBJECT(widget), TOPIC, (gpointer)topic);
    if (GTK_IS_LABEL(widget) && !again) {
        GtkGesture *press = gtk_gesture_click_new();
        g_signal_connect(press, "released", G_CALLBACK(on_press), widget);
        gtk_widget_add_controller(widget, GTK_EVENT_CONTROLLER(press));
        gtk_widget_set_cursor_from_name(widget, "help");
        if (gtk_widget_get_tooltip_text(widget) == NULL) {
            gtk_widget_set_tooltip_text(widget, _("What this means"));
        }
    }
}

const char *rb_help_topic_of(GtkWidget *widget)
{
    for (; widget != NULL; widget = gtk_widget_get_parent(widget)) {
        const char *topic = g_object_get_data(G_OBJECT(widget), TOPIC);
        if (topic != NULL) {
            return topic;
        }
    }
    return "index.html";
}

const char *rb_help_measure_topic(int measure)
{
    static char *topics[RB_MEASURES];
    g_return_val_if_fail(measure >= 0 && measure < RB_MEASURES, NULL);
    if (topics[measure] == NULL) {
        topics[measure] = g_strconcat("figures.html#",
                                      rb_words_token(&rb_measure_words, measure), NULL);
    }
    return topics[measure];
}

static GBytes *load_of(const char *language, const char *page)
{
    g_autofree char *path = g_strdup_printf(FOLDER "/%s/%s", language, page);
    return g_resources_lookup_data(path, G_RESOURCE_LOOKUP_FLAGS_NONE, NULL);
}

GBytes *rb_help_load(const char *page)
{
    GBytes *bytes = NULL;
    for (const char *const *at = g_get_language_names(); bytes == NULL && *at != NULL;
         at++) {
        bytes = load_of(*at, page);
    }
    return bytes != NULL ? bytes : load_of("C", page);
}
