/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stddef.h>

#include "rb/model/words.h"
#include "rb/store/statement.h"

#include "store-private.h"

/* Between a plain value and its row. Each repository says once, in a table of columns, where
 * each column lies in the struct and how "not known" is written there; loading, saving and
 * comparing follow from that. Not known is NULL in the database. */
typedef enum {
    RB_COLUMN_INT,  /* int; `unknown` is NULL */
    RB_COLUMN_LONG, /* int64_t; `unknown` is NULL */
    RB_COLUMN_ID,   /* a one-field id; 0 is NULL */
    RB_COLUMN_BOOL, /* bool; NULL is read as false */
    RB_COLUMN_WORD, /* enum, kept as its token; value 0 is NULL when `unknown` is 0 */
    RB_COLUMN_TEXT, /* char *, owned, nullable */
    RB_COLUMN_NAME, /* char *, owned, never NULL: NULL is read as "" and "" kept as NULL */
    RB_COLUMN_GAIN, /* int, kept only when the RbYesNo at `flag` is yes */
} RbColumnKind;

typedef struct {
    const char *name;
    RbColumnKind kind;
    size_t offset;
    int64_t unknown; /* RB_ALWAYS_KNOWN: no value of the struct is NULL */
    const RbWords *words;
    size_t flag;
} RbColumn;

#define RB_ALWAYS_KNOWN INT64_MIN

#define RB_INT(Type, member, column, none)                                               \
    {                                                                                    \
        column, RB_COLUMN_INT, offsetof(Type, member), none, NULL, 0                     \
    }
#define RB_LONG(Type, member, column)                                                    \
    {                                                                                    \
        column, RB_COLUMN_LONG, offsetof(Type, member), RB_ALWAYS_KNOWN, NULL, 0         \
    }
#define RB_ID(Type, member, column)                                                      \
    {                                                                                    \
        column, RB_COLUMN_ID, offsetof(Type, member.value), 0, NULL, 0                   \
    }
#define RB_BOOL(Type, member, column)                                                    \
    {                                                                                    \
        column, RB_COLUMN_BOOL, offsetof(Type, member), RB_ALWAYS_KNOWN, NULL, 0         \
    }
/* A word whose value 0 means not known, and one that is always known. */
#define RB_WORD(Type, member, column, set)                                               \
    {                                                                                    \
        column, RB_COLUMN_WORD, offsetof(Type, member), 0, &set, 0                       \
    }
#define RB_KNOWN_WORD(Type, member, column, set)                                         \
    {                                                                                    \
        column, RB_COLUMN_WORD, offsetof(Type, member), RB_ALWAYS_KNOWN, &set, 0         \
    }
#define RB_TEXT(Type, member, column)                                                    \
    {                                                                                    \
        column, RB_COLUMN_TEXT, offsetof(Type, member), 0, NULL, 0                       \
    }
#define RB_NAME(Type, member, column)                                                    \
    {                                                                                    \
        column, RB_COLUMN_NAME, offsetof(Type, member), 0, NULL, 0                       \
    }

/* A shared table. The struct's first member is its id. */
typedef struct {
    const char *name;  /* of the table */
    const char *thing; /* what a person calls a row: "snap" */
    const RbColumn *columns;
    int n;
    void *(*make)(void); /* an empty value */
    GDestroyNotify free;
} RbTable;

/* The visible row of an id. UNKNOWN when there is none. Returns: (transfer full). */
void *rb_row_load(RbStore *store, const RbTable *table, int64_t id, GError **error);

/* Sets UNKNOWN; returns false. */
bool rb_row_unknown(RbStore *store, const RbTable *table, GError **error);

/* Takes the first value out of a list; UNKNOWN when it is empty. */
void *rb_row_first(RbStore *store, const RbTable *table, GPtrArray *list, GError **error);

/* Rows of "SELECT … FROM table t <tail>": joins, conditions, order. ids: bound to the
 * places of `tail` in order. Returns: (transfer full): GPtrArray of values. */
GPtrArray *rb_row_list(RbStore *store, const RbTable *table, const char *tail,
                       const int64_t *ids, int n_ids, GError **error);

/* Inserts the row, or writes exactly the columns that differ, and makes it visible. */
bool rb_row_save(RbStore *store, const RbTable *table, const void *value, GError **error);

/* Hides a row; UNKNOWN when no visible row has that id. */
bool rb_row_remove(RbStore *store, const RbTable *table, int64_t id, GError **error);

/* Hides the rows of a child table whose `parent` column holds an id, but for those to keep.
 * keep: of int64_t. */
bool rb_row_remove_others(RbStore *store, const RbTable *table, const char *parent,
                          int64_t id, const GArray *keep, GError **error);

/* Copies the columns of the row stepped to into `value`. */
bool rb_row_read(RbStatement *statement, const RbTable *table, void *value,
                 GError **error);
