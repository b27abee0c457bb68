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

/* A build under ThreadSanitizer looks too seldom to see the small picture before the film's. */
#if defined(__SANITIZE_THREAD__)
enum { SEES_SMALL = false };
#else
enum { SEES_SMALL = true };
#endif

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
             rb_film_player_is_small(player) != (wait->want_small && SEES_SMALL));
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
    RbSmallFilm *small = rb_small_film_open(path, 20, 49, 60, false, NULL, NULL);
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
    RbSmallFilm *small = rb_small_film_open(path, 20, 55, 60, false, NULL, NULL);
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

/* Mean of the picture's middle, blue, green, red. */
static void middle_of(const char *path, int64_t frame, double mean[3], int *width)
{
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions options = { .pixels = RB_PIXELS_BGRA };
    RbPicture *picture = reel_must_get(reel, frame, &options);
    *width = rb_picture_get_width(picture);
    const int height = rb_picture_get_height(picture);
    memset(mean, 0, 3 * sizeof *mean);
    for (int y = height / 2; y < height / 2 + 8; y++) {
        const uint8_t *row =
            rb_picture_get_bytes(picture) + (size_t)y * rb_picture_get_stride(picture);
        for (int x = *width / 2; x < *width / 2 + 8; x++) {
            for (int i = 0; i < 3; i++) {
                mean[i] += row[4 * x + i] / 64.0;
            }
        }
    }
    rb_picture_unref(picture);
    reel_must_close(reel);
}

/* Whatever its colours, range and rotation: the copy looks as the film does. */
START_TEST(test_small__looks_like_the_film)
{
    static const struct {
        const char *range;
        const char *space;
        const char *transfer;
        const char *format;
        const char *turn;
    } films[] = {
        { "pc", "smpte170m", "smpte170m", "yuv420p", "0" },
        { "tv", "bt709", "bt709", "yuv420p", "90" },
        { "tv", "bt2020nc", "arib-std-b67", "yuv420p10le", "0" },
        { "tv", "smpte170m", "smpte170m", "yuv422p", "180" },
    };
    own_cache();
    for (size_t i = 0; i < G_N_ELEMENTS(films); i++) {
        g_autofree char *made = g_strdup_printf("made-%zu.mp4", i);
        g_autofree char *straight = rb_test_path(made);
        g_autofree char *name = g_strdup_printf("film-%zu.mov", i);
        g_autofree char *path = rb_test_path(name);
        ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i",
                              "color=0xb04020:s=320x180:r=25:d=0.4", "-vf",
                              "scale=out_range=full,format=yuv444p", "-c:v", "libx264",
                              "-pix_fmt", films[i].format, "-color_range", films[i].range,
                              "-colorspace", films[i].space, "-color_trc",
                              films[i].transfer, "-color_primaries", "bt709", straight,
                              NULL));
        g_autofree char *turn = g_strdup_printf("rotate=%s", films[i].turn);
        ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-i", straight, "-c", "copy",
                              "-metadata:s:v:0", turn, path, NULL));
        g_autofree char *small = must_make(path, 0, 9, PLENTY);
        double full_mean[3];
        double small_mean[3];
        int full_width = 0;
        int small_width = 0;
        middle_of(path, 4, full_mean, &full_width);
        middle_of(small, 4, small_mean, &small_width);
        ck_assert_int_eq(small_width, full_width);
        ck_assert_int_eq(full_width, g_str_equal(films[i].turn, "90") ? 180 : 320);
        for (int k = 0; k < 3; k++) {
            ck_assert_msg(ABS(full_mean[k] - small_mean[k]) <= 4,
                          "film %zu, colour %d: %g, small %g", i, k, full_mean[k],
                          small_mean[k]);
        }
    }
}
END_TEST

typedef struct {
    int differ;   /* frames */
    double worst; /* mean difference of a frame's brightness */
} Difference;

static Difference compare(RbReel *reel, RbReel *other, int frames)
{
    const RbFrameOptions half = { .pixels = RB_PIXELS_I420,
                                  .max_width = 960,
                                  .max_height = 540 };
    Difference result = { 0 };
    for (int i = 0; i < frames; i++) {
        g_autoptr(RbPicture) a = reel_must_get(reel, i, &half);
        g_autoptr(RbPicture) b = reel_must_get(other, i, &half);
        ck_assert_int_eq(rb_picture_get_width(a), 960);
        size_t stride = 0;
        const uint8_t *one = rb_picture_get_plane(a, 0, &stride);
        const uint8_t *two = rb_picture_get_plane(b, 0, &stride);
        int64_t sum = 0;
        for (int y = 0; y < 540; y++) {
            for (int x = 0; x < 960; x++) {
                sum += ABS(one[(size_t)y * stride + x] - two[(size_t)y * stride + x]);
            }
        }
        const double mean = (double)sum / (960 * 540);
        result.differ += sum > 0;
        result.worst = MAX(result.worst, mean);
    }
    return result;
}

/* Rough frames differ a little, and only those that nothing else is decoded from: no other frame
 * drifts. A reel that is told otherwise gives the film's own again. */
START_TEST(test_small__rough_frames_are_near_and_no_others_differ)
{
    enum { FRAMES = 25 };
    static const char *const kinds[][4] = {
        { "libx264", "veryfast", "-x264-params", "" },
        { "libx265", "ultrafast", "-x265-params", ":log-level=none" },
    };
    own_cache();
    for (size_t i = 0; i < G_N_ELEMENTS(kinds); i++) {
        g_autofree char *path = rb_test_path(i == 0 ? "a.mp4" : "b.mp4");
        g_autofree char *every_other =
            g_strconcat("bframes=1:b-adapt=0:scenecut=0:keyint=12", kinds[i][3], NULL);
        ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i",
                              "testsrc2=s=1920x1080:r=25:d=1,noise=alls=8:allf=t",
                              "-pix_fmt", "yuv420p", "-c:v", kinds[i][0], "-preset",
                              kinds[i][1], "-crf", "34", kinds[i][2], every_other, path,
                              NULL));
        RbReel *film = reel_must_open(path);
        RbReel *rough = reel_must_open(path);
        RbReelKeep keep = { .last = -1, .budget = 1 << 26, .rough = true };
        rb_reel_keep(rough, &keep);
        const Difference now = compare(film, rough, FRAMES);
        ck_assert_int_gt(now.differ, 0);
        ck_assert_int_le(now.differ, FRAMES / 2); /* every other one at most */
        ck_assert(now.worst < 0.5);
        keep.rough = false;
        rb_reel_keep(rough, &keep);
        const Difference then = compare(film, rough, FRAMES);
        ck_assert_int_eq(then.differ, 0);
        rb_reel_close(film);
        reel_must_close(rough); /* and waits for both */
    }
}
END_TEST

/* Wide films and films with few key frames get a copy ahead of time; others do not. A span that
 * goes on after the film's end ends with it. */
START_TEST(test_small__ahead_only_where_it_helps)
{
    own_cache();
    static const struct {
        const char *name;
        int width;
        int height;
        int gop;
        int frames;
        int first;
        int last;
        int made; /* frames of the copy; 0: none */
    } films[] = {
        { "plain.mp4", 320, 180, 60, 130, 0, 129, 0 },
        { "wide.mp4", 1312, 64, 10, 12, 2, 8, 7 },
        { "wide-end.mp4", 1312, 64, 10, 12, 5, 400, 7 },
        { "after.mp4", 1312, 64, 10, 12, 12, 20, 0 },
        { "sparse.mp4", 320, 180, 400, 130, 0, 129, 130 },
        { "sparse-part.mp4", 320, 180, 400, 130, 10, 100, 0 }, /* it has not 120 frames */
    };
    for (size_t i = 0; i < G_N_ELEMENTS(films); i++) {
        const RbWriterOptions options = { .width = films[i].width,
                                          .height = films[i].height,
                                          .rate = { 30, 1 },
                                          .gop = films[i].gop };
        g_autofree char *film = film_write(films[i].name, &options, films[i].frames);
        GError *error = NULL;
        g_autofree char *copy = rb_small_make_ahead(film, films[i].first, films[i].last,
                                                    PLENTY, NULL, &error);
        rb_assert_no_error(error);
        ck_assert_msg((copy[0] != '\0') == (films[i].made > 0), "%s: %s", films[i].name,
                      copy);
        if (films[i].made > 0) {
            RbReel *reel = reel_must_open(copy);
            ck_assert_int_eq(rb_reel_get_frame_count(reel), films[i].made);
            reel_must_close(reel);
        }
    }
    GError *error = NULL;
    ck_assert_ptr_null(rb_small_make_ahead("no-such.mp4", 0, 9, PLENTY, NULL, &error));
    ck_assert_ptr_nonnull(error);
    g_clear_error(&error);
}
END_TEST

TCase *rb_case_small_pictures(void)
{
    TCase *tcase = rb_case_new("small-pictures");
    tcase_set_tags(tcase, "shown");
    tcase_add_test(tcase, test_small__has_the_spans_frames_and_every_one_is_a_key);
    tcase_add_test(tcase, test_small__a_player_steps_on_it_and_rests_on_the_film);
    tcase_add_test(tcase, test_small__a_copy_with_other_frames_is_left_alone);
    tcase_add_test(tcase, test_small__the_disk_budget_is_kept);
    tcase_add_test(tcase, test_small__looks_like_the_film);
    tcase_add_test(tcase, test_small__rough_frames_are_near_and_no_others_differ);
    tcase_add_test(tcase, test_small__ahead_only_where_it_helps);
    return tcase;
}
