/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/quiz.h"

/* One question of the quiz from the first stop of the film to the last: which thing is asked at
 * which stop, and what may be answered. No film and no clock of its own: the caller plays the
 * film to rb_quiz_run_stop_ms(), waits for an answer and gives it back with the time it took.
 *
 *     just before the snap   shell, if it is tagged; then side, or first read
 *     at each read's clock   the read he would throw, or nobody yet
 */
typedef enum {
    RB_QUIZ_ASK_SHELL,
    RB_QUIZ_ASK_SIDE,
    RB_QUIZ_ASK_FIRST,
    RB_QUIZ_ASK_THROW,
    RB_QUIZ_ASK_NOTHING, /* all is answered and scored: the film runs to its end */
} RbQuizAsk;

/* Where a film stops whose reads have no clock. Common practice, no source. */
enum { RB_QUIZ_NO_CLOCK_MS = 2000 };

enum {
    RB_QUIZ_BEFORE_SNAP = -1, /* as a stop */
    RB_QUIZ_NOT_YET = -1,     /* as an answer: the film goes on to the next stop */
};

typedef struct {
    int value;   /* what rb_quiz_run_answer() takes */
    char *label; /* owned */
} RbQuizChoice;

typedef struct RbQuizRun RbQuizRun;

/* question: copied. today: "2026-11-25". Returns: (transfer full). */
RbQuizRun *rb_quiz_run_new(const RbQuizQuestion *question, RbPersonId person,
                           const char *today);
void rb_quiz_run_free(RbQuizRun *run); /* NULL is allowed */

RbQuizAsk rb_quiz_run_get_ask(const RbQuizRun *run);
/* After the snap; RB_QUIZ_BEFORE_SNAP; -1 too when nothing is asked any more. */
int rb_quiz_run_stop_ms(const RbQuizRun *run);
/* True when the film goes to another stop before the next thing is asked. */
bool rb_quiz_run_has_moved(const RbQuizRun *run);
/* What may be answered, in the order shown; none when nothing is asked. Returns: (transfer
 * full): of RbQuizChoice. */
GPtrArray *rb_quiz_run_choices(const RbQuizRun *run);
/* value: one of the choices. thinking_ms: since the film stopped, or since the last answer. */
void rb_quiz_run_answer(RbQuizRun *run, int value, int thinking_ms);

/* Scored as soon as nothing is asked any more. */
const RbQuizAnswer *rb_quiz_run_get_answer(const RbQuizRun *run);
/* In how many days the snap is asked again, by the schedule of rb/stats/spacing.h. */
int rb_quiz_run_days(const RbQuizRun *run);

/* "Curl, #1" of a slot; "?" for one that is none. Returns: (transfer full). */
char *rb_quiz_read_text(const RbQuizQuestion *question, int slot);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbQuizRun, rb_quiz_run_free)
