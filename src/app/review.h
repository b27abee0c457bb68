/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/snap-rows.h"
#include "rb/work/two-charts.h"

#include "bridge.h"
#include "errands.h"

/* What the store thread does for the drawer: the game's snaps as a table, what is still open,
 * the history, and two people's charts side by side. */
typedef enum {
    RB_REVIEW_NONE,
    RB_REVIEW_SNAPS,
    RB_REVIEW_OPEN_ENDS,
    RB_REVIEW_HISTORY,
    RB_REVIEW_TWO,
} RbReviewPage;

typedef struct {
    RbReviewPage page;
    RbGameId game;
    int limit;         /* history: lines at most */
    RbPersonId first;  /* two charts */
    RbPersonId second; /* two charts */
} RbReviewAsk;

/* One page's answer; what belongs to another page is NULL. */
typedef struct {
    RbReviewPage page;
    RbNames *names;    /* owned reference */
    RbPersonId person; /* who works */
    bool blind;
    GPtrArray *rows;        /* owned, of RbSnapRow */
    GPtrArray *open_ends;   /* owned, of RbCheck */
    GPtrArray *lines;       /* owned, of RbHistoryLine */
    GPtrArray *differences; /* owned, of RbDifference */
    GArray *agreement;      /* owned, of RbTagAgreement */
} RbReviewAnswer;

void rb_review_answer_free(void *answer);
/* RbReviewAsk → RbReviewAnswer. */
void *rb_errand_review(RbStoreSide *side, void *ask, RbCancel *cancel,
                       RbProgress *progress, GError **error);

/* RbManyAsk → RbWordsAnswer: one tag on many snaps. */
typedef struct {
    GArray *snaps; /* owned, of RbSnapId */
    char *field;   /* owned */
    char *value;   /* owned */
} RbManyAsk;
void rb_many_ask_free(void *ask);
void *rb_errand_tag_snaps(RbStoreSide *side, void *ask, RbCancel *cancel,
                          RbProgress *progress, GError **error);

/* RbSettleAsk → RbWordsAnswer. */
typedef struct {
    RbSnapId snap;
    RbPersonId first;
    RbPersonId second;
    char *field; /* owned */
    char *value; /* owned */
} RbSettleAsk;
void rb_settle_ask_free(void *ask);
void *rb_errand_settle(RbStoreSide *side, void *ask, RbCancel *cancel,
                       RbProgress *progress, GError **error);

/* RbWhoAsk → RbWordsAnswer: who works from now on, and whether blind. */
typedef struct {
    char *person; /* owned */
    bool blind;
} RbWhoAsk;
void rb_who_ask_free(void *ask);
void *rb_errand_who(RbStoreSide *side, void *ask, RbCancel *cancel, RbProgress *progress,
                    GError **error);
