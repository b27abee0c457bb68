/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/film-measures.h"
#include "rb/store/history.h"
#include "rb/store/touched.h"

#include "cases.h"
#include "make.h"

static RbFieldView *seen_field(RbFilmId film, int64_t frame)
{
    RbFieldView *view = rb_field_view_new(film, frame);
    view->time = (RbTime){ frame * 1001, { 1, 60000 } };
    view->rules = RB_RULES_COLLEGE;
    view->width = 1920;
    view->height = 1080;
    rb_field_view_add(view, "near-hash-l35", 412.25, 688.5);
    rb_field_view_add(view, "far-hash-l35", 598.125, 364.0);
    rb_field_view_add(view, "yard-l40", 1000.0, 500.994);
    return view;
}

static const RbFieldSight *find(const RbFieldView *view, const char *name)
{
    for (guint i = 0; i < view->sights->len; i++) {
        const RbFieldSight *sight = &g_array_index(view->sights, RbFieldSight, i);
        if (g_str_equal(sight->name, name)) {
            return sight;
        }
    }
    return NULL;
}

START_TEST(test_measures__a_view_of_the_field_comes_back_as_saved)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = make_store("a.readbreak");
    const RbFilmId film = { 7 };
    begin(store, "Views");
    for (int64_t frame = 90; frame > 60; frame -= 10) {
        g_autoptr(RbFieldView) view = seen_field(film, frame);
        check(rb_store_save_field_view(store, view, &error_));
    }
    commit(store);
    g_autoptr(GPtrArray) views = rb_store_list_field_views(store, film, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(views->len, 3);
    const RbFieldView *first = views->pdata[0];
    ck_assert_int_eq(first->frame, 70);
    ck_assert_int_eq(first->id.value, rb_field_view_id(film, 70).value);
    ck_assert_int_eq(first->time.ticks, 70 * 1001);
    ck_assert_int_eq(first->time.base.den, 60000);
    ck_assert_int_eq(first->rules, RB_RULES_COLLEGE);
    ck_assert(first->width == 1920 && first->height == 1080);
    ck_assert_uint_eq(first->sights->len, 3);
    ck_assert_int_eq(find(first, "near-hash-l35")->x, 41225);
    ck_assert_int_eq(find(first, "far-hash-l35")->x,
                     59813); /* to the nearest hundredth */
    ck_assert_int_eq(find(first, "yard-l40")->y, 50099);
    g_autoptr(GPtrArray) others =
        rb_store_list_field_views(store, (RbFilmId){ 8 }, &error);
    ck_assert_uint_eq(others->len, 0);
}
END_TEST

START_TEST(test_measures__a_mark_taken_off_comes_back_by_undo)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(RbFieldView) view = seen_field((RbFilmId){ 7 }, 70);
    begin(store, "Seen");
    check(rb_store_save_field_view(store, view, &error_));
    commit(store);
    g_autoptr(RbFieldView) saved = rb_store_load_field_view(store, view->id, &error);
    rb_assert_no_error(error);
    g_array_remove_index(saved->sights, 0);
    g_array_index(saved->sights, RbFieldSight, 0).x += 100; /* nudged by a pixel */
    begin(store, "Changed");
    check(rb_store_save_field_view(store, saved, &error_));
    commit(store);
    g_autoptr(RbFieldView) changed = rb_store_load_field_view(store, view->id, &error);
    ck_assert_uint_eq(changed->sights->len, 2);
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    g_autoptr(RbFieldView) undone = rb_store_load_field_view(store, view->id, &error);
    ck_assert_uint_eq(undone->sights->len, 3);
    ck_assert_int_eq(find(undone, "near-hash-l35")->x, 41225);
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    ck_assert_ptr_null(rb_store_load_field_view(store, view->id, NULL));
}
END_TEST

START_TEST(test_measures__a_measure_comes_back_goes_and_is_undone)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = make_store("a.readbreak");
    const RbSnapId snap = { 11 };
    begin(store, "Measured");
    for (int i = 0; i < RB_MEASURE_KINDS; i++) {
        g_autoptr(RbFilmMeasure) measure =
            rb_film_measure_new(snap, (RbClipId){ 5 }, (RbMeasureKind)i);
        measure->id.value = 100 + i;
        measure->side = i == RB_MEASURE_CUSHION ? RB_SIDE_LEFT : RB_SIDE_UNKNOWN;
        measure->name = i == RB_MEASURE_LANDMARK ? g_strdup("near-hash-l35") : NULL;
        measure->frame_1 = 40;
        measure->frame_2 = 41;
        measure->x2 = 1234;
        measure->value = 6200;
        measure->sd = 310;
        check(rb_store_save_measure(store, measure, &error_));
    }
    commit(store);
    g_autoptr(GPtrArray) all = rb_store_list_measures(store, snap, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(all->len, RB_MEASURE_KINDS);
    g_autoptr(RbFilmMeasure) landmark = rb_store_load_measure(
        store, (RbFilmMeasureId){ 100 + RB_MEASURE_LANDMARK }, &error);
    ck_assert_str_eq(landmark->name, "near-hash-l35");
    ck_assert(landmark->frame_2 == 41 && landmark->x2 == 1234 && landmark->value == 6200);
    ck_assert_int_eq(rb_film_measure_pm(landmark), 397); /* 1.2816 standard deviations */
    begin(store, "Taken off");
    check(rb_store_remove_measure(store, landmark->id, &error_));
    commit(store);
    g_autoptr(GPtrArray) fewer = rb_store_list_measures(store, snap, &error);
    ck_assert_uint_eq(fewer->len, RB_MEASURE_KINDS - 1);
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    g_autoptr(GPtrArray) again = rb_store_list_measures(store, snap, &error);
    ck_assert_uint_eq(again->len, RB_MEASURE_KINDS);
}
END_TEST

/* What is measured judges nothing until it is a tag. */
START_TEST(test_measures__touch_no_snap)
{
    GError *error = NULL;
    g_autoptr(RbStore) store = make_store("a.readbreak");
    g_autoptr(GArray) seen = rb_store_list_seen(store, &error);
    g_autoptr(RbFieldView) view = seen_field((RbFilmId){ 7 }, 70);
    g_autoptr(RbFilmMeasure) measure =
        rb_film_measure_new((RbSnapId){ 3 }, (RbClipId){ 5 }, RB_MEASURE_THROW);
    measure->id.value = 9;
    begin(store, "Measured");
    check(rb_store_save_field_view(store, view, &error_));
    check(rb_store_save_measure(store, measure, &error_));
    commit(store);
    bool everything = true;
    g_autoptr(GArray) touched = rb_store_list_touched(store, seen, &everything, &error);
    rb_assert_no_error(error);
    ck_assert(!everything);
    ck_assert_uint_eq(touched->len, 0);
}
END_TEST

TCase *rb_case_measures(void)
{
    TCase *tcase = rb_case_new("measures");
    tcase_add_test(tcase, test_measures__a_view_of_the_field_comes_back_as_saved);
    tcase_add_test(tcase, test_measures__a_mark_taken_off_comes_back_by_undo);
    tcase_add_test(tcase, test_measures__a_measure_comes_back_goes_and_is_undone);
    tcase_add_test(tcase, test_measures__touch_no_snap);
    return tcase;
}
