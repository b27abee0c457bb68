/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/error.h"
#include "rb/film/error.h"
#include "rb/film/helper.h"

#include "helper-process.h"

enum { WORDS_MAX = 4096 };

char *rb_film_helper_versions(GError **error)
{
    g_autofree char *path = rb_film_find_helper(error);
    if (path == NULL) {
        return NULL;
    }
    char *words[] = { path, (char *)RB_HELPER_VERSIONS, NULL };
    g_autofree char *out = NULL;
    int status = 0;
    if (!g_spawn_sync(NULL, words, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &out,
                      NULL, &status, error) ||
        !g_spawn_check_wait_status(status, error)) {
        return NULL;
    }
    if (strlen(out) > WORDS_MAX || !g_utf8_validate(out, -1, NULL)) {
        rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
                     "The program that reads films, \"%s\", does not say what it is made "
                     "of; install Readbreak again.",
                     path);
        return NULL;
    }
    return g_strdup(g_strchomp(out));
}
