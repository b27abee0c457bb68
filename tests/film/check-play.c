/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/base/random.h"
#include "rb/base/thread.h"

#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_play(void);

typedef struct {
    int frames;
    int64_t first;
    int64_t last;
    int64_t dropped;
    int64_t us; /* from the first picture to the end */
} Played;

/* Plays to the end or for `limit` frames (0: no limit); checks that frames come in order. */
static Played play(RbReel *reel, int64_t from, int limit)
{
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    const uint64_t serial = rb_reel_play(reel, from, &gray);
    Played played = { .first = -1, .last = -1 };
    int64_t start = 0;
    for (bool stopped = false; !stopped;) {
        RbReelEvent event;
        ck_assert(rb_reel_wait(reel, &event, NULL, 20000, NULL));
        ck_assert_msg(event.kind != RB_REEL_ERROR, "error while playing");
        stopped = event.kind == RB_REEL_STOPPED;
        if (stopped) {
            played.dropped = event.dropped;
        }
        if (event.kind == RB_REEL_FRAME) {
            ck_assert_uint_eq(event.serial, serial);
            const int64_t ordinal = rb_picture_get_ordinal(event.picture);
            ck_assert_int_eq(frame_code_of(event.picture), ordinal);
            ck_assert_int_gt(ordinal, played.last);
            if (played.frames++ == 0) {
                played.first = ordinal;
                start = g_get_monotonic_time();
            }
            played.last = ordinal;
            if (played.frames == limit) {
                rb_reel_pause(reel);
            }
        }
        rb_reel_event_clear(&event);
    }
    played.us = g_get_monotonic_time() - start;
    return played;
}

START_TEST(test_play__runs_at_the_films_own_speed_to_the_end)
{
    g_autofree char *path = film_write_plain("a.mp4", 45); /* 1.5 s */
    RbReel *reel = reel_must_open(path);
    const Played played = play(reel, 0, 0);
    ck_assert_int_eq(played.first, 0);
    ck_assert_int_eq(played.last, 44);
    ck_assert_int_eq(played.frames + played.dropped, 45);
    /* Never early: the last frame stays its whole time. A busy machine may end late. */
    ck_assert_int_ge(played.us, 1480000);
    ck_assert_int_lt(played.us, 4000000);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_play__starts_anywhere_and_follows_uneven_times)
{
    /* Twenty frames, 0.4 s of nothing, twenty frames. */
    g_autofree char *path =
        film_encode("a.mkv", 40, "-vf", "settb=1/1000,setpts=N*20+floor(N/20)*400",
                    "-vsync", "passthrough", "-c:v", "libx264", "-g", "10", NULL);
    RbReel *reel = reel_must_open(path);
    const Played played = play(reel, 15, 0);
    ck_assert_int_eq(played.first, 15);
    ck_assert_int_eq(played.last, 39);
    ck_assert_int_ge(played.us, 880000); /* 5 + 20 frames of 20 ms, and the hole */
    ck_assert_int_lt(played.us, 3000000);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_play__pause_stops_on_the_frame_shown)
{
    g_autofree char *path = film_write_plain("a.mp4", 90);
    RbReel *reel = reel_must_open(path);
    const Played played = play(reel, 10, 5);
    ck_assert_int_ge(played.last, 14);
    ck_assert_int_lt(played.last, 40);
    RbReelEvent event;
    g_usleep(100000);
    ck_assert_int_eq(rb_reel_poll(reel, &event), RB_REEL_NOTHING);
    ck_assert_int_eq(reel_code(reel, played.last + 1), played.last + 1);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_play__a_request_ends_it)
{
    g_autofree char *path = film_write_plain("a.mp4", 90);
    RbReel *reel = reel_must_open(path);
    rb_reel_play(reel, 0, NULL);
    g_usleep(100000);
    ck_assert_int_eq(reel_code(reel, 70), 70);
    RbReelEvent event;
    g_usleep(100000);
    ck_assert_int_eq(rb_reel_poll(reel, &event), RB_REEL_NOTHING);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_play__frames_nobody_fetches_are_dropped_and_counted)
{
    g_autofree char *path = film_write_plain("a.mp4", 45);
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    RbReelEvent event;
    rb_reel_play(reel, 0, &gray);
    while (rb_reel_poll(reel, &event) != RB_REEL_FRAME) { /* the helper is at work */
        g_usleep(1000);
    }
    const int64_t first = rb_picture_get_ordinal(event.picture);
    rb_reel_event_clear(&event);
    g_usleep(1000000); /* the window was busy: two thirds of the film went by */
    ck_assert_int_eq(rb_reel_poll(reel, &event), RB_REEL_FRAME);
    ck_assert_int_gt(rb_picture_get_ordinal(event.picture), first + 15);
    ck_assert_int_gt(event.dropped, 10);
    ck_assert_int_eq(event.dropped,
                     rb_picture_get_ordinal(event.picture) - 1); /* one was shown */
    rb_reel_event_clear(&event);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_play__late_start_and_wild_numbers_are_clamped)
{
    g_autofree char *path = film_write_plain("a.mp4", 20);
    RbReel *reel = reel_must_open(path);
    Played played = play(reel, INT64_MAX, 0);
    ck_assert_int_eq(played.first, 19);
    ck_assert_int_eq(played.frames, 1);
    played = play(reel, -7, 3);
    ck_assert_int_eq(played.first, 0);
    reel_must_close(reel);
}
END_TEST

typedef struct {
    RbReel *reel;
    RbMutex lock;
    bool done;
} Poller;

/* The window's side: fetches whatever there is until told to stop. */
static void *poll_events(void *data)
{
    Poller *poller = data;
    for (bool done = false; !done;) {
        RbReelEvent event;
        while (rb_reel_poll(poller->reel, &event) != RB_REEL_NOTHING) {
            if (event.picture != NULL) {
                ck_assert_int_ge(frame_code_of(event.picture), 0);
            }
            rb_reel_event_clear(&event);
        }
        g_usleep(500);
        rb_mutex_lock(&poller->lock);
        done = poller->done;
        rb_mutex_unlock(&poller->lock);
    }
    return NULL;
}

START_TEST(test_play__any_order_of_commands_from_two_threads)
{
    g_autofree char *path = film_write_plain("a.mp4", 60);
    Poller poller = { .reel = rb_reel_open(path, NULL, NULL) };
    rb_mutex_init(&poller.lock);
    const RbThread thread = rb_thread_start("poller", poll_events, &poller);
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(17));
    for (int i = 0; i < 500; i++) {
        const RbFrameOptions options = { .pixels = (RbPixels)rb_random_int(&random, 0, 1),
                                         .max_width =
                                             rb_random_chance(&random, 0.3) ? 80 : 0 };
        const int frame = rb_random_int(&random, -1, 60);
        switch (rb_random_int(&random, 0, 4)) {
        case 0:
        case 1:
            rb_reel_request_frame(poller.reel, frame, &options);
            break;
        case 2:
            rb_reel_play(poller.reel, frame, &options);
            break;
        case 3:
            rb_reel_pause(poller.reel);
            break;
        default:
            rb_reel_find_frame_at(poller.reel, frame * 1000);
            rb_film_facts_free(rb_reel_dup_facts(poller.reel));
            break;
        }
        g_usleep((gulong)rb_random_int(&random, 0, 3000));
    }
    rb_mutex_lock(&poller.lock);
    poller.done = true;
    rb_mutex_unlock(&poller.lock);
    rb_thread_join(thread);
    rb_mutex_clear(&poller.lock);
    ck_assert_int_eq(reel_code(poller.reel, 33), 33);
    RbReelStatus status;
    rb_reel_get_status(poller.reel, &status);
    ck_assert_int_eq(status.helper_deaths, 0);
    reel_must_close(poller.reel);
}
END_TEST

TCase *rb_case_play(void)
{
    TCase *tcase = rb_case_new("play");
    tcase_add_test(tcase, test_play__runs_at_the_films_own_speed_to_the_end);
    tcase_add_test(tcase, test_play__starts_anywhere_and_follows_uneven_times);
    tcase_add_test(tcase, test_play__pause_stops_on_the_frame_shown);
    tcase_add_test(tcase, test_play__a_request_ends_it);
    tcase_add_test(tcase, test_play__frames_nobody_fetches_are_dropped_and_counted);
    tcase_add_test(tcase, test_play__late_start_and_wild_numbers_are_clamped);
    tcase_add_test(tcase, test_play__any_order_of_commands_from_two_threads);
    return tcase;
}
