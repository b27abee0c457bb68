/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/store/statement.h"

#include "store-private.h"

/* A value as the recorder or another column gives it, whatever its type; NULL is NULL. */
void rb_statement_bind_value(RbStatement *statement, const sqlite3_value *value);

/* A column's value, for rb_statement_bind_value(). Borrowed until the next step. */
sqlite3_value *rb_statement_get_value(RbStatement *statement, const char *column);

/* Finalises every idle statement. */
void rb_statement_drop_idle(RbStore *store);
