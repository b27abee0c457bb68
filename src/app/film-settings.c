/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "film-settings.h"

#include "rb/film/small-pictures.h"

#define GROUP "film"
#define MEGABYTE (INT64_C(1) << 20)
#define GIGABYTE (INT64_C(1) << 30)

struct _RbFilmSettings {
    GObject parent_instance;
    int memory_mb; /* 0: automatic */
    int disk_gb;
    gboolean whole;
    gboolean sound;
    gboolean touched; /* by the user, before what was kept could be read */
    GFile *file;      /* owned */
};

G_DEFINE_FINAL_TYPE(RbFilmSettings, rb_film_settings, G_TYPE_OBJECT)

enum { CHANGED, N_SIGNALS };
static guint signals[N_SIGNALS];

/* A missing or damaged file leaves what is. */
static void use_kept(RbFilmSettings *settings, const char *text, gsize n)
{
    g_autoptr(GKeyFile) file = g_key_file_new();
    if (settings->touched || !g_key_file_load_from_data(file, text, n, 0, NULL)) {
        return;
    }
    g_autoptr(GError) error = NULL;
    const int memory = g_key_file_get_integer(file, GROUP, "memory-mb", NULL);
    const int disk = g_key_file_get_integer(file, GROUP, "disk-gb", &error);
    settings->memory_mb = CLAMP(memory, 0, 65536);
    settings->disk_gb = error == NULL ? CLAMP(disk, 0, 4096) : settings->disk_gb;
    settings->whole = g_key_file_get_boolean(file, GROUP, "whole-films", NULL);
    settings->sound = g_key_file_get_boolean(file, GROUP, "sound", NULL);
    g_signal_emit(settings, signals[CHANGED], 0);
}

static void on_loaded(GObject *file, GAsyncResult *result, gpointer data)
{
    g_autoptr(RbFilmSettings) settings = data;
    g_autofree char *text = NULL;
    gsize n = 0;
    if (g_file_load_contents_finish(G_FILE(file), result, &text, &n, NULL, NULL)) {
        use_kept(settings, text, n);
    }
}

static void on_kept(GObject *file, GAsyncResult *result, gpointer data)
{
    (void)data;
    g_autoptr(GError) error = NULL;
    if (!g_file_replace_contents_finish(G_FILE(file), result, NULL, &error)) {
        g_message("The film settings could not be kept: %s", error->message);
    }
}

static void keep(RbFilmSettings *settings)
{
    g_autoptr(GKeyFile) file = g_key_file_new();
    g_key_file_set_integer(file, GROUP, "memory-mb", settings->memory_mb);
    g_key_file_set_integer(file, GROUP, "disk-gb", settings->disk_gb);
    g_key_file_set_boolean(file, GROUP, "whole-films", settings->whole);
    g_key_file_set_boolean(file, GROUP, "sound", settings->sound);
    gsize n = 0;
    g_autofree char *text = g_key_file_to_data(file, &n, NULL);
    g_autoptr(GBytes) bytes = g_bytes_new_take(g_steal_pointer(&text), n);
    g_file_replace_contents_bytes_async(settings->file, bytes, NULL, FALSE, 0, NULL,
                                        on_kept, NULL);
    settings->touched = TRUE;
    g_signal_emit(settings, signals[CHANGED], 0);
}

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
    return settings->memory_mb * MEGABYTE;
}

int64_t rb_film_settings_get_disk(RbFilmSettings *settings)
{
    return settings->disk_gb * GIGABYTE;
}

gboolean rb_film_settings_get_whole(RbFilmSettings *settings)
{
    return settings->whole;
}

gboolean rb_film_settings_get_sound(RbFilmSettings *settings)
{
    return settings->sound;
}

static void on_memory(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)data;
    RbFilmSettings *settings = rb_film_settings_get();
    g_simple_action_set_state(action, value);
    settings->memory_mb = g_variant_get_int32(value);
    keep(settings);
}

static void on_disk(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)data;
    RbFilmSettings *settings = rb_film_settings_get();
    g_simple_action_set_state(action, value);
    settings->disk_gb = g_variant_get_int32(value);
    keep(settings);
}

static void on_whole(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)data;
    RbFilmSettings *settings = rb_film_settings_get();
    g_simple_action_set_state(action, value);
    settings->whole = g_variant_get_boolean(value);
    keep(settings);
}

static void on_sound(GSimpleAction *action, GVariant *value, gpointer data)
{
    (void)data;
    RbFilmSettings *settings = rb_film_settings_get();
    g_simple_action_set_state(action, value);
    settings->sound = g_variant_get_boolean(value);
    keep(settings);
}

static void set_state(GActionMap *map, const char *name, GVariant *value)
{
    GAction *action = g_action_map_lookup_action(map, name);
    g_simple_action_set_state(G_SIMPLE_ACTION(action), value);
}

static void show_states(GActionMap *map, RbFilmSettings *settings)
{
    set_state(map, "memory", g_variant_new_int32(settings->memory_mb));
    set_state(map, "disk", g_variant_new_int32(settings->disk_gb));
    set_state(map, "whole", g_variant_new_boolean(settings->whole));
    set_state(map, "sound", g_variant_new_boolean(settings->sound));
}

static void on_changed(RbFilmSettings *settings, gpointer map)
{
    show_states(map, settings);
}

void rb_film_settings_add_actions(GActionMap *map)
{
    static const GActionEntry entries[] = {
        { .name = "memory",
          .parameter_type = "i",
          .state = "0",
          .change_state = on_memory },
        { .name = "disk", .parameter_type = "i", .state = "4", .change_state = on_disk },
        { .name = "whole", .state = "false", .change_state = on_whole },
        { .name = "sound", .state = "false", .change_state = on_sound },
    };
    g_action_map_add_action_entries(map, entries, G_N_ELEMENTS(entries), NULL);
    RbFilmSettings *settings = rb_film_settings_get();
    show_states(map, settings);
    g_signal_connect_object(settings, "changed", G_CALLBACK(on_changed), map, 0);
}

static void rb_film_settings_finalize(GObject *object)
{
    g_object_unref(RB_FILM_SETTINGS(object)->file);
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
    settings->disk_gb = (int)(rb_small_default_budget() / GIGABYTE);
    g_autofree char *path =
        g_build_filename(g_get_user_config_dir(), "readbreak-film.conf", NULL);
    settings->file = g_file_new_for_path(path);
    g_file_load_contents_async(settings->file, NULL, on_loaded, g_object_ref(settings));
}
