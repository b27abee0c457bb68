/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/words.h"

#include "store-private.h"

/* When a new library's first content was made, for the history: before everything. */
#define RB_SEED_STAMP 1

/* Turns what the open action changed into its entry and its ops, and replaces heads.
 * changed: (out): whether there is anything to commit. */
bool rb_record_action(RbStore *store, bool *changed, GError **error);

/* The id of a field's name in this library, made when it is new. 0 on failure. */
int64_t rb_record_field(RbStore *store, const char *table, const char *column,
                        GError **error);

/* Notes when charts were changed last, from the ops of a laptop from one on. */
bool rb_record_chart_changes(RbStore *store, int64_t author, int64_t first_seq,
                             GError **error);

extern const RbWords rb_action_type_words;

/* The ops that an op replaced, as kept in op.base: "laptop:seq laptop:seq". */
typedef struct {
    int64_t author;
    int64_t seq;
} RbOpId;

/* Returns: (transfer full) (nullable): NULL for none. ops: of RbOpId. */
char *rb_base_format(const GArray *ops);
/* text: (nullable), not necessarily ours: it may come from another laptop. Appends to `ops`;
 * false, leaving what it had appended, when the text is not exactly what format writes. */
bool rb_base_parse(const char *text, GArray *ops);
