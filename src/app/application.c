/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "application.h"

#include <glib/gi18n.h>
#include <stdio.h>
#include <stdlib.h>

#include "help-key.h"
#include "keys.h"
#include "manual.h"
#include "settings.h"
#include "style.h"
#include "window.h"

struct _RbApplication {
    GtkApplication parent_instance;
    bool wants_demo;
};

G_DEFINE_FINAL_TYPE(RbApplication, rb_application, GTK_TYPE_APPLICATION)

static RbWindow *the_window(RbApplication *application)
{
    GtkWindow *window = gtk_application_get_active_window(GTK_APPLICATION(application));
    return window != NULL ? RB_WINDOW(window) : rb_window_new(application);
}

/* The window that has the library, else one that has none yet. */
static RbWindow *window_for(RbApplication *application, const char *path)
{
    RbWindow *empty = NULL;
    GList *windows = gtk_application_get_windows(GTK_APPLICATION(application));
    for (GList *at = windows; at != NULL; at = at->next) {
        RbSession *session =
            RB_IS_WINDOW(at->data) ? rb_window_get_session(at->data) : NULL;
        if (session == NULL) {
            continue;
        }
        if (g_strcmp0(rb_session_get_path(session), path) == 0) {
            return at->data;
        }
        if (rb_session_get_state(session) == RB_SESSION_EMPTY) {
            empty = at->data;
        }
    }
    return empty != NULL ? empty : rb_window_new(application);
}

static void take_scheme(GSettings *settings)
{
    static const char *const words[] = { "system", "light", "dark" };
    g_autofree char *chosen = g_settings_get_string(settings, "scheme");
    for (int i = 0; i < 3; i++) {
        if (g_str_equal(chosen, words[i])) {
            rb_style_set_scheme((RbStyleScheme)i);
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
        { .name = "open-demo", .activate = on_open_demo },
    };
    g_action_map_add_action_entries(G_ACTION_MAP(application), actions,
                                    G_N_ELEMENTS(actions), application);
    rb_keys_bind_application(rb_keys_get(), GTK_APPLICATION(application));
    rb_help_key_serve();
    gtk_window_set_default_icon_name(RB_APPLICATION_ID);
    rb_style_start(gdk_display_get_default());
    GSettings *settings = rb_settings_get();
    g_autoptr(GAction) scheme = g_settings_create_action(settings, "scheme");
    g_action_map_add_action(G_ACTION_MAP(application), scheme);
    g_signal_connect_object(settings, "changed::scheme", G_CALLBACK(take_scheme),
                            application, 0);
    take_scheme(settings);
}

static void rb_application_activate(GApplication *application)
{
    RbApplication *self = RB_APPLICATION(application);
    RbWindow *window = the_window(self);
    RbSession *session = rb_window_get_session(window);
    if (rb_session_get_state(session) == RB_SESSION_EMPTY && self->wants_demo) {
        rb_session_open_demo(session);
    } else if (rb_session_get_state(session) == RB_SESSION_EMPTY) {
        rb_session_ask_last(session);
    }
    gtk_window_present(GTK_WINDOW(window));
}

static void rb_application_open(GApplication *application, GFile **files, int n_files,
                                const char *hint)
{
    (void)n_files; /* one window, one library: the first */
    (void)hint;
    g_autofree char *path = g_file_get_path(files[0]);
    RbWindow *window = path != NULL ? window_for(RB_APPLICATION(application), path)
                                    : the_window(RB_APPLICATION(application));
    RbSession *session = rb_window_get_session(window);
    if (path != NULL && g_strcmp0(rb_session_get_path(session), path) != 0) {
        rb_session_open(session, path);
    } else if (path == NULL) {
        g_autofree char *uri = g_file_get_uri(files[0]);
        g_autofree char *sentence = g_strdup_printf(
            _("%s is not a file on this computer: a library must be."), uri);
        rb_window_say(window, sentence);
    }
    gtk_window_present(GTK_WINDOW(window));
}

/* Before a display is needed. */
static int rb_application_handle_local_options(GApplication *application,
                                               GVariantDict *options)
{
    RB_APPLICATION(application)->wants_demo = g_variant_dict_contains(options, "demo");
    if (g_variant_dict_contains(options, "manual")) {
        rb_print_manual(stdout);
        return EXIT_SUCCESS;
    }
    if (g_variant_dict_contains(options, "version")) {
        puts("Readbreak " RB_VERSION);
        return EXIT_SUCCESS;
    }
    return -1; /* go on */
}

static void rb_application_class_init(RbApplicationClass *klass)
{
    GApplicationClass *application_class = G_APPLICATION_CLASS(klass);
    application_class->startup = rb_application_startup;
    application_class->activate = rb_application_activate;
    application_class->open = rb_application_open;
    application_class->handle_local_options = rb_application_handle_local_options;
}

static void rb_application_init(RbApplication *application)
{
    g_application_set_option_context_parameter_string(G_APPLICATION(application),
                                                      _(rb_manual_parameter));
    g_application_set_option_context_summary(G_APPLICATION(application),
                                             _(rb_manual_summary));
    g_application_add_main_option_entries(G_APPLICATION(application), rb_manual_entries);
}

RbApplication *rb_application_new(bool is_service)
{
    GApplicationFlags flags = G_APPLICATION_HANDLES_OPEN;
    if (!is_service) {
        flags |= G_APPLICATION_NON_UNIQUE;
    }
    return g_object_new(RB_TYPE_APPLICATION, "application-id", RB_APPLICATION_ID, "flags",
                        flags, NULL);
}
