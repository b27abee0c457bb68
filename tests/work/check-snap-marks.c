/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/store/films.h"
#include "rb/store/snaps.h"
#include "rb/store/staff.h"
#include "rb/work/films.h"
#include "rb/work/snap-marks.h"

#include "library-private.h"
#include "suite.h"

TCase *rb_case_snap_marks(void);

enum { CLIPS = 4 };

/* A game of some clips whose film is nowhere; every second one has its mark. */
static RbLibrary *make_library(void)
{
    GError *error = NULL;
    g_autofree char *path = rb_test_path("a.readbreak");
    RbLibrary *library = rb_library_create(path, "Ann", &error);
    rb_assert_no_error(error);
    RbStore *store = rb_library_store(library);
    g_autoptr(RbGame) game = rb_game_new((RbGameId){ 5 }, "Game");
    g_autoptr(RbFilm) film = rb_film_new((RbFilmId){ 7 }, "film");
    ck_assert(rb_library_begin(library, "made", &error));
    ck_assert(rb_store_save_game(store, game, &error));
    ck_assert(rb_store_save_film(store, film, &error));
    for (int i = 0; i < CLIPS; i++) {
        const RbSnapId id = { 100 + i };
        g_autoptr(RbSnap) snap = rb_snap_new(id, game->id, CLIPS - i);
        g_autoptr(RbClip) clip =
            rb_clip_new((RbClipId){ 200 + i }, id, film->id, RB_ANGLE_WIDE);
        clip->first = i * 100;
        clip->last = clip->first + 99;
        const RbMark mark = { .clip = clip->id,
                              .kind = RB_MARK_SNAP,
                              .frame = clip->first + 20,
                              .time = { clip->first + 20, { 1, 60 } } };
        if (i % 2 == 1) {
            g_array_append_val(clip->marks, mark);
        }
        ck_assert(rb_store_save_snap(store, snap, &error));
        ck_assert(rb_store_save_clip(store, clip, &error));
    }
    ck_assert(rb_library_commit(library, false, &error));
    rb_assert_no_error(error);
    return library;
}

static RbSnapProposal *at(RbSnapSearch *search, guint i)
{
    return &g_array_index(search->proposals, RbSnapProposal, i);
}

/* Clips with a mark are left alone, unless all are wanted; a film that is not there is told. */
START_TEST(test_snap_marks__clips_without_a_mark_are_looked_at)
{
    GError *error = NULL;
    g_autoptr(RbLibrary) library = make_library();
    g_autoptr(RbSnapSearch) some =
        rb_library_start_snap_search(library, (RbGameId){ 5 }, false, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(some->proposals->len, CLIPS / 2);
    g_autoptr(RbSnapSearch) all =
        rb_library_start_snap_search(library, (RbGameId){ 5 }, true, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_uint_eq(all->proposals->len, CLIPS);
    for (guint i = 0; i < CLIPS; i++) {
        ck_assert_int_eq(at(all, i)->first, (int64_t)i * 100);
        ck_assert_int_eq(at(all, i)->last, (int64_t)i * 100 + 99);
        ck_assert_int_eq(at(all, i)->number, CLIPS - (int)i);
        ck_assert_int_eq(at(all, i)->marked, i % 2 == 1 ? (int64_t)i * 100 + 20 : -1);
        ck_assert_int_eq(at(all, i)->frame, -1);
        ck_assert_ptr_null(all->paths->pdata[i]);
    }
    ck_assert(rb_snap_search_run(all, NULL, NULL, &error));
    ck_assert_int_eq(at(all, 0)->frame, -1);
    int missing = 0;
    g_autoptr(GArray) proposals = rb_library_propose_snap_marks(
        library, (RbGameId){ 5 }, false, &missing, NULL, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_int_eq(missing, CLIPS / 2);
}
END_TEST

/* What is chosen, and only that, is written, as one action that can be undone. */
START_TEST(test_snap_marks__the_chosen_ones_are_written)
{
    GError *error = NULL;
    int written = 0;
    g_autoptr(RbLibrary) library = make_library();
    g_autoptr(RbSnapSearch) all =
        rb_library_start_snap_search(library, (RbGameId){ 5 }, true, NULL, &error);
    rb_assert_no_error(error);
    for (guint i = 0; i < CLIPS; i++) {
        at(all, i)->frame = at(all, i)->first + 30;
        at(all, i)->time = (RbTime){ at(all, i)->frame, { 1, 60 } };
        at(all, i)->sure = i == 2 ? 0.4 : 0.95;
    }
    const bool chosen[CLIPS] = { true, true, false, false };
    g_autoptr(RbSnapSearch) some = rb_snap_search_choose(all, chosen);
    ck_assert_uint_eq(some->proposals->len, 2);
    ck_assert_uint_eq(some->paths->len, 2);
    ck_assert(rb_snap_search_tell_times(some, NULL, &error));
    ck_assert(rb_library_save_snap_marks(library, some->proposals, 0, &written, &error));
    ck_assert_int_eq(written, 1); /* the second clip has its mark already */
    g_autoptr(RbSnapSearch) left =
        rb_library_start_snap_search(library, (RbGameId){ 5 }, false, NULL, &error);
    ck_assert_uint_eq(left->proposals->len, 1);
    ck_assert_int_eq(at(left, 0)->clip.value, 202);
    /* One that is not sure enough, and one whose time is not known, are not written. */
    at(left, 0)->frame = 230;
    at(left, 0)->sure = 0.4;
    ck_assert(
        rb_library_save_snap_marks(library, left->proposals, 0.9, &written, &error));
    ck_assert_int_eq(written, 0);
    at(left, 0)->moved = true;
    ck_assert(rb_library_save_snap_marks(library, left->proposals, 0, &written, &error));
    ck_assert_int_eq(written, 0);
}
END_TEST

START_TEST(test_snap_marks__films_lie_beside_their_library)
{
    g_autofree char *plain = rb_film_folder_of("/a/season.readbreak");
    g_autofree char *other = rb_film_folder_of("/a/season");
    ck_assert_str_eq(plain, "/a/season film");
    ck_assert_str_eq(other, "/a/season film");
}
END_TEST

TCase *rb_case_snap_marks(void)
{
    TCase *tcase = rb_case_new("snap-marks");
    tcase_add_test(tcase, test_snap_marks__clips_without_a_mark_are_looked_at);
    tcase_add_test(tcase, test_snap_marks__the_chosen_ones_are_written);
    tcase_add_test(tcase, test_snap_marks__films_lie_beside_their_library);
    return tcase;
}
