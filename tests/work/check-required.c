/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/missing.h"
#include "rb/work/rail.h"
#include "rb/work/snapshot.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_required(void);

static const RbTaggable *field(const char *token)
{
    return rb_taggable_parse(token, NULL);
}

/* Adding and taking away in any order ends with what was asked, each once, in the tags' order. */
START_TEST(test_required__a_list_holds_what_was_put_into_it)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(81));
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    g_autofree bool *want = g_new0(bool, n);
    char *list = g_strdup("");
    for (int step = 0; step < 500; step++) {
        const int i = (int)rb_random_int(&random, 0, n - 1);
        want[i] = rb_random_int(&random, 0, 1) == 1;
        char *with = rb_required_with(list, &fields[i], want[i]);
        g_free(list);
        list = with;
        ck_assert(rb_required_check(list, NULL));
    }
    const char *place = list;
    for (int i = 0; i < n; i++) {
        ck_assert(rb_required_has(list, &fields[i]) == want[i]);
        if (want[i]) {
            ck_assert(g_str_has_prefix(place, fields[i].token));
            place += strlen(fields[i].token);
            place += *place == ',';
        }
    }
    ck_assert_str_eq(place, "");
    g_free(list);
}
END_TEST

START_TEST(test_required__the_staffs_list_is_kept_told_and_undone)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(82));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    g_autofree char *before = sample_library_hash();
    g_autofree char *list = rb_library_get_required(library, &error);
    ck_assert_str_eq(list, rb_required_default);
    g_autofree char *with = rb_required_with(list, field("motion"), true);
    g_autofree char *more = rb_required_with(with, field("gain"), false);
    g_autofree char *words = NULL;
    ck_assert(rb_library_set_required(library, more, &words, &error));
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(strstr(words, "+ Motion"));
    ck_assert_ptr_nonnull(strstr(words, "- Gain"));
    /* Anybody who opens the library has it; the same again is no action. */
    g_autoptr(RbLibrary) other = sample_library_open("Second");
    g_autofree char *theirs = rb_library_get_required(other, &error);
    ck_assert_str_eq(theirs, more);
    g_autofree char *nothing = NULL;
    ck_assert(rb_library_set_required(other, more, &nothing, &error));
    ck_assert_ptr_null(nothing);
    ck_assert(!rb_library_set_required(other, "play,weather", NULL, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "weather"));
    g_clear_error(&error);
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(library, &undone, &error));
    g_autofree char *after = sample_library_hash();
    ck_assert_str_eq(after, before);
    random_season_clear(&season);
}
END_TEST

static int count_missing(RbLibrary *library, RbGameId game, const char *label)
{
    g_autoptr(GPtrArray) found = rb_library_find_open_ends(library, game, NULL);
    ck_assert_ptr_nonnull(found);
    int n = 0;
    for (guint i = 0; i < found->len; i++) {
        const RbCheck *check = found->pdata[i];
        n += strstr(check->sentence, "not tagged yet") != NULL &&
             strstr(check->sentence, label) != NULL;
    }
    return n;
}

/* How many dropbacks of the game lack the tag, counted by hand from the charts that count. */
static int count_by_hand(RbLibrary *library, RbGameId game, const char *token)
{
    g_autoptr(RbNames) names = rb_library_load_names(library, NULL);
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, game, NULL);
    const RbGame *its = rb_names_find_game(names, game);
    int n = 0;
    for (guint i = 0; i < snaps->len; i++) {
        RbSnap *snap = snaps->pdata[i];
        g_autoptr(GPtrArray) charts = rb_library_load_charts(library, snap->id, NULL);
        const RbChart *counts = rb_chart_that_counts(charts, its->lead);
        if (!rb_snap_is_dropback(snap) || snap->result == RB_RESULT_NO_PLAY) {
            continue;
        }
        g_autoptr(RbChart) empty = rb_chart_new(snap->id, (RbPersonId){ 1 });
        g_autofree char *value =
            rb_taggable_get(field(token), names, snap, counts != NULL ? counts : empty);
        n += value[0] == '\0';
    }
    return n;
}

START_TEST(test_required__a_tag_that_is_missing_is_an_open_end)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(83));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    static const char *const tokens[] = { "coverage", "formation", "gain" };
    static const char *const labels[] = { "Coverage", "Formation", "Gain" };
    int all = 0;
    for (size_t i = 0; i < G_N_ELEMENTS(tokens); i++) {
        const int truth = count_by_hand(library, random_games[0], tokens[i]);
        ck_assert(rb_library_set_required(library, tokens[i], NULL, NULL));
        ck_assert_int_eq(count_missing(library, random_games[0], labels[i]), truth);
        all += truth;
        ck_assert(rb_library_set_required(library, "play", NULL, NULL));
        ck_assert_int_eq(count_missing(library, random_games[0], labels[i]), 0);
    }
    ck_assert_int_gt(all, 0);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_required(void)
{
    TCase *tcase = rb_case_new("required");
    tcase_add_test(tcase, test_required__a_list_holds_what_was_put_into_it);
    tcase_add_test(tcase, test_required__the_staffs_list_is_kept_told_and_undone);
    tcase_add_test(tcase, test_required__a_tag_that_is_missing_is_an_open_end);
    return tcase;
}
