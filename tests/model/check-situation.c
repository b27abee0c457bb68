/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>

#include "rb/model/situation.h"

#include "suite.h"

TCase *rb_case_situation(void);

START_TEST(test_situation__texts)
{
    static const struct {
        RbSituation situation;
        const char *down;
        const char *whole;
    } rows[] = {
        { { .down = 2, .distance = 8, .yards_to_goal = 65, .hash = RB_HASH_LEFT },
          "2nd & 8",
          "2nd & 8, own 35, left hash" },
        { { .down = 1, .distance = 4, .yards_to_goal = 4, .hash = RB_HASH_MIDDLE },
          "1st & goal",
          "1st & goal, opp 4, middle" },
        { { .down = 3, .distance = 1, .yards_to_goal = 50, .hash = RB_HASH_RIGHT },
          "3rd & 1",
          "3rd & 1, 50, right hash" },
        { { .down = 4, .distance = 12, .yards_to_goal = 88 },
          "4th & 12",
          "4th & 12, own 12" },
        { { .down = 4 }, "4th down", "4th down" },
        { { .yards_to_goal = 20 }, "Down unknown", "Down unknown, opp 20" },
        { { .phase = RB_PHASE_TRY, .yards_to_goal = 3 }, "Try", "Try, opp 3" },
        { { .phase = RB_PHASE_FREE_KICK, .yards_to_goal = 65 },
          "Free kick",
          "Free kick, own 35" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *down = rb_situation_down_text(&rows[i].situation);
        g_autofree char *whole = rb_situation_text(&rows[i].situation);
        ck_assert_str_eq(down, rows[i].down);
        ck_assert_str_eq(whole, rows[i].whole);
    }
}
END_TEST

/* Margins of a "close" game: Bill Connelly's college columns (about 2011, seasons 2005 to 2010). */
START_TEST(test_situation__close_games)
{
    static const struct {
        int quarter;
        int margin;
    } rows[] = { { 1, 28 }, { 2, 24 }, { 3, 21 }, { 4, 16 }, { 5, 16 } };
    RbSituation situation = rb_situation_unknown();
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        situation.quarter = rows[i].quarter;
        situation.score_offense = 35;
        situation.score_defense = 35 - rows[i].margin;
        ck_assert_int_eq(rb_situation_is_close(&situation), RB_YES);
        situation.score_defense--;
        ck_assert_int_eq(rb_situation_is_close(&situation), RB_NO);
        situation.score_offense = situation.score_defense + rows[i].margin;
        ck_assert_int_eq(rb_situation_is_close(&situation), RB_YES);
        situation.score_offense = -1;
        ck_assert_int_eq(rb_situation_is_close(&situation), RB_YES_NO_UNKNOWN);
    }
    situation = (RbSituation){ .score_offense = 7, .score_defense = 7 };
    ck_assert_int_eq(rb_situation_is_close(&situation), RB_YES_NO_UNKNOWN);
}
END_TEST

START_TEST(test_situation__goal_to_go)
{
    RbSituation situation = rb_situation_unknown();
    ck_assert(!rb_situation_is_goal_to_go(&situation));
    situation.distance = 8;
    ck_assert(!rb_situation_is_goal_to_go(&situation));
    situation.yards_to_goal = 8;
    ck_assert(rb_situation_is_goal_to_go(&situation));
    situation.yards_to_goal = 9;
    ck_assert(!rb_situation_is_goal_to_go(&situation));
    situation.phase = RB_PHASE_TRY;
    situation.yards_to_goal = 3;
    ck_assert(!rb_situation_is_goal_to_go(&situation));
}
END_TEST

START_TEST(test_situation__unknown_says_so)
{
    const RbSituation situation = rb_situation_unknown();
    ck_assert_int_eq(situation.clock_s, -1);
    ck_assert_int_eq(situation.score_offense, -1);
    ck_assert_int_eq(situation.score_defense, -1);
    ck_assert_int_eq(situation.quarter, 0);
    ck_assert_int_eq(situation.offense.value, 0);
    g_autofree char *text = rb_situation_text(&situation);
    ck_assert_str_eq(text, "Down unknown");
}
END_TEST

TCase *rb_case_situation(void)
{
    TCase *tcase = rb_case_new("situation");
    tcase_add_test(tcase, test_situation__texts);
    tcase_add_test(tcase, test_situation__close_games);
    tcase_add_test(tcase, test_situation__goal_to_go);
    tcase_add_test(tcase, test_situation__unknown_says_so);
    return tcase;
}
