/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/work/quiz-run.h"

#include "suite.h"

TCase *rb_case_quiz_run(void);

static RbQuizQuestion smash(void)
{
    RbQuizQuestion question = { .snap = { 7 },
                                .shell = RB_SHELL_TWO_HIGH,
                                .side = RB_SIDE_LEFT,
                                .first_read = 1,
                                .right_read = 2,
                                .outlet = 3,
                                .n_rungs = 3,
                                .stop_ms = { 1800, 2600 },
                                .n_stops = 2,
                                .spacing = rb_spacing_new() };
    static const RbRoute routes[] = { RB_ROUTE_CORNER, RB_ROUTE_HITCH,
                                      RB_ROUTE_CHECK_DOWN };
    for (int i = 0; i < question.n_rungs; i++) {
        question.rungs[i].slot = i + 1;
        question.rungs[i].route = routes[i];
    }
    return question;
}

static bool offers(const RbQuizRun *run, int value)
{
    g_autoptr(GPtrArray) choices = rb_quiz_run_choices(run);
    for (guint i = 0; i < choices->len; i++) {
        if (((const RbQuizChoice *)choices->pdata[i])->value == value) {
            return true;
        }
    }
    return false;
}

/* Stop by stop: before the snap twice, then the clock of each read until he throws. */
START_TEST(test_quiz_run__asks_in_order)
{
    const RbQuizQuestion question = smash();
    g_autoptr(RbQuizRun) run =
        rb_quiz_run_new(&question, (RbPersonId){ 5 }, "2026-11-25");
    ck_assert_int_eq(rb_quiz_run_get_ask(run), RB_QUIZ_ASK_SHELL);
    ck_assert_int_eq(rb_quiz_run_stop_ms(run), RB_QUIZ_BEFORE_SNAP);
    ck_assert(offers(run, RB_SHELL_TWO_HIGH) && !offers(run, RB_SHELL_UNKNOWN) &&
              !offers(run, RB_SHELL_UNCLEAR));
    rb_quiz_run_answer(run, RB_SHELL_TWO_HIGH, 900);
    ck_assert_int_eq(rb_quiz_run_get_ask(run), RB_QUIZ_ASK_SIDE);
    ck_assert(!rb_quiz_run_has_moved(run));
    rb_quiz_run_answer(run, RB_SIDE_RIGHT, 500);
    ck_assert_int_eq(rb_quiz_run_get_ask(run), RB_QUIZ_ASK_THROW);
    ck_assert(rb_quiz_run_has_moved(run));
    ck_assert_int_eq(rb_quiz_run_stop_ms(run), 1800);
    ck_assert(offers(run, RB_QUIZ_NOT_YET) && !offers(run, 0));
    rb_quiz_run_answer(run, RB_QUIZ_NOT_YET, 300);
    ck_assert_int_eq(rb_quiz_run_stop_ms(run), 2600);
    ck_assert(!offers(run, RB_QUIZ_NOT_YET) && offers(run, 0));
    rb_quiz_run_answer(run, 2, 400);
    ck_assert_int_eq(rb_quiz_run_get_ask(run), RB_QUIZ_ASK_NOTHING);
    const RbQuizAnswer *given = rb_quiz_run_get_answer(run);
    ck_assert_int_eq(given->thinking_ms, 2100);
    ck_assert_int_eq(given->shell_right, RB_YES);
    ck_assert_int_eq(given->first_right, RB_NO);
    ck_assert_int_eq(given->read_right, RB_YES);
    ck_assert_str_eq(given->asked_on, "2026-11-25");
    ck_assert(given->snap.value == 7 && given->person.value == 5);
    ck_assert_int_eq(rb_quiz_run_days(run), 1);
}
END_TEST

/* What is not known is not asked; a concept without clocks still stops once. */
START_TEST(test_quiz_run__leaves_out_what_is_unknown)
{
    RbQuizQuestion question = smash();
    question.shell = RB_SHELL_UNKNOWN;
    question.side = RB_SIDE_UNKNOWN;
    question.n_stops = 0;
    g_autoptr(RbQuizRun) run =
        rb_quiz_run_new(&question, (RbPersonId){ 5 }, "2026-11-25");
    ck_assert_int_eq(rb_quiz_run_get_ask(run), RB_QUIZ_ASK_FIRST);
    ck_assert(offers(run, 1) && offers(run, 3) && !offers(run, 4));
    rb_quiz_run_answer(run, 1, 10);
    ck_assert_int_eq(rb_quiz_run_stop_ms(run), RB_QUIZ_NO_CLOCK_MS);
    rb_quiz_run_answer(run, 0, 10);
    ck_assert_int_eq(rb_quiz_run_get_answer(run)->read, 0);
    ck_assert_int_eq(rb_quiz_run_get_answer(run)->shell_right, RB_YES_NO_UNKNOWN);
    ck_assert_int_eq(rb_quiz_run_get_answer(run)->read_right, RB_NO);
    question.first_read = 0;
    g_autoptr(RbQuizRun) bare = rb_quiz_run_new(&question, (RbPersonId){ 5 }, NULL);
    ck_assert_int_eq(rb_quiz_run_get_ask(bare), RB_QUIZ_ASK_THROW);
}
END_TEST

/* SM-2 (Wozniak 1990, section 3.2): after a first right answer one day, after a second six; a
 * wrong one starts over. */
START_TEST(test_quiz_run__names_the_next_day)
{
    RbQuizQuestion question = smash();
    question.spacing = rb_spacing_next(rb_spacing_new(), 5);
    static const int reads[] = { 2, 1 }, days[] = { 6, 1 };
    for (int i = 0; i < 2; i++) {
        g_autoptr(RbQuizRun) run = rb_quiz_run_new(&question, (RbPersonId){ 5 }, NULL);
        rb_quiz_run_answer(run, RB_SHELL_TWO_HIGH, 10);
        rb_quiz_run_answer(run, RB_SIDE_LEFT, 10);
        rb_quiz_run_answer(run, reads[i], 10);
        ck_assert_int_eq(rb_quiz_run_days(run), days[i]);
    }
    g_autofree char *read = rb_quiz_read_text(&question, 2);
    ck_assert_str_eq(read, rb_words_label(&rb_route_words, RB_ROUTE_HITCH));
    g_autofree char *none = rb_quiz_read_text(&question, 9);
    ck_assert_str_eq(none, "?");
}
END_TEST

TCase *rb_case_quiz_run(void)
{
    TCase *tcase = rb_case_new("quiz-run");
    tcase_add_test(tcase, test_quiz_run__asks_in_order);
    tcase_add_test(tcase, test_quiz_run__leaves_out_what_is_unknown);
    tcase_add_test(tcase, test_quiz_run__names_the_next_day);
    return tcase;
}
