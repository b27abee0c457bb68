/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"
#include "rb/store/store.h"

/* Judged snaps as rows, which the views of schema 5 show to other programs (see columns.h for what
 * this one reads itself). They belong to this copy of the library: never journaled, never
 * exchanged, and lost without loss. */
typedef struct {
    RbSnapId snap;
    RbPlayerId quarterback;
    RbConceptId concept;
    RbTermId coverage;
    RbVerdict verdict;
    RbStage stage;
    int stage_read; /* 0 none, as the next two */
    int right_read;
    int ball_read;
    RbResult result;
    bool has_gain;
    int gain;
    bool success;
    bool has_points;
    double points;
    bool pressured;
    int release_ms; /* -1 unknown */
    bool counts;
} RbJudgedSnap;

/* Whether the history went on since they were kept. A failure to read is "not fresh". */
bool rb_store_judged_is_fresh(RbStore *store);

/* Keeps these rows (of RbJudgedSnap) and no others, in one transaction that is no action. seen: of
 * RbSeen, how far the history was. success: the profile in words: "40/60/100/100". */
bool rb_store_keep_judged(RbStore *store, const GArray *rows, const GArray *seen,
                          const char *success, GError **error);
