/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/missing.h"
#include "rb/work/snapshot.h"
#include "rb/work/two-charts.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_two_charts(void);

static const RbSnapId some_snap = { 201010 };

static RbGameId game_of(RbLibrary *library, RbSnapId id)
{
    g_autoptr(RbSnap) snap = rb_library_load_snap(library, id, NULL);
    return snap->game;
}

START_TEST(test_two_charts__a_blind_chart_starts_empty_and_shows_nothing)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(71));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    g_autoptr(RbSheet) open = rb_library_load_sheet(library, some_snap, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(open->counts);
    rb_library_set_blind(library, true);
    ck_assert(rb_library_has_changed(library));
    g_autoptr(RbSheet) blind = rb_library_load_sheet(library, some_snap, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_null(blind->counts);
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        g_autofree char *value =
            rb_taggable_get(&fields[i], blind->names, blind->snap, blind->chart);
        ck_assert_msg(fields[i].is_fact || *value == '\0', "%s shows %s", fields[i].token,
                      value);
    }
    /* The first tag keeps to that: nothing of the other chart comes along. */
    sample_tag(library, some_snap, "shell", "two-high");
    g_autoptr(RbSheet) own = rb_library_load_sheet(library, some_snap, &error);
    ck_assert(own->own);
    ck_assert_int_eq(own->chart->played.coverage.value, 0);
    ck_assert_int_eq(own->chart->shown.shell, RB_SHELL_TWO_HIGH);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_two_charts__work_goes_on_in_another_name)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(72));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    const RbPersonId coach = rb_library_get_person(library);
    sample_tag(library, some_snap, "coverage", "cover-3");
    rb_library_work_as(library, "Second charter");
    ck_assert_int_ne(rb_library_get_person(library).value, coach.value);
    sample_tag(library, some_snap, "coverage", "quarters");
    g_autoptr(GPtrArray) charts = rb_library_load_charts(library, some_snap, NULL);
    int found = 0;
    for (guint i = 0; i < charts->len; i++) {
        const RbChart *chart = charts->pdata[i];
        found += chart->author.value == coach.value;
        found += chart->author.value == rb_library_get_person(library).value;
    }
    ck_assert_int_eq(found, 2);
    g_autoptr(GPtrArray) lines = rb_library_load_history(library, 1, NULL);
    ck_assert_str_eq(((RbHistoryLine *)lines->pdata[0])->who, "Second charter");
    random_season_clear(&season);
}
END_TEST

START_TEST(test_two_charts__a_difference_is_listed_settled_and_undone)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(73));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    rb_library_set_blind(library, true);
    const RbPersonId coach = rb_library_get_person(library);
    const RbGameId game = game_of(library, some_snap);
    rb_library_work_as(library, "Ana");
    const RbPersonId ana = rb_library_get_person(library);
    sample_tag(library, some_snap, "coverage", "cover-3");
    sample_tag(library, some_snap, "shell", "one-high");
    rb_library_work_as(library, "Ben");
    const RbPersonId ben = rb_library_get_person(library);
    sample_tag(library, some_snap, "coverage", "quarters");
    sample_tag(library, some_snap, "shell", "one-high");
    sample_tag(library, some_snap, "rushers", "5"); /* Ana says nothing: no difference */
    ck_assert_int_ne(coach.value, ana.value);

    GError *error = NULL;
    g_autoptr(GPtrArray) all =
        rb_library_list_differences(library, game, ana, ben, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(all->len, 1);
    const RbDifference *difference = all->pdata[0];
    ck_assert_str_eq(difference->field->token, "coverage");
    ck_assert_str_eq(difference->first, "cover-3");
    ck_assert_str_eq(difference->second_shown, "Quarters");

    g_autofree char *words = NULL;
    const RbTagChange value = { "coverage", "quarters" };
    ck_assert(rb_library_settle_difference(library, some_snap, ana, ben, &value, &words,
                                           &error));
    rb_assert_no_error(error);
    ck_assert_str_eq(words, "coverage of snap 10 settled on Quarters (Ana: Cover 3, Ben: "
                            "Quarters; Game 1)");
    g_autoptr(GPtrArray) none =
        rb_library_list_differences(library, game, ana, ben, &error);
    ck_assert_uint_eq(none->len, 0);
    ck_assert(rb_library_undo(library, NULL, &error));
    g_autoptr(GPtrArray) back =
        rb_library_list_differences(library, game, ana, ben, &error);
    ck_assert_uint_eq(back->len, 1);
    /* A fact cannot be settled, nor a value that is none. */
    const RbTagChange fact = { "down", "2" };
    ck_assert(
        !rb_library_settle_difference(library, some_snap, ana, ben, &fact, NULL, &error));
    g_clear_error(&error);
    const RbTagChange nonsense = { "coverage", "no-such" };
    ck_assert(!rb_library_settle_difference(library, some_snap, ana, ben, &nonsense, NULL,
                                            &error));
    g_clear_error(&error);
    random_season_clear(&season);
}
END_TEST

/* Cohen 1960, worked by hand: of 10 snaps both say "yes" on 4 and "no" on 3, the first alone
 * says "yes" on 2 and "no" on 1: observed 0.7, by chance 0.6 x 0.5 + 0.4 x 0.5 = 0.5,
 * kappa (0.7 - 0.5) / (1 - 0.5) = 0.4. */
START_TEST(test_two_charts__kappa_is_that_of_the_table)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(74));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    rb_library_set_blind(library, true);
    const RbGameId game = game_of(library, some_snap);
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, game, NULL);
    ck_assert_uint_ge(snaps->len, 10);
    static const char first[] = "yyyynnnyyn";
    static const char second[] = "yyyynnnnny";
    RbPersonId people[2];
    for (int who = 0; who < 2; who++) {
        rb_library_work_as(library, who == 0 ? "Ana" : "Ben");
        people[who] = rb_library_get_person(library);
        for (int i = 0; i < 10; i++) {
            const char said = (who == 0 ? first : second)[i];
            sample_tag(library, ((RbSnap *)snaps->pdata[i])->id, "shell",
                       said == 'y' ? "one-high" : "two-high");
        }
    }
    GError *error = NULL;
    g_autoptr(GArray) all =
        rb_library_measure_agreement(library, game, people[0], people[1], &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(all->len, 1);
    const RbTagAgreement *shell = &g_array_index(all, RbTagAgreement, 0);
    ck_assert_str_eq(shell->field->token, "shell");
    ck_assert_int_eq(shell->both, 10);
    ck_assert_int_eq(shell->same, 7);
    ck_assert(shell->has_kappa);
    ck_assert_double_eq_tol(shell->kappa, 0.4, 1e-12);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_tagging__many_snaps_at_once_are_one_action)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(75));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(GPtrArray) snaps =
        rb_library_load_snaps(library, game_of(library, some_snap), NULL);
    g_autoptr(GArray) ids = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (guint i = 0; i < 3; i++) {
        const RbSnapId id = ((RbSnap *)snaps->pdata[i])->id;
        g_array_append_val(ids, id);
        sample_tag(library, id, "coverage", "-");
    }
    g_autofree char *before = sample_library_hash();
    g_autofree char *words = NULL;
    GError *error = NULL;
    ck_assert(rb_library_tag_snaps(library, ids, (RbTagChange){ "coverage", "cover-3" },
                                   &words, &error));
    rb_assert_no_error(error);
    g_autofree char *expected = g_strdup_printf(
        "coverage of snaps %d, %d and %d set to Cover 3 (Game 1)",
        ((RbSnap *)snaps->pdata[0])->number, ((RbSnap *)snaps->pdata[1])->number,
        ((RbSnap *)snaps->pdata[2])->number);
    ck_assert_str_eq(words, expected);
    ck_assert(rb_library_undo(library, NULL, &error));
    g_autofree char *after = sample_library_hash();
    ck_assert_str_eq(before, after);
    /* One that is not there: none of them. */
    const RbSnapId missing = { 77 };
    g_array_append_val(ids, missing);
    ck_assert(!rb_library_tag_snaps(library, ids, (RbTagChange){ "coverage", "quarters" },
                                    NULL, &error));
    g_clear_error(&error);
    g_autofree char *still = sample_library_hash();
    ck_assert_str_eq(before, still);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_open_ends__name_the_tag_that_settles)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(76));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    const RbGameId game = game_of(library, some_snap);
    g_autoptr(GPtrArray) found = rb_library_find_open_ends(library, game, &error);
    rb_assert_no_error(error);
    int waiting = 0;
    for (guint i = 0; i < found->len; i++) {
        const RbCheck *check = found->pdata[i];
        ck_assert(i == 0 || ((RbCheck *)found->pdata[i - 1])->number <= check->number);
        if (strstr(check->sentence, "waits for this tag") == NULL) {
            continue;
        }
        waiting++;
        /* By the sheet of whose chart counts the same tag is missing. */
        rb_library_work_as(library, "First charter");
        g_autoptr(RbSnapshot) all = rb_snapshot_take(library, NULL, NULL, &error);
        g_autofree char *settle = rb_snapshot_settle(all, check->snap);
        ck_assert_ptr_nonnull(settle);
        ck_assert_ptr_nonnull(strstr(check->sentence, settle));
        if (waiting == 3) {
            break;
        }
    }
    ck_assert_int_gt(waiting, 0);

    random_season_clear(&season);
}
END_TEST

TCase *rb_case_two_charts(void)
{
    TCase *tcase = rb_case_new("two-charts");
    tcase_add_test(tcase, test_two_charts__a_blind_chart_starts_empty_and_shows_nothing);
    tcase_add_test(tcase, test_two_charts__work_goes_on_in_another_name);
    tcase_add_test(tcase, test_two_charts__a_difference_is_listed_settled_and_undone);
    tcase_add_test(tcase, test_two_charts__kappa_is_that_of_the_table);
    tcase_add_test(tcase, test_tagging__many_snaps_at_once_are_one_action);
    tcase_add_test(tcase, test_open_ends__name_the_tag_that_settles);
    return tcase;
}
