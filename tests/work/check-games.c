/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/error.h"
#include "rb/work/games.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_games(void);

static RbLibrary *make_library(const char *name)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path(name);
    RbLibrary *library = rb_library_create(path, "Coach", &error);
    rb_assert_no_error(error);
    return library;
}

static RbGameEntry entry_of(const char *title, const char *played_on, const char *them)
{
    return (RbGameEntry){ .title = (char *)title,
                          .played_on = (char *)played_on,
                          .them = (char *)them,
                          .kind = RB_GAME_GAME,
                          .rules = RB_RULES_HIGH_SCHOOL };
}

static const GPtrArray *games_of(RbLibrary *library, RbNames **names)
{
    GError *error = NULL;
    *names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    return rb_names_games(*names);
}

static void expect_refused(RbLibrary *library, const RbGameEntry *entry, const char *says)
{
    g_autoptr(GError) error = NULL;
    ck_assert_int_eq(rb_library_add_game(library, entry, NULL, &error).value, 0);
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    ck_assert_ptr_nonnull(strstr(error->message, says));
}

START_TEST(test_games__a_game_is_there_with_its_teams_and_can_be_taken_back)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = make_library("games.readbreak");
    RbGameEntry entry = entry_of(" Week 3 at Harbor City ", "2026-09-12", "Harbor City");
    entry.us = (char *)"Quillbrook";
    g_autofree char *words = NULL;
    const RbGameId id = rb_library_add_game(library, &entry, &words, &error);
    rb_assert_no_error(error);
    ck_assert_str_eq(words, "game \"Week 3 at Harbor City\" of 2026-09-12 added");
    ck_assert_int_eq(id.value,
                     rb_game_id_of("2026-09-12", "Week 3 at Harbor City").value);
    g_autoptr(RbNames) names = NULL;
    const GPtrArray *games = games_of(library, &names);
    ck_assert_uint_eq(games->len, 1);
    const RbGame *game = games->pdata[0];
    ck_assert_int_eq(game->rules, RB_RULES_HIGH_SCHOOL);
    ck_assert_str_eq(rb_names_find_team(names, game->us)->name, "Quillbrook");
    ck_assert(rb_names_find_team(names, game->us)->ours);
    ck_assert_str_eq(rb_names_find_team(names, game->them)->name, "Harbor City");
    ck_assert(!rb_names_find_team(names, game->them)->ours);
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(library, &undone, &error));
    g_autoptr(RbNames) after = NULL;
    ck_assert_uint_eq(games_of(library, &after)->len, 0);
    /* The same again brings it back under its own id. */
    ck_assert_int_eq(rb_library_add_game(library, &entry, NULL, &error).value, id.value);
    rb_assert_no_error(error);
}
END_TEST

START_TEST(test_games__teams_that_are_known_are_not_made_again)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = make_library("games.readbreak");
    RbGameEntry entry = entry_of("One", "2026-09-05", "Harbor City");
    entry.us = (char *)"Quillbrook";
    ck_assert_int_ne(rb_library_add_game(library, &entry, NULL, &error).value, 0);
    const RbGameEntry again = entry_of("Two", "2026-10-05", " HARBOR city");
    ck_assert_int_ne(rb_library_add_game(library, &again, NULL, &error).value, 0);
    rb_assert_no_error(error);
    g_autoptr(RbNames) names = NULL;
    const GPtrArray *games = games_of(library, &names);
    ck_assert_uint_eq(games->len, 2);
    const RbGame *one = games->pdata[0];
    const RbGame *two = games->pdata[1];
    ck_assert_int_eq(one->them.value, two->them.value);
    ck_assert_int_eq(one->us.value, two->us.value); /* ours, without being named */
}
END_TEST

START_TEST(test_games__what_makes_no_sense_is_refused_and_changes_nothing)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = make_library("games.readbreak");
    const RbGameEntry good = entry_of("Week 1", "2026-09-05", "");
    ck_assert_int_ne(rb_library_add_game(library, &good, NULL, &error).value, 0);
    rb_assert_no_error(error);
    g_autoptr(GPtrArray) before = rb_library_load_history(library, 0, &error);
    static const char *const dates[] = { "",           "yesterday",  "2026-9-5",
                                         "2026-02-29", "2026-13-01", "0000-01-01",
                                         "2026-09-05x" };
    for (size_t i = 0; i < G_N_ELEMENTS(dates); i++) {
        const RbGameEntry entry = entry_of("Week 2", dates[i], "Nobody");
        expect_refused(library, &entry, "not a date");
    }
    const RbGameEntry blank = entry_of("  ", "2026-09-05", "Nobody");
    expect_refused(library, &blank, "no name");
    const RbGameEntry twin = entry_of("Week 1 ", " 2026-09-05", "Nobody");
    expect_refused(library, &twin, "already");
    g_autoptr(RbNames) names = NULL;
    ck_assert_uint_eq(games_of(library, &names)->len, 1);
    g_autoptr(GPtrArray) history = rb_library_load_history(library, 0, &error);
    ck_assert_uint_eq(history->len, before->len);
}
END_TEST

START_TEST(test_games__two_laptops_that_add_one_game_agree)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) one = make_library("one.readbreak");
    g_autoptr(RbLibrary) other = make_library("other.readbreak");
    const RbGameEntry entry = entry_of("Week 1", "2026-09-05", "Harbor City");
    const RbGameId here = rb_library_add_game(one, &entry, NULL, &error);
    const RbGameId there = rb_library_add_game(other, &entry, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(here.value, there.value);
    /* Leap days are dates; another day or another name is another game. */
    const RbGameEntry leap = entry_of("Week 1", "2028-02-29", "Harbor City");
    ck_assert_int_ne(rb_library_add_game(one, &leap, NULL, &error).value, here.value);
    rb_assert_no_error(error);
}
END_TEST

TCase *rb_case_games(void)
{
    TCase *tcase = rb_case_new("games");
    tcase_add_test(tcase,
                   test_games__a_game_is_there_with_its_teams_and_can_be_taken_back);
    tcase_add_test(tcase, test_games__teams_that_are_known_are_not_made_again);
    tcase_add_test(tcase, test_games__what_makes_no_sense_is_refused_and_changes_nothing);
    tcase_add_test(tcase, test_games__two_laptops_that_add_one_game_agree);
    return tcase;
}
