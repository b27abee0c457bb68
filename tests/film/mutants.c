/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* MAP_ANONYMOUS */
/* Films with bytes changed, cut, moved, doubled and mixed, opened one after the other as a
 * person would. The parent must not crash, hang, or leak a descriptor or a process; what the
 * helper suffers is counted and told. Time-boxed: 30 s, or with RB_TEST_LONG 20,000 films within
 * 20 minutes, by as many processes as there are processors. Most helpers are forked, since loading
 * their libraries would take most of the time. RB_TEST_SEED repeats a run. */
#include <dirent.h>
#include <errno.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include "rb/base/random.h"
#include "rb/film/error.h"
#include "rb/film/frames.h"

#include "film/growth.h"
#include "forked-helper.h"

#define SHORT_S 30
#define LONG_S 1200
#define LONG_FILMS 20000

/* No call of the parent may take longer, whatever the film; a busy machine has half of it. */
#define CALL_LIMIT_S 2.0
/* Three helpers may each hang for the watchdog's time before a film is given up. */
#define ANSWER_LIMIT_MS 60000

static const char *const kinds[][2] = {
    { "a.mp4", "-c:v libx264 -preset ultrafast -bf 2 -g 10" },
    { "b.mp4",
      "-c:v libx264 -preset ultrafast -g 10 -movflags frag_keyframe+empty_moov" },
    { "c.mov", "-c:v mjpeg -q:v 8" },
    { "d.mkv", "-c:v libx264 -preset ultrafast -bf 2 -g 10" },
    { "e.webm", "-c:v libvpx-vp9 -cpu-used 8 -deadline realtime -g 10" },
    { "f.ts", "-c:v libx264 -preset ultrafast -bf 2 -g 10" },
    { "g.ts", "-c:v libx265 -preset ultrafast -x265-params keyint=10:log-level=none" },
    { "h.mpg", "-c:v mpeg2video -bf 2 -g 10" },
    { "i.avi", "-c:v mpeg4 -bf 2 -g 10" },
    { "j.avi", "-c:v libx264 -preset ultrafast -bf 2 -g 10" },
    { "k.flv", "-c:v libx264 -preset ultrafast -g 10" },
    { "l.h264", "-c:v libx264 -preset ultrafast -bf 2 -g 10" },
    { "m.m2ts", "-c:v libx264 -preset ultrafast -flags +ilme+ildct -mpegts_m2ts_mode 1" },
    { "n.wmv", "-c:v wmv2 -g 10" },
};

enum { KINDS = sizeof kinds / sizeof kinds[0] };

static char *folder; /* owned */
static GByteArray *films[KINDS];
static char *last_path; /* owned: what is being opened, for the message of a failure */

/* Indexes are kept and trimmed by the folder's listing, which must not grow with the run. */
#define CACHE_FILMS 200

#define WORKERS_MAX 64

/* So often the helper is started as it is for a person. */
#define STARTED_FILMS 20

typedef struct {
    int64_t films;
    int64_t used;
    int64_t refused;
    int64_t doubtful;
    int64_t deaths;
    double slowest_call_s;
    double slowest_film_s;
} Counts;

static Counts counts; /* of this process */

static void fail(const char *what)
{
    fprintf(stderr, "%s: %s\n", last_path != NULL ? last_path : "mutants", what);
    exit(EXIT_FAILURE);
}

static void make_films(void)
{
    for (int i = 0; i < KINDS; i++) {
        g_autofree char *path = g_build_filename(folder, kinds[i][0], NULL);
        g_autofree char *command = g_strdup_printf(
            "ffmpeg -v error -nostdin -y -f lavfi -i testsrc2=s=96x64:r=30:d=1 "
            "-pix_fmt yuv%sp %s %s",
            g_str_has_suffix(path, ".mov") ? "j420" : "420", kinds[i][1], path);
        int status = 1;
        char *bytes = NULL;
        gsize n = 0;
        if (!g_spawn_command_line_sync(command, NULL, NULL, &status, NULL) ||
            status != 0 || !g_file_get_contents(path, &bytes, &n, NULL)) {
            fail(kinds[i][0]);
        }
        films[i] = g_byte_array_new_take((guint8 *)bytes, n);
        g_unlink(path);
    }
}

/* Headers and indexes stand at the ends, so half of all harm is done there. */
static guint some_place(RbRandom *random, guint n)
{
    const guint near = MIN(n, 2048);
    switch (rb_random_int(random, 0, 3)) {
    case 0:
        return (guint)rb_random_int(random, 0, (int)near - 1);
    case 1:
        return n - 1 - (guint)rb_random_int(random, 0, (int)near - 1);
    default:
        return (guint)rb_random_int(random, 0, (int)n - 1);
    }
}

static void flip_bytes(RbRandom *random, GByteArray *film)
{
    for (int i = rb_random_int(random, 1, 64); i > 0; i--) {
        film->data[some_place(random, film->len)] ^=
            (guint8)(1 << rb_random_int(random, 0, 7));
    }
}

/* Lengths, counts and offsets are mostly four bytes, large end first. */
static void change_number(RbRandom *random, GByteArray *film)
{
    static const guint32 numbers[] = { 0,          1,          7,          0x7fffffff,
                                       0x80000000, 0xffffffff, 0xfffffff0, 0x10000 };
    for (int i = rb_random_int(random, 1, 6); i > 0; i--) {
        const guint at = some_place(random, film->len - 4) & ~1U;
        const guint32 number = GUINT32_TO_BE(numbers[rb_random_int(random, 0, 7)]);
        memcpy(film->data + at, &number, sizeof number);
    }
}

/* A piece taken out, put in twice, moved, zeroed, or taken from another kind of film. */
static void move_pieces(RbRandom *random, GByteArray *film)
{
    const guint at = some_place(random, film->len);
    const guint wish = (guint)rb_random_int(random, 1, 4000);
    const guint n = MIN(wish, film->len - at);
    g_autofree guint8 *piece = g_memdup2(film->data + at, n);
    const GByteArray *other = films[rb_random_int(random, 0, KINDS - 1)];
    const guint to = some_place(random, film->len);
    switch (rb_random_int(random, 0, 4)) {
    case 0:
        g_byte_array_remove_range(film, at, n);
        return;
    case 1:
        memmove(film->data + to, piece, MIN(n, film->len - to));
        return;
    case 2:
        memset(film->data + at, 0, n);
        return;
    case 3: {
        const guint from = some_place(random, other->len);
        memcpy(film->data + at, other->data + from, MIN(n, other->len - from));
        return;
    }
    default:
        g_byte_array_append(film, piece, n);
        memmove(film->data + at + n, film->data + at, film->len - at - n);
        memcpy(film->data + at, piece, n);
        return;
    }
}

static GByteArray *mutate(RbRandom *random)
{
    const GByteArray *whole = films[rb_random_int(random, 0, KINDS - 1)];
    GByteArray *film = g_byte_array_new();
    g_byte_array_append(film, whole->data, whole->len);
    for (int i = rb_random_int(random, 1, 3); i > 0 && film->len > 64; i--) {
        switch (rb_random_int(random, 0, 3)) {
        case 0:
            flip_bytes(random, film);
            break;
        case 1:
            change_number(random, film);
            break;
        case 2:
            move_pieces(random, film);
            break;
        default:
            g_byte_array_set_size(film, some_place(random, film->len) + 1);
            break;
        }
    }
    return film;
}

static double seconds_since(int64_t start)
{
    return (double)(g_get_monotonic_time() - start) / 1e6;
}

static void note_call(int64_t start)
{
    const double s = seconds_since(start);
    counts.slowest_call_s = MAX(counts.slowest_call_s, s);
    if (s > CALL_LIMIT_S) {
        fail("a call that must not wait did");
    }
}

static void show_frames(RbReel *reel, RbRandom *random)
{
    const int64_t n = rb_reel_get_frame_count(reel);
    const int64_t wanted[] = { 0, n - 1, rb_random_int(random, 0, (int)n - 1) };
    for (int i = 0; i < 3; i++) {
        g_autoptr(GError) error = NULL;
        g_autoptr(RbPicture) picture =
            rb_reel_wait_frame(reel, wanted[i], NULL, NULL, ANSWER_LIMIT_MS, &error);
        if (picture == NULL &&
            g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_TIMEOUT)) {
            fail("no answer");
        }
        counts.doubtful += picture != NULL && rb_picture_is_doubtful(picture);
    }
}

static void use_film(const char *path, RbRandom *random)
{
    const int64_t start = g_get_monotonic_time();
    RbReel *reel = rb_reel_open(path, NULL, NULL);
    note_call(start);
    g_autoptr(GError) error = NULL;
    if (rb_reel_wait_ready(reel, NULL, ANSWER_LIMIT_MS, NULL, &error)) {
        counts.used++;
        show_frames(reel, random);
    } else if (g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_TIMEOUT)) {
        fail("no answer");
    } else {
        counts.refused++;
    }
    RbReelStatus status;
    rb_reel_get_status(reel, &status);
    counts.deaths += status.helper_deaths;
    if (status.helper_deaths > 0) {
        printf("%s: %d deaths of the helper\n", path, (int)status.helper_deaths);
    }
    const int64_t closing = g_get_monotonic_time();
    rb_reel_close(reel);
    note_call(closing);
    if (!rb_reel_wait_all_closed(10000)) {
        fail("its thread did not end");
    }
    counts.slowest_film_s = MAX(counts.slowest_film_s, seconds_since(start));
}

static int open_descriptors(void)
{
    int n = 0;
    DIR *dir = opendir("/proc/self/fd");
    while (dir != NULL && readdir(dir) != NULL) {
        n++;
    }
    closedir(dir);
    return n;
}

static void empty_cache(void)
{
    g_autofree char *cache = g_build_filename(folder, "readbreak", "index", NULL);
    g_autoptr(GDir) dir = g_dir_open(cache, 0, NULL);
    const char *name = NULL;
    while (dir != NULL && (name = g_dir_read_name(dir)) != NULL) {
        g_autofree char *path = g_build_filename(cache, name, NULL);
        g_unlink(path);
    }
}

static void run(RbRandom *random, double limit_s, int64_t most)
{
    const int64_t start = g_get_monotonic_time();
    const int before = open_descriptors();
    while (counts.films < most && seconds_since(start) < limit_s) {
        g_autoptr(GByteArray) film = mutate(random);
        g_autofree char *name = g_strdup_printf("%d", (int)counts.films);
        g_free(last_path);
        last_path = g_build_filename(folder, name, NULL);
        if (!g_file_set_contents(last_path, (const char *)film->data, film->len, NULL)) {
            fail("cannot be written");
        }
        const int64_t deaths = counts.deaths;
#ifndef __SANITIZE_THREAD__
        forked_helper_use(counts.films % STARTED_FILMS != 0);
#endif
        use_film(last_path, random);
        counts.films++;
        if (counts.deaths == deaths) {
            g_unlink(last_path); /* those that did harm are kept to be looked at */
        }
        if (counts.films % CACHE_FILMS == 0) {
            empty_cache();
        }
    }
    if (open_descriptors() != before) {
        fail("descriptors were left open");
    }
    if (waitpid(-1, NULL, WNOHANG) != -1 || errno != ECHILD) {
        fail("a helper was left behind");
    }
}

/* In a process of its own. Does not return. */
static _Noreturn void work(int worker, uint64_t seed, double limit_s, int64_t most,
                           Counts *result)
{
    g_autofree char *own = g_strdup_printf("%s/%d", folder, worker);
    if (g_mkdir(own, 0700) != 0) {
        fail("no folder");
    }
    folder = g_steal_pointer(&own);
    g_setenv("XDG_CACHE_HOME", folder, true);
    RbRandom random;
    rb_random_seed(&random, seed + (uint64_t)worker);
    run(&random, limit_s, most);
    *result = counts;
    fflush(stdout);
    _exit(EXIT_SUCCESS); /* leaks are looked for in the run of one process */
}

static void add_counts(const Counts *more)
{
    counts.films += more->films;
    counts.used += more->used;
    counts.refused += more->refused;
    counts.doubtful += more->doubtful;
    counts.deaths += more->deaths;
    counts.slowest_call_s = MAX(counts.slowest_call_s, more->slowest_call_s);
    counts.slowest_film_s = MAX(counts.slowest_film_s, more->slowest_film_s);
}

static void run_workers(int n, uint64_t seed)
{
    Counts *results = mmap(NULL, sizeof(Counts) * WORKERS_MAX, PROT_READ | PROT_WRITE,
                           MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (results == MAP_FAILED) {
        fail("no memory");
    }
    fflush(stdout);
    for (int i = 0; i < n; i++) {
        const pid_t pid = fork();
        if (pid == 0) {
            work(i, seed, LONG_S, (LONG_FILMS + n - 1) / n, &results[i]);
        }
        if (pid < 0) {
            fail("no process");
        }
    }
    bool all_well = true;
    for (int i = 0; i < n; i++) {
        int status = 0;
        all_well = wait(&status) > 0 && status == 0 && all_well;
    }
    for (int i = 0; i < n; i++) {
        add_counts(&results[i]);
    }
    munmap(results, sizeof(Counts) * WORKERS_MAX);
    if (!all_well) {
        fail("one of the processes failed");
    }
}

int main(void)
{
    const bool is_long = g_getenv("RB_TEST_LONG") != NULL;
    const char *seed_text = g_getenv("RB_TEST_SEED");
    const uint64_t seed = seed_text != NULL ? g_ascii_strtoull(seed_text, NULL, 10)
                                            : (uint64_t)g_get_real_time();
    folder = g_dir_make_tmp("rb-mutants-XXXXXX", NULL);
    if (folder == NULL) {
        fail("no folder");
    }
    printf("seed %" G_GUINT64_FORMAT "\n", seed);
    g_setenv("XDG_CACHE_HOME", folder, true);
    rb_growth_set_ms(0, 0);
    make_films();
    if (is_long) {
        run_workers(CLAMP((int)g_get_num_processors(), 1, WORKERS_MAX), seed);
    } else {
        RbRandom random;
        rb_random_seed(&random, seed);
        run(&random, SHORT_S, INT64_MAX);
    }
    printf(
        "%d films: %d used, %d refused, %d doubtful pictures, %d deaths of the helper; "
        "slowest call %.3f s, slowest film %.1f s\n",
        (int)counts.films, (int)counts.used, (int)counts.refused, (int)counts.doubtful,
        (int)counts.deaths, counts.slowest_call_s, counts.slowest_film_s);
    for (int i = 0; i < KINDS; i++) {
        g_byte_array_unref(films[i]);
    }
    g_free(last_path);
    g_free(folder);
    return EXIT_SUCCESS;
}
