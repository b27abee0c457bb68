/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/history.h"
#include "rb/store/judged.h"
#include "rb/store/snaps.h"
#include "rb/store/statement.h"
#include "rb/store/touched.h"

#include "cases.h"
#include "make.h"

static const RbJudgedSnap samples[] = {
    { .snap = { 11 },
      .quarterback = { 3 },
      .concept = { 4 },
      .coverage = { 5 },
      .verdict = RB_VERDICT_LATE,
      .stage = RB_STAGE_CLOCK,
      .stage_read = 2,
      .right_read = 2,
      .ball_read = 3,
      .result = RB_RESULT_INCOMPLETE,
      .has_gain = true,
      .has_points = true,
      .points = -0.8125,
      .release_ms = 2470,
      .counts = true },
    { .snap = { 12 }, .verdict = RB_VERDICT_UNGRADED, .release_ms = -1 },
    { .snap = { 13 },
      .verdict = RB_VERDICT_ON_READ,
      .stage = RB_STAGE_SUCCESS,
      .success = true,
      .gain = 9,
      .has_gain = true,
      .release_ms = 0,
      .counts = true },
};

static GArray *rows_of(guint n)
{
    GArray *rows = g_array_new(FALSE, FALSE, sizeof(RbJudgedSnap));
    g_array_append_vals(rows, samples, n);
    return rows;
}

static void keep(RbStore *store, const GArray *rows)
{
    GError *error = NULL;
    g_autoptr(GArray) seen = rb_store_list_seen(store, &error);
    ck_assert(rb_store_keep_judged(store, rows, seen, "40/60/100/100", &error));
    rb_assert_no_error(error);
}

static char *told(RbStore *store)
{
    GError *error = NULL;
    g_autoptr(GString) text = g_string_new(NULL);
    g_autoptr(RbStatement) query = rb_statement_new(
        store,
        "SELECT snap || ' ' || coalesce(concept, '-') || ' ' || verdict || ' ' || stage"
        " || ' ' || stage_read || ' ' || coalesce(result, '-') || ' ' ||"
        " coalesce(gain, '-') || ' ' || coalesce(points, '-') || ' ' ||"
        " coalesce(release_ms, '-') || ' ' || counts AS x FROM judged_snap ORDER BY snap",
        &error);
    while (rb_statement_step(query, &error) == RB_STEP_ROW) {
        g_string_append_printf(text, "%s\n", rb_statement_get_text(query, "x"));
    }
    rb_assert_no_error(error);
    return g_string_free(g_steal_pointer(&text), FALSE);
}

START_TEST(test_judged__rows_are_kept_replaced_and_dropped)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GArray) rows = rows_of(3);
    keep(store, rows);
    g_autofree char *all = told(store);
    ck_assert_str_eq(all, "11 4 late clock 2 incomplete 0 -0.8125 2470 1\n"
                          "12 - ungraded not-judged 0 - - - - 0\n"
                          "13 - on-read success 0 - 9 - 0 1\n");
    g_array_index(rows, RbJudgedSnap, 0).verdict = RB_VERDICT_ON_READ;
    g_array_index(rows, RbJudgedSnap, 0).has_points = false;
    g_array_remove_index(rows, 1);
    keep(store, rows);
    g_autofree char *fewer = told(store);
    ck_assert_str_eq(fewer, "11 4 on-read clock 2 incomplete 0 - 2470 1\n"
                            "13 - on-read success 0 - 9 - 0 1\n");
}
END_TEST

START_TEST(test_judged__are_fresh_until_something_is_done)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GArray) rows = rows_of(1);
    ck_assert(!rb_store_judged_is_fresh(store));
    keep(store, rows);
    g_autofree char *before = rb_store_content_hash(store, &error);
    ck_assert(rb_store_judged_is_fresh(store));
    begin(store, "Snap");
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 11 }, (RbGameId){ 5 }, 1);
    check(rb_store_save_snap(store, snap, &error_));
    commit(store);
    ck_assert(!rb_store_judged_is_fresh(store));
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    ck_assert(!rb_store_judged_is_fresh(store));
    keep(store, rows);
    ck_assert(rb_store_judged_is_fresh(store));
    /* They are no content and no history. */
    g_autofree char *after = rb_store_content_hash(store, &error);
    ck_assert_str_eq(before, after);
    ck_assert(!rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, NULL));
}
END_TEST

START_TEST(test_judged__what_cannot_be_written_leaves_all_as_it_was)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("a.readbreak");
    g_autoptr(GArray) rows = rows_of(2);
    g_autofree char *before = NULL;
    {
        g_autoptr(RbStore) store = make_store("a.readbreak");
        keep(store, rows);
        before = told(store);
    }
    g_autoptr(RbStore) store = rb_store_open_read_only(path, &error);
    rb_assert_no_error(error);
    g_autoptr(GArray) seen = rb_store_list_seen(store, &error);
    g_array_set_size(rows, 0);
    ck_assert(!rb_store_keep_judged(store, rows, seen, "", &error));
    ck_assert(g_error_matches(error, RB_STORE_ERROR, RB_STORE_ERROR_READ_ONLY));
    g_clear_error(&error);
    ck_assert(!rb_store_is_in_action(store));
    g_autofree char *after = told(store);
    ck_assert_str_eq(before, after);
}
END_TEST

TCase *rb_case_judged(void)
{
    TCase *tcase = rb_case_new("judged");
    tcase_add_test(tcase, test_judged__rows_are_kept_replaced_and_dropped);
    tcase_add_test(tcase, test_judged__are_fresh_until_something_is_done);
    tcase_add_test(tcase, test_judged__what_cannot_be_written_leaves_all_as_it_was);
    return tcase;
}
