/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/exchange.h"
#include "rb/work/intake.h"
#include "rb/work/log-import.h"
#include "rb/work/snap-marks.h"

#include "bridge.h"

/* What the store thread does for the panels of the play log and of the exchange. */

/* RbLogAsk → RbLogPlan; to apply → RbWordsAnswer. */
typedef struct {
    RbGameId game;
    char *path;      /* owned */
    GPtrArray *maps; /* owned, of char *: "COLUMN=FIELD" */
    RbLogYards yards;
    RbLogAlign align;
    char *us; /* owned: empty if not said */
} RbLogAsk;
RbLogAsk *rb_log_ask_copy(const RbLogAsk *ask);
void rb_log_ask_free(void *ask);
void rb_log_answer_free(void *plan);
void *rb_errand_plan_log(RbStoreSide *side, void *ask, RbCancel *cancel,
                         RbProgress *progress, GError **error);
void *rb_errand_apply_log(RbStoreSide *side, void *ask, RbCancel *cancel,
                          RbProgress *progress, GError **error);

/* RbIntakeAsk → RbWordsAnswer: films, clips and snaps of the table are written. */
typedef struct {
    RbIntake *intake; /* owned */
    bool copy;        /* the films first, into the library's folder of films */
} RbIntakeAsk;
void rb_intake_ask_free(void *ask);
void *rb_errand_save_intake(RbStoreSide *side, void *ask, RbCancel *cancel,
                            RbProgress *progress, GError **error);

/* RbGameId * → RbSnapSearch; RbSnapSearch → RbWordsAnswer: all its marks are written. */
void rb_snap_search_answer_free(void *search);
void *rb_errand_start_snap_search(RbStoreSide *side, void *game, RbCancel *cancel,
                                  RbProgress *progress, GError **error);
void *rb_errand_save_snap_marks(RbStoreSide *side, void *found, RbCancel *cancel,
                                RbProgress *progress, GError **error);

/* char * folder → RbExchangeAnswer; to send or to take → RbWordsAnswer. */
typedef struct {
    GPtrArray *laptops;  /* owned, of RbExchangeLaptop; NULL: the folder cannot be read */
    GPtrArray *disputes; /* owned, of RbDispute */
    char *trouble;       /* owned, nullable: why */
} RbExchangeAnswer;
void rb_exchange_answer_free(void *answer);
void *rb_errand_exchange(RbStoreSide *side, void *folder, RbCancel *cancel,
                         RbProgress *progress, GError **error);
void *rb_errand_send(RbStoreSide *side, void *folder, RbCancel *cancel,
                     RbProgress *progress, GError **error);
void *rb_errand_take(RbStoreSide *side, void *folder, RbCancel *cancel,
                     RbProgress *progress, GError **error);

/* RbDisputeAsk → RbWordsAnswer: one value of a dispute holds from now on. */
typedef struct {
    char *what; /* owned: the dispute's name */
    char *text; /* owned: the value */
} RbDisputeAsk;
void rb_dispute_ask_free(void *ask);
void *rb_errand_settle_dispute(RbStoreSide *side, void *ask, RbCancel *cancel,
                               RbProgress *progress, GError **error);
