/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/quiz-run.h"

#include "errands.h"

/* The quiz on the store thread: see errands.h. */

/* RbQuizWant → RbQuizSet: a round of questions. */
typedef struct {
    RbSnapshot *snapshot;   /* owned reference */
    RbPlayerId quarterback; /* whose snaps; 0: everybody's */
} RbQuizWant;
typedef struct {
    GPtrArray *questions; /* owned, of RbQuizQuestion */
    GPtrArray *sheets;    /* owned, of RbSheet, by question */
    GPtrArray *report;    /* owned, of RbQuizLine: names are those of `snapshot` */
    RbSnapshot *snapshot; /* owned reference */
    RbPersonId person;    /* who answers */
    char *name;           /* owned: of that person */
    char *today;          /* owned: "2026-11-25" */
} RbQuizSet;
enum { RB_QUIZ_ROUND = 10 };

void rb_quiz_want_free(void *want);
void rb_quiz_set_free(void *set);
void *rb_errand_quiz(RbStoreSide *side, void *want, RbCancel *cancel,
                     RbProgress *progress, GError **error);

/* RbQuizAnswer → RbWordsAnswer. */
void rb_quiz_answer_free_data(void *answer);
void *rb_errand_keep_quiz(RbStoreSide *side, void *answer, RbCancel *cancel,
                          RbProgress *progress, GError **error);
