/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/saved-filters.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/told.h"
#include "rb/store/filters.h"
#include "rb/work/error.h"
#include "rb/work/filter-text.h"

#include "library-private.h"

#define NAME_MAX_BYTES 200

/* ";" and "," part the clauses and values of a written filter. */
static bool check_name(const char *name, GError **error)
{
    if (name[0] == '\0') {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("A saved filter needs a name: type one."));
    }
    if (strlen(name) > NAME_MAX_BYTES || !g_utf8_validate(name, -1, NULL)) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("The name of the filter is too long: %d letters are room "
                              "enough."),
                            NAME_MAX_BYTES / 4);
    }
    return strpbrk(name, ";,") == NULL ||
           rb_error_set(
               error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
               _("The name \"%s\" has a comma or semicolon, which part the pieces "
                 "of a filter: leave them out."),
               name);
}

static const RbSavedFilter *find(const RbNames *names, const char *name)
{
    const GPtrArray *all = rb_names_filters(names);
    g_autofree char *wanted = g_utf8_casefold(name, -1);
    for (guint i = 0; i < all->len; i++) {
        const RbSavedFilter *saved = all->pdata[i];
        g_autofree char *have = g_utf8_casefold(saved->name, -1);
        if (strcmp(have, wanted) == 0) {
            return saved;
        }
    }
    return NULL;
}

/* There is no such filter, and which there are. Returns NULL. */
static const RbSavedFilter *refuse(const RbNames *names, const char *name, GError **error)
{
    const GPtrArray *all = rb_names_filters(names);
    g_autoptr(GString) list = g_string_new(NULL);
    for (guint i = 0; i < all->len; i++) {
        const RbSavedFilter *saved = all->pdata[i];
        g_string_append_printf(list, "%s\"%s\"", i > 0 ? ", " : "", saved->name);
    }
    const char *held = all->len > 0 ? list->str : _("none yet");
    if (all->len == 1) {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("There is no saved filter \"%s\"; there is %s."), name, held);
    } else {
        rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND,
                     _("There is no saved filter \"%s\"; there are %s."), name, held);
    }
    return NULL;
}

RbFilter *rb_names_parse_filter(const RbNames *names, const char *name, GError **error)
{
    const RbSavedFilter *saved = find(names, name);
    if (saved == NULL) {
        refuse(names, name, error);
        return NULL;
    }
    RbFilter *filter = rb_filter_from_text(saved->filter, error);
    if (filter == NULL) {
        g_prefix_error(error, _("The saved filter \"%s\" cannot be read; save it anew. "),
                       saved->name);
    }
    return filter;
}

static bool write_filter(RbLibrary *library, const RbSavedFilter *saved, bool remove,
                         char **words, GError **error)
{
    g_autofree char *done = remove ? rb_told("Saved filter %s removed", saved->name)
                                   : rb_told("Filter %s saved", saved->name);
    RbStore *store = rb_library_store(library);
    if (!rb_library_begin(library, done, error)) {
        return false;
    }
    const bool written = remove ? rb_store_remove_saved_filter(store, saved->id, error)
                                : rb_store_save_saved_filter(store, saved, error);
    if (!written) {
        rb_library_rollback(library);
        return false;
    }
    if (!rb_library_commit(library, true, error)) {
        return false;
    }
    if (words != NULL) {
        *words = rb_told_show(done);
    }
    return true;
}

bool rb_library_save_filter(RbLibrary *library, const char *name, const RbFilter *filter,
                            char **words, GError **error)
{
    g_autofree char *clean = g_strstrip(g_strdup(name));
    if (!check_name(clean, error)) {
        return false;
    }
    if (filter->clauses->len == 0) {
        return rb_error_set(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE,
                            _("There is no filter to save: everything is shown. Add one "
                              "first."));
    }
    g_autoptr(RbSavedFilter) saved = rb_saved_filter_new(clean, filter);
    return write_filter(library, saved, false, words, error);
}

bool rb_library_remove_filter(RbLibrary *library, const char *name, char **words,
                              GError **error)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, error);
    if (names == NULL) {
        return false;
    }
    const RbSavedFilter *saved = find(names, name);
    saved = saved != NULL ? saved : refuse(names, name, error);
    return saved != NULL && write_filter(library, saved, true, words, error);
}
