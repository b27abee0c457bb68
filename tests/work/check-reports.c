/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/error.h"
#include "rb/work/reports.h"

#include "random-season.h"
#include "suite.h"

TCase *rb_case_reports(void);

static RbSelection *select_all(RandomSeason *season)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(71));
    *season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_build(
        season->names, season->snaps, season->charts, season->clips, NULL, NULL, NULL);
    return rb_selection_new(snapshot, NULL);
}

START_TEST(test_reports__page_names_what_the_selection_holds)
{
    RandomSeason season;
    GError *error = NULL;
    g_autoptr(RbSelection) selection = select_all(&season);
    g_autofree char *path = rb_test_path("page.html");
    ck_assert(rb_selection_write_report(selection, path, "Week <5>", &error));
    rb_assert_no_error(error);
    g_autofree char *page = NULL;
    ck_assert(g_file_get_contents(path, &page, NULL, NULL));
    static const char *const holds[] = { "Week &lt;5&gt;", "Ridgeline", "Curl-flat",
                                         "Cover 3",        "Game 1: ",  "All dropbacks" };
    for (size_t i = 0; i < G_N_ELEMENTS(holds); i++) {
        ck_assert_msg(strstr(page, holds[i]) != NULL, "no \"%s\" on the page", holds[i]);
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_reports__pdf_by_its_name)
{
    RandomSeason season;
    GError *error = NULL;
    g_autoptr(RbSelection) selection = select_all(&season);
    g_autofree char *path = rb_test_path("page.pdf");
    ck_assert(rb_selection_write_report(selection, path, NULL, &error));
    rb_assert_no_error(error);
    g_autofree char *bytes = NULL;
    ck_assert(g_file_get_contents(path, &bytes, NULL, NULL));
    ck_assert_int_eq(strncmp(bytes, "%PDF-", 5), 0); /* ISO 32000-1, 7.5.2 */
    random_season_clear(&season);
}
END_TEST

START_TEST(test_reports__other_names_are_refused)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_all(&season);
    g_autofree char *path = rb_test_path("page.doc");
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_selection_write_report(selection, path, NULL, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    ck_assert(!g_file_test(path, G_FILE_TEST_EXISTS));
    random_season_clear(&season);
}
END_TEST

START_TEST(test_reports__nothing_selected_is_still_a_page)
{
    RandomSeason season;
    GError *error = NULL;
    g_autoptr(RbSelection) selection = select_all(&season);
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_GAME, 999);
    g_autoptr(RbSelection) none =
        rb_selection_new(rb_selection_get_snapshot(selection), filter);
    g_autofree char *path = rb_test_path("empty.html");
    ck_assert(rb_selection_write_report(none, path, NULL, &error));
    rb_assert_no_error(error);
    ck_assert(g_file_test(path, G_FILE_TEST_IS_REGULAR));
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_reports(void)
{
    TCase *tcase = rb_case_new("reports");
    tcase_add_test(tcase, test_reports__page_names_what_the_selection_holds);
    tcase_add_test(tcase, test_reports__pdf_by_its_name);
    tcase_add_test(tcase, test_reports__other_names_are_refused);
    tcase_add_test(tcase, test_reports__nothing_selected_is_still_a_page);
    return tcase;
}
