/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "application.h"

#include <glib/gi18n.h>

#include "style.h"
#include "window.h"

struct _RbApplication {
    GtkApplication parent_instance;
};

G_DEFINE_FINAL_TYPE(RbApplication, rb_application, GTK_TYPE_APPLICATION)

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

static void set_keys(GtkApplication *application)
{
    static const struct {
        const char *action;
        const char *keys[3];
    } table[] = {
        { "win.desk::chart", { "<Control>1" } },
        { "win.desk::playbook", { "<Control>2" } },
        { "win.desk::pairings", { "<Control>3" } },
        { "win.desk::quarterback", { "<Control>4" } },
        { "win.desk::cut-ups", { "<Control>5" } },
        { "win.undo", { "<Control>z" } },
        { "win.redo", { "<Control><Shift>z", "<Control>y" } },
        { "win.show-help-overlay", { "<Control>question", "F1" } },
        { "window.close", { "<Control>w", "<Control>q" } },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++) {
        gtk_application_set_accels_for_action(application, table[i].action,
                                              table[i].keys);
    }
}

static void rb_application_startup(GApplication *application)
{
    G_APPLICATION_CLASS(rb_application_parent_class)->startup(application);
    static const GActionEntry actions[] = {
        { .name = "scheme",
          .parameter_type = "s",
          .state = "'system'",
          .change_state = on_scheme },
    };
    g_action_map_add_action_entries(G_ACTION_MAP(application), actions,
                                    G_N_ELEMENTS(actions), application);
    set_keys(GTK_APPLICATION(application));
    rb_style_start(gdk_display_get_default());
}

static void rb_application_activate(GApplication *application)
{
    GtkWindow *window = gtk_application_get_active_window(GTK_APPLICATION(application));
    if (window == NULL) {
        window = GTK_WINDOW(rb_window_new(RB_APPLICATION(application)));
    }
    gtk_window_present(window);
}

static void rb_application_class_init(RbApplicationClass *klass)
{
    GApplicationClass *application_class = G_APPLICATION_CLASS(klass);
    application_class->startup = rb_application_startup;
    application_class->activate = rb_application_activate;
}

static void rb_application_init(RbApplication *application)
{
    (void)application;
}

RbApplication *rb_application_new(void)
{
    return g_object_new(RB_TYPE_APPLICATION, "application-id", RB_APPLICATION_ID, "flags",
                        G_APPLICATION_NON_UNIQUE, NULL);
}
