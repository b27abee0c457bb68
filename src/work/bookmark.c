/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/bookmark.h"

#include <glib/gstdio.h>

#include "rb/base/error.h"
#include "rb/work/error.h"

/* The section that names the library used last. */
#define LAST "last"

RbBookmark *rb_bookmark_new(const char *library)
{
    RbBookmark *bookmark = g_new0(RbBookmark, 1);
    bookmark->library = g_strdup(library);
    bookmark->frame = -1;
    return bookmark;
}

void rb_bookmark_free(RbBookmark *bookmark)
{
    if (bookmark != NULL) {
        g_free(bookmark->library);
        g_free(bookmark->person);
        g_free(bookmark->desk);
        g_free(bookmark);
    }
}

/* Paths hold any bytes; a section's name does not. Returns: (transfer full). */
static char *section_of(const char *library)
{
    return g_uri_escape_string(library, "/", FALSE);
}

/* Returns: (transfer full). */
static GKeyFile *read_file(const char *file)
{
    GKeyFile *keys = g_key_file_new();
    if (!g_key_file_load_from_file(keys, file, G_KEY_FILE_NONE, NULL)) {
        g_key_file_unref(keys);
        keys = g_key_file_new();
    }
    return keys;
}

static int64_t read_number(GKeyFile *keys, const char *section, const char *key,
                           int64_t fallback)
{
    g_autoptr(GError) error = NULL;
    const int64_t value = g_key_file_get_int64(keys, section, key, &error);
    return error == NULL ? value : fallback;
}

RbBookmark *rb_bookmark_load(const char *file, const char *library)
{
    g_autoptr(GKeyFile) keys = read_file(file);
    g_autofree char *section = library != NULL
                                   ? section_of(library)
                                   : g_key_file_get_string(keys, LAST, "library", NULL);
    if (section == NULL || !g_key_file_has_group(keys, section)) {
        return NULL;
    }
    g_autofree char *path = g_uri_unescape_string(section, NULL);
    if (path == NULL) {
        return NULL;
    }
    RbBookmark *bookmark = rb_bookmark_new(path);
    bookmark->person = g_key_file_get_string(keys, section, "person", NULL);
    bookmark->blind = g_key_file_get_boolean(keys, section, "blind", NULL);
    bookmark->desk = g_key_file_get_string(keys, section, "desk", NULL);
    bookmark->game.value = read_number(keys, section, "game", 0);
    bookmark->snap.value = read_number(keys, section, "snap", 0);
    bookmark->frame = read_number(keys, section, "frame", -1);
    return bookmark;
}

static void set_text(GKeyFile *keys, const char *section, const char *key,
                     const char *text)
{
    if (text != NULL) {
        g_key_file_set_string(keys, section, key, text);
    } else {
        g_key_file_remove_key(keys, section, key, NULL);
    }
}

/* The oldest go first: a section that is written again moves to the end. */
static void keep_some(GKeyFile *keys)
{
    gsize n = 0;
    g_auto(GStrv) sections = g_key_file_get_groups(keys, &n);
    for (gsize i = 0; n > RB_BOOKMARKS_MAX + 1 && sections[i] != NULL; i++) {
        if (!g_str_equal(sections[i], LAST)) {
            g_key_file_remove_group(keys, sections[i], NULL);
            n--;
        }
    }
}

bool rb_bookmark_save(const char *file, const RbBookmark *bookmark, GError **error)
{
    g_autofree char *folder = g_path_get_dirname(file);
    if (g_mkdir_with_parents(folder, 0700) != 0) {
        return rb_error_errno(error, RB_WORK_ERROR, RB_WORK_ERROR_FAILED, errno,
                              "The folder %s cannot be made", folder);
    }
    g_autoptr(GKeyFile) keys = read_file(file);
    g_autofree char *section = section_of(bookmark->library);
    g_key_file_remove_group(keys, section, NULL);
    g_key_file_set_string(keys, LAST, "library", section);
    set_text(keys, section, "desk", bookmark->desk != NULL ? bookmark->desk : "chart");
    set_text(keys, section, "person", bookmark->person);
    g_key_file_set_boolean(keys, section, "blind", bookmark->blind);
    g_key_file_set_int64(keys, section, "game", bookmark->game.value);
    g_key_file_set_int64(keys, section, "snap", bookmark->snap.value);
    g_key_file_set_int64(keys, section, "frame", bookmark->frame);
    keep_some(keys);
    return g_key_file_save_to_file(keys, file, error);
}
