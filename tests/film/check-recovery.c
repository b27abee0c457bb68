/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <signal.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/film/error.h"

#include "film/watchdog.h"
#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_recovery(void);

static pid_t helper_of(RbReel *reel)
{
    RbReelStatus status;
    rb_reel_get_status(reel, &status);
    ck_assert_int_gt(status.helper_pid, 0);
    return (pid_t)status.helper_pid;
}

static int64_t deaths_of(RbReel *reel)
{
    RbReelStatus status;
    rb_reel_get_status(reel, &status);
    return status.helper_deaths;
}

/* Events up to the answer of `serial`; counts the errors before it. */
static int frame_after_errors(RbReel *reel, uint64_t serial, int *code)
{
    int errors = 0;
    for (;;) {
        RbReelEvent event;
        GError *error = NULL;
        rb_reel_wait(reel, &event, NULL, 20000, &error);
        rb_assert_no_error(error);
        if (event.kind == RB_REEL_ERROR) {
            ck_assert(g_error_matches(event.error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER));
            ck_assert(!event.final);
            ck_assert_ptr_nonnull(strstr(event.error->message, "a.mp4"));
            errors++;
        }
        if (event.kind == RB_REEL_FRAME && event.serial == serial) {
            *code = frame_code_of(event.picture);
            rb_reel_event_clear(&event);
            return errors;
        }
        rb_reel_event_clear(&event);
    }
}

START_TEST(test_recovery__killed_helper_costs_one_error)
{
    g_autofree char *path = film_write_plain("a.mp4", 60);
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    ck_assert_int_eq(reel_code(reel, 33), 33);
    for (int round = 1; round <= 3; round++) {
        ck_assert_int_eq(kill(helper_of(reel), SIGKILL), 0);
        const uint64_t serial = rb_reel_request_frame(reel, 40 + round, &gray);
        int code = -1;
        ck_assert_int_eq(frame_after_errors(reel, serial, &code), 1);
        ck_assert_int_eq(code, 40 + round);
        ck_assert_int_eq(deaths_of(reel), round);
    }
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__hung_helper_is_ended)
{
    rb_watchdog_set_ms(1500);
    g_autofree char *path = film_write_plain("a.mp4", 60);
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    ck_assert_int_eq(kill(helper_of(reel), SIGSTOP), 0);
    const uint64_t serial = rb_reel_request_frame(reel, 21, &gray);
    int code = -1;
    ck_assert_int_eq(frame_after_errors(reel, serial, &code), 1);
    ck_assert_int_eq(code, 21);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__closing_does_not_wait_for_a_hung_helper)
{
    g_autofree char *path = film_write_plain("a.mp4", 10);
    RbReel *reel = reel_must_open(path);
    ck_assert_int_eq(kill(helper_of(reel), SIGSTOP), 0);
    rb_reel_request_frame(reel, 5, NULL);
    const int64_t start = g_get_monotonic_time();
    rb_reel_close(reel);
    ck_assert_int_lt(g_get_monotonic_time() - start, 200000);
    ck_assert(rb_reel_wait_all_closed(5000));
}
END_TEST

/* Stands in for a helper with a fault of its own. */
static void use_helper(const char *script)
{
    g_autofree char *path = rb_test_path("helper.sh");
    g_autofree char *text = g_strconcat("#!/bin/sh\n", script, "\n", NULL);
    ck_assert(g_file_set_contents(path, text, -1, NULL));
    ck_assert_int_eq(g_chmod(path, 0755), 0);
    g_setenv("READBREAK_DECODE", path, true);
}

START_TEST(test_recovery__three_deaths_end_the_film)
{
    g_autofree char *path = film_write_plain("a.mp4", 10);
    use_helper("exit 1");
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_reel_open_wait(path, NULL, 20000, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER));
    ck_assert_ptr_nonnull(strstr(error->message, "3 times"));
    ck_assert(rb_reel_wait_all_closed(5000));
}
END_TEST

/* One that could run but has not is given more time; this one has had its time. */
START_TEST(test_recovery__helper_that_turns_in_a_circle_is_ended)
{
    rb_watchdog_set_ms(200);
    g_autofree char *path = film_write_plain("a.mp4", 10);
    use_helper("while :; do :; done");
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_reel_open_wait(path, NULL, 20000, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER));
    ck_assert(rb_reel_wait_all_closed(5000));
}
END_TEST

START_TEST(test_recovery__helper_that_breaks_the_rules_is_ended)
{
    g_autofree char *path = film_write_plain("a.mp4", 10);
    use_helper("printf 'nonsense that is no message at all' >&3; sleep 5");
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_reel_open_wait(path, NULL, 20000, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER));
    ck_assert(rb_reel_wait_all_closed(5000));
}
END_TEST

static RbReel *evil_reel(const char *mode)
{
    g_autofree char *path = rb_test_path("a.mp4");
    ck_assert(g_file_set_contents(path, "any bytes will do", -1, NULL));
    g_setenv("READBREAK_DECODE", g_getenv("RB_TEST_EVIL_HELPER"), true);
    g_setenv("RB_EVIL", mode, true);
    return rb_reel_open(path, NULL, NULL);
}

/* Every pixel of the false helper's frames is the frame's number. */
static void evil_frame_is_right(RbReel *reel, int64_t ordinal)
{
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    g_autoptr(RbPicture) picture = reel_must_get(reel, ordinal, &gray);
    ck_assert_int_eq(rb_picture_get_bytes(picture)[33], (int)ordinal);
}

/* A frame that kills or hangs every helper is given up after three; the rest stays usable. */
static void frame_30_is_given_up(RbReel *reel)
{
    evil_frame_is_right(reel, 29);
    g_autoptr(GError) error = NULL;
    ck_assert_ptr_null(rb_reel_wait_frame(reel, 30, NULL, NULL, 20000, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_DAMAGED));
    ck_assert_ptr_nonnull(strstr(error->message, "Frame 30 of \"a.mp4\""));
    ck_assert_int_eq(deaths_of(reel), 3);
    evil_frame_is_right(reel, 31);
    g_clear_error(&error);
    ck_assert_ptr_null(rb_reel_wait_frame(reel, 30, NULL, NULL, 20000, &error));
    ck_assert_int_eq(deaths_of(reel), 3);
}

START_TEST(test_recovery__three_deaths_on_one_frame_leave_the_others)
{
    RbReel *reel = evil_reel("die-on-30");
    ck_assert(rb_reel_wait_ready(reel, NULL, 20000, NULL, NULL));
    frame_30_is_given_up(reel);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__three_hangs_on_one_frame_leave_the_others)
{
    rb_watchdog_set_ms(400);
    RbReel *reel = evil_reel("hang-on-30");
    ck_assert(rb_reel_wait_ready(reel, NULL, 20000, NULL, NULL));
    frame_30_is_given_up(reel);
    reel_must_close(reel);
}
END_TEST

static const char *const frame_lies[] = { "frame-slot",  "frame-ordinal", "frame-stride",
                                          "frame-bytes", "frame-serial",  "frame-pixels",
                                          "frame-shape", "frame-size" };

START_TEST(test_recovery__lies_about_a_frame_are_not_believed)
{
    RbReel *reel = evil_reel(frame_lies[_i]);
    ck_assert(rb_reel_wait_ready(reel, NULL, 20000, NULL, NULL));
    frame_30_is_given_up(reel);
    reel_must_close(reel);
}
END_TEST

static const char *const start_lies[] = { "facts-size", "facts-rotation", "facts-base",
                                          "facts-name", "index-packet",   "index-total" };

START_TEST(test_recovery__lies_about_the_film_are_not_believed)
{
    RbReel *reel = evil_reel(start_lies[_i]);
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_reel_wait_ready(reel, NULL, 20000, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER));
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__ring_cannot_be_shrunk)
{
    RbReel *reel = evil_reel("shrink-ring");
    ck_assert(rb_reel_wait_ready(reel, NULL, 20000, NULL, NULL));
    evil_frame_is_right(reel, 12);
    ck_assert_int_eq(deaths_of(reel), 0);
    reel_must_close(reel);
}
END_TEST

static const char *const surplus[] = { "frame-twice", "send-descriptor" };

START_TEST(test_recovery__surplus_messages_end_the_helper)
{
    RbReel *reel = evil_reel(surplus[_i]);
    ck_assert(rb_reel_wait_ready(reel, NULL, 20000, NULL, NULL));
    evil_frame_is_right(reel, 30);
    evil_frame_is_right(reel, 31);
    ck_assert_int_eq(deaths_of(reel), 1);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__playback_goes_on_behind_a_deadly_frame)
{
    RbReel *reel = evil_reel("die-on-30");
    ck_assert(rb_reel_wait_ready(reel, NULL, 20000, NULL, NULL));
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    rb_reel_play(reel, 27, &gray);
    int64_t last = -1;
    for (bool stopped = false; !stopped;) {
        RbReelEvent event;
        ck_assert(rb_reel_wait(reel, &event, NULL, 20000, NULL));
        stopped = event.kind == RB_REEL_STOPPED;
        if (event.kind == RB_REEL_FRAME) {
            ck_assert_int_ne(rb_picture_get_ordinal(event.picture), 30);
            last = rb_picture_get_ordinal(event.picture);
        }
        rb_reel_event_clear(&event);
    }
    ck_assert_int_eq(last, 59);
    reel_must_close(reel);
}
END_TEST

/* How playback of a film ended: the last event's error. Returns: (transfer full). */
static GError *end_of_play(RbReel *reel)
{
    for (;;) {
        RbReelEvent event;
        ck_assert(rb_reel_wait(reel, &event, NULL, 20000, NULL));
        ck_assert_msg(event.kind != RB_REEL_STOPPED, "played to the end");
        GError *error = event.error != NULL ? g_error_copy(event.error) : NULL;
        rb_reel_event_clear(&event);
        if (error != NULL) {
            return error;
        }
    }
}

/* Frames that cannot be made are passed over while a film plays, but not all the rest of it. */
START_TEST(test_recovery__playback_ends_when_the_film_is_cut_short)
{
    g_autofree char *path =
        film_encode("a.mp4", 600, "-c:v", "libx264", "-preset", "veryfast", "-g", "15",
                    "-crf", "5", "-movflags", "+faststart", NULL);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    RbReel *reel = reel_must_open(path);
    rb_reel_play(reel, 0, &gray);
    RbReelEvent event;
    do {
        ck_assert(rb_reel_wait(reel, &event, NULL, 20000, NULL));
        const bool shown = event.kind == RB_REEL_FRAME;
        rb_reel_event_clear(&event);
        if (shown) {
            break;
        }
    } while (true);
    ck_assert_int_eq(truncate(path, 0), 0);
    g_autoptr(GError) error = end_of_play(reel);
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_READ));
    ck_assert_ptr_nonnull(strstr(error->message, "cut short"));
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__index_is_kept_and_used_again)
{
    g_autofree char *path = film_write_plain("a.mp4", 47);
    RbReelStatus status;
    RbReel *reel = reel_must_open(path);
    rb_reel_get_status(reel, &status);
    ck_assert(!status.index_from_cache);
    reel_must_close(reel);
    reel = reel_must_open(path);
    rb_reel_get_status(reel, &status);
    ck_assert(status.index_from_cache);
    ck_assert_int_eq(rb_reel_get_frame_count(reel), 47);
    ck_assert_int_eq(reel_code(reel, 46), 46);
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__film_that_vanishes_while_open_goes_on)
{
    g_autofree char *path = film_write_plain("a.mp4", 40);
    RbReel *reel = reel_must_open(path);
    ck_assert_int_eq(g_unlink(path), 0);
    ck_assert_int_eq(reel_code(reel, 39), 39); /* the open descriptor keeps it */
    reel_must_close(reel);
}
END_TEST

START_TEST(test_recovery__film_cut_while_open_never_hangs)
{
    const RbWriterOptions options = {
        .width = 160, .height = 90, .rate = { 30, 1 }, .gop = 10, .faststart = true
    };
    g_autofree char *path = film_write("a.mp4", &options, 90);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    struct stat now;
    ck_assert_int_eq(stat(path, &now), 0);
    RbReel *reel = reel_must_open(path);
    ck_assert_int_eq(truncate(path, now.st_size / 2), 0);
    ck_assert_int_eq(reel_code(reel, 5), 5);
    g_autoptr(GError) error = NULL;
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(reel, 85, &gray, NULL, 20000, &error);
    /* What was read before it was cut may still be whole. */
    ck_assert(picture != NULL
                  ? rb_picture_is_doubtful(picture) || frame_code_of(picture) == 85
                  : !g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_TIMEOUT));
    ck_assert_int_eq(reel_code(reel, 6), 6);
    reel_must_close(reel);
}
END_TEST

/* Emptied under the reader, as by a copy begun anew: said as what it is, not as a file that never
 * was a film. */
START_TEST(test_recovery__film_emptied_while_open_is_told)
{
    /* More than is read at once, so that the rest must be read after the end of the file. */
    g_autofree char *path = film_encode("a.mkv", 300, "-c:v", "rawvideo", NULL);
    struct stat now;
    ck_assert(stat(path, &now) == 0 && now.st_size > 4000000);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    RbReel *reel = reel_must_open(path);
    ck_assert_int_eq(truncate(path, 0), 0);
    g_autoptr(GError) error = NULL;
    for (int frame = 299; frame > 0 && error == NULL; frame -= 10) {
        g_autoptr(RbPicture) picture =
            rb_reel_wait_frame(reel, frame, &gray, NULL, 20000, &error);
    }
    ck_assert_msg(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_READ), "%s",
                  error != NULL ? error->message : "all frames were shown");
    ck_assert_ptr_nonnull(strstr(error->message, "a.mkv"));
    ck_assert_ptr_nonnull(strstr(error->message, "cut short"));
    reel_must_close(reel);
}
END_TEST

static const struct {
    const char *name;
    const char *options;
} on_failing_drives[] = {
    { "front.mp4", "-movflags +faststart" },
    { "packets.ts", "-f mpegts" },
    { "clusters.mkv", "-f matroska" },
};

static bool tells_of_the_drive(RbReel *reel)
{
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    bool told = false;
    for (guint i = 0; i < facts->doubts->len; i++) {
        told = told || strstr(facts->doubts->pdata[i], "drive failed") != NULL;
    }
    return told;
}

/* What could be read can be used; it is said that it is not all, and the next opening, with the
 * drive back, has all. */
START_TEST(test_recovery__a_drive_that_fails_while_indexing)
{
    const char *shim = g_getenv("RB_TEST_FAILING_DISK");
    if (shim == NULL) {
        return; /* the sanitizers want to be loaded first themselves */
    }
    g_auto(GStrv) options = g_strsplit(on_failing_drives[_i].options, " ", 2);
    g_autofree char *path =
        film_encode(on_failing_drives[_i].name, 90, "-c:v", "libx264", "-preset",
                    "veryfast", "-g", "15", "-crf", "5", options[0], options[1], NULL);
    struct stat facts;
    ck_assert_int_eq(g_stat(path, &facts), 0);
    g_autofree char *limit = g_strdup_printf("%d", (int)(facts.st_size * 3 / 4));
    g_setenv("LD_PRELOAD", shim, TRUE);
    g_setenv("RB_TEST_DRIVE_BYTES", limit, TRUE);
    RbReel *reel = reel_must_open(path);
    g_unsetenv("LD_PRELOAD");
    ck_assert(tells_of_the_drive(reel));
    const int64_t n = rb_reel_get_frame_count(reel);
    ck_assert_int_ge(n, 45);
    ck_assert_int_lt(n, 90);
    ck_assert_int_eq(reel_code(reel, 30), 30);
    reel_must_close(reel);
    reel = reel_must_open(path);
    ck_assert(!tells_of_the_drive(reel));
    ck_assert_int_eq(rb_reel_get_frame_count(reel), 90);
    ck_assert_int_eq(reel_code(reel, 89), 89);
    reel_must_close(reel);
}
END_TEST

/* Pulled out while it is read: the helper, which cannot open the film anew, says so of this frame
 * and of every later one, and does not die of it. */
START_TEST(test_recovery__a_drive_that_is_pulled_out_is_told_every_time)
{
    const char *shim = g_getenv("RB_TEST_FAILING_DISK");
    if (shim == NULL) {
        return; /* the sanitizers want to be loaded first themselves */
    }
    g_autofree char *path =
        film_encode("front.mp4", 90, "-c:v", "libx264", "-preset", "veryfast", "-g", "15",
                    "-crf", "5", "-movflags", "+faststart", NULL);
    struct stat facts;
    ck_assert_int_eq(g_stat(path, &facts), 0);
    g_autofree char *limit = g_strdup_printf("%d", (int)(facts.st_size / 2));
    reel_must_close(reel_must_open(path)); /* the index is kept */
    g_setenv("LD_PRELOAD", shim, TRUE);
    g_setenv("RB_TEST_DRIVE_BYTES", limit, TRUE);
    g_setenv("RB_TEST_DRIVE_GONE", "1", TRUE);
    RbReel *reel = reel_must_open(path);
    g_unsetenv("LD_PRELOAD");
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    static const int frames[] = { 89, 80, 70, 60, 88 };
    for (size_t i = 0; i < G_N_ELEMENTS(frames); i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(RbPicture) picture =
            rb_reel_wait_frame(reel, frames[i], &gray, NULL, 20000, &error);
        ck_assert_ptr_null(picture);
        ck_assert_msg(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_READ),
                      "frame %d: %s", frames[i], error->message);
    }
    rb_reel_play(reel, 0, &gray);
    g_autoptr(GError) error = end_of_play(reel);
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_READ));
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_recovery(void)
{
    TCase *tcase = rb_case_new("recovery");
    tcase_add_test(tcase, test_recovery__killed_helper_costs_one_error);
    tcase_add_test(tcase, test_recovery__hung_helper_is_ended);
    tcase_add_test(tcase, test_recovery__closing_does_not_wait_for_a_hung_helper);
    tcase_add_test(tcase, test_recovery__three_deaths_end_the_film);
    tcase_add_test(tcase, test_recovery__helper_that_turns_in_a_circle_is_ended);
    tcase_add_test(tcase, test_recovery__helper_that_breaks_the_rules_is_ended);
    tcase_add_test(tcase, test_recovery__three_deaths_on_one_frame_leave_the_others);
    tcase_add_test(tcase, test_recovery__index_is_kept_and_used_again);
    tcase_add_test(tcase, test_recovery__film_that_vanishes_while_open_goes_on);
    tcase_add_test(tcase, test_recovery__film_cut_while_open_never_hangs);
    tcase_add_test(tcase, test_recovery__film_emptied_while_open_is_told);
    tcase_add_test(tcase, test_recovery__three_hangs_on_one_frame_leave_the_others);
    tcase_add_loop_test(tcase, test_recovery__lies_about_a_frame_are_not_believed, 0,
                        (int)G_N_ELEMENTS(frame_lies));
    tcase_add_loop_test(tcase, test_recovery__lies_about_the_film_are_not_believed, 0,
                        (int)G_N_ELEMENTS(start_lies));
    tcase_add_test(tcase, test_recovery__ring_cannot_be_shrunk);
    tcase_add_loop_test(tcase, test_recovery__surplus_messages_end_the_helper, 0,
                        (int)G_N_ELEMENTS(surplus));
    tcase_add_test(tcase, test_recovery__playback_goes_on_behind_a_deadly_frame);
    tcase_add_test(tcase, test_recovery__playback_ends_when_the_film_is_cut_short);
    tcase_add_loop_test(tcase, test_recovery__a_drive_that_fails_while_indexing, 0,
                        G_N_ELEMENTS(on_failing_drives));
    tcase_add_test(tcase, test_recovery__a_drive_that_is_pulled_out_is_told_every_time);
    return tcase;
}
