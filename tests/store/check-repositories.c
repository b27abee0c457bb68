/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cases.h"
#include "make.h"

enum { ROUNDS = 200 };

START_TEST(test_snap__comes_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(1));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    const RbGameId game = { 5 };
    begin(store, "snaps");
    for (int i = 0; i < ROUNDS; i++) {
        g_autoptr(RbSnap) snap = make_snap(&random, game, i);
        check(rb_store_save_snap(store, snap, &error_));
        GError *error = NULL;
        g_autoptr(RbSnap) back = rb_store_load_snap(store, snap->id, &error);
        rb_assert_no_error(error);
        assert_same_snap(snap, back);
        /* Other values under the same id, other penalties among them. */
        g_autoptr(RbSnap) other = make_snap(&random, game, i + 1);
        other->id = snap->id;
        for (guint j = 0; j < other->penalties->len; j++) {
            g_array_index(other->penalties, RbPenalty, j).snap = snap->id;
        }
        check(rb_store_save_snap(store, other, &error_));
        g_autoptr(RbSnap) changed = rb_store_load_snap(store, snap->id, &error);
        rb_assert_no_error(error);
        assert_same_snap(other, changed);
    }
    commit(store);
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_snaps(store, game, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(list->len, ROUNDS);
}
END_TEST

START_TEST(test_chart__comes_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(2));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    begin(store, "charts");
    for (int i = 0; i < ROUNDS; i++) {
        const RbSnapId snap = { make_id(&random) };
        g_autoptr(RbChart) chart = make_chart(&random, snap, (RbPersonId){ 9 });
        for (int round = 0; round < 3; round++) {
            check(rb_store_save_chart(store, chart, &error_));
            GError *error = NULL;
            g_autoptr(RbChart) back =
                rb_store_find_chart(store, snap, chart->author, &error);
            rb_assert_no_error(error);
            assert_same_chart(chart, back);
            fill_chart(&random, chart);
        }
    }
    commit(store);
}
END_TEST

TCase *rb_case_repositories(void)
{
    TCase *tcase = rb_case_new("repositories");
    tcase_add_test(tcase, test_snap__comes_back_as_saved);
    tcase_add_test(tcase, test_chart__comes_back_as_saved);
    return tcase;
}
