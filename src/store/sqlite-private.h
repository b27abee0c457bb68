/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <sqlite3.h>
#include <stdbool.h>

#include "rb/store/error.h"

/* The one place where SQLite's codes become errors. Sets `error` from the last failure of
 * `db` (nullable: then from `code` alone) and returns false. path: the library's. */
bool rb_sqlite_error(GError **error, sqlite3 *db, int code, const char *path);

/* Runs one or more statements that give no rows. */
bool rb_sqlite_exec(sqlite3 *db, const char *path, const char *sql, GError **error);

/* The integer that a query gives first; `fallback` for no row or NULL. */
bool rb_sqlite_int(sqlite3 *db, const char *path, const char *sql, int64_t fallback,
                   int64_t *value, GError **error);

/* A connection that is closed, with whatever it has not committed. */
static inline void rb_sqlite_close(sqlite3 *db)
{
    sqlite3_close_v2(db);
}

G_DEFINE_AUTOPTR_CLEANUP_FUNC(sqlite3, rb_sqlite_close)
