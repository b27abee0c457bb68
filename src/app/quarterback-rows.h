/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "errand-quarterback.h"
#include "figure-list.h"

/* A quarterback's figures as the rows and sentences of his desk. No widgets. Rows are (transfer
 * full): of RbFigure; texts are (transfer full). */

/* A rate of fewer judged decisions says in words that it says nothing. */
#define RB_FEW 5

char *rb_quarterback_rate_text(const RbQuarterback *figures);
char *rb_quarterback_counts_text(const RbQuarterback *figures);
char *rb_quarterback_late_text(const RbQuarterback *figures);
/* Both official passer ratings; "" without an attempt. */
char *rb_quarterback_passing_text(const RbPassing *passing);

GPtrArray *rb_quarterback_habit_rows(const RbQuarterback *figures);
GPtrArray *rb_quarterback_decision_rows(const RbQuarterback *figures);
GPtrArray *rb_quarterback_verdict_rows(const RbQuarterbackAnswer *answer);
/* field: place in rb_quarterback_fields. */
GPtrArray *rb_quarterback_group_rows(const RbQuarterbackAnswer *answer, guint field);
GPtrArray *rb_quarterback_game_rows(const RbQuarterbackAnswer *answer);
