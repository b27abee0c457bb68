/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/cutups.h"

#include "errands.h"

/* Cut-ups on the store thread: see errands.h. */

/* RbCutupId * (0: the first) → RbCutupsAnswer. */
typedef struct {
    GPtrArray *cutups;     /* owned, of RbCutup */
    RbCutupPlan *plan;     /* owned, nullable: the chosen one */
    RbCutupPlan *nameless; /* owned, nullable: the same without names of players */
} RbCutupsAnswer;
void rb_cutups_answer_free(void *answer);
void *rb_errand_cutups(RbStoreSide *side, void *id, RbCancel *cancel,
                       RbProgress *progress, GError **error);

typedef enum {
    RB_CUTUP_ASK_MAKE,       /* id, name, snaps, filter (nullable) */
    RB_CUTUP_ASK_MAKE_LIVE,  /* id, name, filter */
    RB_CUTUP_ASK_ADD,        /* id, snaps */
    RB_CUTUP_ASK_MOVE,       /* id, from, to */
    RB_CUTUP_ASK_TAKE_OUT,   /* entry */
    RB_CUTUP_ASK_SAVE_ENTRY, /* entry */
    RB_CUTUP_ASK_SET_ALL,    /* id; entry: its cut for all clips */
    RB_CUTUP_ASK_SAVE,       /* cutup: name and note */
    RB_CUTUP_ASK_FOLLOW,     /* id */
    RB_CUTUP_ASK_FIX,        /* id */
    RB_CUTUP_ASK_REMOVE,     /* id */
} RbCutupAskKind;

/* RbCutupAsk → RbWordsAnswer. */
typedef struct {
    RbCutupAskKind kind;
    RbCutupId id;        /* of a new one: the id it gets */
    char *name;          /* owned */
    GArray *snaps;       /* owned, of RbSnapId */
    RbFilter *filter;    /* owned */
    RbCutupEntry *entry; /* owned */
    RbCutup *cutup;      /* owned */
    int from;
    int to;
} RbCutupAsk;
RbCutupAsk *rb_cutup_ask_new(RbCutupAskKind kind, RbCutupId id);
void rb_cutup_ask_free(void *ask);
void *rb_errand_change_cutup(RbStoreSide *side, void *ask, RbCancel *cancel,
                             RbProgress *progress, GError **error);
