/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/base/cancel.h"
#include "rb/work/snapshot.h"

/* What to work on: the break points of all pairings with at least RB_PAIRING_MIN dropbacks that
 * cost more than our norm, by points lost beyond the norm times how often the bootstrap found
 * the same again; the same worth by more dropbacks first. */
typedef struct {
    RbConceptId concept;
    RbTermId coverage;
    int dropbacks; /* of the pairing */
    RbBreak found;
    double worth;   /* excess times share */
    char *sentence; /* owned: "Curl-flat against Cover 2 breaks at read 2, eyes: …" */
} RbWorkItem;

/* cancel: (nullable). Returns: (transfer full) (nullable): of RbWorkItem; with `error`. */
GPtrArray *rb_worklist(const RbSelection *selection, RbCancel *cancel, GError **error);
/* Why the list is empty, in one sentence. */
const char *rb_worklist_empty_text(const RbSelection *selection);
