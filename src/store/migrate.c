/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "migrate.h"

#include "rb/base/error.h"

static bool note_migration(sqlite3 *db, const char *path, int version, GError **error)
{
    g_autofree char *sql = g_strdup_printf(
        "INSERT INTO migration (version, at, program) VALUES (%d, %" G_GINT64_FORMAT
        ", '%s'); PRAGMA user_version = %d; PRAGMA application_id = %d",
        version, g_get_real_time(), RB_VERSION, version, RB_APPLICATION_ID);
    return rb_sqlite_exec(db, path, sql, error);
}

static bool run_scripts(sqlite3 *db, const char *path, const RbSchema *schema,
                        GError **error)
{
    /* Asked again now that no other program can be migrating too. */
    int64_t version = 0;
    if (!rb_sqlite_int(db, path, "PRAGMA user_version", 0, &version, error)) {
        return false;
    }
    for (int i = (int)version; i < schema->n; i++) {
        if (!rb_sqlite_exec(db, path, schema->scripts[i], error) ||
            !note_migration(db, path, i + 1, error)) {
            return false;
        }
    }
    int64_t dangling = 0;
    if (!rb_sqlite_int(db, path, "SELECT count(*) FROM pragma_foreign_key_check", 0,
                       &dangling, error)) {
        return false;
    }
    if (dangling > 0) {
        g_autofree char *name = g_filename_display_name(path);
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
                            "The history of the library %s is damaged, so it was not "
                            "converted for this version; restore the newest backup.",
                            name);
    }
    return true;
}

bool rb_migrate(sqlite3 *db, const char *path, const RbSchema *schema, GError **error)
{
    /* Scripts may rebuild tables that others point at; the check above stands in. */
    if (!rb_sqlite_exec(db, path, "PRAGMA foreign_keys = OFF; BEGIN IMMEDIATE", error)) {
        return false;
    }
    if (!run_scripts(db, path, schema, error) ||
        !rb_sqlite_exec(db, path, "COMMIT", error)) {
        if (sqlite3_get_autocommit(db) == 0) {
            sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
        }
        return false;
    }
    /* Into the file itself, so that an older version sees the number without the log. */
    return rb_sqlite_exec(
        db, path, "PRAGMA foreign_keys = ON; PRAGMA wal_checkpoint(TRUNCATE)", error);
}
