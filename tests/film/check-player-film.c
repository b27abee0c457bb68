/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The player on a real film with the number of each frame in its picture. */
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "rb/base/random.h"
#include "rb/base/thread.h"
#include "rb/film/player.h"

#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_player_film(void);

/* What the window is to the player: woken by the film, it looks what is to be seen. */
typedef struct {
    RbReel *reel;
    RbFilmPlayer *player;
    RbMutex lock;
    RbCond woken;
    bool news;
    int64_t next_us;
} Viewer;

static void on_wake(void *data)
{
    Viewer *viewer = data;
    rb_mutex_lock(&viewer->lock);
    viewer->news = true;
    rb_cond_broadcast(&viewer->woken);
    rb_mutex_unlock(&viewer->lock);
}

/* Looks at once, then sleeps until the film or the player's own time wakes it, at most until
 * `until_us`. Whatever is called exact is. */
static unsigned look(Viewer *viewer, int64_t until_us)
{
    const unsigned news =
        rb_film_player_tick(viewer->player, g_get_monotonic_time(), &viewer->next_us);
    RbPicture *picture = rb_film_player_get_picture(viewer->player);
    if ((news & RB_FILM_PLAYER_NEWS_PICTURE) != 0 && picture != NULL) {
        ck_assert_int_eq(frame_code_of(picture), rb_picture_get_ordinal(picture));
        if (rb_film_player_is_exact(viewer->player)) {
            ck_assert_int_eq(frame_code_of(picture),
                             rb_film_player_get_wanted(viewer->player));
        }
    }
    rb_mutex_lock(&viewer->lock);
    if (!viewer->news && news == 0) {
        rb_cond_wait_until(&viewer->woken, &viewer->lock, MIN(viewer->next_us, until_us));
    }
    viewer->news = false;
    rb_mutex_unlock(&viewer->lock);
    return news;
}

static void look_for(Viewer *viewer, int64_t us)
{
    const int64_t until = g_get_monotonic_time() + us;
    do {
        look(viewer, until);
    } while (g_get_monotonic_time() < until);
}

static void wait_for_frame(Viewer *viewer, int64_t frame)
{
    const int64_t until = g_get_monotonic_time() + 20000000;
    while (rb_film_player_get_shown(viewer->player) != frame ||
           !rb_film_player_is_exact(viewer->player)) {
        ck_assert_msg(g_get_monotonic_time() < until, "frame %d never came", (int)frame);
        look(viewer, until);
    }
}

static void viewer_start(Viewer *viewer, const char *path)
{
    *viewer = (Viewer){ .next_us = 0 };
    rb_mutex_init(&viewer->lock);
    rb_cond_init(&viewer->woken);
    viewer->reel = rb_reel_open(path, on_wake, viewer);
    viewer->player = rb_film_player_new(viewer->reel);
    const RbFrameOptions gray = { .pixels = RB_PIXELS_GRAY };
    rb_film_player_set_options(viewer->player, &gray);
}

static void viewer_end(Viewer *viewer)
{
    RbReelStatus status;
    rb_reel_get_status(viewer->reel, &status);
    ck_assert_int_eq(status.helper_deaths, 0);
    rb_film_player_free(viewer->player);
    reel_must_close(viewer->reel);
    rb_cond_clear(&viewer->woken);
    rb_mutex_clear(&viewer->lock);
}

START_TEST(test_player_film__steps_and_runs_show_the_frames_they_name)
{
    g_autofree char *path = film_write_plain("a.mp4", 90);
    Viewer viewer;
    viewer_start(&viewer, path);
    rb_film_player_show(viewer.player, 40); /* before the film is open */
    wait_for_frame(&viewer, 40);
    rb_film_player_step(viewer.player, 1);
    wait_for_frame(&viewer, 41);
    rb_film_player_step(viewer.player, -3);
    wait_for_frame(&viewer, 38);
    rb_film_player_run(viewer.player, -8);
    while (rb_film_player_get_state(viewer.player) != RB_FILM_PLAYER_STANDING) {
        look(&viewer, INT64_MAX);
    }
    ck_assert_int_eq(rb_film_player_get_shown(viewer.player), 0);
    RbFilmPlayerCounts counts;
    rb_film_player_get_counts(viewer.player, &counts);
    ck_assert_int_eq(counts.planned, 39);
    viewer_end(&viewer);
}
END_TEST

/* A film with one key frame, and memory for a quarter of it: every frame is right in both
 * directions, whatever had to be decoded again. */
START_TEST(test_player_film__one_key_frame_and_little_memory)
{
    g_autofree char *path = film_encode("a.mkv", 120, "-c:v", "libx264", "-g", "999",
                                        "-keyint_min", "999", "-sc_threshold", "0", NULL);
    Viewer viewer;
    viewer_start(&viewer, path);
    const int64_t frame_bytes = 320 * 180 * 3 / 2;
    rb_film_player_set_budget(viewer.player, 30 * frame_bytes, frame_bytes);
    rb_film_player_show(viewer.player, 119);
    wait_for_frame(&viewer, 119);
    for (int i = 118; i >= 0; i--) {
        rb_film_player_step(viewer.player, -1);
        wait_for_frame(&viewer, i);
    }
    for (int i = 1; i < 60; i++) {
        rb_film_player_step(viewer.player, 1);
        wait_for_frame(&viewer, i);
    }
    viewer_end(&viewer);
}
END_TEST

/* Memory of decoded frames is made before it is needed and used again: a film that is played
 * over and over, in both directions, makes no more of it. */
START_TEST(test_player_film__steady_play_makes_no_frame_sized_buffers)
{
    const RbWriterOptions options = {
        .width = 640, .height = 360, .rate = { 120, 1 }, .gop = 12, .b_frames = 2
    };
    g_autofree char *path = film_write("a.mp4", &options, 120);
    Viewer viewer;
    viewer_start(&viewer, path);
    const int64_t frame_bytes = 640 * 360 * 3 / 2;
    rb_film_player_set_budget(viewer.player, 30 * frame_bytes, frame_bytes);
    rb_film_player_show(viewer.player, 0);
    wait_for_frame(&viewer, 0);
    look_for(&viewer, 300000); /* idle: what is to be made ready is */
    RbReelStatus status;
    int64_t before = 0;
    for (int i = 0; i < 6; i++) {
        rb_reel_get_status(viewer.reel, &status);
        before = i == 2 ? status.buffers : before; /* once there and back */
        rb_film_player_run(viewer.player, i % 2 == 0 ? 16 : -16);
        while (rb_film_player_get_state(viewer.player) == RB_FILM_PLAYER_RUNNING) {
            look(&viewer, INT64_MAX);
        }
        wait_for_frame(&viewer, i % 2 == 0 ? 119 : 0);
    }
    rb_reel_get_status(viewer.reel, &status);
    ck_assert_int_gt(before, 0); /* those of opening the film are counted */
    ck_assert_int_eq(status.buffers, before);
    viewer_end(&viewer);
}
END_TEST

/* Resident bytes of a process. */
static int64_t resident_of(int64_t pid)
{
    g_autofree char *path = g_strdup_printf("/proc/%" G_GINT64_FORMAT "/statm", pid);
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    const char *second = strchr(text, ' ');
    ck_assert_ptr_nonnull(second);
    return g_ascii_strtoll(second, NULL, 10) * sysconf(_SC_PAGESIZE);
}

static int64_t resident(Viewer *viewer)
{
    RbReelStatus status;
    rb_reel_get_status(viewer->reel, &status);
    return resident_of(getpid()) + resident_of(status.helper_pid);
}

/* A film of hours, seeks all over it: memory stays within its budget and does not creep. The
 * whole of it (two hours, 10,000 seeks) with RB_TEST_LONG set. */
START_TEST(test_player_film__random_seeks_in_a_long_film_keep_their_memory)
{
    const bool whole = g_getenv("RB_TEST_LONG") != NULL;
    const int minutes = whole ? 120 : 6;
    const int seeks = whole ? 10000 : 300;
    const int settled = seeks / 10;
    const int64_t budget = INT64_C(16) << 20;
    g_autofree char *minute = film_write_plain("minute.mp4", 1800);
    g_autofree char *loops = g_strdup_printf("%d", minutes - 1);
    g_autofree char *path = rb_test_path("hours.mp4");
    ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-stream_loop", loops, "-i",
                          minute, "-c", "copy", path, NULL));
    Viewer viewer;
    viewer_start(&viewer, path);
    rb_film_player_set_budget(viewer.player, budget, 160 * 90 * 3 / 2);
    rb_film_player_show(viewer.player, 0);
    const int64_t before = resident_of(getpid());
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(8));
    int64_t early = 0;
    int64_t most = 0;
    for (int i = 0; i < seeks; i++) {
        const int frame = rb_random_int(&random, 0, minutes * 1800 - 1);
        rb_film_player_show(viewer.player, frame);
        const int64_t until = g_get_monotonic_time() + 20000000;
        do {
            rb_film_player_tick(viewer.player, g_get_monotonic_time(), NULL);
            ck_assert(g_get_monotonic_time() < until);
            g_usleep(300);
        } while (rb_film_player_get_shown(viewer.player) != frame ||
                 !rb_film_player_is_exact(viewer.player));
        ck_assert_int_eq(frame_code_of(rb_film_player_get_picture(viewer.player)),
                         frame % 1800);
        const int64_t now = resident(&viewer) - before;
        most = MAX(most, now);
        early = i < settled ? MAX(early, now) : early;
    }
    printf(
        "%d seeks: at most %.1f MB, of which %.1f MB of budget; %.1f MB in the first tenth\n",
        seeks, (double)most / 1e6, (double)budget / 1e6, (double)early / 1e6);
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
    ck_assert_int_lt(most, budget + (INT64_C(150) << 20));
    ck_assert_int_lt(most - early, INT64_C(24)
                                       << 20); /* nothing that grows by the seek */
#endif
    viewer_end(&viewer);
}
END_TEST

/* Under ThreadSanitizer this is the session that must be free of races. */
START_TEST(test_player_film__500_random_commands)
{
    g_autofree char *path = film_write_plain("a.mp4", 120);
    Viewer viewer;
    viewer_start(&viewer, path);
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(31));
    for (int i = 0; i < 500; i++) {
        RbFilmPlayer *player = viewer.player;
        const int n = rb_random_int(&random, -5, 125);
        switch (rb_random_int(&random, 0, 10)) {
        case 0:
            rb_film_player_show(player, n);
            break;
        case 1:
            rb_film_player_step(player, n % 4);
            break;
        case 2:
            rb_film_player_hold(player, n % 2 == 0 ? 1 : -1, g_get_monotonic_time());
            break;
        case 3:
            rb_film_player_let_go(player);
            break;
        case 4:
            rb_film_player_scrub(player, n);
            break;
        case 5:
            rb_film_player_scrub_end(player);
            break;
        case 6:
            rb_film_player_run(player, n % 65);
            break;
        case 7:
            rb_film_player_shuttle(player, n % 2 == 0 ? 1 : -1);
            break;
        case 8:
            rb_film_player_set_span(player, n, n + 20);
            break;
        case 9:
            rb_film_player_set_loop(player, n % 2 == 0);
            break;
        default:
            rb_film_player_set_budget(player, (1 + (int64_t)n % 50) * 1000000, 50000);
            break;
        }
        look_for(&viewer, rb_random_int(&random, 0, 8000));
    }
    rb_film_player_show(viewer.player, 77);
    wait_for_frame(&viewer, 77);
    viewer_end(&viewer);
}
END_TEST

TCase *rb_case_player_film(void)
{
    TCase *tcase = rb_case_new("player-film");
    tcase_set_tags(tcase, "shown");
    tcase_add_test(tcase, test_player_film__steps_and_runs_show_the_frames_they_name);
    tcase_add_test(tcase, test_player_film__one_key_frame_and_little_memory);
    tcase_add_test(tcase, test_player_film__steady_play_makes_no_frame_sized_buffers);
    tcase_add_test(tcase,
                   test_player_film__random_seeks_in_a_long_film_keep_their_memory);
    tcase_add_test(tcase, test_player_film__500_random_commands);
    return tcase;
}
