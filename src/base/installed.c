/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/installed.h"

#include <glib.h>
#include <stdbool.h>

char *rb_installed_path_of(const char *program, const char *below, const char *configured)
{
    g_autofree char *folder = g_path_get_dirname(program);
    g_autofree char *name = g_path_get_basename(folder);
    g_autofree char *prefix = g_path_get_dirname(folder);
    g_autofree char *beside = g_build_filename(prefix, below, NULL);
    const bool there =
        g_str_equal(name, "bin") && g_file_test(beside, G_FILE_TEST_EXISTS);
    return there ? g_steal_pointer(&beside) : g_strdup(configured);
}

char *rb_installed_path(const char *below, const char *configured)
{
    g_autofree char *program = g_file_read_link("/proc/self/exe", NULL);
    return program != NULL ? rb_installed_path_of(program, below, configured)
                           : g_strdup(configured);
}
