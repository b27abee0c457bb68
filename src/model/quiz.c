/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/quiz.h"

RbQuizAnswer *rb_quiz_answer_new(RbQuizAnswerId id, RbSnapId snap, RbPersonId person)
{
    RbQuizAnswer *answer = g_new0(RbQuizAnswer, 1);
    answer->id = id;
    answer->snap = snap;
    answer->person = person;
    answer->thinking_ms = -1;
    return answer;
}

void rb_quiz_answer_free(RbQuizAnswer *answer)
{
    if (answer != NULL) {
        g_free(answer->asked_on);
        g_free(answer);
    }
}
