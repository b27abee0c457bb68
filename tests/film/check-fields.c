/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Interlaced film: every field carries a number of its own, twice the frame's and one more in
 * the second: the place of a bar that moves. (Numbers in black and white blocks will not do: a
 * block that is black in every first field and white in every second one is a picture at rest,
 * striped, to anybody who has to make up the lines between.) */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "rb/film/player.h"
#include "rb/film/small-pictures.h"

#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_fields(void);

#define FRAMES 24

static const struct {
    const char *name;
    const char *weave; /* ffmpeg's filters: two pictures become one frame */
    const char *codec;
    const char *more;
} kinds[] = {
    { "top.mp4", "tinterlace=interleave_top,setfield=tff", "libx264", "tff=1" },
    { "bottom.ts", "tinterlace=interleave_bottom,setfield=bff", "libx264", "bff=1" },
    { "mpeg2.mpg", "tinterlace=interleave_top,setfield=tff", "mpeg2video", NULL },
};

#define WIDTH 160
#define HEIGHT 96
#define BAR 12
#define PACE 3 /* columns a field */

/* The moments before they are woven, in plain 4:2:0. */
static char *write_moments(void)
{
    char *path = rb_test_path("moments.yuv");
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    for (int n = 0; n < 2 * FRAMES; n++) {
        uint8_t row[WIDTH];
        memset(row, 40, sizeof row);
        memset(row + 2 + n * PACE, 220, BAR);
        for (int y = 0; y < HEIGHT; y++) {
            g_byte_array_append(bytes, row, WIDTH);
        }
        memset(row, 128, sizeof row);
        for (int y = 0; y < HEIGHT / 2; y++) {
            g_byte_array_append(bytes, row, WIDTH);
        }
    }
    ck_assert(
        g_file_set_contents(path, (const char *)bytes->data, (gssize)bytes->len, NULL));
    return path;
}

/* The middle of what is bright, over all rows: lines of another moment would move it. */
static int number_of(const RbPicture *picture)
{
    double sum = 0;
    double weight = 0;
    const int width = rb_picture_get_width(picture);
    const double columns =
        (double)width / WIDTH; /* of the picture to one of the moment */
    for (int y = 0; y < rb_picture_get_height(picture); y++) {
        const uint8_t *row =
            rb_picture_get_bytes(picture) + (size_t)y * rb_picture_get_stride(picture);
        for (int x = 0; x < width; x++) {
            const double light = MAX(row[x] - 100, 0);
            sum += light * ((x + 0.5) / columns - 0.5);
            weight += light;
        }
    }
    const double middle = weight > 0 ? sum / weight : -1000;
    const double number = (middle - 2 - (BAR - 1) / 2.0) / PACE;
    const double off = number - floor(number + 0.5);
    return fabs(off) < 0.3 ? (int)floor(number + 0.5) : -1;
}

static char *make_film(int kind, const char *first)
{
    g_autofree char *raw = write_moments();
    char *path = rb_test_path(kinds[kind].name);
    const bool plain = kinds[kind].more == NULL;
    g_autofree char *filters = g_strconcat(first, kinds[kind].weave, NULL);
    ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-f", "rawvideo", "-pix_fmt",
                          "yuv420p", "-s", "160x96", "-r", "50", "-i", raw, "-vf",
                          filters, "-c:v", kinds[kind].codec, "-flags", "+ildct+ilme",
                          plain ? "-q:v" : "-x264-params", plain ? "2" : kinds[kind].more,
                          "-g", "12", "-bf", "2", plain ? "-f" : "-crf",
                          plain ? "dvd" : "14", path, NULL));
    return path;
}

static void check_field(RbReel *reel, int number)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .by_field = true };
    g_autoptr(RbPicture) picture = reel_must_get(reel, number, &options);
    ck_assert_int_eq(rb_picture_get_ordinal(picture), number / 2);
    ck_assert_int_eq(rb_picture_get_field(picture), 1 + number % 2);
    ck_assert(!rb_picture_is_whole(picture));
    const int code = number_of(picture);
    ck_assert_msg(code == number, "field %d shows number %d", number, code);
}

START_TEST(test_fields__each_shows_its_own_moment_in_every_order)
{
    g_autofree char *path = make_film(_i, "");
    RbReel *reel = reel_must_open(path);
    ck_assert(rb_reel_is_interlaced(reel));
    const int n = 2 * (int)rb_reel_get_frame_count(reel);
    ck_assert_int_eq(n, 2 * FRAMES);
    for (int i = 0; i < n; i++) {
        check_field(reel, i);
    }
    for (int i = n - 1; i >= 0; i--) {
        check_field(reel, i);
    }
    /* Each field has its own moment: half a frame apart, and the first is the frame's. */
    for (int i = 0; i < n - 1; i++) {
        RbTime frame;
        RbTime time;
        RbTime next;
        ck_assert(rb_reel_get_frame_time(reel, i / 2, &frame));
        ck_assert(rb_reel_get_field_time(reel, i, &time));
        ck_assert(rb_reel_get_field_time(reel, i + 1, &next));
        ck_assert(i % 2 == 1 || rb_time_compare(frame, time) == 0);
        ck_assert_int_eq(time.base.den, 2 * (int64_t)frame.base.den);
        const int64_t apart_us = rb_time_diff_us(next, time);
        const int64_t frame_us =
            rb_reel_get_frame_us(reel, 1) - rb_reel_get_frame_us(reel, 0);
        ck_assert_int_le(llabs(2 * apart_us - frame_us), 3);
    }
    g_autofree int *order = shuffled(n, rb_test_seed(3));
    for (int i = 0; i < n; i++) {
        check_field(reel, order[i]);
    }
    reel_must_close(reel);
}
END_TEST

/* The judge beside our own numbers: ffmpeg's command line, run over the film in order. */
START_TEST(test_fields__are_those_of_a_straight_run)
{
    g_autofree char *path = make_film(0, "");
    g_autofree char *raw = rb_test_path("fields.gray");
    ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-i", path, "-vf",
                          "bwdif=mode=send_field:deint=all,extractplanes=y", "-vsync",
                          "passthrough", "-f", "rawvideo", "-pix_fmt", "gray", raw,
                          NULL));
    g_autofree char *bytes = NULL;
    size_t size = 0;
    ck_assert(g_file_get_contents(raw, &bytes, &size, NULL));
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420,
                                     .as_coded = true,
                                     .by_field = true };
    g_autofree int *order = shuffled(2 * FRAMES, rb_test_seed(4));
    for (int i = 0; i < 2 * FRAMES; i++) {
        const int number = order[i];
        g_autoptr(RbPicture) picture = reel_must_get(reel, number, &options);
        const size_t width = (size_t)rb_picture_get_width(picture);
        const size_t height = (size_t)rb_picture_get_height(picture);
        ck_assert_uint_eq(size, width * height * 2 * FRAMES);
        if (number < 2 || number >= 2 * FRAMES - 2) {
            continue; /* what is beside the ends each program makes up in its own way */
        }
        for (size_t y = 0; y < height; y++) {
            ck_assert_mem_eq(rb_picture_get_bytes(picture) +
                                 y * rb_picture_get_stride(picture),
                             bytes + ((size_t)number * height + y) * width, width);
        }
    }
    reel_must_close(reel);
}
END_TEST

static void wait_for(RbFilmPlayer *player, int number)
{
    const int64_t until = g_get_monotonic_time() + 20000000;
    const RbPicture *picture = NULL;
    do {
        rb_film_player_tick(player, g_get_monotonic_time(), NULL);
        g_usleep(500);
        ck_assert_msg(g_get_monotonic_time() < until, "field %d never came", number);
        picture = rb_film_player_get_picture(player);
    } while (!rb_film_player_is_exact(player) ||
             rb_film_player_get_shown(player) != number / 2 ||
             rb_film_player_get_field(player) != 1 + number % 2);
    ck_assert_int_eq(number_of(picture), number);
    ck_assert_int_eq(rb_film_player_get_wanted(player), number / 2);
}

static RbFilmPlayer *new_player(RbReel *reel)
{
    RbFilmPlayer *player = rb_film_player_new(reel);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    rb_film_player_set_options(player, &gray);
    return player;
}

START_TEST(test_fields__a_step_is_one_and_a_frame_keeps_its_number)
{
    g_autofree char *path = make_film(0, "");
    RbReel *reel = reel_must_open(path);
    RbFilmPlayer *player = new_player(reel);
    rb_film_player_set_limits(player, 2, 9);
    rb_film_player_show(player, 4);
    wait_for(player, 8);
    for (int i = 9; i <= 19; i++) {
        rb_film_player_step(player, 1);
        wait_for(player, i);
    }
    rb_film_player_step(player, 1); /* the clip's last frame has a second field too */
    wait_for(player, 19);
    for (int i = 18; i >= 4; i--) {
        rb_film_player_step(player, -1);
        wait_for(player, i);
    }
    rb_film_player_step(player, -1);
    wait_for(player, 4);
    rb_film_player_free(player);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_fields__a_run_shows_both_of_every_frame)
{
    g_autofree char *path = make_film(0, "");
    RbReel *reel = reel_must_open(path);
    RbFilmPlayer *player = new_player(reel);
    rb_film_player_show(player, 0);
    wait_for(player, 0);
    rb_film_player_run(player, RB_FILM_PLAYER_NORMAL / 4);
    int64_t now_us = g_get_monotonic_time();
    while (rb_film_player_get_state(player) == RB_FILM_PLAYER_RUNNING) {
        rb_film_player_tick(player, now_us, NULL);
        const RbPicture *picture = rb_film_player_get_picture(player);
        ck_assert_int_eq(number_of(picture), 2 * rb_film_player_get_shown(player) +
                                                 rb_film_player_get_field(player) - 1);
        g_usleep(1000);
        now_us += 1000; /* a slow clock: nothing has to be left out */
    }
    RbFilmPlayerCounts counts;
    rb_film_player_get_counts(player, &counts);
    ck_assert_int_ge(counts.planned, 2 * FRAMES);
    ck_assert_int_eq(rb_film_player_get_shown(player), FRAMES - 1);
    rb_film_player_free(player);
    reel_must_close(reel);
}
END_TEST

/* The small copy has both moments too. */
START_TEST(test_fields__small_pictures)
{
    g_autofree char *cache = rb_test_path("cache");
    g_setenv("XDG_CACHE_HOME", cache, TRUE);
    g_autofree char *path = make_film(0, "");
    GError *error = NULL;
    g_autofree char *copy =
        rb_small_make(path, 3, 20, INT64_C(1) << 30, NULL, NULL, &error);
    rb_assert_no_error(error);
    RbReel *reel = reel_must_open(path);
    RbFilmPlayer *player = new_player(reel);
    rb_film_player_set_limits(player, 3, 20);
    RbSmallFilm *small = rb_small_film_open(copy, 3, 20, FRAMES, true, NULL, NULL);
    rb_film_player_use_small(player, small);
    rb_film_player_show(player, 10);
    wait_for(player, 20);
    while (!rb_film_player_has_small(player)) {
        rb_film_player_tick(player, g_get_monotonic_time(), NULL);
        g_usleep(500);
    }
    for (int i = 21; i < 41; i++) {
        rb_film_player_step(player, 1);
        wait_for(player, i);
    }
    rb_film_player_free(player);
    rb_small_film_close(small);
    reel_must_close(reel);
}
END_TEST

/* Of half the size, a field is made of its own lines, without those of the frames around it. */
START_TEST(test_fields__of_half_the_size)
{
    g_autofree char *path = make_film(_i, "scale=1920:96:flags=neighbor,setsar=1,");
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420,
                                     .max_width = RB_SMALL_WIDTH,
                                     .max_height = RB_SMALL_HEIGHT,
                                     .by_field = true };
    g_autofree int *order = shuffled(2 * FRAMES, rb_test_seed(6));
    for (int i = 0; i < 2 * FRAMES; i++) {
        g_autoptr(RbPicture) picture = reel_must_get(reel, order[i], &options);
        ck_assert_int_eq(rb_picture_get_width(picture), 960);
        ck_assert_int_eq(rb_picture_get_height(picture), 48);
        ck_assert_int_eq(rb_picture_get_field(picture), 1 + order[i] % 2);
        ck_assert(!rb_picture_is_whole(picture));
        ck_assert_int_eq(number_of(picture), order[i]);
    }
    /* The frame itself has both moments in it, and is asked for in between. */
    RbFrameOptions whole = options;
    whole.by_field = false;
    g_autoptr(RbPicture) both = reel_must_get(reel, 5, &whole);
    ck_assert_int_eq(rb_picture_get_field(both), 0);
    ck_assert_int_eq(number_of(both), -1); /* half way between two numbers */
    reel_must_close(reel);
}
END_TEST

/* A film of whole frames asked by field gives the same picture twice. */
START_TEST(test_fields__whole_frames_stay_whole)
{
    g_autofree char *path = film_write_plain("a.mp4", 20);
    RbReel *reel = reel_must_open(path);
    ck_assert(!rb_reel_is_interlaced(reel));
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .by_field = true };
    for (int i = 0; i < 40; i++) {
        g_autoptr(RbPicture) picture = reel_must_get(reel, i, &options);
        ck_assert_int_eq(frame_code_of(picture), i / 2);
        ck_assert(rb_picture_is_whole(picture));
    }
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_fields(void)
{
    TCase *tcase = rb_case_new("fields");
    tcase_set_tags(tcase, "shown");
    tcase_add_loop_test(tcase, test_fields__each_shows_its_own_moment_in_every_order, 0,
                        (int)G_N_ELEMENTS(kinds));
    tcase_add_test(tcase, test_fields__are_those_of_a_straight_run);
    tcase_add_test(tcase, test_fields__a_step_is_one_and_a_frame_keeps_its_number);
    tcase_add_test(tcase, test_fields__a_run_shows_both_of_every_frame);
    tcase_add_test(tcase, test_fields__small_pictures);
    tcase_add_loop_test(tcase, test_fields__of_half_the_size, 0,
                        (int)G_N_ELEMENTS(kinds));
    tcase_add_test(tcase, test_fields__whole_frames_stay_whole);
    return tcase;
}
