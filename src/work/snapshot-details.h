/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "judging.h"

/* What stands behind one dropback of a snapshot and is too wide for its columns. */
typedef struct {
    RbSnap *snap;   /* owned */
    RbChart *chart; /* owned: as judged */
    RbJudgment judgment;
} RbDetail;

/* The details that were asked for, by snap. Any thread may find and put. */
typedef struct RbDetails RbDetails;

RbDetails *rb_details_new(void);
void rb_details_free(RbDetails *details); /* NULL is allowed */
/* The same details, shared. */
RbDetails *rb_details_copy(RbDetails *details);
guint rb_details_get_count(RbDetails *details);

/* Takes over snap and chart; of a snap that is there already the first one stays. */
void rb_details_put(RbDetails *details, RbSnap *snap, RbChart *chart,
                    const RbJudgment *judgment);
/* Not while anybody may hold what was found. */
void rb_details_drop(RbDetails *details, RbSnapId snap);
/* Returns: (transfer none) (nullable): lives as long as `details`. */
const RbDetail *rb_details_find(RbDetails *details, RbSnapId snap);
