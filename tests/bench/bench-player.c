/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How well the player keeps up with a film of 1080p at 59.94 frames a second: forward and
 * backward into nothing, steps inside what is held decoded, and steps and seeks on small
 * pictures. Each figure beside its limit, and all beside the plain decoding rate of the same
 * run. Not a test: run it by hand.
 *
 *     bench-player [FILM [PART]]      makes FILM, of ten seconds, if it is not there; without one
 *                                     it makes one for itself; PART: "runs",
 *                                     "steps" or "small" alone.
 *
 * Under a real-time policy a thread of the helper that is woken waits for those that decode, which
 * no other policy does: steps are measured with `nice -n -19`, the runs with `chrt -f 10`. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/base/thread.h"
#include "rb/film/frames.h"
#include "rb/film/player.h"
#include "rb/film/small-pictures.h"
#include "rb/film/writer.h"

/* The limits: per cent late forward and backward at the film's own speed, the longest stall and
 * the slowest step in 20, and how much faster than the film small pictures are made. */
#define FORWARD_BAD 1.0
#define BACKWARD_BAD 2.0
#define STALL_MS 50.0
#define STEP_MS 5.0
#define MAKE_TIMES 3.0
/* Decoding slower than this many times the film's speed, backward may run at half the speed. */
#define PLAIN_ENOUGH 1.5

enum { WIDTH = 1920, HEIGHT = 1080, FRAMES = 600, GOP = 60, STEPS = 200, NOISE = 22 };

typedef struct {
    RbReel *reel;
    RbFilmPlayer *player;
    RbMutex lock;
    RbCond woken;
    bool news;
} Viewer;

static void fail(const char *what, const GError *error)
{
    fprintf(stderr, "%s: %s\n", what, error != NULL ? error->message : "failed");
    exit(EXIT_FAILURE);
}

static uint32_t next_noise(uint32_t noise)
{
    noise ^= noise << 13;
    noise ^= noise >> 17;
    return noise ^ noise << 5;
}

/* A texture that moves, as turf and crowd do when a camera turns, under noise of its own in every
 * frame, as a sensor's: it codes to some 12 Mbit/s, about what a camera writes. */
static void paint(const RbWriterFrame *frame, int number)
{
    static uint8_t texture[HEIGHT * 2][WIDTH * 2];
    uint32_t noise = 2463534242U;
    for (int i = 0; number == 0 && i < HEIGHT * 2 * WIDTH * 2; i++) {
        noise = next_noise(noise);
        texture[i / (WIDTH * 2)][i % (WIDTH * 2)] = (uint8_t)(noise % 48);
    }
    noise += (uint32_t)number;
    for (int y = 0; y < HEIGHT; y++) {
        uint8_t *row = frame->planes[0] + (size_t)y * (size_t)frame->strides[0];
        const int v = y + number * 2 % HEIGHT;
        for (int x = 0; x < WIDTH; x++) {
            const int u = x + number * 5 % WIDTH;
            noise = next_noise(noise);
            row[x] = (uint8_t)(64 + (u / 40 + v / 30) % 2 * 60 +
                               texture[v / 3 * 3][u / 3 * 3] + noise % NOISE);
        }
    }
    for (int plane = 1; plane < 3; plane++) {
        for (int y = 0; y < HEIGHT / 2; y++) {
            memset(frame->planes[plane] + (size_t)y * (size_t)frame->strides[plane],
                   118 + plane * 8, WIDTH / 2);
        }
    }
}

static void make_film(const char *path)
{
    GError *error = NULL;
    const RbWriterOptions options = { .width = WIDTH,
                                      .height = HEIGHT,
                                      .rate = { 60000, 1001 },
                                      .crf = 24,
                                      .gop = GOP,
                                      .b_frames = 3 };
    g_autoptr(RbFilmWriter) writer = rb_film_writer_open(path, &options, NULL, &error);
    for (int i = 0; writer != NULL && i < FRAMES; i++) {
        RbWriterFrame frame;
        if (!rb_film_writer_next(writer, &frame, &error)) {
            break;
        }
        paint(&frame, i);
        if (!rb_film_writer_push(writer, &error)) {
            break;
        }
    }
    if (writer == NULL || error != NULL || !rb_film_writer_finish(writer, &error)) {
        fail("making the film", error);
    }
}

static void on_wake(void *data)
{
    Viewer *viewer = data;
    rb_mutex_lock(&viewer->lock);
    viewer->news = true;
    rb_cond_broadcast(&viewer->woken);
    rb_mutex_unlock(&viewer->lock);
}

static void look(Viewer *viewer)
{
    int64_t next = 0;
    const unsigned news =
        rb_film_player_tick(viewer->player, g_get_monotonic_time(), &next);
    rb_mutex_lock(&viewer->lock);
    if (!viewer->news && news == 0) {
        rb_cond_wait_until(&viewer->woken, &viewer->lock,
                           MIN(next, g_get_monotonic_time() + 1000000));
    }
    viewer->news = false;
    rb_mutex_unlock(&viewer->lock);
}

static void wait_for(Viewer *viewer, int64_t frame)
{
    while (rb_film_player_get_shown(viewer->player) != frame ||
           !rb_film_player_is_exact(viewer->player)) {
        look(viewer);
    }
}

/* Frames a second of decoding in order, each made as it is shown. */
static double decode_rate(const char *path, const RbFrameOptions *options)
{
    GError *error = NULL;
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, NULL, 0, NULL, &error);
    if (reel == NULL) {
        fail("opening", error);
    }
    const int64_t n = MIN(rb_reel_get_frame_count(reel), 300);
    int64_t asked = 0;
    int64_t came = 0;
    int64_t list[RB_REEL_WANTED_MAX];
    const int64_t start = g_get_monotonic_time();
    while (came < n) {
        int k = 0;
        for (int64_t i = came; i < MIN(came + 4, n); i++) {
            list[k++] = i;
        }
        asked = came + k;
        rb_reel_want(reel, list, k, options);
        while (came < asked) {
            RbReelEvent event;
            if (!rb_reel_wait(reel, &event, NULL, 20000, &error)) {
                fail("decoding", error);
            }
            came += event.kind == RB_REEL_FRAME;
            rb_reel_event_clear(&event);
        }
    }
    return (double)n / ((double)(g_get_monotonic_time() - start) / 1e6);
}

static const char *verdict(bool holds)
{
    return holds ? "holds" : "MISSED";
}

/* most: per cent that may be late or left out; 0: no limit. */
static void run(Viewer *viewer, const char *what, int eighths, int64_t from, double most)
{
    rb_film_player_show(viewer->player, from);
    wait_for(viewer, from);
    g_usleep(300000); /* what a person does before the key is pressed */
    rb_film_player_run(viewer->player, eighths);
    int slowest = eighths;
    do {
        look(viewer);
        const int real = rb_film_player_get_real_speed(viewer->player);
        slowest = real != 0 && abs(real) < abs(slowest) ? real : slowest;
    } while (rb_film_player_get_state(viewer->player) == RB_FILM_PLAYER_RUNNING);
    RbFilmPlayerCounts counts;
    rb_film_player_get_counts(viewer->player, &counts);
    const double bad =
        100.0 * (double)(counts.dropped + counts.late) / (double)MAX(counts.planned, 1);
    const double worst_ms = (double)counts.worst_us / 1000;
    printf("%-22s %5lld due  %5lld left out  %4lld late  %6.2f %%  worst %5.1f ms%s",
           what, (long long)counts.planned, (long long)counts.dropped,
           (long long)counts.late, bad, worst_ms,
           slowest != eighths ? "  at half the speed or less" : "");
    if (most > 0) {
        printf("  (under %.0f %%: %s; stall under %.0f ms: %s)", most,
               verdict(bad < most), STALL_MS, verdict(worst_ms < STALL_MS));
    }
    printf("\n");
}

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

static void print_times(const char *what, double *ms, int n)
{
    qsort(ms, (size_t)n, sizeof ms[0], by_value);
    printf("%-22s p50 %5.2f ms  p95 %5.2f ms  worst %5.2f ms  (p95 under %.0f ms: %s)\n",
           what, ms[n / 2], ms[n * 95 / 100], ms[n - 1], STEP_MS,
           verdict(ms[n * 95 / 100] < STEP_MS));
}

/* From the middle of a film of n frames, to its end if that comes sooner. */
static void step(Viewer *viewer, const char *what, int direction, int64_t n)
{
    static double ms[STEPS];
    const int64_t from = n / 2;
    const int steps = (int)MIN(STEPS, direction > 0 ? n - 1 - from : from);
    if (steps < 1) {
        return;
    }
    rb_film_player_show(viewer->player, from);
    wait_for(viewer, from);
    g_usleep(6000000); /* until what is near is decoded */
    for (int i = 0; i < steps; i++) {
        const int64_t start = g_get_monotonic_time();
        rb_film_player_step(viewer->player, direction);
        wait_for(viewer, from + (int64_t)direction * (i + 1));
        ms[i] = (double)(g_get_monotonic_time() - start) / 1000;
        g_usleep(20000);
    }
    print_times(what, ms, steps);
}

static void seek(Viewer *viewer, const char *what, int64_t n)
{
    static double ms[STEPS];
    RbRandom random;
    rb_random_seed(&random, 12);
    for (int i = 0; i < STEPS; i++) {
        const int64_t frame = rb_random_int(&random, 0, (int)n - 1);
        const int64_t start = g_get_monotonic_time();
        rb_film_player_show(viewer->player, frame);
        wait_for(viewer, frame);
        ms[i] = (double)(g_get_monotonic_time() - start) / 1000;
        g_usleep(20000);
    }
    print_times(what, ms, STEPS);
}

/* Small pictures of the whole film, made and used. */
static void use_small(Viewer *viewer, const char *path, int64_t n, double film_rate)
{
    GError *error = NULL;
    const int64_t start = g_get_monotonic_time();
    g_autofree char *copy =
        rb_small_make(path, 0, n - 1, INT64_C(8) << 30, NULL, NULL, &error);
    if (copy == NULL) {
        fail("making small pictures", error);
    }
    const double s = (double)(g_get_monotonic_time() - start) / 1e6;
    const double times = (double)n / film_rate / s;
    printf("small pictures made at %.2f times the film's speed  (over %.1f: %s)\n", times,
           MAKE_TIMES, verdict(times >= MAKE_TIMES));
    RbSmallFilm *small = rb_small_film_open(copy, 0, n - 1, n, false, on_wake, viewer);
    rb_film_player_use_small(viewer->player, small);
    while (!rb_film_player_has_small(viewer->player)) {
        look(viewer);
    }
    step(viewer, "small: steps forward", 1, n);
    step(viewer, "small: steps backward", -1, n);
    seek(viewer, "small: seeks", n);
    run(viewer, "small: backward 1x", -8, n - 1, BACKWARD_BAD);
    run(viewer, "small: backward 2x", -16, n - 1, 0);
    rb_film_player_use_small(viewer->player, NULL);
    rb_small_film_close(small);
    remove(copy);
}

int main(int argc, char **argv)
{
    setvbuf(stdout, NULL, _IOLBF, 0);
    g_autofree char *own = NULL;
    const char *path = argc > 1 ? argv[1] : NULL;
    /* Of its own, so that no small pictures are there from an earlier run. */
    g_autofree char *cache = g_dir_make_tmp("bench-player-XXXXXX", NULL);
    if (cache == NULL) {
        fail("a folder for the cache", NULL);
    }
    g_setenv("XDG_CACHE_HOME", cache, true);
    if (path == NULL) {
        own = g_build_filename(g_get_tmp_dir(), "bench-player.mp4", NULL);
        path = own;
    }
    if (own != NULL || !g_file_test(path, G_FILE_TEST_EXISTS)) {
        make_film(path);
    }
    const char *part = argc > 2 ? argv[2] : "";
    const RbFrameOptions options = { .pixels = RB_PIXELS_BGRA };
    const double rate = decode_rate(path, &options);
    Viewer viewer = { 0 };
    rb_mutex_init(&viewer.lock);
    rb_cond_init(&viewer.woken);
    viewer.reel = rb_reel_open(path, on_wake, &viewer);
    viewer.player = rb_film_player_new(viewer.reel);
    rb_film_player_set_options(viewer.player, &options);
    rb_film_player_show(viewer.player, 0);
    wait_for(&viewer, 0);
    const int64_t n = rb_reel_get_frame_count(viewer.reel);
    const double film_rate =
        (double)(n - 1) * 1e6 / (double)rb_reel_get_frame_us(viewer.reel, n - 1);
    printf("decoding in order %.0f frames a second: %.2f times the film's own %.2f\n",
           rate, rate / film_rate, film_rate);
    const bool quick = rate / film_rate >= PLAIN_ENOUGH;
    if (!quick) {
        printf("below %.1f times: backward has no limit here\n", PLAIN_ENOUGH);
    }
    if (part[0] == '\0' || strcmp(part, "runs") == 0) {
        run(&viewer, "forward 1x", 8, 0, FORWARD_BAD);
        run(&viewer, "backward 1x", -8, n - 1, quick ? BACKWARD_BAD : 0);
    }
    if (part[0] == '\0') {
        run(&viewer, "backward 2x", -16, n - 1, 0);
        run(&viewer, "forward 2x", 16, 0, 0);
    }
    if (part[0] == '\0' || strcmp(part, "steps") == 0) {
        step(&viewer, "steps forward", 1, n);
        step(&viewer, "steps backward", -1, n);
    }
    if (part[0] == '\0' || strcmp(part, "small") == 0) {
        use_small(&viewer, path, n, film_rate);
    }
    rb_film_player_free(viewer.player);
    rb_reel_close(viewer.reel);
    rb_reel_wait_all_closed(5000);
    if (own != NULL) {
        remove(own);
    }
    return EXIT_SUCCESS;
}
