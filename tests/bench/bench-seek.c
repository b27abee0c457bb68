/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long an exact random seek takes, beside the floor: the packets from the key frame to the
 * frame, divided by the plain decoding rate of the same number of threads in the same run. Each
 * seek is paired with its own floor: (seek - 15 ms) / floor, whose 95th percentile has a limit.
 * That floor counts a key frame as any other, and one of these takes several times as long, by
 * one thread however many there are. So beside it stands what decoding alone took, as "least":
 * of packets read beforehand, leaving out all that can be left out. A seek whose least is over its
 * limit cannot be made within it; a film whose only others over it are one in twenty "keeps what
 * decoding allows".
 * And what the helper costs: a film in order through it, beside the same decoding in process.
 * Not a test: run it by hand on a quiet machine. Films are made by the command line of ffmpeg.
 *
 *     bench-seek [FOLDER [PART]]      keeps the films there for another run; PART is the beginning
 *                                     of a film's name, or "helper" */
#include <glib/gstdio.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rb/base/random.h"
#include "rb/film/frames.h"

#include "plain-decode.h"

#define OVERHEAD_MS 15.0
#define LIMIT_PLAIN 1.3
#define LIMIT_SKIPPED 0.8 /* where a third or more of the frames are non-reference */
#define LIMIT_CHILD 1.15
#define PAIRS 7

typedef struct {
    const char *name;
    const char *source;
    int frames;
    const char *encode;
    int seeks;
} Film;

/* A camera's film: all of the picture moves, noise on every frame, and a constant rate without a
 * look ahead, as encoders in cameras work: 12.5 Mbit/s for 1080p59.94. A key frame of an encoder
 * that looks ahead at a still picture takes as long as seven others; a frame near it then takes
 * longer than its floor however it is sought, for nothing can be decoded before the key. */
#define MOVING(size, rate)                                                               \
    "-filter_complex \"mandelbrot=s=" size ":r=" rate ":maxiter=400:end_pts=400[far];"   \
    "testsrc2=s=640x360:r=" rate "[near];"                                               \
    "[far][near]overlay=x=200+8*mod(n\\,120):y=300,noise=alls=8:allf=t\" "
#define X264(rate, buffer, keys)                                                         \
    "-c:v libx264 -preset veryfast -b:v " rate " -maxrate " rate " -bufsize " buffer     \
    " -x264-params mbtree=0:scenecut=0:" keys " "

static const Film films[] = {
    { "1080p59.94-gop60.mp4", MOVING("1920x1080", "60000/1001"), 360,
      X264("12500k", "6M", "keyint=60:min-keyint=60:b-pyramid=normal") "-bf 3", 80 },
    { "1080p59.94-gop250.mp4", MOVING("1920x1080", "60000/1001"), 500,
      X264("12500k", "6M", "keyint=250:min-keyint=250") "-bf 3", 40 },
    { "1080p59.94-open.mp4", MOVING("1920x1080", "60000/1001"), 300,
      X264("12500k", "6M", "keyint=60:min-keyint=60:open-gop=1") "-bf 3", 80 },
    { "1080i59.94.ts", MOVING("1920x1080", "30000/1001"), 180,
      X264("15000k", "4M", "keyint=15:min-keyint=15:tff=1") "-flags +ilme+ildct", 80 },
    { "720p30.mp4", MOVING("1280x720", "30"), 300,
      X264("4000k", "2M", "keyint=30:min-keyint=30") "-bf 0", 80 },
    { "2160p30-hevc.mp4", MOVING("3840x2160", "30"), 96,
      "-c:v libx265 -preset ultrafast -b:v 44M -maxrate 44M -bufsize 22M -x265-params "
      "keyint=32:min-keyint=32:scenecut=0:bframes=3:cutree=0:vbv-init=0.3:log-level=none",
      24 },
};

static void fail(const char *what, const GError *error)
{
    fprintf(stderr, "%s: %s\n", what, error != NULL ? error->message : "failed");
    exit(EXIT_FAILURE);
}

static void make_film(const Film *film, const char *path)
{
    if (g_file_test(path, G_FILE_TEST_EXISTS)) {
        return;
    }
    g_autofree char *command = g_strdup_printf(
        "ffmpeg -v error -nostdin -y %s -frames:v %d -pix_fmt yuv420p %s %s",
        film->source, film->frames, film->encode, path);
    GError *error = NULL;
    int status = 1;
    if (!g_spawn_command_line_sync(command, NULL, NULL, &status, &error) || status != 0) {
        fail(film->name, error);
    }
}

static int compare_doubles(const void *a, const void *b)
{
    const double x = *(const double *)a;
    const double y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Sorts. */
static double percentile(double *values, int n, double share)
{
    qsort(values, (size_t)n, sizeof *values, compare_doubles);
    const int at = (int)ceil(share * n) - 1;
    return values[CLAMP(at, 0, n - 1)];
}

static RbReel *open_film(const char *path)
{
    GError *error = NULL;
    RbReel *reel = rb_reel_open_wait(path, NULL, 0, NULL, &error);
    if (reel == NULL) {
        fail(path, error);
    }
    return reel;
}

static void close_film(RbReel *reel)
{
    rb_reel_close(reel);
    rb_reel_wait_all_closed(10000);
}

static double seek_ms(RbReel *reel, int64_t frame)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420, .as_coded = true };
    GError *error = NULL;
    const int64_t start = g_get_monotonic_time();
    g_autoptr(RbPicture) picture =
        rb_reel_wait_frame(reel, frame, &options, NULL, 0, &error);
    if (picture == NULL) {
        fail("seeking", error);
    }
    return (double)(g_get_monotonic_time() - start) / 1000.0;
}

typedef struct {
    double *took;
    double *floors;
    double *ratios;
    double *least;
    double *to_least;
    int over; /* their limit */
    int lost; /* of these, those whose least is not over it */
    int n;
    double limit;
} Seeks;

static void clear_seeks(Seeks *seeks)
{
    g_free(seeks->took);
    g_free(seeks->floors);
    g_free(seeks->ratios);
    g_free(seeks->least);
    g_free(seeks->to_least);
}

static void make_seeks(Seeks *seeks, PlainFilm *plain, RbReel *reel)
{
    const int n = (int)rb_reel_get_frame_count(reel);
    RbRandom random;
    rb_random_seed(&random, 1);
    seek_ms(reel, 0);
    int64_t last = 0;
    double rate = 0;
    for (int i = 0; i < seeks->n; i++) {
        if (i % 10 == 0) { /* what else the machine does changes by the second */
            rate = plain_film_rate(plain, 120);
        }
        int64_t frame = last;
        while (llabs(frame - last) <= 16) {
            frame = rb_random_int(&random, 0, n - 1);
        }
        last = frame;
        seeks->took[i] = seek_ms(reel, frame);
        seeks->least[i] = plain_film_least_ms(plain, frame);
        seeks->floors[i] = 1000.0 * (double)plain_film_packets_to(plain, frame) / rate;
        seeks->ratios[i] = (seeks->took[i] - OVERHEAD_MS) / seeks->floors[i];
        seeks->to_least[i] = seeks->took[i] / seeks->least[i];
        const double allowed = seeks->limit * seeks->floors[i] + OVERHEAD_MS;
        seeks->over += seeks->took[i] > allowed;
        seeks->lost += seeks->took[i] > allowed && seeks->least[i] <= allowed;
    }
}

/* True if the film keeps its limit, or all of it that decoding allows. */
static bool tell_seeks(const Seeks *seeks, const char *name, double skipped)
{
    const int n = seeks->n;
    const double worst = percentile(seeks->ratios, n, 0.95);
    const bool kept = worst <= seeks->limit;
    const bool allowed = seeks->lost * 20 <= n;
    printf("%-22s %6.0f %6.0f %6.0f %6.0f   %5.2f %5.2f  %4.1f  %3.0f %%  %s\n", name,
           percentile(seeks->took, n, 0.5), percentile(seeks->took, n, 0.95),
           percentile(seeks->floors, n, 0.5), percentile(seeks->floors, n, 0.95),
           percentile(seeks->ratios, n, 0.5), worst, seeks->limit, skipped * 100,
           kept      ? "kept"
           : allowed ? "keeps what decoding allows"
                     : "MISSED");
    printf("%-22s %d of %d over their limit, %d of these though decoding alone is not\n",
           "", seeks->over, n, seeks->lost);
    printf("%-22s least p50 %.0f p95 %.0f ms; seek / least p50 %.2f p95 %.2f\n", "",
           percentile(seeks->least, n, 0.5), percentile(seeks->least, n, 0.95),
           percentile(seeks->to_least, n, 0.5), percentile(seeks->to_least, n, 0.95));
    return kept || allowed;
}

static bool bench_seeks(const Film *film, const char *path)
{
    g_autoptr(PlainFilm) plain = plain_film_open(path);
    RbReel *reel = open_film(path);
    /* Hold next to nothing, so that every seek is one. */
    rb_reel_keep(reel, &(RbReelKeep){ .first = 0, .last = -1, .budget = 1 << 26 });
    const double skipped = plain_film_share_skipped(plain);
    const gsize n = (gsize)film->seeks;
    Seeks seeks = { .n = film->seeks,
                    .limit = skipped >= 1.0 / 3 ? LIMIT_SKIPPED : LIMIT_PLAIN,
                    .took = g_new0(double, n),
                    .floors = g_new0(double, n),
                    .ratios = g_new0(double, n),
                    .least = g_new0(double, n),
                    .to_least = g_new0(double, n) };
    make_seeks(&seeks, plain, reel);
    close_film(reel);
    const bool good = tell_seeks(&seeks, film->name, skipped);
    clear_seeks(&seeks);
    return good;
}

/* Frames a second of a film in order through the helper, as it is shown. */
static double helper_rate(const char *path, int frames)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420, .as_coded = true };
    RbReel *reel = open_film(path);
    /* Decoding in process holds five frames or so too. */
    rb_reel_keep(reel, &(RbReelKeep){ .first = 0, .last = -1, .budget = 1 << 24 });
    int64_t list[RB_REEL_WANTED_MAX];
    bool *came = g_new0(bool, (gsize)frames + RB_REEL_WANTED_MAX);
    seek_ms(reel, 0);
    const int64_t start = g_get_monotonic_time();
    for (int next = 1; next < frames;) {
        int n = 0;
        for (int i = next; i < frames && n < RB_REEL_WANTED_MAX; i++) {
            list[n] = i;
            n += !came[i];
        }
        rb_reel_want(reel, list, n, &options);
        RbReelEvent event;
        GError *error = NULL;
        if (!rb_reel_wait(reel, &event, NULL, 0, &error)) {
            fail("in order", error);
        }
        if (event.kind == RB_REEL_FRAME) {
            came[rb_picture_get_ordinal(event.picture)] = true;
        }
        rb_reel_event_clear(&event);
        while (next < frames && came[next]) {
            next++;
        }
    }
    const double s = (double)(g_get_monotonic_time() - start) / 1e6;
    close_film(reel);
    g_free(came);
    return (frames - 1) / s;
}

static bool bench_helper(const char *path)
{
    double ratios[PAIRS];
    const int frames = 300;
    for (int i = 0; i < PAIRS; i++) {
        g_autoptr(PlainFilm) plain = plain_film_open(path);
        const double before = plain_film_rate(plain, frames);
        const double helper = helper_rate(path, frames);
        const double after = plain_film_rate(plain, frames);
        ratios[i] = (before + after) / 2 / helper;
    }
    const double middle = percentile(ratios, PAIRS, 0.5);
    printf("\nThe helper takes %.2f times as long as decoding in process (median of %d "
           "pairs, limit %.2f): %s\n",
           middle, PAIRS, LIMIT_CHILD, middle <= LIMIT_CHILD ? "kept" : "MISSED");
    return middle <= LIMIT_CHILD;
}

int main(int argc, char **argv)
{
    g_autofree char *folder =
        argc > 1 ? g_strdup(argv[1]) : g_dir_make_tmp("bench-seek-XXXXXX", NULL);
    if (folder == NULL || g_mkdir_with_parents(folder, 0700) != 0) {
        fail("a folder for the films", NULL);
    }
    g_setenv("XDG_CACHE_HOME", folder, true);
    printf("%-22s %6s %6s %6s %6s   %11s  %s\n", "", "seek", "ms", "floor", "ms", "ratio",
           "limit skipped");
    printf("%-22s %6s %6s %6s %6s   %5s %5s\n", "film", "p50", "p95", "p50", "p95", "p50",
           "p95");
    bool kept = true;
    const char *part = argc > 2 ? argv[2] : "";
    for (size_t i = 0; i < G_N_ELEMENTS(films); i++) {
        if (!g_str_has_prefix(films[i].name, part)) {
            continue;
        }
        g_autofree char *path = g_build_filename(folder, films[i].name, NULL);
        make_film(&films[i], path);
        kept = bench_seeks(&films[i], path) && kept;
        fflush(stdout);
    }
    g_autofree char *first = g_build_filename(folder, films[0].name, NULL);
    make_film(&films[0], first);
    if (part[0] == '\0' || strcmp(part, "helper") == 0) {
        kept = bench_helper(first) && kept;
    }
    return kept ? EXIT_SUCCESS : EXIT_FAILURE;
}
