/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/error.h"
#include "rb/work/names.h"

#include "sample.h"
#include "suite.h"

TCase *rb_case_names(void);

START_TEST(test_names__games_stand_by_date)
{
    g_autoptr(RbNames) names = sample_names_new();
    const RbGame *first = rb_names_games(names)->pdata[0];
    ck_assert_int_eq(first->id.value, sample_early.value);
    ck_assert_ptr_eq(rb_names_parse_game(names, "1", NULL), first);
    ck_assert_ptr_eq(rb_names_parse_game(names, "2026-09-05", NULL), first);
    ck_assert_ptr_eq(rb_names_parse_game(names, "week 1 HARBOR city", NULL), first);
    ck_assert_ptr_eq(rb_names_parse_game(names, "21000", NULL), first);
}
END_TEST

START_TEST(test_names__what_is_not_there_is_named_with_what_is)
{
    g_autoptr(RbNames) names = sample_names_new();
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_names_parse_concept(names, "curl", &error));
    ck_assert_str_eq(error->message,
                     "There is no concept \"curl\": there is curl-flat or smash.");
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND));
    g_clear_error(&error);
    ck_assert_ptr_null(rb_names_parse_game(names, "3", &error));
    ck_assert_str_eq(
        error->message,
        "There is no game \"3\": give a number from 1 to 2 in order of date, a "
        "date such as 2026-09-05, or a title.");
    g_clear_error(&error);
    ck_assert_ptr_null(rb_names_parse_term(names, RB_TERM_COVERAGE, "cover-9", &error));
    ck_assert_ptr_nonnull(strstr(error->message, "There is no coverage \"cover-9\""));
    ck_assert_ptr_nonnull(strstr(error->message, "cover-3"));
    g_clear_error(&error);
    ck_assert_ptr_null(rb_names_parse_team(names, "Lowland", &error));
    ck_assert_ptr_nonnull(strstr(error->message, "Ridgeline or Harbor City"));
}
END_TEST

START_TEST(test_names__terms_by_token_name_and_id)
{
    g_autoptr(RbNames) names = sample_names_new();
    const RbTermId id = rb_term_id(RB_TERM_COVERAGE, "cover-3");
    g_autofree char *digits = g_strdup_printf("%" G_GINT64_FORMAT, id.value);
    const char *texts[] = { "cover-3", "Cover 3", "COVER 3", digits };
    for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) {
        const RbTerm *term = rb_names_parse_term(names, RB_TERM_COVERAGE, texts[i], NULL);
        ck_assert_ptr_nonnull(term);
        ck_assert_int_eq(term->id.value, id.value);
    }
    /* The id of a coverage is no formation. */
    ck_assert_ptr_null(rb_names_parse_term(names, RB_TERM_FORMATION, digits, NULL));
    ck_assert_str_eq(rb_names_term(names, id), "Cover 3");
    ck_assert_str_eq(rb_names_term_token(names, id), "cover-3");
    ck_assert_str_eq(rb_names_term(names, (RbTermId){ 0 }), "?");
    ck_assert_str_eq(rb_names_term_token(names, (RbTermId){ 0 }), "");
}
END_TEST

START_TEST(test_names__a_jersey_is_our_own_first)
{
    g_autoptr(RbNames) names = sample_names_new();
    const RbTeamId any = { 0 };
    const RbPlayer *player = rb_names_parse_player(names, any, "12", NULL);
    ck_assert_int_eq(player->id.value, sample_twelve.value);
    player = rb_names_parse_player(names, sample_them, "12", NULL);
    ck_assert_int_eq(player->id.value, sample_their_twelve.value);
    player = rb_names_parse_player(names, any, "dana ruiz", NULL);
    ck_assert_int_eq(player->id.value, sample_seven.value);
    player = rb_names_parse_player(names, sample_us, "33000", NULL);
    ck_assert_int_eq(player->id.value, sample_their_twelve.value);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_names_parse_player(names, sample_them, "7", &error));
    ck_assert_str_eq(error->message, "There is no player \"7\": there is 12.");
}
END_TEST

START_TEST(test_names__texts_for_people)
{
    g_autoptr(RbNames) names = sample_names_new();
    g_autofree char *seven = rb_names_player_text(names, sample_seven);
    ck_assert_str_eq(seven, "7 (Dana Ruiz)");
    g_autofree char *nobody = rb_names_player_text(names, (RbPlayerId){ 0 });
    ck_assert_str_eq(nobody, "?");
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 1 }, sample_early, 34);
    g_autofree char *text = rb_names_snap_text(names, snap);
    ck_assert_str_eq(text, "Week 1 Harbor City, snap 34");

    const RbConcept *curl = rb_names_parse_concept(names, "curl-flat", NULL);
    const RbConcept *smash = rb_names_parse_concept(names, "smash", NULL);
    RbCall call = { RB_CALL_SINGLE, curl->id, { 0 }, RB_SIDE_LEFT };
    g_autofree char *one = rb_names_call_text(names, &call);
    ck_assert_str_eq(one, "Curl-flat");
    call.kind = RB_CALL_SPLIT;
    call.second = smash->id;
    g_autofree char *split = rb_names_call_text(names, &call);
    ck_assert_str_eq(split, "Curl-flat / Smash");
    call.kind = RB_CALL_ACROSS;
    g_autofree char *across = rb_names_call_text(names, &call);
    ck_assert_str_eq(across, "Curl-flat to Smash");
    call.kind = RB_CALL_UNKNOWN;
    g_autofree char *unknown = rb_names_call_text(names, &call);
    ck_assert_str_eq(unknown, "?");
}
END_TEST

START_TEST(test_names__last_reference_frees)
{
    RbNames *names = sample_names_new();
    RbNames *second = rb_names_ref(names);
    ck_assert_ptr_eq(names, second);
    rb_names_unref(names);
    ck_assert_uint_eq(rb_names_people(second)->len, 1);
    ck_assert_str_eq(rb_names_find_person(second, (RbPersonId){ 41 })->name, "Coach");
    rb_names_unref(second);
    rb_names_unref(NULL);
}
END_TEST

TCase *rb_case_names(void)
{
    TCase *tcase = rb_case_new("names");
    tcase_add_test(tcase, test_names__games_stand_by_date);
    tcase_add_test(tcase, test_names__what_is_not_there_is_named_with_what_is);
    tcase_add_test(tcase, test_names__terms_by_token_name_and_id);
    tcase_add_test(tcase, test_names__a_jersey_is_our_own_first);
    tcase_add_test(tcase, test_names__texts_for_people);
    tcase_add_test(tcase, test_names__last_reference_frees);
    return tcase;
}
