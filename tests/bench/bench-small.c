/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast small pictures are made in advance, beside what decoding that film alone reaches in the
 * same run, which making them cannot pass. Where the processor's time goes: this program's own
 * part, and that of the helpers. Not a test: run it by hand, on films such as bench-seek keeps.
 *
 *     bench-small FILM...             each three times */
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>

#include "rb/film/frames.h"
#include "rb/film/small-pictures.h"

#include "plain-decode.h"

#define ROUNDS 3
#define WANTED_TIMES 3.0

static void fail(const char *what, const GError *error)
{
    fprintf(stderr, "%s: %s\n", what, error != NULL ? error->message : "failed");
    exit(EXIT_FAILURE);
}

static double cpu_s(int who)
{
    struct rusage used;
    getrusage(who, &used);
    return (double)(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
           (double)(used.ru_utime.tv_usec + used.ru_stime.tv_usec) / 1e6;
}

typedef struct {
    int64_t frames;
    double rate; /* of the film */
} Facts;

static Facts facts_of(const char *path)
{
    GError *error = NULL;
    RbReel *reel = rb_reel_open_wait(path, NULL, 0, NULL, &error); /* keeps the index */
    if (reel == NULL) {
        fail(path, error);
    }
    Facts facts = { .frames = rb_reel_get_frame_count(reel) };
    const int64_t end = rb_reel_get_frame_us(reel, facts.frames - 1);
    facts.rate = (double)(facts.frames - 1) * 1e6 / (double)MAX(end, 1);
    rb_reel_close(reel);
    rb_reel_wait_all_closed(10000);
    return facts;
}

static void measure(const char *path, const Facts *facts)
{
    GError *error = NULL;
    g_autoptr(PlainFilm) plain = plain_film_open(path);
    const double before = plain_film_rate(plain, (int)facts->frames);
    const double own = cpu_s(RUSAGE_SELF);
    const double helpers = cpu_s(RUSAGE_CHILDREN);
    const int64_t start = g_get_monotonic_time();
    g_autofree char *copy =
        rb_small_make(path, 0, facts->frames - 1, INT64_C(8) << 30, NULL, NULL, &error);
    if (copy == NULL) {
        fail("making small pictures", error);
    }
    const double s = (double)(g_get_monotonic_time() - start) / 1e6;
    rb_reel_wait_all_closed(10000);
    const double own_ms = 1000 * (cpu_s(RUSAGE_SELF) - own) / (double)facts->frames;
    const double helpers_ms =
        1000 * (cpu_s(RUSAGE_CHILDREN) - helpers) / (double)facts->frames;
    const double after = plain_film_rate(plain, (int)facts->frames);
    const double times = (double)facts->frames / s / facts->rate;
    const double alone = (before + after) / 2 / facts->rate;
    GStatBuf file = { 0 };
    g_stat(copy, &file);
    printf("%-24s %5.2f %6.2f %6.2f  %7.1f %7.1f %6.0f  %s\n", g_path_get_basename(path),
           times, alone, times / alone, own_ms, helpers_ms,
           (double)file.st_size / 1e3 / (double)facts->frames,
           times >= WANTED_TIMES ? "kept" : "slower than wanted");
    fflush(stdout);
    g_unlink(copy);
}

int main(int argc, char **argv)
{
    g_autofree char *cache = g_dir_make_tmp("bench-small-XXXXXX", NULL);
    if (argc < 2 || cache == NULL) {
        fail("bench-small FILM...", NULL);
    }
    g_setenv("XDG_CACHE_HOME", cache, true);
    printf("%-24s %5s %6s %6s  %7s %7s %6s\n", "times the film's speed", "made", "alone",
           "share", "own ms", "helpers", "kB");
    for (int i = 1; i < argc; i++) {
        const Facts facts = facts_of(argv[i]);
        for (int k = 0; k < ROUNDS; k++) {
            measure(argv[i], &facts);
        }
    }
    return EXIT_SUCCESS;
}
