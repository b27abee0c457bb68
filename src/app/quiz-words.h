/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "errand-quiz.h"

/* Sentences of the quiz. Each (transfer full) unless it says otherwise. */

/* What is known before the snap: situation, personnel, formation, the call. Not how it ended. */
char *rb_quiz_facts_text(const RbSheet *sheet);
/* What is asked. (transfer none) */
const char *rb_quiz_ask_text(RbQuizAsk ask);
/* Of a choice, translated. (transfer none) */
const char *rb_quiz_choice_text(const RbQuizChoice *choice);
/* "Right: read 2, curl" or not, in one line. */
char *rb_quiz_result_text(const RbQuizQuestion *question, const RbQuizAnswer *answer);
/* Each answer with what was right, what he did on the film, and when the snap comes back. */
char *rb_quiz_told_text(const RbQuizQuestion *question, const RbQuizRun *run,
                        const RbSheet *sheet);
/* How much there is to ask. */
char *rb_quiz_about_text(const RbQuizSet *set);
