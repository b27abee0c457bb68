/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "application.h"

#include <glib/gi18n.h>

#include "keys.h"
#include "style.h"
#include "window.h"

struct _RbApplication {
    GtkApplication parent_instance;
};

G_DEFINE_FINAL_TYPE(RbApplication, rb_application, GTK_TYPE_APPLICATION)

static RbWindow *the_window(RbApplication *application)
{
    GtkWindow *window = gtk_application_get_active_window(GTK_APPLICATION(application));
    return window != NULL ? RB_WINDOW(window) : rb_window_new(application);
}

static void on_scheme(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)data;
    static const char *const words[] = { "system", "light", "dark" };
    for (int i = 0; i < 3; i++) {
        if (g_str_equal(g_variant_get_string(value, NULL), words[i])) {
            rb_style_set_scheme((RbStyleScheme)i);
            g_simple_action_set_state(action, value);
        }
    }
}

static void on_open_demo(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)action;
    (void)value;
    rb_session_open_demo(rb_window_get_session(the_window(data)));
}

static void rb_application_startup(GApplication *application)
{
    G_APPLICATION_CLASS(rb_application_parent_class)->startup(application);
    static const GActionEntry actions[] = {
        { .name = "scheme",
          .parameter_type = "s",
          .state = "'system'",
          .change_state = on_scheme },
        { .name = "open-demo", .activate = on_open_demo },
    };
    g_action_map_add_action_entries(G_ACTION_MAP(application), actions,
                                    G_N_ELEMENTS(actions), application);
    rb_keys_bind_application(rb_keys_get(), GTK_APPLICATION(application));
    gtk_window_set_default_icon_name(RB_APPLICATION_ID);
    rb_style_start(gdk_display_get_default());
}

static void rb_application_activate(GApplication *application)
{
    RbWindow *window = the_window(RB_APPLICATION(application));
    RbSession *session = rb_window_get_session(window);
    if (rb_session_get_state(session) == RB_SESSION_EMPTY) {
        rb_session_open_demo(session);
    }
    gtk_window_present(GTK_WINDOW(window));
}

static void rb_application_open(GApplication *application, GFile **files, int n_files,
                                const char *hint)
{
    (void)n_files; /* one window, one library: the first */
    (void)hint;
    RbWindow *window = the_window(RB_APPLICATION(application));
    g_autofree char *path = g_file_get_path(files[0]);
    if (path != NULL) {
        rb_session_open(rb_window_get_session(window), path);
    } else {
        g_autofree char *uri = g_file_get_uri(files[0]);
        g_autofree char *sentence = g_strdup_printf(
            _("%s is not a file on this computer: a library must be."), uri);
        rb_window_say(window, sentence);
    }
    gtk_window_present(GTK_WINDOW(window));
}

static void rb_application_class_init(RbApplicationClass *klass)
{
    GApplicationClass *application_class = G_APPLICATION_CLASS(klass);
    application_class->startup = rb_application_startup;
    application_class->activate = rb_application_activate;
    application_class->open = rb_application_open;
}

static void rb_application_init(RbApplication *application)
{
    g_application_set_option_context_parameter_string(G_APPLICATION(application),
                                                      _("[LIBRARY]"));
    g_application_set_option_context_summary(
        G_APPLICATION(application),
        _("Opens a library of game film, tags and verdicts; without one, the demo season "
          "in your data folder, made on the first run."));
}

RbApplication *rb_application_new(void)
{
    return g_object_new(RB_TYPE_APPLICATION, "application-id", RB_APPLICATION_ID, "flags",
                        G_APPLICATION_NON_UNIQUE | G_APPLICATION_HANDLES_OPEN, NULL);
}
