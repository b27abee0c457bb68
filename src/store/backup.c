/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/store/backup.h"

#include <errno.h>
#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/error.h"
#include "rb/base/ids.h"

#include "backup-private.h"
#include "place.h"

enum { KEEP = 10 };

#define BEFORE " before schema "

static char *stem_of(const char *library)
{
    g_autofree char *base = g_path_get_basename(library);
    if (g_str_has_suffix(base, RB_STORE_SUFFIX)) {
        base[strlen(base) - strlen(RB_STORE_SUFFIX)] = '\0';
    }
    return g_steal_pointer(&base);
}

/* "…/Falcons backups" for "…/Falcons.readbreak". */
static char *folder_of(const char *library)
{
    g_autofree char *full = rb_place_resolve(library);
    g_autofree char *beside = g_path_get_dirname(full);
    g_autofree char *stem = stem_of(full);
    g_autofree char *name = g_strconcat(stem, " backups", NULL);
    return g_build_filename(beside, name, NULL);
}

/* Copies a whole library into a new file at `to`, through the engine, so that what lies in
 * the log is in it and no other writer tears it. The copy is a single file and has no place
 * of its own yet: see settle_here(). */
static bool copy_library(sqlite3 *from, const char *from_path, const char *to,
                         GError **error)
{
    g_autoptr(sqlite3) db = NULL;
    int code = sqlite3_open_v2(
        to, &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL);
    if (code != SQLITE_OK) {
        return rb_sqlite_error(error, db, code, to);
    }
    sqlite3_backup *copy = sqlite3_backup_init(db, "main", from, "main");
    if (copy == NULL) {
        return rb_sqlite_error(error, db, SQLITE_ERROR, to);
    }
    sqlite3_backup_step(copy, -1);
    code = sqlite3_backup_finish(copy);
    if (code != SQLITE_OK) {
        const bool of_source = (code & 0xff) == SQLITE_CORRUPT;
        return rb_sqlite_error(error, NULL, code, of_source ? from_path : to);
    }
    return rb_sqlite_exec(db, to,
                          "PRAGMA synchronous = FULL;"
                          "PRAGMA journal_mode = DELETE;"
                          "UPDATE here SET place = ''",
                          error);
}

/* The copy is made under a name nobody looks for and shown when it is whole. */
static bool copy_to_new(sqlite3 *from, const char *from_path, const char *to,
                        GError **error)
{
    g_autofree char *unfinished =
        g_strdup_printf("%s.%" G_GINT64_FORMAT, to, rb_id_random());
    if (copy_library(from, from_path, unfinished, error) &&
        rb_place_rename_new(unfinished, to, error)) {
        return true;
    }
    rb_store_remove_unfinished(unfinished);
    return false;
}

/* The number that a further backup of one second takes, after all that are there. */
static int next_number(const char *library, const char *prefix)
{
    g_autoptr(GPtrArray) paths = rb_backup_list(library, NULL);
    int number = 1;
    for (guint i = 0; paths != NULL && i < paths->len; i++) {
        g_autofree char *name = g_path_get_basename(paths->pdata[i]);
        if (g_str_has_prefix(name, prefix)) {
            const char *rest = name + strlen(prefix);
            const int its = rest[0] == '-' ? atoi(rest + 1) : 1;
            number = MAX(number, its + 1);
        }
    }
    return number;
}

/* path: (out) (transfer full). note: "" or what comes after the time. */
static bool make_backup(sqlite3 *db, const char *library, const char *note, char **path,
                        GError **error)
{
    g_autofree char *folder = folder_of(library);
    if (g_mkdir_with_parents(folder, 0700) != 0) {
        const int errnum = errno;
        g_autofree char *name = g_filename_display_name(folder);
        return rb_error_errno(error, RB_STORE_ERROR, RB_STORE_ERROR_PERMISSION, errnum,
                              "The folder %s for backups cannot be made", name);
    }
    g_autofree char *stem = stem_of(library);
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    g_autofree char *when = g_date_time_format(now, "%Y-%m-%d %H%M%S");
    g_autofree char *prefix = g_strconcat(stem, " ", when, NULL);
    const int number = next_number(library, prefix);
    g_autofree char *again = number > 1 ? g_strdup_printf("-%02d", number) : g_strdup("");
    g_autofree char *name = g_strconcat(prefix, again, note, RB_STORE_SUFFIX, NULL);
    *path = g_build_filename(folder, name, NULL);
    if (copy_to_new(db, library, *path, error)) {
        return true;
    }
    g_clear_pointer(path, g_free);
    return false;
}

/* By the time in the name, without the suffix: "042939-02" comes after "042939". */
static int newest_first(gconstpointer a, gconstpointer b)
{
    const char *const *x = a;
    const char *const *y = b;
    g_autofree char *one = g_strndup(*x, strlen(*x) - strlen(RB_STORE_SUFFIX));
    g_autofree char *other = g_strndup(*y, strlen(*y) - strlen(RB_STORE_SUFFIX));
    return strcmp(other, one);
}

/* "STEM 2026-11-25 035507…": a backup of this library and nothing else in the folder. */
static bool is_backup_name(const char *name, const char *stem)
{
    static const char shape[] = " dddd-dd-dd dddddd";
    if (!g_str_has_prefix(name, stem) || !g_str_has_suffix(name, RB_STORE_SUFFIX)) {
        return false;
    }
    const char *at = name + strlen(stem);
    for (const char *want = shape; *want != '\0'; want++, at++) {
        if (*want == 'd' ? !g_ascii_isdigit(*at) : *at != *want) {
            return false;
        }
    }
    return true;
}

GPtrArray *rb_backup_list(const char *library_path, GError **error)
{
    g_autofree char *folder = folder_of(library_path);
    g_autofree char *full = rb_place_resolve(library_path);
    g_autofree char *stem = stem_of(full);
    g_autoptr(GPtrArray) paths = g_ptr_array_new_with_free_func(g_free);
    if (!g_file_test(folder, G_FILE_TEST_IS_DIR)) {
        return g_steal_pointer(&paths);
    }
    g_autoptr(GError) failed = NULL;
    g_autoptr(GDir) dir = g_dir_open(folder, 0, &failed);
    if (dir == NULL) {
        g_set_error(error, RB_STORE_ERROR, RB_STORE_ERROR_PERMISSION,
                    _("The folder of backups cannot be read: %s"), failed->message);
        return NULL;
    }
    const char *name = NULL;
    while ((name = g_dir_read_name(dir)) != NULL) {
        if (is_backup_name(name, stem)) {
            g_ptr_array_add(paths, g_build_filename(folder, name, NULL));
        }
    }
    g_ptr_array_sort(paths, newest_first);
    return g_steal_pointer(&paths);
}

bool rb_backup_delete(const char *path, GError **error)
{
    if (g_unlink(path) == 0) {
        return true;
    }
    const int errnum = errno;
    g_autofree char *name = g_filename_display_name(path);
    return rb_error_errno(error, RB_STORE_ERROR, RB_STORE_ERROR_PERMISSION, errnum,
                          "The backup %s cannot be deleted", name);
}

static bool prune(const char *library, GError **error)
{
    g_autoptr(GPtrArray) paths = rb_backup_list(library, error);
    int kept = 0;
    for (guint i = 0; paths != NULL && i < paths->len; i++) {
        const char *path = g_ptr_array_index(paths, i);
        if (strstr(path, BEFORE) == NULL && ++kept > KEEP &&
            !rb_backup_delete(path, error)) {
            return false;
        }
    }
    return paths != NULL;
}

bool rb_backup_before_migration(sqlite3 *db, const char *path, int version,
                                GError **error)
{
    g_autofree char *note = g_strdup_printf(BEFORE "%d", version + 1);
    g_autofree char *made = NULL;
    return make_backup(db, path, note, &made, error);
}

bool rb_store_backup(RbStore *store, char **path, GError **error)
{
    rb_confined_assert(&store->confined);
    g_assert(!store->in_action);
    g_autofree char *made = NULL;
    if (!make_backup(store->db, store->path, "", &made, error) ||
        !prune(store->path, error)) {
        return false;
    }
    if (path != NULL) {
        *path = g_steal_pointer(&made);
    }
    return true;
}

/* The hybrid clock of a library: it moves with every action. -1 when it cannot be read, as
 * for a damaged backup, which then counts as none. */
static int64_t stamp_of(const char *path)
{
    g_autoptr(sqlite3) db = NULL;
    int64_t stamp = -1;
    if (sqlite3_open_v2(path, &db, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX, NULL) ==
        SQLITE_OK) {
        rb_sqlite_int(db, path, "SELECT stamp FROM here", -1, &stamp, NULL);
    }
    return stamp;
}

/* The newest of the daily backups. Returns: (transfer full) (nullable). */
static char *newest_daily(const char *library, GError **error)
{
    g_autoptr(GPtrArray) paths = rb_backup_list(library, error);
    for (guint i = 0; paths != NULL && i < paths->len; i++) {
        const char *path = g_ptr_array_index(paths, i);
        if (strstr(path, BEFORE) == NULL) {
            return g_strdup(path);
        }
    }
    return NULL;
}

bool rb_store_backup_if_due(RbStore *store, bool *made, GError **error)
{
    rb_confined_assert(&store->confined);
    if (made != NULL) {
        *made = false;
    }
    g_autofree char *newest = newest_daily(store->path, NULL);
    if (newest != NULL) {
        g_autoptr(GDateTime) now = g_date_time_new_now_local();
        g_autofree char *today = g_date_time_format(now, " %Y-%m-%d ");
        int64_t stamp = 0;
        if (!rb_sqlite_int(store->db, store->path, "SELECT stamp FROM here", 0, &stamp,
                           error)) {
            return false;
        }
        g_autofree char *name = g_path_get_basename(newest);
        if (strstr(name, today) != NULL || stamp_of(newest) == stamp) {
            return true;
        }
    }
    if (!rb_store_backup(store, NULL, error)) {
        return false;
    }
    if (made != NULL) {
        *made = true;
    }
    return true;
}

/* A log that an earlier file of that name left behind would be replayed into the new one. */
static void move_aside(const char *target, const char *suffix)
{
    g_autofree char *stale = g_strconcat(target, suffix, NULL);
    g_autofree char *aside = g_strconcat(stale, ".old", NULL);
    g_rename(stale, aside);
}

bool rb_backup_restore(const char *backup, const char *target, GError **error)
{
    g_autofree char *from = g_canonicalize_filename(backup, NULL);
    g_autofree char *to = g_canonicalize_filename(target, NULL);
    if (!rb_place_check_library(from, INT_MAX, error) ||
        !rb_place_check_free(to, error)) {
        return false;
    }
    g_autoptr(sqlite3) db = NULL;
    const int code =
        sqlite3_open_v2(from, &db, SQLITE_OPEN_READONLY | SQLITE_OPEN_NOMUTEX, NULL);
    if (code != SQLITE_OK) {
        return rb_sqlite_error(error, db, code, from);
    }
    move_aside(to, "-wal");
    move_aside(to, "-shm");
    return copy_to_new(db, from, to, error);
}
