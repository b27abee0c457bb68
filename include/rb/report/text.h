/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/report/words.h"

/* Tables in plain text for a terminal or a mail. Columns are aligned by what a terminal shows:
 * wide characters take two places, combining marks none; control characters in names are
 * shown as U+FFFD and can do nothing. */

/* Places that `text` takes in a terminal. */
int rb_text_width(const char *text);

typedef enum { RB_ALIGN_LEFT, RB_ALIGN_RIGHT } RbAlign;

/* A table that grows by rows. */
typedef struct RbTextTable RbTextTable;

RbTextTable *rb_text_table_new(int n_columns, const RbAlign *aligns);
void rb_text_table_free(RbTextTable *table); /* NULL is allowed */
/* One text a column, copied; NULL is empty. */
void rb_text_table_row(RbTextTable *table, const char *const *cells);
/* A line across. */
void rb_text_table_rule(RbTextTable *table);
/* Two spaces between columns, no space at the end of a line, a newline after each; a cell wider
 * than `max_width` (0: no limit) is cut with an ellipsis. Returns: (transfer full). */
char *rb_text_table_print(const RbTextTable *table, int max_width);

/* The pairing table: concepts down, coverages across, in as many blocks as `width` (places;
 * 0: no limit) asks for; the estimate of rb_crossed_estimate() and n, its 80 % interval, points a
 * dropback; "▾" marks a pairing worse than the others beyond chance. Returns: (transfer full). */
char *rb_pairings_text(const RbPairings *pairings, const RbReportNames *names, int width);

/* The ladder: a row a read and stage, with dropbacks, a bar and points, and the break in a
 * sentence. reads: as in RbLadderChart. found: (nullable). Returns: (transfer full). */
char *rb_ladder_text(const RbLadder *ladder, const RbBreak *found,
                     const char *const *reads);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbTextTable, rb_text_table_free)
