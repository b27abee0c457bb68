/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The judged columns that a library keeps: a library opened again shows what it would show if all
 * of it were judged anew. */
#include <sqlite3.h>

#include "rb/base/random.h"
#include "rb/store/history.h"
#include "rb/store/playbook.h"
#include "rb/store/snaps.h"
#include "rb/store/touched.h"
#include "rb/work/quarterback.h"
#include "rb/work/snapshot.h"
#include "rb/work/tagging.h"

#include "library-private.h"
#include "library-sample.h"
#include "snapshot-private.h"
#include "suite.h"

TCase *rb_case_snapshot_kept(void);

static RbSnapshot *take(RbLibrary *library)
{
    GError *error = NULL;
    RbSnapshot *snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    return snapshot;
}

static void run(const char *sql)
{
    sqlite3 *db = NULL;
    g_autofree char *path = sample_library_path();
    ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
    ck_assert_int_eq(sqlite3_exec(db, sql, NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
}

/* Whether columns that hold are kept; so that a test knows which way was gone. */
static bool is_kept(RbLibrary *library)
{
    const RbSnapshotOptions options = rb_snapshot_options_default();
    g_autoptr(GArray) seen = NULL;
    g_autoptr(RbPacked) packed = rb_snapshot_load_columns(library, &options, &seen);
    return packed != NULL;
}

static void assert_same(const RbSnapshot *one, const RbSnapshot *other)
{
    int n = 0;
    int m = 0;
    g_autofree RbDropback *a = rb_snapshot_dup_rows(one, &n);
    g_autofree RbDropback *b = rb_snapshot_dup_rows(other, &m);
    ck_assert_int_eq(n, m);
    for (int i = 0; i < n; i++) {
        ck_assert_int_eq(a[i].snap.value, b[i].snap.value);
        ck_assert_int_eq(a[i].number, b[i].number);
        ck_assert_int_eq(a[i].opened, b[i].opened);
        ck_assert_int_eq(a[i].verdict, b[i].verdict);
        ck_assert_int_eq(a[i].stage, b[i].stage);
        ck_assert_double_eq(a[i].points, b[i].points);
        for (int field = 0; field < RB_FIELDS; field++) {
            int64_t x = 0;
            int64_t y = 0;
            ck_assert_int_eq(rb_snapshot_value(one, a[i].snap, (RbField)field, &x),
                             rb_snapshot_value(other, a[i].snap, (RbField)field, &y));
            ck_assert_int_eq(x, y);
        }
    }
}

/* What the library shows equals what it shows with nothing kept. */
static void assert_as_anew(RbLibrary *library)
{
    g_autoptr(RbSnapshot) followed = take(library);
    run("DELETE FROM judged");
    g_autoptr(RbSnapshot) anew = take(library);
    assert_same(followed, anew);
    ck_assert(is_kept(library));
}

static RbSnapId any_snap(RbRandom *random, const RbSnapshot *snapshot)
{
    const RbPacked *packed = rb_snapshot_get_packed(snapshot);
    return rb_packed_get_snap(packed,
                              rb_random_int(random, 0, rb_packed_get_count(packed) - 1));
}

START_TEST(test_snapshot_kept__edits_after_it_was_kept_are_followed)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(101));
    RbLibrary *library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) first = take(library);
    for (int round = 0; round < 4; round++) {
        ck_assert(is_kept(library));
        sample_tag(library, any_snap(&random, first), "coverage", "cover-1");
        sample_tag(library, any_snap(&random, first), "result", "sack");
        sample_tag(library, any_snap(&random, first), "own-tags", "+wet ball");
        /* As another day would find it. */
        rb_library_close(library);
        library = sample_library_open("Coach");
        assert_as_anew(library);
    }
    rb_library_close(library);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snapshot_kept__snaps_that_come_and_go_are_followed)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(102));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    RbStore *store = rb_library_store(library);
    GError *error = NULL;
    for (int round = 0; round < 4; round++) {
        g_autoptr(RbSnapshot) before = take(library);
        g_autoptr(RbSnap) moved =
            rb_store_load_snap(store, any_snap(&random, before), &error);
        g_autoptr(RbSnap) added = rb_snap_copy(moved);
        ck_assert(rb_library_begin(library, "Snaps", &error));
        added->id.value = 7000 + round;
        added->number = rb_random_int(&random, 1, 200);
        ck_assert(rb_store_save_snap(store, added, &error));
        moved->number = rb_random_int(&random, 1, 200);
        moved->game = random_games[rb_random_int(&random, 0, RANDOM_GAMES - 1)];
        ck_assert(rb_store_save_snap(store, moved, &error));
        ck_assert(rb_store_remove_snap(store, any_snap(&random, before), &error));
        ck_assert(rb_library_commit(library, false, &error));
        rb_assert_no_error(error);
        g_autoptr(RbSnapshot) after =
            rb_snapshot_take_after(library, before, NULL, &error);
        rb_assert_no_error(error);
        g_autoptr(RbSnapshot) again = take(library);
        assert_same(after, again);
        assert_as_anew(library);
    }
    random_season_clear(&season);
}
END_TEST

/* More snaps than are read one by one. */
START_TEST(test_snapshot_kept__a_whole_season_tagged_anew_is_followed)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(103));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) before = take(library);
    g_autoptr(GArray) snaps = g_array_new(FALSE, FALSE, sizeof(RbSnapId));
    for (guint i = 0; i < season.snaps->len; i++) {
        g_array_append_val(snaps, ((const RbSnap *)season.snaps->pdata[i])->id);
    }
    GError *error = NULL;
    const RbTagChange change = { "coverage", "cover-1" };
    ck_assert(rb_library_tag_snaps(library, snaps, change, NULL, &error));
    assert_as_anew(library);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snapshot_kept__other_options_and_damage_are_judged_anew)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(104));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) first = take(library);
    RbSnapshotOptions options = rb_snapshot_options_default();
    g_autoptr(GArray) seen = NULL;
    ck_assert(is_kept(library));
    options.profile = rb_success_profile_college();
    ck_assert_ptr_null(rb_snapshot_load_columns(library, &options, &seen));
    options = rb_snapshot_options_default();
    options.practice = true;
    ck_assert_ptr_null(rb_snapshot_load_columns(library, &options, &seen));
    options = rb_snapshot_options_default();
    options.settings.held_after_last_ms += 1;
    ck_assert_ptr_null(rb_snapshot_load_columns(library, &options, &seen));
    static const char *const harm[] = {
        "UPDATE judged SET columns = substr(columns, 1, length(columns) / 2)",
        "UPDATE judged SET columns = x''",
        "UPDATE judged SET seen = x'01'",
        "UPDATE judged SET made_by = 'another program'",
        "DELETE FROM judged",
    };
    for (size_t i = 0; i < G_N_ELEMENTS(harm); i++) {
        run(harm[i]);
        g_autoptr(RbSnapshot) again = take(library);
        assert_same(first, again);
        ck_assert(is_kept(library));
    }
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snapshot_kept__a_changed_footwork_table_judges_all_anew)
{
    RbRandom random;
    RandomSeason season;
    GError *error = NULL;
    rb_random_seed(&random, rb_test_seed(105));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) first = take(library);
    RbStore *store = rb_library_store(library);
    ck_assert(rb_library_begin(library, "A setting", &error));
    ck_assert(rb_store_set_setting(store, "anything", "else", &error));
    ck_assert(rb_library_commit(library, true, &error));
    bool everything = false;
    g_autoptr(GArray) touched = rb_store_list_touched(
        store, rb_snapshot_get_seen(first, library), &everything, &error);
    ck_assert(everything);
    assert_as_anew(library);
    random_season_clear(&season);
}
END_TEST

/* A forgotten person is in no history afterwards, so nothing tells which snaps it touches. */
START_TEST(test_snapshot_kept__a_forgotten_person_judges_all_anew)
{
    RbRandom random;
    RandomSeason season;
    GError *error = NULL;
    rb_random_seed(&random, rb_test_seed(109));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) first = take(library);
    RbStore *store = rb_library_store(library);
    const RbPersonId me = rb_library_get_person(library);
    ck_assert(rb_store_forget_person(store, me, me, &error));
    rb_assert_no_error(error);
    bool everything = false;
    g_autoptr(GArray) touched = rb_store_list_touched(
        store, rb_snapshot_get_seen(first, library), &everything, &error);
    ck_assert(everything);
    g_autoptr(RbSnapshot) after = rb_snapshot_take_after(library, first, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_ne(after, first);
    assert_as_anew(library);
    random_season_clear(&season);
}
END_TEST

/* Two windows on one library: each follows the other, and who may only read keeps nothing. */
START_TEST(test_snapshot_kept__two_programs_follow_each_other)
{
    RbRandom random;
    RandomSeason season;
    GError *error = NULL;
    rb_random_seed(&random, rb_test_seed(110));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autofree char *path = sample_library_path();
    g_autoptr(RbLibrary) reader = rb_library_open_to_read(path, &error);
    rb_assert_no_error(error);
    g_autoptr(RbSnapshot) read = take(reader);
    ck_assert(!is_kept(library));
    g_autoptr(RbLibrary) second = sample_library_open("Second");
    g_autoptr(RbSnapshot) before = take(second);
    ck_assert(is_kept(library));
    for (int round = 0; round < 3; round++) {
        sample_tag(round == 1 ? second : library, any_snap(&random, before), "coverage",
                   "cover-1");
        g_autoptr(RbSnapshot) one = rb_snapshot_take_after(second, before, NULL, &error);
        g_autoptr(RbSnapshot) other = rb_snapshot_take_after(reader, read, NULL, &error);
        rb_assert_no_error(error);
        assert_same(one, other);
        assert_as_anew(library);
    }
    random_season_clear(&season);
}
END_TEST

typedef struct {
    const RbSnapshot *snapshot;
    RbSnapId snap;
} Elsewhere;

static gpointer find_chart_elsewhere(gpointer data)
{
    const Elsewhere *ask = data;
    return (gpointer)rb_snapshot_find_chart(ask->snapshot, ask->snap);
}

/* Details come from the library, equal those judged from memory, and are not of another thread. */
START_TEST(test_snapshot_kept__details_are_read_when_asked_for)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(106));
    RbLibrary *library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) snapshot = take(library);
    GError *error = NULL;
    g_autoptr(RbSnapshot) memory = rb_snapshot_build(
        season.names, season.snaps, season.charts, season.clips, NULL, NULL, &error);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    for (int i = 0; i < n; i++) {
        const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, rows[i].snap);
        ck_assert_ptr_nonnull(judgment);
        ck_assert_int_eq(judgment->verdict, rows[i].verdict);
        ck_assert_int_eq(judgment->stage, rows[i].stage);
        ck_assert_int_eq(rb_snapshot_find_snap(snapshot, rows[i].snap)->number,
                         rows[i].number);
        g_autoptr(GPtrArray) told = rb_snapshot_reasons(snapshot, rows[i].snap);
        g_autoptr(GPtrArray) same = rb_snapshot_reasons(memory, rows[i].snap);
        ck_assert_uint_eq(told->len, same->len);
        g_autoptr(RbSnap) facts = rb_snapshot_dup_facts(snapshot, rows[i].snap);
        const RbSnap *whole = rb_snapshot_find_snap(memory, rows[i].snap);
        ck_assert_int_eq(facts->situation.down, whole->situation.down);
        ck_assert_int_eq(facts->situation.distance, whole->situation.distance);
        ck_assert_int_eq(facts->situation.yards_to_goal, whole->situation.yards_to_goal);
        ck_assert_int_eq(facts->has_gain == RB_YES, whole->has_gain == RB_YES);
        ck_assert_int_eq(facts->result, whole->result);
        ck_assert_int_eq(facts->ending, whole->ending);
    }
    g_autoptr(RbSnapshot) unread = take(library);
    g_autoptr(GThread) other =
        g_thread_new("other", find_chart_elsewhere, &(Elsewhere){ unread, rows[0].snap });
    ck_assert_ptr_null(g_thread_join(g_steal_pointer(&other)));
    ck_assert_int_gt(rb_snapshot_find_chart(unread, rows[0].snap)->snap.value, 0);
    rb_library_close(library);
    ck_assert_ptr_nonnull(rb_snapshot_find_chart(snapshot, rows[0].snap));
    random_season_clear(&season);
}
END_TEST

/* An errand that was asked for before another library was opened finds the first one closed. */
START_TEST(test_snapshot_kept__a_closed_library_still_has_what_its_columns_say)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(108));
    RbLibrary *library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) snapshot = take(library);
    g_autoptr(RbSnapshot) read = take(library);
    g_autoptr(RbSelection) open = rb_selection_new(read, NULL);
    g_autoptr(RbQuarterback) whole = rb_quarterback_new(open);
    rb_library_close(library);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    ck_assert_int_gt(n, 0);
    for (int i = 0; i < n; i++) {
        const RbJudgment *judgment = rb_snapshot_find_judgment(snapshot, rows[i].snap);
        ck_assert_int_eq(judgment->verdict, rows[i].verdict);
        ck_assert_int_eq(rb_snapshot_find_snap(snapshot, rows[i].snap)->number,
                         rows[i].number);
        g_autoptr(GPtrArray) reasons = rb_snapshot_reasons(snapshot, rows[i].snap);
        ck_assert_ptr_nonnull(reasons);
    }
    g_autoptr(RbSelection) all = rb_selection_new(snapshot, NULL);
    g_autoptr(RbQuarterback) quarterback = rb_quarterback_new(all);
    ck_assert_int_eq(quarterback->dropbacks, whole->dropbacks);
    ck_assert_int_eq(quarterback->rate.right, whole->rate.right);
    random_season_clear(&season);
}
END_TEST

/* Columns and index, by count: the limit is of the issue, whatever a season holds. */
START_TEST(test_snapshot_kept__takes_at_most_64_bytes_a_dropback)
{
    enum { TIMES = 60 };
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(107));
    RandomSeason season = random_season_new(&random);
    g_autoptr(GPtrArray) snaps = g_ptr_array_new();
    for (int i = 0; i < TIMES; i++) {
        for (guint j = 0; j < season.snaps->len; j++) {
            g_ptr_array_add(snaps, season.snaps->pdata[j]);
        }
    }
    GError *error = NULL;
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_build(season.names, snaps, season.charts,
                                                       season.clips, NULL, NULL, &error);
    rb_assert_no_error(error);
    const int n = rb_packed_get_count(rb_snapshot_get_packed(snapshot));
    ck_assert_int_gt(n, 1000);
    ck_assert_double_le((double)rb_snapshot_get_size(snapshot) / n, 64.0);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_snapshot_kept(void)
{
    TCase *tcase = rb_case_new("snapshot-kept");
    tcase_add_test(tcase, test_snapshot_kept__edits_after_it_was_kept_are_followed);
    tcase_add_test(tcase, test_snapshot_kept__snaps_that_come_and_go_are_followed);
    tcase_add_test(tcase, test_snapshot_kept__a_whole_season_tagged_anew_is_followed);
    tcase_add_test(tcase, test_snapshot_kept__other_options_and_damage_are_judged_anew);
    tcase_add_test(tcase, test_snapshot_kept__a_changed_footwork_table_judges_all_anew);
    tcase_add_test(tcase, test_snapshot_kept__a_forgotten_person_judges_all_anew);
    tcase_add_test(tcase, test_snapshot_kept__two_programs_follow_each_other);
    tcase_add_test(tcase,
                   test_snapshot_kept__a_closed_library_still_has_what_its_columns_say);
    tcase_add_test(tcase, test_snapshot_kept__details_are_read_when_asked_for);
    tcase_add_test(tcase, test_snapshot_kept__takes_at_most_64_bytes_a_dropback);
    return tcase;
}
