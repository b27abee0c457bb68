/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/work/checks.h"
#include "rb/work/demo.h"
#include "rb/work/tagging.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_checks(void);

static const RbSnapId some_snap = { 201010 };

/* A pass play on which everything fits. */
static void make_sound(RbLibrary *library, RbSnapId snap)
{
    static const RbTagChange changes[] = {
        { "play", "dropback" },     { "result", "complete" }, { "gain", "7" },
        { "concept", "curl-flat" }, { "call", "single" },     { "read-1", "covered" },
        { "read-2", "open" },       { "read-3", "-" },        { "ball", "read-2" },
        { "throw", "on-target" },   { "catch", "caught" },    { "contact", "none" },
        { "fault", "none" },        { "concept-2", "-" },
    };
    GError *error = NULL;
    rb_library_tag(library, snap, changes, G_N_ELEMENTS(changes), NULL, &error);
    rb_assert_no_error(error);
}

/* Findings of a snap about one field. */
static int count(RbLibrary *library, RbSnapId snap, const char *field, const char *says)
{
    GError *error = NULL;
    g_autoptr(GPtrArray) checks = rb_library_check_game(library, random_games[0], &error);
    rb_assert_no_error(error);
    int n = 0;
    int last = 0;
    for (guint i = 0; i < checks->len; i++) {
        const RbCheck *check = checks->pdata[i];
        ck_assert_int_ge(check->number, last);
        last = check->number;
        if (check->snap.value == snap.value && strcmp(check->field, field) == 0) {
            ck_assert_msg(says == NULL || strstr(check->sentence, says) != NULL, "%s",
                          check->sentence);
            n++;
        }
    }
    return n;
}

START_TEST(test_checks__charts_against_facts_and_playbook)
{
    static const struct {
        const char *tag;
        const char *value;
        const char *field;
        const char *says;
    } rows[] = {
        { "result", "sack", "ball", "the ball is tagged \"To a read\"" },
        { "result", "incomplete", "catch", "the catch is tagged \"Caught\"" },
        { "contact", "sacked", "contact", "he is tagged as sacked" },
        { "throw", "none", "throw", "the ball was thrown" },
        { "throw", "not-catchable", "throw", "tagged as not catchable" },
        { "read-5", "open", "read-5", "Curl-flat has no read 5" },
        { "ball", "read-7", "ball", "the ball went to read 7" },
        { "call", "split", "concept-2", "needs a second concept" },
    };
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(61));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    make_sound(library, some_snap);
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        ck_assert_int_eq(count(library, some_snap, rows[i].field, NULL), 0);
        sample_tag(library, some_snap, rows[i].tag, rows[i].value);
        ck_assert_msg(count(library, some_snap, rows[i].field, rows[i].says) == 1,
                      "%s=%s is not found once", rows[i].tag, rows[i].value);
        ck_assert(rb_library_undo(library, NULL, NULL));
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_checks__a_fault_on_a_read_that_is_not_there)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(62));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    make_sound(library, some_snap);
    sample_tag(library, some_snap, "fault", "slip");
    sample_tag(library, some_snap, "fault-read", "2");
    ck_assert_int_eq(count(library, some_snap, "fault-read", NULL), 0);
    sample_tag(library, some_snap, "fault-read", "4");
    ck_assert_int_eq(count(library, some_snap, "fault-read", "has no read 4"), 1);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_checks__names_the_dropbacks_that_nobody_charted)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(63));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    int uncharted = 0;
    int found = 0;
    for (guint i = 0; i < season.snaps->len; i++) {
        const RbSnap *snap = season.snaps->pdata[i];
        if (snap->game.value == random_games[0].value) {
            const bool wanted = random_season_chart(&season, snap->id) == NULL &&
                                snap->situation.offense.value != 12 &&
                                rb_snap_is_dropback(snap);
            const int n = count(library, snap->id, "chart", NULL);
            ck_assert_int_eq(n, wanted);
            uncharted += wanted;
            found += n;
        }
    }
    ck_assert_int_eq(found, uncharted);
    ck_assert_int_gt(found, 0);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_checks__the_chain_is_among_them)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(64));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    GError *error = NULL;
    g_autoptr(GPtrArray) checks = rb_library_check_game(library, random_games[0], &error);
    rb_assert_no_error(error);
    int chained = 0;
    for (guint i = 0; i < checks->len; i++) {
        const RbCheck *check = checks->pdata[i];
        ck_assert_ptr_nonnull(strstr(check->sentence, "nap "));
        chained += check->expected != NULL;
    }
    ck_assert_int_gt(chained, 5); /* random situations do not follow from one another */
    random_season_clear(&season);
}
END_TEST

/* Of a sound game of the demo's season: one fault, its first proposal, and undo. */
START_TEST(test_checks__a_repair_is_one_action)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("repair.readbreak");
    const RbDemoOptions options = { .seed = 1 };
    ck_assert(rb_demo_make(path, &options, NULL, NULL, &error));
    rb_assert_no_error(error);
    g_autoptr(RbLibrary) library = rb_library_open(path, "Coach", &error);
    rb_assert_no_error(error);
    g_autoptr(RbNames) names = rb_library_load_names(library, &error);
    const RbGame *game = rb_names_games(names)->pdata[0];
    g_autoptr(GPtrArray) snaps = rb_library_load_snaps(library, game->id, &error);
    const RbSnap *snap = NULL;
    for (guint i = 2; i + 1 < snaps->len && snap == NULL; i++) {
        const RbSnap *one = snaps->pdata[i];
        const RbSnap *next = snaps->pdata[i + 1];
        snap = one->result == RB_RESULT_RUN && one->penalties->len == 0 &&
                       one->situation.down > 0 && next->situation.down > 1
                   ? one
                   : NULL;
    }
    ck_assert_ptr_nonnull(snap);
    g_autofree char *wrong = g_strdup_printf("%d", snap->gain + 2);
    sample_tag(library, snap->id, "gain", wrong);
    g_autofree char *words = NULL;
    ck_assert(rb_library_repair_game(library, game->id, 1, &words, &error));
    rb_assert_no_error(error);
    g_autofree char *wanted =
        g_strdup_printf("Set the gain of snap %d to %d.", snap->number, snap->gain);
    ck_assert_str_eq(words, wanted);
    g_autoptr(RbSnap) mended = rb_library_load_snap(library, snap->id, &error);
    ck_assert_int_eq(mended->gain, snap->gain);
    ck_assert(!rb_library_repair_game(library, game->id, 1, NULL, &error));
    ck_assert(strstr(error->message, "has no repair 1") != NULL);
    g_clear_error(&error);
    ck_assert(rb_library_undo(library, NULL, &error));
    g_autoptr(RbSnap) back = rb_library_load_snap(library, snap->id, &error);
    ck_assert_int_eq(back->gain, snap->gain + 2);
}
END_TEST

TCase *rb_case_checks(void)
{
    TCase *tcase = rb_case_new("checks");
    tcase_add_test(tcase, test_checks__charts_against_facts_and_playbook);
    tcase_add_test(tcase, test_checks__a_repair_is_one_action);
    tcase_add_test(tcase, test_checks__a_fault_on_a_read_that_is_not_there);
    tcase_add_test(tcase, test_checks__names_the_dropbacks_that_nobody_charted);
    tcase_add_test(tcase, test_checks__the_chain_is_among_them);
    return tcase;
}
