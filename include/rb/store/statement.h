/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stddef.h>

#include "rb/model/words.h"
#include "rb/store/store.h"

/* One SQL statement: values are bound in order, columns are read by name. For queries that
 * no repository answers; the repositories themselves are made of it. Prepared statements are
 * kept by their text, so the same query twice is parsed once.
 *
 *     g_autoptr(RbStatement) query = rb_statement_new(store,
 *         "SELECT id, number FROM snap WHERE game = ? AND removed = 0", error);
 *     rb_statement_bind_id(query, game.value);
 *     RbStep step;
 *     while ((step = rb_statement_step(query, error)) == RB_STEP_ROW) {
 *         … rb_statement_get_int(query, "number") …
 *     }
 *     return step == RB_STEP_DONE;
 */
typedef struct RbStatement RbStatement;

typedef enum { RB_STEP_ROW, RB_STEP_DONE, RB_STEP_ERROR } RbStep;

/* sql: (transfer none). A statement must be freed before its store and before the same text
 * is wanted again. Returns: (transfer full): NULL with `error` set. */
RbStatement *rb_statement_new(RbStore *store, const char *sql, GError **error);
void rb_statement_free(RbStatement *statement); /* NULL is allowed */

/* Each binds the next `?`. More values than places are an assertion. */
void rb_statement_bind_int(RbStatement *statement, int64_t value);
void rb_statement_bind_real(RbStatement *statement, double value);
void rb_statement_bind_id(RbStatement *statement, int64_t id);      /* 0: NULL */
void rb_statement_bind_text(RbStatement *statement, const char *t); /* copied; NULL ok */
void rb_statement_bind_blob(RbStatement *statement, const void *data, size_t size);
void rb_statement_bind_null(RbStatement *statement);
/* The token of a word; the value 0 is bound as NULL when `zero_unknown`. */
void rb_statement_bind_word(RbStatement *statement, const RbWords *words, int value,
                            bool zero_unknown);

RbStep rb_statement_step(RbStatement *statement, GError **error);
/* Steps to the end, for statements that give no rows. */
bool rb_statement_run(RbStatement *statement, GError **error);
/* Back to the first `?`, to bind and step again. */
void rb_statement_reset(RbStatement *statement);

/* Columns of the row stepped to. A name that the query does not give is an assertion. */
bool rb_statement_is_null(RbStatement *statement, const char *column);
int64_t rb_statement_get_int(RbStatement *statement, const char *column); /* NULL: 0 */
int64_t rb_statement_get_int_or(RbStatement *statement, const char *column,
                                int64_t fallback);
/* Borrowed until the next step; NULL for NULL. */
const char *rb_statement_get_text(RbStatement *statement, const char *column);
const void *rb_statement_get_blob(RbStatement *statement, const char *column,
                                  size_t *size);
/* The word of a token; NULL gives 0. A token that this version does not know is DAMAGED. */
bool rb_statement_get_word(RbStatement *statement, const char *column,
                           const RbWords *words, int *value, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbStatement, rb_statement_free)
