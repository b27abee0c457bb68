/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "keys.h"

/* With Ctrl or Alt a key acts wherever the focus is, and so does a function key that means the same
 * on every desk; of all others, what has the focus comes first. */
static bool is_for_application(int row, const char *accelerator)
{
    guint keyval = 0;
    GdkModifierType state = 0;
    return gtk_accelerator_parse(accelerator, &keyval, &state) &&
           ((state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0 ||
            (rb_key_table[row].group == RB_KEYS_EVERYWHERE && keyval >= GDK_KEY_F1 &&
             keyval <= GDK_KEY_F12));
}

static void add_shortcut(GtkShortcutController *controller, const char *action,
                         const char *accelerator)
{
    guint keyval = 0;
    GdkModifierType state = 0;
    g_autofree char *name = NULL;
    g_autoptr(GVariant) target = NULL;
    if (!gtk_accelerator_parse(accelerator, &keyval, &state) ||
        !g_action_parse_detailed_name(action, &name, &target, NULL)) {
        g_warning("The key %s of %s cannot be bound", accelerator, action);
        return;
    }
    GtkShortcut *shortcut = gtk_shortcut_new(gtk_keyval_trigger_new(keyval, state),
                                             gtk_named_action_new(name));
    gtk_shortcut_set_arguments(shortcut, target);
    gtk_shortcut_controller_add_shortcut(controller, shortcut);
}

static void clear(GtkShortcutController *controller)
{
    GListModel *model = G_LIST_MODEL(controller);
    while (g_list_model_get_n_items(model) > 0) {
        g_autoptr(GtkShortcut) shortcut = g_list_model_get_item(model, 0);
        gtk_shortcut_controller_remove_shortcut(controller, shortcut);
    }
}

static void fill_controller(RbKeys *keys, GtkShortcutController *controller)
{
    clear(controller);
    for (int row = 0; row < rb_n_keys; row++) {
        const char *action = rb_key_table[row].action;
        g_auto(GStrv) list = g_strsplit(rb_keys_of(keys, row), " ", -1);
        for (char **accelerator = list; action != NULL && *accelerator != NULL;
             accelerator++) {
            if (!is_for_application(row, *accelerator)) {
                add_shortcut(controller, action, *accelerator);
            }
        }
    }
}

static void fill_application(RbKeys *keys, GtkApplication *application)
{
    for (int row = 0; row < rb_n_keys; row++) {
        const char *action = rb_key_table[row].action;
        g_auto(GStrv) list = g_strsplit(rb_keys_of(keys, row), " ", -1);
        g_autoptr(GPtrArray) its = g_ptr_array_new();
        for (char **accelerator = list; *accelerator != NULL; accelerator++) {
            if (is_for_application(row, *accelerator)) {
                g_ptr_array_add(its, *accelerator);
            }
        }
        g_ptr_array_add(its, NULL);
        if (action != NULL) {
            gtk_application_set_accels_for_action(application, action,
                                                  (const char *const *)its->pdata);
        }
    }
}

void rb_keys_bind(RbKeys *keys, GtkShortcutController *controller)
{
    fill_controller(keys, controller);
    g_signal_connect_object(keys, "changed", G_CALLBACK(fill_controller), controller, 0);
}

void rb_keys_bind_application(RbKeys *keys, GtkApplication *application)
{
    fill_application(keys, application);
    g_signal_connect_object(keys, "changed", G_CALLBACK(fill_application), application,
                            0);
}
