/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <string.h>

#include "rb/model/concept.h"
#include "rb/model/filter.h"
#include "rb/model/words.h"

#include "suite.h"

TCase *rb_case_words(void);

/* Every set, with the number of words its enum has. */
static const struct {
    const RbWords *words;
    int n;
    bool zero_unknown;
} sets[] = {
    { &rb_side_words, RB_SIDE_RIGHT + 1, true },
    { &rb_hash_words, RB_HASH_RIGHT + 1, true },
    { &rb_angle_words, RB_ANGLE_OTHER + 1, false },
    { &rb_game_kind_words, RB_GAME_SEVEN + 1, false },
    { &rb_rules_words, RB_RULES_PRO + 1, false },
    { &rb_phase_words, RB_PHASE_FREE_KICK + 1, false },
    { &rb_play_words, RB_PLAY_OTHER + 1, true },
    { &rb_result_words, RB_RESULT_NO_PLAY + 1, true },
    { &rb_ending_words, RB_ENDING_TOUCHDOWN_AGAINST + 1, false },
    { &rb_foul_side_words, RB_FOUL_DEFENSE + 1, false },
    { &rb_ruling_words, RB_RULING_OFFSET + 1, false },
    { &rb_enforced_words, RB_ENFORCED_SPOT_OF_FOUL + 1, false },
    { &rb_mark_words, RB_MARK_END + 1, false },
    { &rb_shell_words, RB_SHELL_UNCLEAR + 1, true },
    { &rb_technique_words, RB_TECHNIQUE_HARD + 1, true },
    { &rb_leverage_words, RB_LEVERAGE_HEAD_UP + 1, true },
    { &rb_rotation_words, RB_ROTATION_RIGHT + 1, true },
    { &rb_yes_no_words, RB_YES + 1, true },
    { &rb_family_words, RB_FAMILY_MATCH + 1, true },
    { &rb_width_words, RB_WIDTH_STACK + 1, true },
    { &rb_look_words, RB_LOOK_CANT_TELL + 1, true },
    { &rb_ball_words, RB_BALL_THROWN_AWAY + 1, true },
    { &rb_pressure_words, RB_PRESSURE_CAME + 1, true },
    { &rb_movement_words, RB_MOVEMENT_FORCED + 1, true },
    { &rb_contact_words, RB_CONTACT_SACKED + 1, true },
    { &rb_throw_words, RB_THROW_TIPPED + 1, true },
    { &rb_catch_words, RB_CATCH_OUT_OF_BOUNDS + 1, true },
    { &rb_fault_words, RB_FAULT_SLIP + 1, true },
    { &rb_call_words, RB_CALL_ACROSS + 1, true },
    { &rb_route_words, RB_ROUTE_DRAWN + 1, true },
    { &rb_verdict_words, RB_VERDICTS, false },
    { &rb_stage_words, RB_STAGES, false },
    { &rb_term_kind_words, RB_TERM_OWN_TAG + 1, false },
    { &rb_clock_words, RB_CLOCK_FOOTWORK + 1, true },
    { &rb_drop_words, RB_DROP_SPRINT + 1, false },
    { &rb_backfield_words, RB_BACKFIELD_CENTRE + 1, false },
    { &rb_runner_words, RB_RUNNER_BACK + 1, true },
    { &rb_read_side_words, RB_READ_SIDE_OTHER + 1, false },
    { &rb_where_words, RB_WHERE_RIGHT + 1, false },
    { &rb_condition_words, RB_IF_STRONG_SIDE + 1, false },
    { &rb_action_words, RB_DO_HOT + 1, false },
    { &rb_pick_words, RB_PICK_BOUNDARY + 1, false },
    { &rb_field_words, RB_FIELDS, false },
};

static void check_word(const RbWords *words, int value)
{
    const char *token = rb_words_token(words, value);
    const char *label = rb_words_label(words, value);
    ck_assert_msg(token != NULL && label != NULL, "%s %d has no word", words->name,
                  value);
    ck_assert_uint_eq(strspn(token, "abcdefghijklmnopqrstuvwxyz0123456789-"),
                      strlen(token));
    ck_assert_msg(!g_ascii_islower(label[0]), "label \"%s\"", label);
    int parsed = -1;
    ck_assert(rb_words_parse(words, token, &parsed));
    ck_assert_int_eq(parsed, value);
}

START_TEST(test_words__every_value_has_one_token)
{
    for (size_t i = 0; i < G_N_ELEMENTS(sets); i++) {
        ck_assert_int_eq(sets[i].words->n, sets[i].n);
        ck_assert_str_ne(sets[i].words->name, "");
        for (int value = 0; value < sets[i].n; value++) {
            check_word(sets[i].words, value);
        }
        ck_assert_int_eq(strcmp(rb_words_token(sets[i].words, 0), "unknown") == 0,
                         sets[i].zero_unknown);
    }
}
END_TEST

/* A set that is used inside sentences has a form for each value, which begins small. */
START_TEST(test_words__said_inside_a_sentence)
{
    static const RbWords *const spoken[] = {
        &rb_shell_words,  &rb_technique_words, &rb_leverage_words, &rb_hash_words,
        &rb_family_words, &rb_width_words,     &rb_fault_words,    &rb_route_words,
        &rb_call_words,   &rb_stage_words,     &rb_action_words,
    };
    for (size_t i = 0; i < G_N_ELEMENTS(spoken); i++) {
        for (int value = 0; value < spoken[i]->n; value++) {
            const char *said = rb_words_said(spoken[i], value);
            ck_assert_msg(g_ascii_islower(said[0]), "%s: \"%s\"", spoken[i]->name, said);
            for (int other = 0; other < value; other++) {
                ck_assert_str_ne(said, rb_words_said(spoken[i], other));
            }
        }
    }
    ck_assert_str_eq(rb_words_said(&rb_shell_words, RB_SHELL_TWO_HIGH), "two high");
}
END_TEST

START_TEST(test_words__refuses_what_is_not_a_token)
{
    int value = 77;
    ck_assert(!rb_words_parse(&rb_look_words, NULL, &value));
    ck_assert(!rb_words_parse(&rb_look_words, "", &value));
    ck_assert(!rb_words_parse(&rb_look_words, "Open", &value));
    ck_assert(!rb_words_parse(&rb_look_words, "ope", &value));
    ck_assert_int_eq(value, 77);
}
END_TEST

START_TEST(test_words__lists_the_choices)
{
    g_autofree char *looks = rb_words_list(&rb_look_words);
    ck_assert_str_eq(looks, "open, covered or cant-tell");
    g_autofree char *two = rb_words_list(&rb_yes_no_words);
    ck_assert_str_eq(two, "no or yes");
    g_autofree char *angles = rb_words_list(&rb_angle_words);
    ck_assert_str_eq(angles, "wide, tight or other");
}
END_TEST

START_TEST(test_words__sides)
{
    ck_assert_int_eq(rb_side_other(RB_SIDE_LEFT), RB_SIDE_RIGHT);
    ck_assert_int_eq(rb_side_other(RB_SIDE_RIGHT), RB_SIDE_LEFT);
    ck_assert_int_eq(rb_side_other(RB_SIDE_UNKNOWN), RB_SIDE_UNKNOWN);
    /* On the left hash the left is the short side; common practice, no source. */
    ck_assert_int_eq(rb_hash_boundary(RB_HASH_LEFT), RB_SIDE_LEFT);
    ck_assert_int_eq(rb_hash_boundary(RB_HASH_RIGHT), RB_SIDE_RIGHT);
    ck_assert_int_eq(rb_hash_boundary(RB_HASH_MIDDLE), RB_SIDE_UNKNOWN);
    ck_assert_int_eq(rb_hash_boundary(RB_HASH_UNKNOWN), RB_SIDE_UNKNOWN);
}
END_TEST

START_TEST(test_words__strong_side)
{
    ck_assert_int_eq(rb_strong_of_counts(3, 1), RB_STRONG_LEFT);
    ck_assert_int_eq(rb_strong_of_counts(1, 3), RB_STRONG_RIGHT);
    ck_assert_int_eq(rb_strong_of_counts(2, 2), RB_STRONG_EVEN);
    ck_assert_int_eq(rb_strong_side(RB_STRONG_LEFT), RB_SIDE_LEFT);
    ck_assert_int_eq(rb_strong_side(RB_STRONG_RIGHT), RB_SIDE_RIGHT);
    ck_assert_int_eq(rb_strong_side(RB_STRONG_EVEN), RB_SIDE_UNKNOWN);
    ck_assert_int_eq(rb_strong_side(RB_STRONG_UNKNOWN), RB_SIDE_UNKNOWN);
}
END_TEST

START_TEST(test_words__which_plays_are_passes)
{
    static const RbPlay ladder[] = { RB_PLAY_DROPBACK, RB_PLAY_QUICK, RB_PLAY_ACTION,
                                     RB_PLAY_BOOT, RB_PLAY_SPRINT_OUT };
    int n_ladder = 0;
    int n_pass = 0;
    for (int play = 0; play < rb_play_words.n; play++) {
        n_ladder += rb_play_is_in_ladder((RbPlay)play) ? 1 : 0;
        n_pass += rb_play_is_pass((RbPlay)play) ? 1 : 0;
    }
    for (size_t i = 0; i < G_N_ELEMENTS(ladder); i++) {
        ck_assert(rb_play_is_in_ladder(ladder[i]));
    }
    ck_assert_int_eq(n_ladder, (int)G_N_ELEMENTS(ladder));
    ck_assert_int_eq(n_pass, n_ladder + 2);
    ck_assert(rb_play_is_pass(RB_PLAY_SCREEN) &&
              rb_play_is_pass(RB_PLAY_RUN_PASS_OPTION));
    ck_assert(!rb_play_is_pass(RB_PLAY_SPIKE));
}
END_TEST

TCase *rb_case_words(void)
{
    TCase *tcase = rb_case_new("words");
    tcase_add_test(tcase, test_words__every_value_has_one_token);
    tcase_add_test(tcase, test_words__said_inside_a_sentence);
    tcase_add_test(tcase, test_words__refuses_what_is_not_a_token);
    tcase_add_test(tcase, test_words__lists_the_choices);
    tcase_add_test(tcase, test_words__sides);
    tcase_add_test(tcase, test_words__strong_side);
    tcase_add_test(tcase, test_words__which_plays_are_passes);
    return tcase;
}
