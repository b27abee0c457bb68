/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/error.h"

#include "rb/base/error.h"

#include "sqlite-private.h"

GQuark rb_store_error_quark(void)
{
    return g_quark_from_static_string("rb-store-error");
}

bool rb_sqlite_error(GError **error, sqlite3 *db, int code, const char *path)
{
    g_autofree char *name = g_filename_display_name(path);
    g_autofree char *said =
        g_strdup(db != NULL ? sqlite3_errmsg(db) : sqlite3_errstr(code));
    switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
    case SQLITE_PROTOCOL:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_LOCKED,
                            "The library %s is in use by another program; wait until it "
                            "is done, then try again.",
                            name);
    case SQLITE_FULL:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_FULL,
                            "The disk that holds the library %s is full, so nothing was "
                            "changed; free some space, then try again.",
                            name);
    case SQLITE_READONLY:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY,
                            "The library %s can be read but not changed; copy it to a "
                            "place where you may write.",
                            name);
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_DAMAGED,
                            "The library %s is damaged (%s); keep the file and restore "
                            "the newest backup under another name.",
                            name, said);
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_PERMISSION,
                            "You are not allowed to open the library %s; ask its owner.",
                            name);
    case SQLITE_IOERR:
    case SQLITE_CANTOPEN:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_FAILED,
                            "The disk did not let the library %s be read or written "
                            "(%s); check that the drive is still there.",
                            name, said);
    default:
        return rb_error_set(error, RB_STORE_ERROR, RB_STORE_ERROR_FAILED,
                            "The library %s did not do what was asked: %s.", name, said);
    }
}

bool rb_sqlite_exec(sqlite3 *db, const char *path, const char *sql, GError **error)
{
    const int code = sqlite3_exec(db, sql, NULL, NULL, NULL);
    return code == SQLITE_OK || rb_sqlite_error(error, db, code, path);
}

bool rb_sqlite_int(sqlite3 *db, const char *path, const char *sql, int64_t fallback,
                   int64_t *value, GError **error)
{
    sqlite3_stmt *query = NULL;
    int code = sqlite3_prepare_v2(db, sql, -1, &query, NULL);
    if (code == SQLITE_OK) {
        code = sqlite3_step(query);
    }
    *value = fallback;
    if (code == SQLITE_ROW && sqlite3_column_type(query, 0) == SQLITE_INTEGER) {
        *value = sqlite3_column_int64(query, 0);
    }
    const bool done = code == SQLITE_ROW || code == SQLITE_DONE;
    if (!done) {
        rb_sqlite_error(error, db, code, path);
    }
    sqlite3_finalize(query);
    return done;
}
