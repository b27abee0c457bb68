/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/films.h"
#include "rb/store/filters.h"
#include "rb/store/history.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/store/touched.h"

#include "cases.h"
#include "make.h"

static GArray *seen_now(RbStore *store)
{
    GError *error = NULL;
    GArray *seen = rb_store_list_seen(store, &error);
    rb_assert_no_error(error);
    return seen;
}

/* Exactly this snap (0: none) was touched since `seen`, and nothing of everybody's. */
static void assert_touched(RbStore *store, const GArray *seen, int64_t snap)
{
    GError *error = NULL;
    bool everything = true;
    g_autoptr(GArray) touched = rb_store_list_touched(store, seen, &everything, &error);
    rb_assert_no_error(error);
    ck_assert(!everything);
    ck_assert_uint_eq(touched->len, snap != 0 ? 1 : 0);
    if (snap != 0) {
        ck_assert_int_eq(g_array_index(touched, RbSnapId, 0).value, snap);
    }
}

static bool touches_everything(RbStore *store, const GArray *seen)
{
    GError *error = NULL;
    bool everything = false;
    g_autoptr(GArray) touched = rb_store_list_touched(store, seen, &everything, &error);
    rb_assert_no_error(error);
    return everything;
}

/* A store with a game, a charted snap 11 and a filmed snap 12. */
static RbStore *two_snaps(RbRandom *random)
{
    RbStore *store = make_store("a.readbreak");
    begin(store, "Two snaps");
    for (int i = 0; i < 2; i++) {
        g_autoptr(RbSnap) snap =
            rb_snap_new((RbSnapId){ 11 + i }, (RbGameId){ 5 }, i + 1);
        check(rb_store_save_snap(store, snap, &error_));
    }
    g_autoptr(RbChart) chart = rb_chart_new((RbSnapId){ 11 }, (RbPersonId){ 1 });
    check(rb_store_save_chart(store, chart, &error_));
    g_autoptr(RbClip) clip = make_clip(random, (RbSnapId){ 12 }, (RbFilmId){ 3 });
    clip->id.value = 70;
    check(rb_store_save_clip(store, clip, &error_));
    commit(store);
    return store;
}

START_TEST(test_touched__names_the_snap_behind_chart_look_clip_and_undo)
{
    RbRandom random;
    rb_random_seed(&random, 81);
    g_autoptr(RbStore) store = two_snaps(&random);
    g_autoptr(GArray) first = seen_now(store);
    assert_touched(store, first, 0);
    g_autoptr(RbChart) chart =
        rb_store_find_chart(store, (RbSnapId){ 11 }, (RbPersonId){ 1 }, NULL);
    chart->looks[2] = RB_LOOK_OPEN;
    begin(store, "Look");
    check(rb_store_save_chart(store, chart, &error_));
    commit(store);
    assert_touched(store, first, 11);
    g_autoptr(GArray) second = seen_now(store);
    assert_touched(store, second, 0);
    check(rb_store_undo(store, (RbPersonId){ 0 }, NULL, NULL, &error_));
    assert_touched(store, second, 11);
    g_autoptr(RbSnap) tagged = rb_store_load_snap(store, (RbSnapId){ 12 }, NULL);
    g_autoptr(GArray) between = seen_now(store);
    rb_snap_set_tag(tagged, (RbTermId){ 7 }, true);
    begin(store, "Tag");
    check(rb_store_save_snap(store, tagged, &error_));
    commit(store);
    assert_touched(store, between, 12);
    g_autoptr(GArray) third = seen_now(store);
    g_autoptr(RbClip) clip = make_clip(&random, (RbSnapId){ 12 }, (RbFilmId){ 3 });
    clip->id.value = 70;
    begin(store, "Clip");
    check(rb_store_save_clip(store, clip, &error_));
    commit(store);
    assert_touched(store, third, 12);
}
END_TEST

START_TEST(test_touched__a_clip_that_moves_touches_both_snaps)
{
    RbRandom random;
    rb_random_seed(&random, 82);
    g_autoptr(RbStore) store = two_snaps(&random);
    g_autoptr(GArray) seen = seen_now(store);
    g_autoptr(RbClip) clip = rb_store_load_clip(store, (RbClipId){ 70 }, NULL);
    clip->snap.value = 11;
    begin(store, "Move");
    check(rb_store_save_clip(store, clip, &error_));
    commit(store);
    GError *error = NULL;
    bool everything = true;
    g_autoptr(GArray) touched = rb_store_list_touched(store, seen, &everything, &error);
    rb_assert_no_error(error);
    ck_assert(!everything);
    ck_assert_uint_eq(touched->len, 2);
}
END_TEST

START_TEST(test_touched__tells_what_concerns_all_from_what_concerns_none)
{
    RbRandom random;
    rb_random_seed(&random, 83);
    g_autoptr(RbStore) store = two_snaps(&random);
    g_autoptr(GArray) seen = seen_now(store);
    g_autoptr(RbFilter) filter = rb_filter_new();
    rb_filter_add_value(filter, RB_FIELD_DOWN, 3);
    g_autoptr(RbSavedFilter) saved = rb_saved_filter_new("Third", filter);
    begin(store, "Filter");
    check(rb_store_save_saved_filter(store, saved, &error_));
    commit(store);
    assert_touched(store, seen, 0);
    g_autoptr(RbTeam) team = make_team(&random);
    begin(store, "Team");
    check(rb_store_save_team(store, team, &error_));
    commit(store);
    ck_assert(touches_everything(store, seen));
    g_autoptr(GArray) later = seen_now(store);
    ck_assert(!touches_everything(store, later));
    /* A history that is shorter than what was seen belongs to another library. */
    g_array_index(later, RbSeen, later->len - 1).seq += 5;
    ck_assert(touches_everything(store, later));
}
END_TEST

TCase *rb_case_touched(void)
{
    TCase *tcase = rb_case_new("touched");
    tcase_add_test(tcase, test_touched__names_the_snap_behind_chart_look_clip_and_undo);
    tcase_add_test(tcase, test_touched__a_clip_that_moves_touches_both_snaps);
    tcase_add_test(tcase, test_touched__tells_what_concerns_all_from_what_concerns_none);
    return tcase;
}
