/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"

RB_DEFINE_ID(RbQuizAnswerId);

/* One question of the quiz, answered. What is right is kept with it: a later change of tags or rules
 * does not quietly make a right answer wrong. */
typedef struct {
    RbQuizAnswerId id;
    RbSnapId snap;
    RbPersonId person;
    char *asked_on;      /* owned, nullable: "2026-11-25" */
    RbShell shell;       /* named; unknown: not answered */
    RbSide side;         /* named, where a side is picked */
    int first_read;      /* slot named first, where none is picked; 0 not answered */
    int read;            /* slot he would throw; 0: to none of them */
    RbYesNo shell_right; /* unknown: not asked */
    RbYesNo first_right;
    RbYesNo read_right;
    int thinking_ms; /* over all stops of the film; -1 unknown */
} RbQuizAnswer;

/* Returns: (transfer full). */
RbQuizAnswer *rb_quiz_answer_new(RbQuizAnswerId id, RbSnapId snap, RbPersonId person);
void rb_quiz_answer_free(RbQuizAnswer *answer); /* NULL is allowed */

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbQuizAnswer, rb_quiz_answer_free)
