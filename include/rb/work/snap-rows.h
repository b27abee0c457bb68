/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/work/library.h"
#include "rb/work/tagging.h"

/* The snaps of a game as a table: one row a snap, the fields a staff looks over. */
#define RB_SNAP_COLUMNS 9
/* Tokens: "quarter", "down", … */
extern const char *const rb_snap_columns[RB_SNAP_COLUMNS];

typedef struct {
    RbSnapId snap;
    int number;
    char *
        value[RB_SNAP_COLUMNS]; /* owned: text that rb_taggable_set() takes; "" unknown */
    char *shown[RB_SNAP_COLUMNS]; /* owned: for people; "" unknown */
    char *sought;                 /* owned: all that is shown, casefolded, for a search */
    char *film;    /* owned, nullable: of its still; a path, there or not */
    int64_t frame; /* of its still: the snap, where it is marked */
} RbSnapRow;

void rb_snap_row_free(RbSnapRow *row);

/* Each with the chart of the person who works, else the one that counts (not in a blind chart). In
 * order of snaps. Returns: (transfer full) (nullable): of RbSnapRow, with `error` set. */
GPtrArray *rb_library_load_snap_rows(RbLibrary *library, RbGameId game, GError **error);

/* True when every word of `words` occurs in the row: "cover 3 3rd". */
bool rb_snap_row_matches(const RbSnapRow *row, const char *words);
/* Order by a column (-1: the snap's number): numbers by size, texts by the alphabet, unknown
 * last. As for g_ptr_array_sort(). */
int rb_snap_row_compare(const RbSnapRow *a, const RbSnapRow *b, int column);
