/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>
#include <utime.h>

#include "rb/film/small-pictures.h"

#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_small_pictures(void);

#define PLENTY (INT64_C(1) << 30)

static char *must_make(const char *film, int64_t first, int64_t last, int64_t budget)
{
    GError *error = NULL;
    char *path = rb_small_make(film, first, last, budget, NULL, NULL, &error);
    rb_assert_no_error(error);
    ck_assert_ptr_nonnull(path);
    return path;
}

/* Every test has a cache folder of its own: the program's is shared by all tests. */
static void own_cache(void)
{
    g_autofree char *folder = rb_test_path("cache");
    g_setenv("XDG_CACHE_HOME", folder, TRUE);
}

START_TEST(test_small__has_the_spans_frames_and_every_one_is_a_key)
{
    own_cache();
    const RbWriterOptions options = {
        .width = 1280, .height = 720, .rate = { 30, 1 }, .gop = 60, .b_frames = 2
    };
    g_autofree char *film = film_write("a.mp4", &options, 50);
    g_autofree char *path = must_make(film, 7, 40, PLENTY);
    RbReel *reel = reel_must_open(path);
    ck_assert_int_eq(rb_reel_get_frame_count(reel), 34);
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    ck_assert_int_eq(facts->width, 960);
    ck_assert_int_eq(facts->height, 540);
    for (int i = 33; i >= 0; i--) {
        ck_assert(rb_reel_is_key_frame(reel, i));
        ck_assert_int_eq(reel_code(reel, i), i + 7);
    }
    reel_must_close(reel);
    /* Asked again it is there at once, the same. */
    GStatBuf before;
    GStatBuf after;
    ck_assert_int_eq(g_stat(path, &before), 0);
    g_autofree char *again = must_make(film, 7, 40, PLENTY);
    ck_assert_str_eq(again, path);
    ck_assert_int_eq(g_stat(path, &after), 0);
    ck_assert_uint_eq(before.st_ino, after.st_ino);
}
END_TEST

typedef struct {
    RbFilmPlayer *player;
    bool want_small;
} Wait;

static void wait_for(const Wait *wait, int64_t frame)
{
    RbFilmPlayer *player = wait->player;
    const int64_t until = g_get_monotonic_time() + 20000000;
    do {
        rb_film_player_tick(player, g_get_monotonic_time(), NULL);
        g_usleep(500);
        ck_assert_msg(g_get_monotonic_time() < until, "frame %d never came", (int)frame);
    } while (rb_film_player_get_shown(player) != frame ||
             !rb_film_player_is_exact(player) ||
             rb_film_player_is_small(player) != wait->want_small);
    ck_assert_int_eq(frame_code_of(rb_film_player_get_picture(player)), frame);
}

START_TEST(test_small__a_player_steps_on_it_and_rests_on_the_film)
{
    own_cache();
    g_autofree char *film = film_write_plain("a.mp4", 60);
    g_autofree char *path = must_make(film, 20, 49, PLENTY);
    RbReel *reel = reel_must_open(film);
    RbFilmPlayer *player = rb_film_player_new(reel);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    rb_film_player_set_options(player, &gray);
    rb_film_player_set_limits(player, 20, 49);
    RbSmallFilm *small = rb_small_film_open(path, 20, 49, 60, NULL, NULL);
    rb_film_player_use_small(player, small);
    const Wait full = { player, false };
    const Wait quick = { player, true };
    rb_film_player_show(player, 30);
    wait_for(&full, 30);
    while (!rb_film_player_has_small(player)) {
        rb_film_player_tick(player, g_get_monotonic_time(), NULL);
        g_usleep(500);
    }
    rb_film_player_step(player, -1);
    wait_for(&quick, 29); /* the small picture first */
    wait_for(&full, 29);  /* and the film's when it rests */
    rb_film_player_use_small(player, NULL);
    rb_small_film_close(small);
    rb_film_player_step(player, 5);
    wait_for(&full, 34);
    rb_film_player_free(player);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_small__a_copy_with_other_frames_is_left_alone)
{
    own_cache();
    g_autofree char *film = film_write_plain("a.mp4", 60);
    g_autofree char *path = must_make(film, 20, 49, PLENTY);
    RbReel *reel = reel_must_open(film);
    RbFilmPlayer *player = rb_film_player_new(reel);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    rb_film_player_set_options(player, &gray);
    RbSmallFilm *small = rb_small_film_open(path, 20, 55, 60, NULL, NULL);
    rb_film_player_use_small(player, small);
    const Wait full = { player, false };
    for (int i = 0; i < 60; i += 7) {
        rb_film_player_show(player, i);
        wait_for(&full, i);
    }
    rb_film_player_free(player);
    rb_small_film_close(small);
    reel_must_close(reel);
}
END_TEST

static int64_t bytes_of(const char *path)
{
    GStatBuf facts;
    return g_stat(path, &facts) == 0 ? facts.st_size : -1;
}

START_TEST(test_small__the_disk_budget_is_kept)
{
    own_cache();
    g_autofree char *film = film_write_plain("a.mp4", 60);
    g_autofree char *one = must_make(film, 0, 19, PLENTY);
    g_autofree char *two = must_make(film, 20, 39, PLENTY);
    const struct utimbuf long_ago = { 1000, 1000 };
    ck_assert_int_eq(utime(one, &long_ago), 0);
    /* Room for two: the one used longest ago goes. */
    g_autofree char *three = must_make(film, 40, 59, bytes_of(two) * 5 / 2);
    ck_assert_int_eq(bytes_of(one), -1);
    ck_assert_int_gt(bytes_of(two), 0);
    ck_assert_int_gt(bytes_of(three), 0);
    ck_assert_int_eq(rb_small_prune(PLENTY, NULL), bytes_of(two) + bytes_of(three));
    GError *error = NULL;
    ck_assert_ptr_null(rb_small_make(film, 0, 9, 100, NULL, NULL, &error));
    ck_assert_ptr_nonnull(strstr(error->message, "disk space"));
    g_clear_error(&error);
    ck_assert_int_eq(rb_small_prune(0, NULL), 0);
}
END_TEST

TCase *rb_case_small_pictures(void)
{
    TCase *tcase = rb_case_new("small-pictures");
    tcase_add_test(tcase, test_small__has_the_spans_frames_and_every_one_is_a_key);
    tcase_add_test(tcase, test_small__a_player_steps_on_it_and_rests_on_the_film);
    tcase_add_test(tcase, test_small__a_copy_with_other_frames_is_left_alone);
    tcase_add_test(tcase, test_small__the_disk_budget_is_kept);
    return tcase;
}
