/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/base/locale.h"

#include <glib.h>
#include <libintl.h>
#include <locale.h>

#include "rb/base/installed.h"

/* Built but not installed, a program lies in src/NAME of the build folder, translations in po. */
char *rb_locale_folder_of(const char *program)
{
    g_autofree char *folder = g_path_get_dirname(program);
    g_autofree char *parts = g_path_get_dirname(folder);
    g_autofree char *name = g_path_get_basename(parts);
    g_autofree char *root = g_path_get_dirname(parts);
    g_autofree char *built = g_build_filename(root, "po", NULL);
    if (g_str_equal(name, "src") && g_file_test(built, G_FILE_TEST_IS_DIR)) {
        return g_steal_pointer(&built);
    }
    return rb_installed_path_of(program, RB_LOCALE_BELOW, RB_LOCALE_DIR);
}

void rb_locale_start(void)
{
    setlocale(LC_ALL, "");
    g_autofree char *program = g_file_read_link("/proc/self/exe", NULL);
    g_autofree char *folder = rb_locale_folder_of(program != NULL ? program : "");
    bindtextdomain(GETTEXT_PACKAGE, folder);
    bind_textdomain_codeset(GETTEXT_PACKAGE, "UTF-8");
    textdomain(GETTEXT_PACKAGE);
}
