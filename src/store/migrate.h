/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "store-private.h"

/* Brings the schema of an open connection from its version to schema->n, in one transaction;
 * does nothing when it is there already. */
bool rb_migrate(sqlite3 *db, const char *path, const RbSchema *schema, GError **error);
