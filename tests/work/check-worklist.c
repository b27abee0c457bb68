/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/error.h"
#include "rb/work/json.h"
#include "rb/work/worklist.h"

#include "random-season.h"
#include "suite.h"

TCase *rb_case_worklist(void);

static RbSelection *select_by(RandomSeason *season, int64_t seed, const RbFilter *filter)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed((uint64_t)seed));
    *season = random_season_new(&random);
    g_autoptr(RbSnapshot) snapshot = rb_snapshot_build(
        season->names, season->snaps, season->charts, season->clips, NULL, NULL, NULL);
    return rb_selection_new(snapshot, filter);
}

/* Each item is the break point of its pairing found by itself; none with too few, none that costs
 * nothing; sorted by worth; no pairing that qualifies is missing. */
START_TEST(test_worklist__holds_each_costly_pairing_once_in_order)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_by(&season, 95, NULL);
    g_autoptr(GPtrArray) items = rb_worklist(selection, NULL, NULL);
    RbPairings pairings;
    guint expected = 0;
    rb_selection_pairings(selection, &pairings);
    for (int i = 0; i < pairings.n_cells; i++) {
        RbBreak found;
        g_autoptr(RbSelection) cell = rb_selection_narrow(
            selection, pairings.cells[i].concept, pairings.cells[i].coverage);
        rb_selection_break(cell, &found);
        expected += pairings.cells[i].dropbacks >= RB_PAIRING_MIN && found.found &&
                    found.excess > 0.0;
    }
    rb_pairings_clear(&pairings);
    ck_assert_uint_gt(expected, 1);
    ck_assert_uint_eq(items->len, expected);
    for (guint i = 0; i < items->len; i++) {
        const RbWorkItem *item = items->pdata[i];
        RbBreak found;
        g_autoptr(RbSelection) cell =
            rb_selection_narrow(selection, item->concept, item->coverage);
        rb_selection_break(cell, &found);
        ck_assert_int_ge(item->dropbacks, RB_PAIRING_MIN);
        ck_assert_double_eq_tol(item->worth, found.excess * found.share, 1e-12);
        ck_assert_int_eq(item->found.read, found.read);
        ck_assert_ptr_nonnull(strstr(item->sentence, " against "));
        if (i > 0) {
            const RbWorkItem *before = items->pdata[i - 1];
            ck_assert_double_ge(before->worth, item->worth);
        }
    }
    random_season_clear(&season);
}
END_TEST

/* "open on N": counted from the charts. */
START_TEST(test_worklist__says_how_often_the_read_was_open)
{
    RandomSeason season;
    g_autoptr(RbSelection) selection = select_by(&season, 96, NULL);
    int n = 0;
    const RbDropback *rows = rb_selection_get_rows(selection, &n);
    for (int read = 1; read <= 3; read++) {
        int open = 0;
        for (int i = 0; i < n; i++) {
            const RbChart *chart = random_season_chart(&season, rows[i].snap);
            open += rows[i].in_ladder && chart != NULL &&
                    chart->looks[read - 1] == RB_LOOK_OPEN;
        }
        ck_assert_int_eq(rb_selection_open(selection, read), open);
    }
    ck_assert_int_eq(rb_selection_open(selection, 0), 0);
    random_season_clear(&season);
}
END_TEST

START_TEST(test_worklist__empty_and_cancelled)
{
    RandomSeason season;
    g_autoptr(RbFilter) none = rb_filter_new();
    rb_filter_set_range(none, RB_FIELD_DISTANCE, 900, 999);
    g_autoptr(RbSelection) selection = select_by(&season, 97, none);
    g_autoptr(GPtrArray) items = rb_worklist(selection, NULL, NULL);
    ck_assert_uint_eq(items->len, 0);
    ck_assert_ptr_nonnull(strstr(rb_worklist_empty_text(selection), "widen the filter"));
    json_t *root = rb_json_worklist(selection, items);
    ck_assert_uint_eq(json_array_size(json_object_get(root, "items")), 0);
    json_decref(root);

    g_autoptr(RbSelection) all =
        rb_selection_new(rb_selection_get_snapshot(selection), NULL);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    g_autoptr(GError) error = NULL;
    rb_cancel_cancel(cancel);
    ck_assert_ptr_null(rb_worklist(all, cancel, &error));
    ck_assert(g_error_matches(error, RB_BASE_ERROR, RB_BASE_ERROR_CANCELLED));
    random_season_clear(&season);
}
END_TEST

TCase *rb_case_worklist(void)
{
    TCase *tcase = tcase_create("worklist");
    tcase_add_test(tcase, test_worklist__holds_each_costly_pairing_once_in_order);
    tcase_add_test(tcase, test_worklist__says_how_often_the_read_was_open);
    tcase_add_test(tcase, test_worklist__empty_and_cancelled);
    return tcase;
}
