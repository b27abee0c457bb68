/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-settings.h"

#include "settings.h"

#define MEGABYTE (INT64_C(1) << 20)
#define GIGABYTE (INT64_C(1) << 30)

struct _RbFilmSettings {
    GObject parent_instance;
    GSettings *kept; /* owned */
};

G_DEFINE_FINAL_TYPE(RbFilmSettings, rb_film_settings, G_TYPE_OBJECT)

enum { CHANGED, N_SIGNALS };
static guint signals[N_SIGNALS];

RbFilmSettings *rb_film_settings_get(void)
{
    static RbFilmSettings *settings;
    if (settings == NULL) {
        settings = g_object_new(RB_TYPE_FILM_SETTINGS, NULL);
    }
    return settings;
}

int64_t rb_film_settings_get_memory(RbFilmSettings *settings)
{
    return g_settings_get_int(settings->kept, "memory") * MEGABYTE;
}

int64_t rb_film_settings_get_disk(RbFilmSettings *settings)
{
    return g_settings_get_int(settings->kept, "disk") * GIGABYTE;
}

gboolean rb_film_settings_get_whole(RbFilmSettings *settings)
{
    return g_settings_get_boolean(settings->kept, "whole");
}

gboolean rb_film_settings_get_sound(RbFilmSettings *settings)
{
    return g_settings_get_boolean(settings->kept, "sound");
}

gboolean rb_film_settings_get_stills(RbFilmSettings *settings)
{
    return g_settings_get_boolean(settings->kept, "stills");
}

void rb_film_settings_add_actions(GActionMap *map)
{
    static const char *const keys[] = { "memory", "disk", "whole", "sound", "stills" };
    RbFilmSettings *settings = rb_film_settings_get();
    for (size_t i = 0; i < G_N_ELEMENTS(keys); i++) {
        g_autoptr(GAction) action = g_settings_create_action(settings->kept, keys[i]);
        g_action_map_add_action(map, action);
    }
}

static void on_changed(RbFilmSettings *settings)
{
    g_signal_emit(settings, signals[CHANGED], 0);
}

static void rb_film_settings_finalize(GObject *object)
{
    g_object_unref(RB_FILM_SETTINGS(object)->kept);
    G_OBJECT_CLASS(rb_film_settings_parent_class)->finalize(object);
}

static void rb_film_settings_class_init(RbFilmSettingsClass *klass)
{
    G_OBJECT_CLASS(klass)->finalize = rb_film_settings_finalize;
    signals[CHANGED] = g_signal_new("changed", RB_TYPE_FILM_SETTINGS, G_SIGNAL_RUN_LAST,
                                    0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void rb_film_settings_init(RbFilmSettings *settings)
{
    settings->kept = g_settings_get_child(rb_settings_get(), "film");
    g_signal_connect_swapped(settings->kept, "changed", G_CALLBACK(on_changed), settings);
}
