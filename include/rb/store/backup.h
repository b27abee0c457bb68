/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/store.h"

/* Backups are whole libraries in a folder beside the library, "NAME backups", so that a
 * person who looks for them finds them, and they move with it. One a day when something
 * changed; the last ten are kept. One more is made before each migration and kept. */

/* Makes a backup now. path: (out) (transfer full) (nullable): where it is. */
bool rb_store_backup(RbStore *store, char **path, GError **error);

/* Makes one if the library has changed since the last and none was made today. made: (out)
 * (nullable). Call it when a library is opened and closed. */
bool rb_store_backup_if_due(RbStore *store, bool *made, GError **error);

/* Paths, newest first. Returns: (transfer full): GPtrArray of char *. */
GPtrArray *rb_backup_list(const char *library_path, GError **error);

/* Makes a library at `target` from a backup. Refuses (EXISTS) when anything has that name:
 * nothing is ever replaced. */
bool rb_backup_restore(const char *backup, const char *target, GError **error);
