/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "store-private.h"

/* db: a connection to the library at `path`, still with schema `version`. */
bool rb_backup_before_migration(sqlite3 *db, const char *path, int version,
                                GError **error);

bool rb_backup_delete(const char *path, GError **error);
