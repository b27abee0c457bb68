/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>

#include "rb/film/frames.h"
#include "rb/film/scene-cuts.h"

#include "plain-decode.h"

/* bench-cuts [FILM]: how fast a long recording is cut: against its own length (real time), and
 * against the plain decoder going through all of it. Without a film one is made: five shots of
 * eight seconds at 1920x1080 and 59.94 frames a second. The index is made in the same run and
 * told apart, since a film is indexed once for all uses. */

enum { SHOTS = 5, SHOT_SECONDS = 8, PLAIN_FRAMES = 600 };

static void must(bool ok, const char *what)
{
    if (!ok) {
        fprintf(stderr, "%s\n", what);
        exit(EXIT_FAILURE);
    }
}

/* Noise moves on a ground of its own in each shot. */
static char *make_film(const char *folder)
{
    g_autofree char *path = g_build_filename(folder, "long.mp4", NULL);
    g_autoptr(GString) line = g_string_new("ffmpeg -v error -nostdin -y");
    g_autoptr(GString) join = g_string_new(NULL);
    for (int i = 0; i < SHOTS; i++) {
        g_string_append_printf(
            line,
            " -f lavfi -t %d -i mandelbrot=size=1920x1080:rate=60000/1001:start_scale=%d."
            "%d:end_pts=4000",
            SHOT_SECONDS, 1 + i, i * 2);
        g_string_append_printf(join, "[%d]hue=h=%d,noise=alls=6:allf=t[s%d];", i, i * 70,
                               i);
    }
    for (int i = 0; i < SHOTS; i++) {
        g_string_append_printf(join, "[s%d]", i);
    }
    g_string_append_printf(line,
                           " -filter_complex '%sconcat=n=%d[v]' -map [v] -c:v libx264 "
                           "-preset veryfast -crf 26 -g 60 -sc_threshold 0 -pix_fmt "
                           "yuv420p %s",
                           join->str, SHOTS, path);
    int status = 1;
    must(g_spawn_command_line_sync(line->str, NULL, NULL, &status, NULL) && status == 0,
         "ffmpeg could not make the film");
    return g_steal_pointer(&path);
}

static double seconds_since(gint64 start)
{
    return (double)(g_get_monotonic_time() - start) / 1e6;
}

static void measure(const char *path, bool made)
{
    GError *error = NULL;
    RbSceneStats stats;
    g_autoptr(GArray) cuts = NULL;
    gint64 start = g_get_monotonic_time();
    g_autoptr(RbReel) reel = rb_reel_open_wait(path, NULL, 0, NULL, &error);
    must(reel != NULL, error != NULL ? error->message : "");
    const double index_s = seconds_since(start);
    start = g_get_monotonic_time();
    must(rb_scene_find_cuts(reel, &cuts, &stats, NULL, NULL, &error),
         error != NULL ? error->message : "");
    const double cuts_s = seconds_since(start);
    const double film_s = (double)rb_reel_get_frame_us(reel, stats.frames - 1) / 1e6;
    g_autoptr(PlainFilm) plain = plain_film_open(path);
    const int frames = (int)MIN(stats.frames, PLAIN_FRAMES);
    const double plain_s = (double)stats.frames / plain_film_rate(plain, frames);
    printf("%u cuts in %.1f s of film; %.1f %% of its frames decoded\n", cuts->len,
           film_s, 100 * (double)stats.decoded / (double)stats.frames);
    printf("cutting: %.1f times real time; with the index %.1f times\n", film_s / cuts_s,
           film_s / (cuts_s + index_s));
    printf("cutting: %.1f times as fast as decoding all of it plainly\n",
           plain_s / cuts_s);
    /* A faster search that misses cuts is none. */
    must(!made || cuts->len == SHOTS - 1, "not the cuts that were made");
}

int main(int argc, char **argv)
{
    if (argc > 2) {
        fprintf(stderr, "usage: bench-cuts [FILM]\n");
        return 2;
    }
    if (argc == 2) {
        measure(argv[1], false);
        return 0;
    }
    g_autofree char *folder = g_dir_make_tmp("rb-bench-XXXXXX", NULL);
    must(folder != NULL, "no room for the film");
    g_autofree char *path = make_film(folder);
    measure(path, true);
    g_unlink(path);
    g_rmdir(folder);
    return 0;
}
