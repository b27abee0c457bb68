/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/cutups.h"
#include "rb/store/film-drawing.h"
#include "rb/store/history.h"
#include "rb/store/statement.h"

#include "cases.h"
#include "make.h"

static void assert_same_entry(const RbCutupEntry *a, const RbCutupEntry *b)
{
    ck_assert_int_eq(a->id.value, b->id.value);
    ck_assert_int_eq(a->cutup.value, b->cutup.value);
    ck_assert_int_eq(a->snap.value, b->snap.value);
    ck_assert_int_eq(a->place, b->place);
    ck_assert(rb_cut_equal(&a->cut, &b->cut));
    ck_assert_int_eq(g_strcmp0(a->note, b->note), 0);
}

START_TEST(test_cutups__come_back_as_saved)
{
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(61));
    g_autoptr(RbStore) store = make_store("a.readbreak");
    begin(store, "Cut-ups");
    for (int i = 0; i < 100; i++) {
        GError *error = NULL;
        g_autoptr(RbCutup) cutup = make_cutup(&random);
        check(rb_store_save_cutup(store, cutup, &error_));
        g_autoptr(RbCutup) back = rb_store_load_cutup(store, cutup->id, &error);
        rb_assert_no_error(error);
        ck_assert_str_eq(back->name, cutup->name);
        ck_assert_int_eq(back->kind, cutup->kind);
        ck_assert_int_eq(g_strcmp0(back->filter, cutup->filter), 0);
        ck_assert_int_eq(g_strcmp0(back->note, cutup->note), 0);
        ck_assert(rb_cut_equal(&back->cut, &cutup->cut));
        g_autoptr(RbCutupEntry) entry =
            make_cutup_entry(&random, cutup->id, (RbSnapId){ make_id(&random) });
        check(rb_store_save_cutup_entry(store, entry, &error_));
        g_autoptr(RbCutupEntry) entry_back =
            rb_store_load_cutup_entry(store, entry->id, &error);
        rb_assert_no_error(error);
        assert_same_entry(entry, entry_back);
    }
    commit(store);
    GError *error = NULL;
    g_autoptr(GPtrArray) all = rb_store_list_cutups(store, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(all->len, 100);
}
END_TEST

START_TEST(test_cutups__clips_stand_in_order_and_a_move_is_undone)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    const RbCutupId cutup = { 3 };
    begin(store, "List");
    for (int i = 0; i < 4; i++) {
        g_autoptr(RbCutupEntry) entry =
            rb_cutup_entry_new((RbCutupEntryId){ 10 + i }, cutup, (RbSnapId){ 100 + i });
        entry->place = i < 3 ? 5 - i : 3; /* 5 4 3 3 */
        check(rb_store_save_cutup_entry(store, entry, &error_));
    }
    commit(store);
    GError *error = NULL;
    g_autoptr(GPtrArray) list = rb_store_list_cutup_entries(store, cutup, &error);
    rb_assert_no_error(error);
    static const int64_t order[] = { 12, 13, 11, 10 };
    ck_assert_uint_eq(list->len, 4);
    for (guint i = 0; i < 4; i++) {
        ck_assert_int_eq(((RbCutupEntry *)list->pdata[i])->id.value, order[i]);
    }
    g_autoptr(RbCutupEntry) moved = rb_cutup_entry_copy(list->pdata[3]);
    moved->place = -7;
    begin(store, "Move");
    check(rb_store_save_cutup_entry(store, moved, &error_));
    check(rb_store_remove_cutup_entry(store, (RbCutupEntryId){ 12 }, &error_));
    commit(store);
    g_autoptr(GPtrArray) after = rb_store_list_cutup_entries(store, cutup, &error);
    ck_assert_uint_eq(after->len, 3);
    ck_assert_int_eq(((RbCutupEntry *)after->pdata[0])->id.value, 10);
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    g_autoptr(GPtrArray) undone = rb_store_list_cutup_entries(store, cutup, &error);
    ck_assert_uint_eq(undone->len, 4);
    assert_same_entry(undone->pdata[3], list->pdata[3]);
}
END_TEST

START_TEST(test_cutups__a_row_in_pieces_is_mended)
{
    g_autoptr(RbStore) store = make_store("a.readbreak");
    begin(store, "Piece");
    GError *error = NULL;
    {
        g_autoptr(RbStatement) put = rb_statement_new(
            store, "INSERT INTO cutup_entry (id, cutup, removed) VALUES (5, 3, 0)",
            &error);
        rb_assert_no_error(error);
        ck_assert_int_eq(rb_statement_step(put, &error), RB_STEP_DONE);
    }
    commit(store);
    g_autoptr(RbCutupEntry) entry =
        rb_store_load_cutup_entry(store, (RbCutupEntryId){ 5 }, &error);
    rb_assert_no_error(error);
    ck_assert(rb_cut_check(&entry->cut, NULL));
    g_autoptr(GPtrArray) list =
        rb_store_list_cutup_entries(store, (RbCutupId){ 3 }, &error);
    ck_assert_uint_eq(list->len, 1);
    ck_assert(rb_cut_check(&((RbCutupEntry *)list->pdata[0])->cut, NULL));
}
END_TEST

START_TEST(test_cutups__drawings_come_back_and_go)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = make_store("a.readbreak");
    const RbClipId clip = { 9 };
    begin(store, "Drawn");
    for (int i = 0; i < 3; i++) {
        g_autoptr(RbFilmDrawing) drawing =
            rb_film_drawing_new((RbFilmDrawingId){ 20 + i }, clip);
        drawing->kind = RB_DRAW_TEXT;
        drawing->x1 = 100 * i;
        drawing->first = 50 - i; /* the last one made is seen first */
        drawing->last = 60;
        drawing->words = g_strdup("hot");
        check(rb_store_save_film_drawing(store, drawing, &error_));
    }
    commit(store);
    g_autoptr(GPtrArray) list = rb_store_list_film_drawings(store, clip, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(list->len, 3);
    const RbFilmDrawing *first = list->pdata[0];
    ck_assert(first->id.value == 22 && first->first == 48 && first->x1 == 200);
    ck_assert_str_eq(first->words, "hot");
    begin(store, "Taken off");
    check(rb_store_remove_film_drawing(store, (RbFilmDrawingId){ 22 }, &error_));
    commit(store);
    g_autoptr(GPtrArray) fewer = rb_store_list_film_drawings(store, clip, &error);
    ck_assert_uint_eq(fewer->len, 2);
    g_autoptr(GPtrArray) none =
        rb_store_list_film_drawings(store, (RbClipId){ 8 }, &error);
    ck_assert_uint_eq(none->len, 0);
}
END_TEST

TCase *rb_case_cutups(void)
{
    TCase *tcase = rb_case_new("cutups");
    tcase_add_test(tcase, test_cutups__come_back_as_saved);
    tcase_add_test(tcase, test_cutups__clips_stand_in_order_and_a_move_is_undone);
    tcase_add_test(tcase, test_cutups__a_row_in_pieces_is_mended);
    tcase_add_test(tcase, test_cutups__drawings_come_back_and_go);
    return tcase;
}
