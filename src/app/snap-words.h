/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/tagging.h"

/* Sentences about one snap, for the side of the Chart desk. Each (transfer full). */

/* "2nd & 8, own 35, left hash. 1st quarter, 12:03.\n11, 2x2. Quarterback 12.\nComplete, gain
 * of 9." */
char *rb_snap_facts_text(const RbNames *names, const RbSnap *snap);
/* "Complete, gain of 9, touchdown"; "" when nothing is tagged. */
char *rb_snap_result_text(const RbSnap *snap);
/* "success, +0.8 points". */
char *rb_sheet_outcome_text(const RbSheet *sheet);
/* The reasons, a line each; when there are no reasons why there is no verdict. */
char *rb_sheet_reasons_text(const RbSheet *sheet);
/* The verdict's name; "Not a pass" for what is not judged. */
char *rb_sheet_verdict_text(const RbSheet *sheet);
/* Whose chart is shown, where that is not plainly the person's own: "Dana's chart. Your first
 * answer starts your own from it." */
char *rb_sheet_author_text(const RbSheet *sheet);
