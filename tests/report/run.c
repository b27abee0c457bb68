/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "run.h"

#include "suite.h"

char *rb_run(const char *format, ...)
{
    va_list args;
    va_start(args, format);
    g_autofree char *command = g_strdup_vprintf(format, args);
    va_end(args);
    char *out = NULL;
    g_autofree char *err = NULL;
    GError *error = NULL;
    int status = 0;
    g_spawn_command_line_sync(command, &out, &err, &status, &error);
    rb_assert_no_error(error);
    ck_assert_msg(status == 0, "%s: %s", command, err);
    return out;
}
