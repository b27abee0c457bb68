/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/random.h"
#include "rb/work/saved-filters.h"
#include "rb/work/snapshot.h"

#include "library-sample.h"
#include "suite.h"

TCase *rb_case_snapshot_after(void);

static RbSnapshot *take(RbLibrary *library)
{
    GError *error = NULL;
    RbSnapshot *snapshot = rb_snapshot_take(library, NULL, NULL, &error);
    rb_assert_no_error(error);
    return snapshot;
}

static RbSnapshot *take_after(RbLibrary *library, const RbSnapshot *before)
{
    GError *error = NULL;
    RbSnapshot *snapshot = rb_snapshot_take_after(library, before, NULL, &error);
    rb_assert_no_error(error);
    return snapshot;
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
        ck_assert_int_eq(a[i].coverage.value, b[i].coverage.value);
        ck_assert_int_eq(a[i].verdict, b[i].verdict);
        ck_assert_int_eq(a[i].stage, b[i].stage);
        ck_assert_int_eq(a[i].stage_read, b[i].stage_read);
        ck_assert_int_eq(a[i].success, b[i].success);
        ck_assert_double_eq_tol(a[i].points, b[i].points, 1e-12);
        for (int field = 0; field < RB_FIELDS; field++) {
            int64_t x = 0;
            int64_t y = 0;
            ck_assert_int_eq(rb_snapshot_value(one, a[i].snap, (RbField)field, &x),
                             rb_snapshot_value(other, a[i].snap, (RbField)field, &y));
            ck_assert_int_eq(x, y);
        }
    }
}

START_TEST(test_snapshot_after__tags_and_undo_are_followed_as_if_read_whole)
{
    static const struct {
        const char *field;
        const char *value;
    } edits[] = {
        { "coverage", "cover-1" },
        { "read-1", "open" },
        { "down", "3" },
        { "own-tags", "wet ball" },
        { "own-tags", "+sudden change" },
        { "result", "sack" },
        { "coverage", "quarters" },
        { "rushers", "6" },
    };
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(91));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) snapshot = take(library);
    int n = 0;
    g_autofree RbDropback *rows = rb_snapshot_dup_rows(snapshot, &n);
    g_autofree RbDropback *start = g_memdup2(rows, (gsize)n * sizeof *rows);
    for (size_t i = 0; i < G_N_ELEMENTS(edits); i++) {
        const RbSnapId id = start[rb_random_int(&random, 0, n - 1)].snap;
        sample_tag(library, id, edits[i].field, edits[i].value);
        RbSnapshot *next = take_after(library, snapshot);
        g_autoptr(RbSnapshot) fresh = take(library);
        assert_same(next, fresh);
        rb_snapshot_unref(snapshot);
        snapshot = next;
    }
    GError *error = NULL;
    ck_assert(rb_library_undo(library, NULL, &error));
    g_autoptr(RbSnapshot) undone = take_after(library, snapshot);
    g_autoptr(RbSnapshot) fresh = take(library);
    assert_same(undone, fresh);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_snapshot_after__nothing_new_is_the_same_one)
{
    RbRandom random;
    RandomSeason season;
    rb_random_seed(&random, rb_test_seed(92));
    g_autoptr(RbLibrary) library = sample_library_new(&random, &season);
    g_autoptr(RbSnapshot) snapshot = take(library);
    g_autoptr(RbSnapshot) again = take_after(library, snapshot);
    ck_assert_ptr_eq(snapshot, again);
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DOWN, 3);
    GError *error = NULL;
    ck_assert(rb_library_save_filter(library, "Third", filter, NULL, &error));
    g_autoptr(RbSnapshot) third = take_after(library, snapshot);
    assert_same(third, snapshot);
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_snapshot_after(void)
{
    TCase *tcase = rb_case_new("snapshot-after");
    tcase_add_test(tcase,
                   test_snapshot_after__tags_and_undo_are_followed_as_if_read_whole);
    tcase_add_test(tcase, test_snapshot_after__nothing_new_is_the_same_one);
    return tcase;
}
