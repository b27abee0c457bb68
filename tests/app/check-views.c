/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the drawn widgets show, before it is drawn: no display needed. */
#include <string.h>

#include "cases.h"
#include "samples.h"

START_TEST(test_tiles__shape_tells_how_a_snap_ended)
{
    g_autoptr(GPtrArray) snaps = rb_sample_snaps();
    g_autoptr(GPtrArray) tiles = rb_tiles_build(snaps, NULL, RB_RULES_COLLEGE);
    static const RbTileShape expected[] = {
        RB_TILE_SUCCESS, RB_TILE_OTHER, RB_TILE_NOTHING, RB_TILE_SHORT,
        RB_TILE_SACK,    RB_TILE_OTHER, RB_TILE_SUCCESS, RB_TILE_TURNOVER,
    };
    ck_assert_uint_eq(tiles->len, snaps->len);
    for (guint i = 0; i < tiles->len; i++) {
        const RbTile *tile = tiles->pdata[i];
        ck_assert_int_eq((int)tile->shape, (int)expected[i % 8]);
    }
}
END_TEST

START_TEST(test_tiles__drives_start_where_the_ball_changed_hands)
{
    g_autoptr(GPtrArray) snaps = rb_sample_snaps();
    g_autoptr(GPtrArray) tiles = rb_tiles_build(snaps, NULL, RB_RULES_COLLEGE);
    const RbTile *punt = tiles->pdata[5];
    const RbTile *after = tiles->pdata[6];
    const RbTile *other_team = tiles->pdata[8];
    ck_assert_int_eq(punt->drive, 1);
    ck_assert_int_eq(after->drive, 2);
    ck_assert_int_eq(other_team->drive, 3);
    for (guint i = 1; i < tiles->len; i++) {
        const int step = ((const RbTile *)tiles->pdata[i])->drive -
                         ((const RbTile *)tiles->pdata[i - 1])->drive;
        ck_assert(step == 0 || step == 1);
    }
}
END_TEST

START_TEST(test_tiles__nothing_tagged_is_its_own_shape)
{
    g_autoptr(RbSnap) snap = rb_snap_new((RbSnapId){ 1 }, (RbGameId){ 1 }, 1);
    ck_assert_int_eq((int)rb_tile_shape(snap), (int)RB_TILE_UNKNOWN);
}
END_TEST

START_TEST(test_tiles__film_is_marked_only_where_some_snaps_have_none)
{
    g_autoptr(GPtrArray) snaps = rb_sample_snaps();
    g_autoptr(GHashTable) filmed = g_hash_table_new(g_int64_hash, g_int64_equal);
    RbSnap *second = snaps->pdata[1];
    g_hash_table_add(filmed, &second->id.value);
    g_autoptr(GPtrArray) some = rb_tiles_build(snaps, filmed, RB_RULES_COLLEGE);
    ck_assert(!((const RbTile *)some->pdata[0])->filmed);
    ck_assert(((const RbTile *)some->pdata[1])->filmed);
    ck_assert_ptr_nonnull(strstr(((const RbTile *)some->pdata[1])->text, "with film"));
    for (guint i = 0; i < snaps->len; i++) {
        g_hash_table_add(filmed, &((RbSnap *)snaps->pdata[i])->id.value);
    }
    g_autoptr(GPtrArray) all = rb_tiles_build(snaps, filmed, RB_RULES_COLLEGE);
    ck_assert(!((const RbTile *)all->pdata[1])->filmed);
}
END_TEST

START_TEST(test_tiles__text_names_snap_situation_and_result)
{
    g_autoptr(GPtrArray) snaps = rb_sample_snaps();
    g_autoptr(GPtrArray) tiles = rb_tiles_build(snaps, NULL, RB_RULES_COLLEGE);
    const RbTile *sack = tiles->pdata[4];
    ck_assert_ptr_nonnull(strstr(sack->text, "Snap 5"));
    ck_assert_ptr_nonnull(strstr(sack->text, "3rd & 8"));
    ck_assert_ptr_nonnull(strstr(sack->text, "sack"));
    ck_assert_ptr_nonnull(strstr(sack->text, "loss of 7 yards"));
}
END_TEST

START_TEST(test_rungs__follow_the_order_in_force_and_carry_the_ball)
{
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    RbJudgment judgment;
    rb_sample_judgment(chart, &judgment);
    g_autoptr(GPtrArray) rungs = rb_rung_views_build(NULL, 0, chart, &judgment);
    ck_assert_uint_eq(rungs->len, 4);
    const RbRungView *second = rungs->pdata[1];
    const RbRungView *dead = rungs->pdata[3];
    ck_assert_int_eq(second->slot, 2);
    ck_assert(second->ball && second->right && second->late);
    ck_assert_str_eq(second->remark, "ball, 2.7 s");
    ck_assert_int_eq(dead->slot, 3);
    ck_assert(dead->dead && !dead->ball);
}
END_TEST

START_TEST(test_rungs__a_ball_that_went_to_no_read_gets_a_rung_of_its_own)
{
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    RbJudgment judgment;
    rb_sample_judgment(chart, &judgment);
    judgment.ball_slot = 0;
    chart->ball = RB_BALL_SACK;
    g_autoptr(GPtrArray) rungs = rb_rung_views_build(NULL, 0, chart, &judgment);
    ck_assert_uint_eq(rungs->len, 5);
    const RbRungView *last = rungs->pdata[4];
    ck_assert(last->off && last->ball);
    ck_assert_int_eq(last->slot, 0);
}
END_TEST

START_TEST(test_rungs__without_a_judgment_the_reads_of_the_call_stand)
{
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 1 }, (RbPersonId){ 1 });
    RbJudgment judgment;
    rb_sample_judgment(chart, &judgment);
    g_autoptr(GPtrArray) rungs =
        rb_rung_views_build(judgment.order.rungs, 2, chart, NULL);
    ck_assert_uint_eq(rungs->len, 2);
    ck_assert(!((const RbRungView *)rungs->pdata[0])->right);
    g_autoptr(GPtrArray) none = rb_rung_views_build(NULL, 0, chart, NULL);
    ck_assert_uint_eq(none->len, 0);
}
END_TEST

START_TEST(test_pairing_view__cells_margins_and_words)
{
    RbPairingView *view = rb_sample_pairing_view();
    ck_assert_int_eq(view->n_rows, 5);
    ck_assert_int_eq(view->n_columns, 6);
    ck_assert_int_eq(rb_pairing_view_get(view, 0, 0)->dropbacks, 14);
    ck_assert_int_eq(rb_pairing_view_get(view, 1, 5)->dropbacks, 0);
    int sum = 0;
    for (int row = 0; row < view->n_rows; row++) {
        for (int column = 0; column < view->n_columns; column++) {
            sum += rb_pairing_view_get(view, row, column)->dropbacks;
        }
    }
    ck_assert_int_eq(sum, rb_pairing_view_get(view, -1, -1)->dropbacks);
    g_autofree char *known = rb_pairing_view_text(view, 0, 0);
    g_autofree char *thin = rb_pairing_view_text(view, 0, 4);
    g_autofree char *never = rb_pairing_view_text(view, 1, 5);
    ck_assert_ptr_nonnull(strstr(
        known, "Curl-flat against Cover 3: success 29 %, 14 dropbacks, 80 % interval"));
    ck_assert_ptr_nonnull(strstr(thin, "too few"));
    ck_assert_ptr_nonnull(strstr(never, "never seen"));
    rb_pairing_view_free(view);
}
END_TEST

/* Worst first: those that can be ranked, in order; then those of too few dropbacks. */
START_TEST(test_pairing_view__sorted_by_a_column)
{
    RbPairingView *view = rb_sample_pairing_view();
    for (int column = -1; column < view->n_columns; column++) {
        rb_pairing_view_sort(view, RB_SORT_WORST, column);
        for (int row = 1; row < view->n_rows; row++) {
            const bool before =
                rb_pairing_view_get(view, row - 1, column)->dropbacks >= RB_PAIRING_MIN;
            const bool here =
                rb_pairing_view_get(view, row, column)->dropbacks >= RB_PAIRING_MIN;
            ck_assert(before || !here);
            if (here) {
                ck_assert_double_le(rb_pairing_view_figure(view, row - 1, column)->shown,
                                    rb_pairing_view_figure(view, row, column)->shown);
            }
        }
    }
    rb_pairing_view_sort(view, RB_SORT_NAME, -1);
    for (int row = 1; row < view->n_rows; row++) {
        ck_assert_int_lt(g_utf8_collate(view->row_names[row - 1], view->row_names[row]),
                         0);
    }
    /* Names and figures move together. */
    for (int row = 0; row < view->n_rows; row++) {
        ck_assert_str_eq(view->row_names[row],
                         rb_sample_concept(NULL, view->concepts[row]));
        ck_assert_int_eq(view->rows[row].concept.value, view->concepts[row].value);
    }
    rb_pairing_view_free(view);
}
END_TEST

TCase *rb_case_views(void)
{
    TCase *tcase = rb_case_new("views");
    tcase_add_test(tcase, test_tiles__shape_tells_how_a_snap_ended);
    tcase_add_test(tcase, test_tiles__drives_start_where_the_ball_changed_hands);
    tcase_add_test(tcase, test_tiles__nothing_tagged_is_its_own_shape);
    tcase_add_test(tcase, test_tiles__film_is_marked_only_where_some_snaps_have_none);
    tcase_add_test(tcase, test_tiles__text_names_snap_situation_and_result);
    tcase_add_test(tcase, test_rungs__follow_the_order_in_force_and_carry_the_ball);
    tcase_add_test(tcase, test_rungs__a_ball_that_went_to_no_read_gets_a_rung_of_its_own);
    tcase_add_test(tcase, test_rungs__without_a_judgment_the_reads_of_the_call_stand);
    tcase_add_test(tcase, test_pairing_view__cells_margins_and_words);
    tcase_add_test(tcase, test_pairing_view__sorted_by_a_column);
    return tcase;
}
