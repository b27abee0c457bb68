/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/log-import.h"

/* log-align.c: plays and snaps side by side. */
typedef struct {
    const GPtrArray *rows;  /* of RbLogRow: those that count */
    const GPtrArray *snaps; /* of RbSnap, in order */
    RbTeamId teams[2];
    bool ours_only;
    RbRules rules;
} LogAlignment;

/* to: (out): by row the index of its snap, -1 none. doubtful: (out): the first row with another
 * snap that fits as well, -1 none. False when there are too many to compare. */
bool rb_log_align(const LogAlignment *alignment, int *to, int *doubtful);

/* log-merge.c: facts of a row into a snap. Counts what was unknown and what differs; text:
 * (nullable): gets ", down 2 for 3" for each that differs. */
void rb_log_merge(RbSnap *snap, const RbSnap *from, bool overwrite, int *filled,
                  int *differs, GString *text);
/* How many facts both know: alike, and otherwise. */
void rb_log_compare(const RbSnap *a, const RbSnap *b, int *alike, int *differs);
