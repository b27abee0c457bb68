/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The files around a play log: itself, and the rows that were left out. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <sys/stat.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/log-import.h"

GBytes *rb_log_read_file(const char *path, GError **error)
{
    struct stat facts;
    char *text = NULL;
    gsize size = 0;
    if (stat(path, &facts) != 0 || !S_ISREG(facts.st_mode) ||
        facts.st_size > RB_LOG_BYTES_MAX) {
        rb_error_set(
            error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
            _("%s is not a file that can be read as a play log (at most 32 MB)."), path);
        return NULL;
    }
    return g_file_get_contents(path, &text, &size, error) ? g_bytes_new_take(text, size)
                                                          : NULL;
}

char *rb_log_write_rejected(const RbLogPlan *plan, const char *log_path, GError **error)
{
    if (plan->reading->bad == 0) {
        return NULL;
    }
    g_autofree char *path = g_strconcat(log_path, ".left-out.csv", NULL);
    for (int i = 2; g_file_test(path, G_FILE_TEST_EXISTS); i++) {
        g_free(path);
        path = g_strdup_printf("%s.left-out-%d.csv", log_path, i);
    }
    g_autofree char *text = rb_log_rejected_text(plan->reading);
    return g_file_set_contents(path, text, -1, error) ? g_steal_pointer(&path) : NULL;
}
