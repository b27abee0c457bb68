/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/quiz.h"
#include "rb/store/store.h"

/* Answers of the quiz. The pattern is that of staff.h. */

/* Of one person, in the order in which they were given (by date, then id). Returns: (transfer
 * full): GPtrArray of RbQuizAnswer. */
GPtrArray *rb_store_list_quiz_answers(RbStore *store, RbPersonId person, GError **error);
bool rb_store_save_quiz_answer(RbStore *store, const RbQuizAnswer *answer,
                               GError **error);
