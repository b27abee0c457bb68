/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/work/quiz-run.h"

#include <glib/gi18n-lib.h>

#include "rb/stats/spacing.h"

struct RbQuizRun {
    RbQuizQuestion question; /* due_on is not kept */
    RbQuizAnswer *answer;    /* owned */
    RbQuizAsk ask;
    int stop; /* number of the stop after the snap */
    bool moved;
};

static bool asks_first(const RbQuizQuestion *question)
{
    return question->side != RB_SIDE_UNKNOWN || question->first_read > 0;
}

static RbQuizAsk first_ask(const RbQuizQuestion *question)
{
    return question->side != RB_SIDE_UNKNOWN ? RB_QUIZ_ASK_SIDE : RB_QUIZ_ASK_FIRST;
}

RbQuizRun *rb_quiz_run_new(const RbQuizQuestion *question, RbPersonId person,
                           const char *today)
{
    RbQuizRun *run = g_new0(RbQuizRun, 1);
    run->question = *question;
    run->question.due_on = NULL;
    if (run->question.n_stops == 0) {
        run->question.stop_ms[run->question.n_stops++] = RB_QUIZ_NO_CLOCK_MS;
    }
    run->answer = rb_quiz_answer_new((RbQuizAnswerId){ 0 }, question->snap, person);
    run->answer->asked_on = g_strdup(today);
    run->answer->thinking_ms = 0;
    run->moved = true;
    if (question->shell != RB_SHELL_UNKNOWN) {
        run->ask = RB_QUIZ_ASK_SHELL;
    } else {
        run->ask = asks_first(question) ? first_ask(question) : RB_QUIZ_ASK_THROW;
    }
    return run;
}

void rb_quiz_run_free(RbQuizRun *run)
{
    if (run != NULL) {
        rb_quiz_answer_free(run->answer);
        g_free(run);
    }
}

RbQuizAsk rb_quiz_run_get_ask(const RbQuizRun *run)
{
    return run->ask;
}

int rb_quiz_run_stop_ms(const RbQuizRun *run)
{
    return run->ask == RB_QUIZ_ASK_THROW ? run->question.stop_ms[run->stop]
                                         : RB_QUIZ_BEFORE_SNAP;
}

bool rb_quiz_run_has_moved(const RbQuizRun *run)
{
    return run->moved;
}

static void add(GPtrArray *choices, int value, char *label)
{
    RbQuizChoice *choice = g_new0(RbQuizChoice, 1);
    choice->value = value;
    choice->label = label;
    g_ptr_array_add(choices, choice);
}

static void add_words(GPtrArray *choices, const RbWords *words, int first, int last)
{
    for (int i = first; i <= last; i++) {
        add(choices, i, g_strdup(rb_words_label(words, i)));
    }
}

char *rb_quiz_read_text(const RbQuizQuestion *question, int slot)
{
    for (int i = 0; i < question->n_rungs; i++) {
        const RbRung *rung = &question->rungs[i];
        if (rung->slot == slot) {
            const char *route = rb_words_label(&rb_route_words, rung->route);
            return rung->runner != RB_RUNNER_UNKNOWN
                       ? g_strdup_printf("%s, %s", route,
                                         rb_words_label(&rb_runner_words, rung->runner))
                       : g_strdup(route);
        }
    }
    return g_strdup("?");
}

static void add_reads(const RbQuizRun *run, GPtrArray *choices)
{
    const RbQuizQuestion *question = &run->question;
    for (int i = 0; i < question->n_rungs; i++) {
        const int slot = question->rungs[i].slot;
        add(choices, slot, rb_quiz_read_text(question, slot));
    }
}

static void free_choice(void *data)
{
    RbQuizChoice *choice = data;
    g_free(choice->label);
    g_free(choice);
}

GPtrArray *rb_quiz_run_choices(const RbQuizRun *run)
{
    GPtrArray *choices = g_ptr_array_new_with_free_func(free_choice);
    switch (run->ask) {
    case RB_QUIZ_ASK_SHELL:
        add_words(choices, &rb_shell_words, RB_SHELL_NONE_DEEP, RB_SHELL_THREE_HIGH);
        break;
    case RB_QUIZ_ASK_SIDE:
        add_words(choices, &rb_side_words, RB_SIDE_LEFT, RB_SIDE_RIGHT);
        break;
    case RB_QUIZ_ASK_FIRST:
        add_reads(run, choices);
        break;
    case RB_QUIZ_ASK_THROW:
        add_reads(run, choices);
        if (run->stop + 1 < run->question.n_stops) {
            add(choices, RB_QUIZ_NOT_YET, g_strdup(_("Nobody yet")));
        } else {
            add(choices, 0, g_strdup(_("Nobody: none is open")));
        }
        break;
    case RB_QUIZ_ASK_NOTHING:
        break;
    }
    return choices;
}

static void to_throw(RbQuizRun *run)
{
    run->ask = RB_QUIZ_ASK_THROW;
    run->moved = true;
}

static void answer_throw(RbQuizRun *run, int value)
{
    run->moved = true;
    if (value == RB_QUIZ_NOT_YET && run->stop + 1 < run->question.n_stops) {
        run->stop++;
        return;
    }
    run->answer->read = MAX(value, 0);
    run->ask = RB_QUIZ_ASK_NOTHING;
    rb_quiz_score(&run->question, run->answer);
}

void rb_quiz_run_answer(RbQuizRun *run, int value, int thinking_ms)
{
    run->moved = false;
    run->answer->thinking_ms += MAX(thinking_ms, 0);
    switch (run->ask) {
    case RB_QUIZ_ASK_SHELL:
        run->answer->shell = (RbShell)value;
        if (asks_first(&run->question)) {
            run->ask = first_ask(&run->question);
        } else {
            to_throw(run);
        }
        break;
    case RB_QUIZ_ASK_SIDE:
        run->answer->side = (RbSide)value;
        to_throw(run);
        break;
    case RB_QUIZ_ASK_FIRST:
        run->answer->first_read = value;
        to_throw(run);
        break;
    case RB_QUIZ_ASK_THROW:
        answer_throw(run, value);
        break;
    case RB_QUIZ_ASK_NOTHING:
        break;
    }
}

const RbQuizAnswer *rb_quiz_run_get_answer(const RbQuizRun *run)
{
    return run->answer;
}

int rb_quiz_run_days(const RbQuizRun *run)
{
    return rb_spacing_next(run->question.spacing, rb_quiz_quality(run->answer)).days;
}
