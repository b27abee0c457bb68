/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/quiz.h"

#include "tables.h"

static const RbColumn columns[] = {
    RB_ID(RbQuizAnswer, snap, "snap"),
    RB_ID(RbQuizAnswer, person, "person"),
    RB_TEXT(RbQuizAnswer, asked_on, "asked_on"),
    RB_WORD(RbQuizAnswer, shell, "shell", rb_shell_words),
    RB_WORD(RbQuizAnswer, side, "side", rb_side_words),
    RB_INT(RbQuizAnswer, first_read, "first_read", 0),
    RB_INT(RbQuizAnswer, read, "read", RB_ALWAYS_KNOWN),
    RB_WORD(RbQuizAnswer, shell_right, "shell_right", rb_yes_no_words),
    RB_WORD(RbQuizAnswer, first_right, "first_right", rb_yes_no_words),
    RB_WORD(RbQuizAnswer, read_right, "read_right", rb_yes_no_words),
    RB_INT(RbQuizAnswer, thinking_ms, "thinking_ms", -1),
};

static void *make(void)
{
    return rb_quiz_answer_new((RbQuizAnswerId){ 0 }, (RbSnapId){ 0 }, (RbPersonId){ 0 });
}

const RbTable rb_quiz_answer_table = {
    "quiz_answer", "answer of the quiz",
    columns,       G_N_ELEMENTS(columns),
    make,          (GDestroyNotify)rb_quiz_answer_free,
};

GPtrArray *rb_store_list_quiz_answers(RbStore *store, RbPersonId person, GError **error)
{
    return rb_row_list(store, &rb_quiz_answer_table,
                       "WHERE t.person = ? AND t.removed = 0 ORDER BY t.asked_on, t.id",
                       &person.value, 1, error);
}

bool rb_store_save_quiz_answer(RbStore *store, const RbQuizAnswer *answer, GError **error)
{
    return rb_row_save(store, &rb_quiz_answer_table, answer, error);
}
