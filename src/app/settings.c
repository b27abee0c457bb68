/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "settings.h"

#include "rb/base/installed.h"

#define SCHEMA "org.readbreak.Readbreak"

/* Returns: (transfer full) (nullable). */
static GSettingsSchema *schema_in(const char *folder)
{
    g_autoptr(GSettingsSchemaSource) source = g_settings_schema_source_new_from_directory(
        folder, g_settings_schema_source_get_default(), FALSE, NULL);
    return source != NULL ? g_settings_schema_source_lookup(source, SCHEMA, FALSE) : NULL;
}

/* The build folder's lies in src/app, beside the program or beside tests/app. An installed program has a
 * compiled copy of its own, since the desktop's is only made where packages are installed. */
static GSettingsSchema *find_schema(void)
{
    g_autofree char *program = g_file_read_link("/proc/self/exe", NULL);
    g_autofree char *folder = g_path_get_dirname(program != NULL ? program : ".");
    g_autofree char *built = g_build_filename(folder, "..", "..", "src", "app", NULL);
    g_autofree char *installed = rb_installed_path(RB_DATA_BELOW, RB_DATA_DIR);
    GSettingsSchema *schema = schema_in(built);
    if (schema == NULL) {
        schema = schema_in(installed);
    }
    GSettingsSchemaSource *usual = g_settings_schema_source_get_default();
    return schema == NULL && usual != NULL
               ? g_settings_schema_source_lookup(usual, SCHEMA, TRUE)
               : schema;
}

GSettings *rb_settings_get(void)
{
    static GSettings *settings;
    if (settings == NULL) {
        g_autoptr(GSettingsSchema) schema = find_schema();
        if (schema == NULL) {
            g_error("The settings schema %s is missing; install Readbreak again.",
                    SCHEMA);
        }
        settings = g_settings_new_full(schema, NULL, NULL);
    }
    return settings;
}
