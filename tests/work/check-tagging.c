/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/error.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_tagging(void);

static const RbSnapId some_snap = { 201010 };

/* The value of a field as the sheet shows it. */
static char *value_of(RbLibrary *library, RbSnapId snap, const RbTaggable *field)
{
    GError *error = NULL;
    g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, snap, &error);
    rb_assert_no_error(error);
    return rb_taggable_get(field, sheet->names, sheet->snap, sheet->chart);
}

static const char *some_value(const RbTaggable *field, const GPtrArray *answers)
{
    if (answers->len > 0) {
        return ((const RbAnswer *)answers->pdata[answers->len - 1])->token;
    }
    switch (field->kind) {
    case RB_VALUE_CLOCK:
        return "7:42";
    case RB_VALUE_YARDLINE:
        return "own 33";
    case RB_VALUE_SECONDS:
        return "2.35";
    case RB_VALUE_TENTHS:
        return "7.5";
    case RB_VALUE_OWN_TAGS:
        return "late-change, wet-ball";
    case RB_VALUE_TEXT:
        return "late feet";
    case RB_VALUE_NUMBER:
    case RB_VALUE_GAIN:
        return "3";
    case RB_VALUE_WORD:
    case RB_VALUE_TERM:
    case RB_VALUE_CONCEPT:
    case RB_VALUE_PLAYER:
    case RB_VALUE_TEAM:
    case RB_VALUE_BALL:
        break;
    }
    ck_abort_msg("%s has no answers", field->token);
    return NULL;
}

START_TEST(test_tagging__every_field_is_kept_and_undone)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(51));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnap) snap = rb_library_load_snap(library, some_snap, NULL);
    int n = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < n; i++) {
        GError *error = NULL;
        g_autoptr(GPtrArray) answers =
            rb_taggable_answers(&fields[i], season.names, snap);
        const char *value = some_value(&fields[i], answers);
        g_autofree char *before = value_of(library, some_snap, &fields[i]);
        g_autofree char *words = NULL;
        const RbTagChange change = { fields[i].token, value };
        ck_assert(rb_library_tag(library, some_snap, &change, 1, &words, &error));
        rb_assert_no_error(error);
        g_autofree char *after = value_of(library, some_snap, &fields[i]);
        ck_assert_str_eq(after, value);
        if (words == NULL) {
            ck_assert_str_eq(before, value);
            continue;
        }
        g_autofree char *undone = NULL;
        ck_assert(rb_library_undo(library, &undone, &error));
        rb_assert_no_error(error);
        ck_assert_msg(strstr(undone, words) != NULL, "%s is not in %s", words, undone);
        g_autofree char *back = value_of(library, some_snap, &fields[i]);
        ck_assert_msg(strcmp(back, before) == 0, "%s: \"%s\" after undo, was \"%s\"",
                      fields[i].token, back, before);
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_tagging__says_what_it_did)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(52));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    static const struct {
        const char *value;
        const char *words;
    } rows[] = {
        { "cover-3", "coverage of snap 10 set to Cover 3 (Game 1)" },
        { "quarters", "coverage of snap 10 changed from Cover 3 to Quarters (Game 1)" },
        { "quarters", NULL },
        { "-", "coverage of snap 10 cleared (was Quarters) (Game 1)" },
    };
    sample_tag(library, some_snap, "coverage", "-");
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        GError *error = NULL;
        g_autofree char *words = NULL;
        const RbTagChange change = { "coverage", rows[i].value };
        ck_assert(rb_library_tag(library, some_snap, &change, 1, &words, &error));
        rb_assert_no_error(error);
        ck_assert_msg(g_strcmp0(words, rows[i].words) == 0, "%s", words);
    }
    const RbTagChange both[] = { { "shell", "one-high" }, { "release", "2.4" } };
    g_autofree char *words = NULL;
    ck_assert(rb_library_tag(library, some_snap, both, 2, &words, NULL));
    ck_assert_str_eq(words, "2 tags of snap 10: shell One high, release 2.4 s (Game 1)");
    random_season_clear(&season);
}
END_TEST

START_TEST(test_tagging__all_or_nothing)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(53));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autofree char *before = sample_library_hash();
    const RbTagChange changes[] = { { "down", "3" },
                                    { "coverage", "cover-2" },
                                    { "shell", "nothing" } };
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_library_tag(library, some_snap, changes, 3, NULL, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_VALUE));
    g_clear_error(&error);
    const RbTagChange unknown = { "colour", "red" };
    ck_assert(!rb_library_tag(library, some_snap, &unknown, 1, NULL, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND));
    g_clear_error(&error);
    ck_assert(!rb_library_tag(library, (RbSnapId){ 6 }, changes, 1, NULL, &error));
    ck_assert(g_error_matches(error, RB_WORK_ERROR, RB_WORK_ERROR_NOT_FOUND));
    g_autofree char *after = sample_library_hash();
    ck_assert_str_eq(after, before);
    random_season_clear(&season);
}
END_TEST

/* Who corrects somebody else's chart starts from it, and theirs is the one that then counts. */
START_TEST(test_tagging__a_second_person_starts_from_the_chart_that_counts)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(54));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    const RbChart *first = season.charts->pdata[0];
    GError *error = NULL;
    g_autoptr(RbSheet) before = rb_library_load_sheet(library, first->snap, &error);
    rb_assert_no_error(error);
    ck_assert(!before->own);
    ck_assert_ptr_nonnull(before->counts);
    ck_assert_int_eq(before->chart->played.rushers, first->played.rushers);
    sample_tag(library, first->snap, "coverage", "drop-eight");
    g_autoptr(RbSheet) after = rb_library_load_sheet(library, first->snap, &error);
    rb_assert_no_error(error);
    ck_assert(after->own);
    ck_assert_ptr_null(after->counts);
    ck_assert_int_eq(after->chart->played.rushers, first->played.rushers);
    ck_assert_int_eq(after->chart->looks[1], first->looks[1]);
    g_autoptr(GPtrArray) charts = rb_library_load_charts(library, first->snap, &error);
    ck_assert_uint_eq(charts->len, 2);
    g_autoptr(RbLibrary) charter = sample_library_open("First charter");
    g_autoptr(RbSheet) theirs = rb_library_load_sheet(charter, first->snap, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(theirs->chart->played.coverage.value,
                     rb_term_id(RB_TERM_COVERAGE, "drop-eight").value);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_tagging__facts_are_shared_and_make_no_chart)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(55));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(GPtrArray) before = rb_library_load_charts(library, some_snap, NULL);
    sample_tag(library, some_snap, "hash", "left");
    sample_tag(library, some_snap, "hash", "right");
    g_autoptr(GPtrArray) after = rb_library_load_charts(library, some_snap, NULL);
    ck_assert_uint_eq(after->len, before->len);
    g_autoptr(RbLibrary) other = sample_library_open("Second coach");
    g_autoptr(RbSnap) snap = rb_library_load_snap(other, some_snap, NULL);
    ck_assert_int_eq(snap->situation.hash, RB_HASH_RIGHT);
    random_season_clear(&season);
}
END_TEST

/* The sheet judges as the snapshot does. */
START_TEST(test_tagging__sheet_and_snapshot_agree)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(56));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    for (int i = 0; i < n; i++) {
        g_autoptr(RbSheet) sheet = rb_library_load_sheet(library, rows[i].snap, &error);
        rb_assert_no_error(error);
        ck_assert(sheet->judged);
        ck_assert_int_eq(sheet->judgment.verdict, rows[i].verdict);
        ck_assert_int_eq(sheet->judgment.stage, rows[i].stage);
        ck_assert_int_eq(sheet->success, rows[i].success);
        ck_assert_int_eq(sheet->has_points, rows[i].has_points);
        ck_assert_uint_eq(sheet->paths->len, sheet->clips->len);
        ck_assert_int_eq(sheet->n_slots > 0, sheet->chart->call.first.value != 0);
        ck_assert_int_eq((int)sheet->reasons->len, sheet->judgment.n_reasons);
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_tagging__marks_are_moved_not_doubled)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(57));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    const RbClip *clip = season.clips->pdata[0];
    GError *error = NULL;
    for (int frame = 140; frame < 143; frame++) {
        const RbTime time = { frame * 1001, { 1, 60000 } };
        ck_assert(
            rb_library_set_mark(library, clip->id, RB_MARK_TOP, frame, time, 1, &error));
        rb_assert_no_error(error);
    }
    g_autoptr(GPtrArray) clips = rb_library_load_clips(library, clip->snap, &error);
    const RbClip *have = clips->pdata[0];
    ck_assert_uint_eq(have->marks->len, clip->marks->len + 1);
    ck_assert_int_eq(rb_clip_find_mark(have, RB_MARK_TOP)->frame, 142);
    ck_assert_int_eq(rb_clip_find_mark(have, RB_MARK_SNAP)->frame, 100);
    g_autofree char *undone = NULL;
    ck_assert(rb_library_undo(library, &undone, &error));
    ck_assert_ptr_nonnull(strstr(undone, "at frame 142"));
    g_autoptr(GPtrArray) back = rb_library_load_clips(library, clip->snap, &error);
    ck_assert_int_eq(rb_clip_find_mark(back->pdata[0], RB_MARK_TOP)->frame, 141);
    random_season_clear(&season);
}
END_TEST

/* Undo of any number of random tags gives the content back, and redo the other way. */
START_TEST(test_tagging__random_tags_undo_to_the_same_content)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(58));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autofree char *before = sample_library_hash();
    int n = 0;
    int done = 0;
    const RbTaggable *fields = rb_taggables(&n);
    for (int i = 0; i < 50; i++) {
        const RbTaggable *field = &fields[rb_random_int(&random, 0, n - 1)];
        const RbSnapId snap = { random_games[0].value * 1000 +
                                rb_random_int(&random, 1, 5) };
        g_autoptr(RbSnap) of = rb_library_load_snap(library, snap, NULL);
        g_autoptr(GPtrArray) answers = rb_taggable_answers(field, season.names, of);
        const RbTagChange change = { field->token, some_value(field, answers) };
        g_autofree char *words = NULL;
        ck_assert(rb_library_tag(library, snap, &change, 1, &words, NULL));
        done += words != NULL;
    }
    ck_assert_int_gt(done, 20);
    g_autofree char *after = sample_library_hash();
    ck_assert_str_ne(after, before);
    for (int i = 0; i < done; i++) {
        ck_assert(rb_library_undo(library, NULL, NULL));
    }
    g_autofree char *undone = sample_library_hash();
    ck_assert_str_eq(undone, before);
    for (int i = 0; i < done; i++) {
        ck_assert(rb_library_redo(library, NULL, NULL));
    }
    g_autofree char *redone = sample_library_hash();
    ck_assert_str_eq(redone, after);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_tagging(void)
{
    TCase *tcase = rb_case_new("tagging");
    tcase_add_test(tcase, test_tagging__every_field_is_kept_and_undone);
    tcase_add_test(tcase, test_tagging__says_what_it_did);
    tcase_add_test(tcase, test_tagging__all_or_nothing);
    tcase_add_test(tcase,
                   test_tagging__a_second_person_starts_from_the_chart_that_counts);
    tcase_add_test(tcase, test_tagging__facts_are_shared_and_make_no_chart);
    tcase_add_test(tcase, test_tagging__sheet_and_snapshot_agree);
    tcase_add_test(tcase, test_tagging__marks_are_moved_not_doubled);
    tcase_add_test(tcase, test_tagging__random_tags_undo_to_the_same_content);
    return tcase;
}
