/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include <string.h>

#include "rb/base/told.h"
#include "rb/store/playbook.h"
#include "rb/work/rail.h"

#include "library-private.h"

/* The pairing table needs concept and coverage, a verdict the ball and what came of it; the
 * rest is asked where the concept's rules use it. */
const char *const rb_required_default =
    "play,concept,side-worked,shell,coverage,ball,pressure,throw,catch,result,gain";

bool rb_required_check(const char *list, GError **error)
{
    g_auto(GStrv) tokens = g_strsplit(list, ",", -1);
    for (int i = 0; tokens[i] != NULL; i++) {
        const char *token = g_strstrip(tokens[i]);
        if (*token != '\0' && rb_taggable_parse(token, error) == NULL) {
            return false;
        }
    }
    return true;
}

bool rb_required_has(const char *list, const RbTaggable *field)
{
    g_auto(GStrv) tokens = g_strsplit(list, ",", -1);
    for (int i = 0; tokens[i] != NULL; i++) {
        if (strcmp(g_strstrip(tokens[i]), field->token) == 0) {
            return true;
        }
    }
    return false;
}

char *rb_required_with(const char *list, const RbTaggable *field, bool required)
{
    g_autoptr(GString) made = g_string_new(NULL);
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        const bool is =
            &fields[i] == field ? required : rb_required_has(list, &fields[i]);
        if (is) {
            g_string_append_printf(made, "%s%s", made->len > 0 ? "," : "",
                                   fields[i].token);
        }
    }
    return g_string_free(g_steal_pointer(&made), FALSE);
}

char *rb_library_get_required(RbLibrary *library, GError **error)
{
    GError *failure = NULL;
    char *list =
        rb_store_get_setting(rb_library_store(library), RB_REQUIRED_SETTING, &failure);
    if (failure != NULL) {
        g_propagate_error(error, failure);
        return NULL;
    }
    return list != NULL ? list : g_strdup(rb_required_default);
}

/* "tags required of every dropback changed: + Motion, - Gain". Returns: told (transfer
 * full) (nullable): NULL when both lists say the same. */
static char *change_words(const char *before, const char *after)
{
    g_autoptr(GString) words = g_string_new(NULL);
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        const bool was = rb_required_has(before, &fields[i]);
        const bool is = rb_required_has(after, &fields[i]);
        if (was != is) {
            g_autofree char *label = rb_told_word(fields[i].label);
            g_autofree char *sign = g_strconcat(is ? "+ " : "- ", label, NULL);
            rb_told_list(words, sign);
        }
    }
    return words->len > 0
               ? rb_told("tags required of every dropback changed: %s", words->str)
               : NULL;
}

bool rb_library_set_required(RbLibrary *library, const char *list, char **told,
                             GError **error)
{
    g_autofree char *before = rb_library_get_required(library, error);
    if (before == NULL || !rb_required_check(list, error)) {
        return false;
    }
    g_autofree char *words = change_words(before, list);
    if (words != NULL) {
        if (!rb_library_begin(library, words, error)) {
            return false;
        }
        if (!rb_store_set_setting(rb_library_store(library), RB_REQUIRED_SETTING, list,
                                  error)) {
            rb_library_rollback(library);
            return false;
        }
        if (!rb_library_commit(library, false, error)) {
            return false;
        }
    }
    if (told != NULL) {
        *told = words != NULL ? rb_told_show(words) : NULL;
    }
    return true;
}
