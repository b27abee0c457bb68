/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/random.h"
#include "rb/film/error.h"
#include "rb/film/reel.h"

#include "film/reel-private.h"
#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_reel(void);

/* Waits for an event of a kind and hands it over; others are cleared. */
static RbReelEvent wait_for(RbReel *reel, RbReelEventKind kind)
{
    for (;;) {
        RbReelEvent event;
        GError *error = NULL;
        rb_reel_wait(reel, &event, NULL, 20000, &error);
        rb_assert_no_error(error);
        if (event.kind == kind) {
            return event;
        }
        ck_assert_msg(event.kind != RB_REEL_ERROR, "%s", event.error->message);
        rb_reel_event_clear(&event);
    }
}

START_TEST(test_reel__opened_comes_before_ready)
{
    g_autofree char *path = film_write_plain("a.mp4", 30);
    RbReel *reel = rb_reel_open(path, NULL, NULL);
    int opened = 0;
    for (;;) {
        RbReelEvent event;
        ck_assert(rb_reel_wait(reel, &event, NULL, 20000, NULL));
        const RbReelEventKind kind = event.kind;
        rb_reel_event_clear(&event);
        opened += kind == RB_REEL_OPENED;
        if (kind == RB_REEL_READY) {
            break;
        }
        ck_assert(kind == RB_REEL_OPENED || (opened == 1 && kind == RB_REEL_PROGRESS));
    }
    ck_assert_int_eq(opened, 1);
    ck_assert_int_eq(rb_reel_get_frame_count(reel), 30);
    reel_must_close(reel);
}
END_TEST

static void on_wake(void *data)
{
    atomic_fetch_add((atomic_int *)data, 1);
}

START_TEST(test_reel__wakes_for_news_and_never_after_close)
{
    atomic_int woken;
    atomic_init(&woken, 0);
    g_autofree char *path = film_write_plain("a.mp4", 30);
    RbReel *reel = rb_reel_open(path, on_wake, &woken);
    wait_for(reel, RB_REEL_READY);
    const int64_t until = g_get_monotonic_time() + 5000000;
    while (atomic_load(&woken) == 0 && g_get_monotonic_time() < until) {
        g_usleep(1000); /* news is queued a moment before the wake */
    }
    ck_assert_int_gt(atomic_load(&woken), 0);
    rb_reel_request_frame(reel, 3, NULL);
    rb_reel_close(reel);
    const int at_close = atomic_load(&woken);
    ck_assert(rb_reel_wait_all_closed(10000));
    ck_assert_int_eq(atomic_load(&woken), at_close);
}
END_TEST

START_TEST(test_reel__facts_of_a_film)
{
    const RbWriterOptions options = { .width = 160,
                                      .height = 90,
                                      .rate = { 60000, 1001 },
                                      .gop = 30,
                                      .pixel_shape = { 4, 3 } };
    g_autofree char *path = film_write("a.mp4", &options, 60);
    RbReel *reel = reel_must_open(path);
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    ck_assert_str_eq(facts->codec, "h264");
    ck_assert_str_eq(facts->pixel_format, "yuv420p");
    ck_assert_int_eq(facts->width, 160);
    ck_assert_int_eq(facts->height, 90);
    ck_assert_int_eq(facts->shown_width, 213); /* 160 * 4 / 3 */
    ck_assert_int_eq(facts->shown_height, 90);
    ck_assert_int_eq(facts->rate.num, 60000);
    ck_assert_int_eq(facts->rate.den, 1001);
    ck_assert_int_eq(facts->rotation, 0);
    ck_assert_int_eq(facts->frames, 60);
    ck_assert_int_eq(facts->duration_us, 1001000); /* 60 frames of 1001/60000 s */
    ck_assert(!facts->has_audio && !facts->interlaced);
    ck_assert_uint_eq(facts->doubts->len, 0);
    struct stat now;
    ck_assert_int_eq(stat(path, &now), 0);
    ck_assert_int_eq(facts->bytes, now.st_size);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__sound_is_noticed)
{
    g_autofree char *path = film_encode("a.mp4", 30, "-f", "lavfi", "-i", "sine=d=1",
                                        "-c:v", "libx264", "-c:a", "aac", NULL);
    RbReel *reel = reel_must_open(path);
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    ck_assert(facts->has_audio);
    ck_assert_str_eq(facts->audio_codec, "aac");
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__times_and_lookups)
{
    g_autofree char *path = film_write_plain("a.mp4", 45);
    RbReel *reel = reel_must_open(path);
    RbTime time;
    ck_assert(rb_reel_get_frame_time(reel, 10, &time));
    ck_assert_int_eq(rb_time_diff_us(time, (RbTime){ 0, time.base }), 333333);
    ck_assert_int_eq(rb_reel_get_frame_us(reel, 10), 333333);
    ck_assert_int_eq(rb_reel_find_frame_with_time(reel, time), 10);
    ck_assert_int_eq(rb_reel_find_frame_with_time(reel, (RbTime){ 10, { 1, 30 } }), 10);
    ck_assert_int_eq(rb_reel_find_frame_with_time(reel, (RbTime){ 1, { 1, 77 } }), -1);
    ck_assert_int_eq(rb_reel_find_frame_at(reel, 340000), 10);
    ck_assert_int_eq(rb_reel_find_frame_at(reel, -5), 0);
    ck_assert_int_eq(rb_reel_find_frame_at(reel, INT64_MAX), 44);
    ck_assert(!rb_reel_get_frame_time(reel, 45, &time));
    ck_assert(!rb_reel_get_frame_time(reel, -1, &time));
    ck_assert_int_eq(rb_reel_get_frame_us(reel, 45), -1);
    ck_assert(rb_reel_is_key_frame(reel, 0));
    ck_assert(!rb_reel_is_key_frame(reel, 1));
    ck_assert(rb_reel_is_key_frame(reel, 15));
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__nothing_is_known_before_it_is_ready)
{
    g_autofree char *path = rb_test_path("none.mp4");
    RbReel *reel = rb_reel_open(path, NULL, NULL);
    RbTime time;
    ck_assert_int_eq(rb_reel_get_frame_count(reel), -1);
    ck_assert(!rb_reel_get_frame_time(reel, 0, &time));
    ck_assert_int_eq(rb_reel_find_frame_at(reel, 0), -1);
    ck_assert_int_eq(rb_reel_find_frame_with_time(reel, (RbTime){ 0, { 1, 1 } }), -1);
    ck_assert(!rb_reel_is_key_frame(reel, 0));
    ck_assert_ptr_null(rb_reel_dup_facts(reel));
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__frame_asked_at_once_comes_when_it_can)
{
    g_autofree char *path = film_write_plain("a.mp4", 30);
    RbReel *reel = rb_reel_open(path, NULL, NULL);
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY };
    const uint64_t serial = rb_reel_request_frame(reel, 17, &options);
    RbReelEvent event = wait_for(reel, RB_REEL_FRAME);
    ck_assert_uint_eq(event.serial, serial);
    ck_assert_int_eq(frame_code_of(event.picture), 17);
    rb_reel_event_clear(&event);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__latest_request_wins)
{
    g_autofree char *path = film_write_plain("a.mp4", 90);
    RbReel *reel = reel_must_open(path);
    uint64_t last = 0;
    for (int i = 0; i < 200; i++) {
        last = rb_reel_request_frame(reel, i * 37 % 90, NULL);
    }
    RbReelEvent event = wait_for(reel, RB_REEL_FRAME);
    ck_assert_uint_eq(event.serial, last);
    ck_assert_int_eq(rb_picture_get_ordinal(event.picture), 199 * 37 % 90);
    rb_reel_event_clear(&event);
    ck_assert_int_eq(rb_reel_poll(reel, &event), RB_REEL_NOTHING);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__no_such_frame_is_a_sentence)
{
    g_autofree char *path = film_write_plain("a.mp4", 20);
    RbReel *reel = reel_must_open(path);
    const int64_t rows[] = { -1, 20, INT64_MAX, INT64_MIN };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autoptr(GError) error = NULL;
        ck_assert_ptr_null(rb_reel_wait_frame(reel, rows[i], NULL, NULL, 10000, &error));
        ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_RANGE));
        ck_assert_ptr_nonnull(strstr(error->message, "a.mp4"));
        ck_assert_ptr_nonnull(strstr(error->message, "0 to 19"));
    }
    ck_assert_int_eq(reel_code(reel, 19), 19);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__made_smaller_keeps_shape)
{
    g_autofree char *path = film_write_plain("a.mp4", 10);
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions options = { .max_width = 80, .max_height = 80 };
    g_autoptr(RbPicture) picture = reel_must_get(reel, 5, &options);
    ck_assert_int_eq(rb_picture_get_width(picture), 80);
    ck_assert_int_eq(rb_picture_get_height(picture), 45);
    ck_assert_int_eq(frame_code_of(picture), 5);
    const RbFrameOptions larger = { .max_width = 1000 };
    g_autoptr(RbPicture) same = reel_must_get(reel, 5, &larger);
    ck_assert_int_eq(rb_picture_get_width(same), 160);
    rb_picture_unref(g_steal_pointer(&picture));
    rb_picture_unref(g_steal_pointer(&same));
    reel_must_close(reel);
}
END_TEST

static char *rotated_film(const char *rotate)
{
    g_autofree char *plain = film_write_plain("plain.mp4", 10);
    char *path = rb_test_path("turned.mp4");
    ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-i", plain, "-c", "copy",
                          "-metadata:s:v:0", rotate, path, NULL));
    return path;
}

/* ffmpeg turns a film upright by itself: the outside judge of the direction. */
static void looks_as_ffmpeg_shows_it(const RbPicture *picture, const char *path)
{
    g_autofree char *raw = rb_test_path("upright.gray");
    ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-i", path, "-frames:v", "1",
                          "-pix_fmt", "gray", "-f", "rawvideo", raw, NULL));
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(raw, &bytes, &n, NULL));
    const size_t width = (size_t)rb_picture_get_width(picture);
    ck_assert_uint_eq(n, width * (size_t)rb_picture_get_height(picture));
    size_t different = 0;
    for (size_t i = 0; i < n; i++) {
        const uint8_t ours = rb_picture_get_bytes(
            picture)[i / width * rb_picture_get_stride(picture) + i % width];
        different += abs(ours - (uint8_t)bytes[i]) > 24;
    }
    ck_assert_uint_lt(different, n / 50);
}

START_TEST(test_reel__turned_upright_once)
{
    static const struct {
        const char *rotate; /* as ffmpeg writes it, counter-clockwise */
        int clockwise;
        int width;
    } rows[] = { { "rotate=90", 270, 90 },
                 { "rotate=180", 180, 160 },
                 { "rotate=270", 90, 90 } };
    const RbFrameOptions upright = { .pixels = RB_PIXELS_GRAY };
    const RbFrameOptions coded = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        g_autofree char *path = rotated_film(rows[i].rotate);
        RbReel *reel = reel_must_open(path);
        g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
        ck_assert_int_eq(facts->rotation, rows[i].clockwise);
        ck_assert_int_eq(facts->shown_width, rows[i].width);
        RbPicture *picture = reel_must_get(reel, 0, &upright);
        ck_assert_int_eq(rb_picture_get_width(picture), rows[i].width);
        looks_as_ffmpeg_shows_it(picture, path);
        rb_picture_unref(picture);
        picture = reel_must_get(reel, 7, &coded);
        ck_assert_int_eq(rb_picture_get_width(picture), 160);
        ck_assert_int_eq(frame_code_of(picture), 7);
        rb_picture_unref(picture);
        reel_must_close(reel);
    }
}
END_TEST

START_TEST(test_reel__colours_by_matrix_and_range)
{
    /* ITU-R BT.709, 8 bits, limited range: Y 63 Cb 102 Cr 240 is full red (R 255, G 0, B 0). */
    const RbWriterOptions options = {
        .width = 64, .height = 64, .rate = { 30, 1 }, .lossless = true, .gop = 1
    };
    g_autofree char *path = rb_test_path("red.mp4");
    g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, &options, NULL, NULL);
    RbWriterFrame frame;
    ck_assert(rb_film_writer_next(writer, &frame, NULL));
    memset(frame.planes[0], 63, (size_t)frame.strides[0] * 64);
    memset(frame.planes[1], 102, (size_t)frame.strides[1] * 32);
    memset(frame.planes[2], 240, (size_t)frame.strides[2] * 32);
    ck_assert(rb_film_writer_push(writer, NULL));
    ck_assert(rb_film_writer_finish(writer, NULL));
    RbReel *reel = reel_must_open(path);
    RbPicture *picture = reel_must_get(reel, 0, NULL);
    const uint8_t *pixel = rb_picture_get_bytes(picture) + 32 * 4;
    ck_assert_int_le(pixel[0], 4);
    ck_assert_int_le(pixel[1], 4);
    ck_assert_int_ge(pixel[2], 251);
    ck_assert_int_eq(pixel[3], 255);
    rb_picture_unref(picture);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__pictures_outlive_the_reel)
{
    g_autofree char *path = film_write_plain("a.mp4", 10);
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY };
    g_autoptr(RbPicture) picture = reel_must_get(reel, 4, &options);
    reel_must_close(reel);
    ck_assert_int_eq(frame_code_of(picture), 4);
}
END_TEST

START_TEST(test_reel__held_pictures_are_not_written_over)
{
    g_autofree char *path = film_write_plain("a.mp4", 40);
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY };
    RbPicture *held[RB_REEL_SLOTS - 1];
    for (int i = 0; i < RB_REEL_SLOTS - 1; i++) {
        held[i] = reel_must_get(reel, i * 3, &options);
    }
    for (int i = 0; i < 20; i++) {
        ck_assert_int_eq(reel_code(reel, i), i);
    }
    for (int i = 0; i < RB_REEL_SLOTS - 1; i++) {
        ck_assert_int_eq(frame_code_of(held[i]), i * 3);
    }
    /* With every slot held a request waits until one comes back. */
    RbPicture *last = reel_must_get(reel, 39, &options);
    rb_reel_request_frame(reel, 38, &options);
    g_autoptr(GError) error = NULL;
    RbReelEvent event;
    ck_assert(!rb_reel_wait(reel, &event, NULL, 100, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_TIMEOUT));
    rb_picture_unref(held[0]);
    event = wait_for(reel, RB_REEL_FRAME);
    ck_assert_int_eq(frame_code_of(event.picture), 38);
    rb_reel_event_clear(&event);
    for (int i = 1; i < RB_REEL_SLOTS - 1; i++) {
        rb_picture_unref(held[i]);
    }
    rb_picture_unref(last);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__size_change_in_mid_film)
{
    g_autofree char *small = film_encode("1.ts", 30, "-c:v", "libx264", "-g", "15", NULL);
    g_autofree char *large = film_encode("2.ts", 30, "-s", "320x192", "-c:v", "libx264",
                                         "-g", "15", "-output_ts_offset", "1", NULL);
    g_autofree char *path = rb_test_path("both.ts");
    char *bytes[2];
    size_t n[2];
    ck_assert(g_file_get_contents(small, &bytes[0], &n[0], NULL));
    ck_assert(g_file_get_contents(large, &bytes[1], &n[1], NULL));
    g_autoptr(GString) both = g_string_new_len(bytes[0], (gssize)n[0]);
    g_string_append_len(both, bytes[1], (gssize)n[1]);
    ck_assert(g_file_set_contents(path, both->str, (gssize)both->len, NULL));
    g_free(bytes[0]);
    g_free(bytes[1]);
    RbReel *reel = reel_must_open(path);
    ck_assert_int_eq(rb_reel_get_frame_count(reel), 60);
    const int rows[] = { 0, 59, 10, 35, 29, 30 };
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        RbPicture *picture = reel_must_get(reel, rows[i], NULL);
        ck_assert_int_eq(rb_picture_get_width(picture), rows[i] < 30 ? 160 : 320);
        ck_assert_int_eq(frame_code_of(picture), rows[i] % 30);
        rb_picture_unref(picture);
    }
    reel_must_close(reel);
}
END_TEST

/* A film of `frames` as a transport stream with garbage in its middle. */
static char *damaged_film(int frames)
{
    g_autofree char *plain = film_write_plain("plain.mp4", frames);
    char *path = rb_test_path("damaged.ts");
    ck_assert(
        run_program("ffmpeg", "-v", "error", "-i", plain, "-c", "copy", path, NULL));
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(path, &bytes, &n, NULL));
    memset(bytes + n / 2, 0x5a, 1000);
    ck_assert(g_file_set_contents(path, bytes, (gssize)n, NULL));
    return path;
}

static int count_doubtful(RbReel *reel, int64_t from, int64_t to)
{
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    int doubtful = 0;
    for (int64_t i = from; i < to; i++) {
        g_autoptr(RbPicture) picture = reel_must_get(reel, i, &gray);
        const bool marked = rb_picture_is_doubtful(picture);
        doubtful += marked;
        ck_assert_msg(marked || frame_code_of(picture) == i, "frame %d shows %d", (int)i,
                      frame_code_of(picture));
    }
    return doubtful;
}

START_TEST(test_reel__damage_in_a_long_film_is_marked_and_keeps_numbers)
{
    g_autofree char *path = damaged_film(3200);
    RbReel *reel = reel_must_open(path);
    const int64_t n = rb_reel_get_frame_count(reel);
    ck_assert_int_ge(n, 3198); /* a picture may be lost whole, with its number */
    ck_assert_int_le(n, 3200);
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    ck_assert_uint_ge(facts->doubts->len, 1);
    ck_assert_int_eq(count_doubtful(reel, 0, 60), 0);
    if (n == 3200) {
        ck_assert_int_eq(count_doubtful(reel, 3140, 3200), 0);
    }
    const int around = n == 3200 ? count_doubtful(reel, 1500, 1700) : 1;
    ck_assert_int_ge(around, 1);
    ck_assert_int_le(around, 40); /* a group of 15 and what leans on it */
    reel_must_close(reel);
}
END_TEST

START_TEST(test_reel__damage_in_a_short_film_is_marked)
{
    g_autofree char *path = damaged_film(90);
    RbReel *reel = reel_must_open(path);
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    ck_assert_uint_ge(facts->doubts->len, 1);
    ck_assert_int_eq(count_doubtful(reel, 0, 25), 0);
    reel_must_close(reel);
}
END_TEST

enum { DAMAGED_FRAMES = 120, DAMAGED_FIRST = 56, DAMAGED_LAST = 91 };

/* The pictures of a group and some around it, as sums of their pixels. */
static void sum_pictures(const char *path, uint32_t *sums, bool *marked)
{
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    RbReel *reel = reel_must_open(path);
    ck_assert_int_eq(rb_reel_get_frame_count(reel), DAMAGED_FRAMES);
    for (int i = DAMAGED_FIRST; i <= DAMAGED_LAST; i++) {
        g_autoptr(RbPicture) picture = reel_must_get(reel, i, &gray);
        const size_t bytes =
            rb_picture_get_stride(picture) * (size_t)rb_picture_get_height(picture);
        sums[i] = 0;
        for (size_t k = 0; k < bytes; k++) {
            sums[i] = sums[i] * 31 + rb_picture_get_bytes(picture)[k];
        }
        marked[i] = rb_picture_is_doubtful(picture);
    }
    reel_must_close(reel);
}

/* One bit of a film that several threads decode, in a picture that others are shown before: the
 * decoder conceals what it cannot read. Not all damage can be told: a slice may go on making
 * sense to its end. */
START_TEST(test_reel__concealed_damage_is_marked)
{
    g_autofree char *whole = rb_test_path("whole.mp4");
    g_autofree char *path = rb_test_path("damaged.mp4");
    ck_assert(run_program("ffmpeg", "-v", "error", "-f", "lavfi", "-i",
                          "mandelbrot=s=1280x720:r=30:end_pts=200", "-frames:v", "120",
                          "-pix_fmt", "yuv420p", "-c:v", "libx264", "-threads", "1",
                          "-preset", "veryfast", "-b:v", "3M", "-g", "30", "-bf", "3",
                          whole, NULL));
    uint32_t right[DAMAGED_FRAMES];
    uint32_t seen[DAMAGED_FRAMES];
    bool marked[DAMAGED_FRAMES];
    sum_pictures(whole, right, marked);
    g_autofree char *bytes = NULL;
    size_t n = 0;
    ck_assert(g_file_get_contents(whole, &bytes, &n, NULL));
    bytes[n * 574 / 1000] ^= 0x08;
    ck_assert(g_file_set_contents(path, bytes, (gssize)n, NULL));
    sum_pictures(path, seen, marked);
    int wrong = 0;
    int unmarked = 0;
    for (int i = DAMAGED_FIRST; i <= DAMAGED_LAST; i++) {
        wrong += seen[i] != right[i];
        unmarked += seen[i] != right[i] && !marked[i];
    }
    ck_assert_int_ge(wrong, 1);
    ck_assert_msg(unmarked * 10 <= wrong, "%d of %d wrong pictures are not marked",
                  unmarked, wrong);
}
END_TEST

START_TEST(test_reel__cancel_and_timeout_of_waiting)
{
    g_autofree char *path = film_write_plain("a.mp4", 10);
    RbReel *reel = reel_must_open(path);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    rb_cancel_cancel(cancel);
    g_autoptr(GError) error = NULL;
    RbReelEvent event;
    ck_assert(!rb_reel_wait(reel, &event, cancel, 0, &error));
    ck_assert(rb_error_is_cancelled(error));
    g_clear_error(&error);
    ck_assert(!rb_reel_wait(reel, &event, NULL, 100, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_TIMEOUT));
    reel_must_close(reel);
}
END_TEST

/* A narrow film is decoded by one thread, a wide one by several. Returns: (transfer full): the
 * path. */
static char *write_of_width(int width, int gop, int frames, bool open_gop)
{
    const RbWriterOptions options = { .width = width,
                                      .height = width * 9 / 16 / 2 * 2,
                                      .rate = { 30, 1 },
                                      .gop = gop,
                                      .b_frames = 3,
                                      .open_gop = open_gop };
    g_autofree char *name = g_strdup_printf("%d.mp4", width);
    return film_write(name, &options, frames);
}

/* The last frames are those that the decoder still has when nothing is left to read: it gives them
 * without beginning their group again for each. */
START_TEST(test_reel__in_order_nothing_is_decoded_twice)
{
    enum { FRAMES = 60 };
    static const int widths[] = { 160, 1280 };
    for (size_t i = 0; i < G_N_ELEMENTS(widths); i++) {
        g_autofree char *path = write_of_width(widths[i], 30, FRAMES, false);
        RbReel *reel = reel_must_open(path);
        for (int frame = 0; frame < FRAMES; frame++) {
            ck_assert_int_eq(reel_code(reel, frame), frame);
        }
        RbReelStatus status;
        rb_reel_get_status(reel, &status);
        /* The first is sought as one that nothing follows. */
        ck_assert_int_le(status.decoded, FRAMES + 1);
        ck_assert_int_le(status.landings, 2);
        reel_must_close(reel);
    }
}
END_TEST

/* Each frame from one key: also those that libav decodes before it has shown that key. */
START_TEST(test_reel__in_open_groups_every_frame_is_sought_once)
{
    enum { FRAMES = 90 };
    static const RbFrameOptions alone = { .pixels = RB_PIXELS_GRAY,
                                          .as_coded = true,
                                          .alone = true };
    static const int widths[] = { 320, 1280 };
    for (size_t i = 0; i < G_N_ELEMENTS(widths); i++) {
        g_autofree char *path = write_of_width(widths[i], 15, FRAMES, true);
        RbReel *reel = reel_must_open(path);
        rb_reel_keep(reel, &(RbReelKeep){ .last = -1, .budget = 1 << 21 });
        g_autofree int *order = shuffled(FRAMES, rb_test_seed(5));
        for (int k = 0; k < FRAMES; k++) {
            g_autoptr(RbPicture) picture = reel_must_get(reel, order[k], &alone);
            ck_assert_int_eq(frame_code_of(picture), order[k]);
            ck_assert(!rb_picture_is_doubtful(picture));
        }
        RbReelStatus status;
        rb_reel_get_status(reel, &status);
        /* 15 packets a group, half of them left out, and up to 6 of another order. */
        ck_assert_int_le(status.decoded, FRAMES * 8);
        ck_assert_int_eq(status.retries, 0);
        reel_must_close(reel);
    }
}
END_TEST

/* A frame from which others are decoded is stored before them, though shown later. -1: none. */
static int find_stored_before(RbReel *reel, int from, int to)
{
    int found = -1;
    rb_mutex_lock(&reel->lock);
    for (int i = from + 1; i < to && found < 0; i++) {
        const RbIndexFrame *frame = &reel->index->frames[i];
        found = frame->packet < (frame - 1)->packet ? i : -1;
    }
    rb_mutex_unlock(&reel->lock);
    return found;
}

/* Decoded on the way to another, it is not decoded again. */
START_TEST(test_reel__what_was_decoded_alone_is_held)
{
    enum { FRAMES = 90, GROUP = 30 };
    static const RbFrameOptions alone = { .pixels = RB_PIXELS_GRAY,
                                          .as_coded = true,
                                          .alone = true };
    static const int widths[] = { 320, 1280 };
    for (size_t i = 0; i < G_N_ELEMENTS(widths); i++) {
        g_autofree char *path = write_of_width(widths[i], GROUP, FRAMES, false);
        RbReel *reel = reel_must_open(path);
        const int later = find_stored_before(reel, GROUP + GROUP / 2, 2 * GROUP);
        ck_assert_int_gt(later, 0);
        RbReelStatus before = { 0 };
        RbReelStatus after = { 0 };
        for (int frame = later - 1; frame <= later; frame++) {
            rb_reel_get_status(reel, &before);
            g_autoptr(RbPicture) picture = reel_must_get(reel, frame, &alone);
            ck_assert_int_eq(frame_code_of(picture), frame);
            ck_assert(!rb_picture_is_doubtful(picture));
            rb_reel_get_status(reel, &after);
        }
        ck_assert_int_gt(before.decoded, 0);
        ck_assert_int_eq(after.decoded, before.decoded);
        reel_must_close(reel);
    }
}
END_TEST

/* Decoding ahead goes on beside the answers: neither may disturb the other. */
START_TEST(test_reel__frames_are_right_while_others_are_decoded_ahead)
{
    enum { FRAMES = 240, ASKED = 150 };
    static const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    g_autofree char *path = film_write_plain("a.mp4", FRAMES);
    RbReel *reel = reel_must_open(path);
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(17));
    for (int i = 0; i < ASKED; i++) {
        const int near = rb_random_int(&random, 0, FRAMES - 1);
        rb_reel_keep(reel, &(RbReelKeep){ .near = near,
                                          .first = MAX(near - 60, 0),
                                          .last = MIN(near + 60, FRAMES - 1),
                                          .budget = 1 << rb_random_int(&random, 18, 24),
                                          .direction = rb_random_int(&random, -1, 1) });
        for (int k = rb_random_int(&random, 1, 4); k > 0; k--) {
            const int wish = near + rb_random_int(&random, -20, 20);
            const int frame = CLAMP(wish, 0, FRAMES - 1);
            g_autoptr(RbPicture) picture = reel_must_get(reel, frame, &gray);
            ck_assert_int_eq(frame_code_of(picture), frame);
            ck_assert(!rb_picture_is_doubtful(picture));
        }
    }
    RbReelStatus status;
    rb_reel_get_status(reel, &status);
    ck_assert_int_eq(status.helper_deaths, 0);
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_reel(void)
{
    TCase *tcase = rb_case_new("reel");
    tcase_add_test(tcase, test_reel__opened_comes_before_ready);
    tcase_add_test(tcase, test_reel__wakes_for_news_and_never_after_close);
    tcase_add_test(tcase, test_reel__facts_of_a_film);
    tcase_add_test(tcase, test_reel__sound_is_noticed);
    tcase_add_test(tcase, test_reel__times_and_lookups);
    tcase_add_test(tcase, test_reel__nothing_is_known_before_it_is_ready);
    tcase_add_test(tcase, test_reel__frame_asked_at_once_comes_when_it_can);
    tcase_add_test(tcase, test_reel__latest_request_wins);
    tcase_add_test(tcase, test_reel__no_such_frame_is_a_sentence);
    tcase_add_test(tcase, test_reel__made_smaller_keeps_shape);
    tcase_add_test(tcase, test_reel__turned_upright_once);
    tcase_add_test(tcase, test_reel__colours_by_matrix_and_range);
    tcase_add_test(tcase, test_reel__pictures_outlive_the_reel);
    tcase_add_test(tcase, test_reel__held_pictures_are_not_written_over);
    tcase_add_test(tcase, test_reel__size_change_in_mid_film);
    tcase_add_test(tcase, test_reel__damage_in_a_long_film_is_marked_and_keeps_numbers);
    tcase_add_test(tcase, test_reel__damage_in_a_short_film_is_marked);
    tcase_add_test(tcase, test_reel__concealed_damage_is_marked);
    tcase_add_test(tcase, test_reel__cancel_and_timeout_of_waiting);
    tcase_add_test(tcase, test_reel__in_order_nothing_is_decoded_twice);
    tcase_add_test(tcase, test_reel__in_open_groups_every_frame_is_sought_once);
    tcase_add_test(tcase, test_reel__what_was_decoded_alone_is_held);
    tcase_add_test(tcase, test_reel__frames_are_right_while_others_are_decoded_ahead);
    return tcase;
}
