/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/report/words.h"

#include "figures.h"
#include "suite.h"

TCase *rb_case_words(void);

static void check_text(char *taken, const char *want)
{
    g_autofree char *text = taken;
    ck_assert_str_eq(text, want);
}

START_TEST(test_words__rates_keep_their_number)
{
    check_text(rb_rate_text(5, 10), "50 %");
    check_text(rb_rate_text(0, 5), "0 %");
    check_text(rb_rate_text(2, 3), "2 of 3");
    check_text(rb_rate_text(4, 4), "4 of 4");
    /* R 4.2.2, prop.test(5, 10, correct = FALSE): 0.2366 to 0.7634; of 81 in 263 0.2553 to
     * 0.3662. */
    check_text(rb_interval_text(5, 10), "24 to 76 %");
    check_text(rb_interval_text(81, 263), "26 to 37 %");
    check_text(rb_interval_text(2, 4), "too few to rate");
}
END_TEST

START_TEST(test_words__points_have_a_sign_unless_nothing)
{
    check_text(rb_points_text(1.24, 1), "+1.2");
    check_text(rb_points_text(-4.06, 1), "\u22124.1");
    check_text(rb_points_text(-0.04, 1), "0.0");
    check_text(rb_points_text(0.04, 2), "+0.04");
    check_text(rb_points_text(0.0, 1), "0.0");
    check_text(rb_dropbacks_text(1), "1 dropback");
    check_text(rb_dropbacks_text(0), "0 dropbacks");
}
END_TEST

START_TEST(test_words__the_break_in_a_sentence)
{
    const RbLadder ladder = rb_example_ladder();
    RbBreak found = rb_example_break();
    check_text(
        rb_break_text(&found, &ladder),
        "Breaks at read 2, eyes: 6 of 20 dropbacks ended there and lost 4.1 points, "
        "2.8 more than our norm there. Leaning.");
    found.certainty = RB_CERTAINTY_NOT_SETTLED;
    check_text(
        rb_break_text(&found, &ladder),
        "Costs most at read 2, eyes: 6 of 20 dropbacks ended there and lost 4.1 points, "
        "2.8 more than our norm there. Not settled.");
    found.certainty = RB_CERTAINTY_CLEAR;
    found.read = 0;
    found.stage = RB_STAGE_AFTER;
    found.points = 0.4; /* won points there, but fewer than others do */
    found.excess = 1.0;
    check_text(rb_break_text(&found, &ladder),
               "Breaks off the reads, after the catch: 6 of 20 dropbacks ended there, "
               "1.0 point worse than our norm there. Clear.");
}
END_TEST

START_TEST(test_words__no_break_says_why)
{
    const RbLadder ladder = rb_example_ladder();
    const RbLadder empty = { 0 };
    RbLadder bare = { .dropbacks = 3 };
    RbBreak found = { 0 };
    check_text(rb_break_text(&found, &empty), "No dropbacks here.");
    check_text(rb_break_text(&found, &bare), "No points to compare, so no break point.");
    check_text(rb_break_text(&found, &ladder), "Nothing failed here.");
    RbLadder unjudged = { 0 };
    rb_book_cell(&unjudged, 0, RB_STAGE_NOT_JUDGED, 18, -9.6);
    check_text(rb_break_text(&found, &unjudged),
               "Not judged yet, so no break point: tag the reads and the ball.");
    found = rb_example_break();
    found.excess = -0.1;
    check_text(rb_break_text(&found, &ladder),
               "Costs no more than our norm at any read.");
}
END_TEST

START_TEST(test_words__few_dropbacks_are_said)
{
    RbLadder ladder = { 0 };
    rb_book_cell(&ladder, 1, RB_STAGE_EYES, 3, -2.0);
    RbBreak found = rb_example_break();
    found.dropbacks = 3;
    found.certainty = RB_CERTAINTY_NOT_SETTLED;
    check_text(
        rb_break_text(&found, &ladder),
        "Costs most at read 2, eyes: 3 of 3 dropbacks ended there and lost 4.1 points. "
        "Not settled. Rests on fewer than 5 dropbacks.");
    found.points = 0.4;
    check_text(rb_break_text(&found, &ladder),
               "Costs most at read 2, eyes: 3 of 3 dropbacks ended there. Not settled. "
               "Rests on fewer than 5 dropbacks.");
}
END_TEST

START_TEST(test_words__cautions_say_what_must_be_said)
{
    g_autofree char *all = g_strjoinv("\n", (char **)rb_cautions());
    static const char *const musts[] = {
        "an interval",   "expected points", "this team with itself",
        "personal data", "minors",          "league's rules"
    };
    for (size_t i = 0; i < sizeof musts / sizeof musts[0]; i++) {
        ck_assert_msg(strstr(all, musts[i]) != NULL, "missing: %s", musts[i]);
    }
}
END_TEST

/* The help says what README says: the same figures in the same order. */
START_TEST(test_words__the_curve_is_a_whole_table)
{
    g_auto(GStrv) lines = g_strsplit(rb_break_curve_text(), "\n", -1);
    int rows = 0;
    for (int i = 0; lines[i] != NULL; i++) {
        int percents = 0;
        for (const char *at = lines[i]; *at != '\0'; at++) {
            percents += *at == '%';
        }
        ck_assert_int_le((int)strlen(lines[i]), 90);
        ck_assert(percents == 0 || percents == 8);
        rows += percents == 8;
    }
    ck_assert_int_eq(rows, 5); /* breaks of 0, 1, 2, 3 and 5 points */
}
END_TEST

TCase *rb_case_words(void)
{
    TCase *tcase = rb_case_new("words");
    tcase_add_test(tcase, test_words__rates_keep_their_number);
    tcase_add_test(tcase, test_words__points_have_a_sign_unless_nothing);
    tcase_add_test(tcase, test_words__the_break_in_a_sentence);
    tcase_add_test(tcase, test_words__no_break_says_why);
    tcase_add_test(tcase, test_words__few_dropbacks_are_said);
    tcase_add_test(tcase, test_words__cautions_say_what_must_be_said);
    tcase_add_test(tcase, test_words__the_curve_is_a_whole_table);
    return tcase;
}
