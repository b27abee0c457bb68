/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "film/growth.h"
#include "film/index-cache.h"
#include "films.h"
#include "frame-code.h"
#include "kinds.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_grow(void);

/* Films that are used before they are whole: a recording that goes on while it is open, and a
 * long film whose index is being made. */

#define X264_B "-c:v libx264 -preset veryfast -bf 2 -g 15 -x264-params scenecut=0 "

typedef struct {
    char *bytes; /* owned */
    gsize n;
    char *path; /* owned: of the recording */
    FILE *file;
    gsize written;
} Recording;

/* A film that is written piece by piece under another name. */
static Recording record(const char *name)
{
    g_autofree char *whole_name = g_strconcat("whole-", name, NULL);
    /* An MP4 can only be read before its end when it is written in fragments. */
    const char *how = g_str_has_suffix(name, ".mp4") ? X264_B
                          "-movflags frag_keyframe+empty_moov+default_base_moof"
                                                     : X264_B;
    g_autofree char *whole = kind_make_part(whole_name, 160, 96, 0, KIND_FRAMES, how);
    Recording r = { .path = rb_test_path(name) };
    ck_assert(g_file_get_contents(whole, &r.bytes, &r.n, NULL));
    r.file = fopen(r.path, "wb");
    ck_assert_ptr_nonnull(r.file);
    return r;
}

static void write_up_to(Recording *r, double share)
{
    const gsize to = (gsize)((double)r->n * share);
    ck_assert_uint_eq(fwrite(r->bytes + r->written, 1, to - r->written, r->file),
                      to - r->written);
    ck_assert_int_eq(fflush(r->file), 0);
    r->written = to;
}

static void end_recording(Recording *r)
{
    fclose(r->file);
    g_free(r->bytes);
    g_free(r->path);
}

/* Every frame is what it should be, or is marked. Returns how many are right and unmarked. */
static int check_all(RbReel *reel)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    int good = 0;
    for (int64_t i = 0; i < rb_reel_get_frame_count(reel); i++) {
        g_autoptr(RbPicture) picture = reel_must_get(reel, i, &options);
        if (!rb_picture_is_doubtful(picture)) {
            ck_assert_int_eq(frame_code_of(picture), i);
            good++;
        }
    }
    return good;
}

static bool wait_for_growth(RbReel *reel, int64_t before)
{
    const int64_t until = g_get_monotonic_time() + 20000000;
    while (rb_reel_get_frame_count(reel) <= before && g_get_monotonic_time() < until) {
        g_usleep(5000);
    }
    return rb_reel_get_frame_count(reel) > before;
}

/* Until nothing was written for so long that the recording counts as ended. */
static void wait_for_the_end(RbReel *reel)
{
    rb_growth_set_ms(20, 20);
    for (int i = 0; i < 2000 && rb_reel_get_frame_count(reel) < KIND_FRAMES; i++) {
        g_usleep(10000);
    }
    ck_assert_int_eq(rb_reel_get_frame_count(reel), KIND_FRAMES);
    g_usleep(50000);
}

static const char *const growing[] = { "rec.ts", "rec.mkv", "rec.flv", "rec.h264",
                                       "rec.mp4" };

START_TEST(test_grow__new_frames_of_a_recording_appear)
{
    rb_growth_set_ms(30, 20000);
    Recording r = record(growing[_i]);
    write_up_to(&r, 0.5);
    RbReel *reel = reel_must_open(r.path);
    int good = check_all(reel);
    ck_assert_int_ge(good, 15);
    for (int step = 1; step <= 3; step++) {
        const int64_t before = rb_reel_get_frame_count(reel);
        write_up_to(&r, step == 3 ? 1.0 : 0.5 + 0.17 * step);
        ck_assert_msg(wait_for_growth(reel, before), "%s: %d", growing[_i], (int)before);
        const int now = check_all(reel);
        ck_assert_int_gt(now, good);
        good = now;
    }
    wait_for_the_end(reel);
    ck_assert_int_eq(rb_reel_get_frame_count(reel), KIND_FRAMES);
    ck_assert_int_eq(check_all(reel), KIND_FRAMES);
    RbReelStatus status;
    rb_reel_get_status(reel, &status);
    ck_assert_int_eq(status.helper_deaths, 0);
    reel_must_close(reel);
    end_recording(&r);
}
END_TEST

START_TEST(test_grow__a_film_just_written_is_whole_after_a_while)
{
    rb_growth_set_ms(20, 60000);
    Recording r = record("rec.ts");
    write_up_to(&r, 1.0);
    RbReel *reel = reel_must_open(r.path);
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    const int64_t n = rb_reel_get_frame_count(reel);
    ck_assert_int_gt(n, KIND_FRAMES - 8);
    for (int64_t i = 0; i < n; i++) {
        g_autoptr(RbPicture) picture = reel_must_get(reel, i, &options);
        ck_assert(i > KIND_FRAMES - 5 || !rb_picture_is_doubtful(picture));
        ck_assert_int_eq(frame_code_of(picture), i);
    }
    wait_for_the_end(reel);
    ck_assert_int_eq(check_all(reel), KIND_FRAMES);
    reel_must_close(reel);
    end_recording(&r);
}
END_TEST

/* Events until the index is whole; how many frames were told before, and whether one of them
 * came. */
static void follow_indexing(RbReel *reel, int64_t *told, bool *came)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    for (bool ready = false; !ready;) {
        RbReelEvent event;
        ck_assert(rb_reel_wait(reel, &event, NULL, 60000, NULL));
        ready = event.kind == RB_REEL_READY;
        if (event.kind == RB_REEL_GREW) {
            ck_assert_int_gt(rb_reel_get_frames_so_far(reel), *told);
            *told = rb_reel_get_frames_so_far(reel);
            ck_assert_int_eq(rb_reel_get_frame_count(reel), -1);
            ck_assert_int_ge(rb_reel_get_frame_us(reel, *told - 1), 0);
            rb_reel_request_frame(reel, *told / 2, &options);
        }
        if (event.kind == RB_REEL_FRAME) {
            ck_assert_int_eq(frame_code_of(event.picture),
                             rb_picture_get_ordinal(event.picture) % KIND_FRAMES);
            *came = *came || rb_picture_is_approximate(event.picture);
        }
        rb_reel_event_clear(&event);
    }
}

START_TEST(test_grow__the_first_part_can_be_used_while_the_rest_is_indexed)
{
    /* The same film many times, without decoding it again: only reading takes long. */
    g_autofree char *once =
        kind_make_part("once.mp4", 160, 96, 0, KIND_FRAMES, X264_B "-bf 0");
    g_autofree char *path = rb_test_path("long.ts");
    kind_run("-stream_loop 9000", once, "-c copy -muxdelay 0", path);
    RbReel *reel = rb_reel_open(path, NULL, NULL);
    int64_t told = 0;
    bool came = false;
    follow_indexing(reel, &told, &came);
    const int64_t n = rb_reel_get_frame_count(reel);
    ck_assert_int_eq(n, 9001 * KIND_FRAMES);
    ck_assert_int_gt(told, 0);
    ck_assert_int_lt(told, n);
    ck_assert(came);
    ck_assert_int_eq(rb_reel_get_frames_so_far(reel), n);
    const RbFrameOptions options = { .pixels = RB_PIXELS_GRAY, .as_coded = true };
    for (int64_t i = 7; i < n; i += n / 13) {
        g_autoptr(RbPicture) picture = reel_must_get(reel, i, &options);
        ck_assert_int_eq(frame_code_of(picture), i % KIND_FRAMES);
        ck_assert(!rb_picture_is_approximate(picture));
    }
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_grow(void)
{
    TCase *tcase = rb_case_new("grow");
    tcase_set_timeout(tcase, 240); /* a long film is made first */
    tcase_set_tags(tcase, "shown");
    tcase_add_loop_test(tcase, test_grow__new_frames_of_a_recording_appear, 0,
                        (int)G_N_ELEMENTS(growing));
    tcase_add_test(tcase, test_grow__a_film_just_written_is_whole_after_a_while);
    tcase_add_test(tcase,
                   test_grow__the_first_part_can_be_used_while_the_rest_is_indexed);
    return tcase;
}
