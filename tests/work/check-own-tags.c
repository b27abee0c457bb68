/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/filter-text.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

#include "library-sample.h"
#include "own-tags.h"
#include "sample.h"
#include "suite.h"

TCase *rb_case_own_tags(void);

static void assert_text(const RbNames *names, const RbSnap *snap, const char *text)
{
    g_autofree char *have = rb_own_tags_text(names, snap, false);
    ck_assert_str_eq(have, text);
}

START_TEST(test_own_tags__all_or_changes)
{
    static const struct {
        const char *set;
        const char *then;
    } steps[] = {
        { "Trick play", "trick-play" },
        { "+two-minute", "trick-play, two-minute" },
        { "+TRICK  play", "trick-play, two-minute" },
        { "-trick play", "two-minute" },
        { "-trick play", "two-minute" },
        { "+trick-play, -two-minute", "trick-play" },
        { "two-minute, Trick Play, two minute", "trick-play, two-minute" },
        { "two-minute", "two-minute" },
    };
    g_autoptr(RbNames) names = sample_names_new();
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    for (size_t i = 0; i < G_N_ELEMENTS(steps); i++) {
        GError *error = NULL;
        ck_assert(rb_own_tags_set(names, snap, steps[i].set, &error));
        rb_assert_no_error(error);
        assert_text(names, snap, steps[i].then);
    }
    g_autofree char *people = rb_own_tags_text(names, snap, true);
    ck_assert_str_eq(people, "Two-minute");
}
END_TEST

START_TEST(test_own_tags__what_is_no_tag_is_refused_whole)
{
    static const struct {
        const char *text;
        const char *says;
    } rows[] = {
        { "two-minute, !!!", "\"!!!\" cannot be a tag" },
        { "two-minute,", "\"\" cannot be a tag" },
        { "a;b", "\"a;b\" cannot be a tag" },
        { "down=3", "cannot be a tag" },
        { "+two-minute, trick play", "not both" },
        { "\xff\xfe", "\"?\" cannot be a tag" },
    };
    g_autoptr(RbNames) names = sample_names_new();
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    ck_assert(rb_own_tags_set(names, snap, "trick play", NULL));
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert(!rb_own_tags_set(names, snap, rows[i].text, &error));
        ck_assert_ptr_nonnull(error);
        ck_assert_msg(strstr(error->message, rows[i].says) != NULL, "%s", error->message);
        assert_text(names, snap, "trick-play");
    }
}
END_TEST

START_TEST(test_own_tags__new_words_are_told_once)
{
    g_autoptr(RbNames) names = sample_names_new();
    g_autoptr(GPtrArray) none = rb_own_tags_new(names, "Trick play, -never seen");
    ck_assert_uint_eq(none->len, 0);
    g_autoptr(GPtrArray) fresh =
        rb_own_tags_new(names, "Wet ball, +Sudden change, wet-ball, trick play");
    ck_assert_uint_eq(fresh->len, 2);
    const RbTerm *first = fresh->pdata[0];
    ck_assert_str_eq(first->token, "wet-ball");
    ck_assert_str_eq(first->name, "Wet ball");
    ck_assert_int_eq(first->kind, RB_TERM_OWN_TAG);
    g_autoptr(RbNames) more = rb_names_with_terms(names, fresh);
    g_autoptr(GPtrArray) again = rb_own_tags_new(more, "WET BALL");
    ck_assert_uint_eq(again->len, 0);
}
END_TEST

/* How many dropbacks a written filter accepts. */
static int count(RbLibrary *library, const char *text)
{
    GError *error = NULL;
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    g_autoptr(RbFilter) filter =
        rb_filter_parse_text(rb_snapshot_get_names(snapshot), text, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSelection) selection = rb_selection_new(snapshot, filter);
    int n = 0;
    rb_selection_get_rows(selection, &n);
    return n;
}

/* A word made on one snap, put on others in one step, filtered by, and undone with its word. */
START_TEST(test_own_tags__made_put_on_filtered_undone)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(97));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    g_autoptr(RbSnapshot) before = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(before, &n);
    ck_assert_int_ge(n, 6);
    g_autofree char *words = NULL;
    const RbTagChange change = { "own-tags", "Wet ball, Sudden change" };
    ck_assert(rb_library_tag(library, rows[0].snap, &change, 1, &words, &error));
    ck_assert_msg(strstr(words, "set to Wet ball, Sudden change") != NULL ||
                      strstr(words, "set to Sudden change, Wet ball") != NULL,
                  "%s", words);
    g_autoptr(GArray) four = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (int i = 0; i < 4; i++) {
        g_array_append_val(four, rows[i].snap);
    }
    const RbTagChange more = { "own-tags", "+wet ball" };
    ck_assert(rb_library_tag_snaps(library, four, more, NULL, &error));
    ck_assert_int_eq(count(library, "own-tag=Wet ball"), 4);
    ck_assert_int_eq(count(library, "own-tag=sudden-change"), 1);
    ck_assert_int_eq(count(library, "own-tag=sudden-change, wet ball"), 4);
    ck_assert(rb_library_undo(library, NULL, &error));
    ck_assert_int_eq(count(library, "own-tag=wet-ball"), 1);
    ck_assert(rb_library_undo(library, NULL, &error));
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    rb_assert_no_error(error);
    g_autoptr(GArray) choices = rb_filter_choices(names, RB_FIELD_OWN_TAG);
    ck_assert_uint_eq(choices->len, 0);
    ck_assert(rb_library_redo(library, NULL, &error));
    ck_assert_int_eq(count(library, "own-tag=wet-ball"), 1);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_own_tags(void)
{
    TCase *tcase = rb_case_new("own-tags");
    tcase_add_test(tcase, test_own_tags__all_or_changes);
    tcase_add_test(tcase, test_own_tags__what_is_no_tag_is_refused_whole);
    tcase_add_test(tcase, test_own_tags__new_words_are_told_once);
    tcase_add_test(tcase, test_own_tags__made_put_on_filtered_undone);
    return tcase;
}
