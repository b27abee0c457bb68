/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>

#include "rb/film/cutter.h"

/* The same cut-up of 60 clips of 2 s, from key frame to key frame, by us and by the command line
 * of ffmpeg, copied and encoded, in turn; prints our speed over ffmpeg's, the best of some runs
 * each. Encoder, preset, quality, groups and B-frames are the same. Ours must have each frame
 * once; ffmpeg copies two frames past the end of each clip, 3 in 100. */

enum { CLIPS = 60, CLIP_FRAMES = 60, COPY_RUNS = 5, ENCODE_RUNS = 2 };

static void ffmpeg(const char *words)
{
    g_autofree char *line = g_strconcat("ffmpeg -v error -nostdin -y ", words, NULL);
    GError *error = NULL;
    int status = 1;
    if (!g_spawn_command_line_sync(line, NULL, NULL, &status, &error) || status != 0) {
        fprintf(stderr, "%s: %s\n", line, error != NULL ? error->message : "failed");
        exit(EXIT_FAILURE);
    }
}

/* A faster export that lacks frames is none. more: some frames too many are no fault. */
static void must_be_whole(const char *out, bool more)
{
    g_autofree char *line =
        g_strdup_printf("ffprobe -v error -select_streams v -count_packets -show_entries "
                        "stream=nb_read_packets -of csv=p=0 %s",
                        out);
    g_autofree char *said = NULL;
    if (!g_spawn_command_line_sync(line, &said, NULL, NULL, NULL) ||
        g_ascii_strtoll(said, NULL, 10) < CLIPS * CLIP_FRAMES ||
        (!more && g_ascii_strtoll(said, NULL, 10) != CLIPS * CLIP_FRAMES)) {
        fprintf(stderr, "%s has %s frames\n", out, said != NULL ? said : "no");
        exit(EXIT_FAILURE);
    }
}

static double ours(const char *film, const char *out, bool encode)
{
    RbCutSpan spans[CLIPS];
    for (int i = 0; i < CLIPS; i++) {
        spans[i] = (RbCutSpan)RB_CUT_SPAN(film, i * CLIP_FRAMES,
                                          i * CLIP_FRAMES + CLIP_FRAMES - 1);
    }
    const RbCutterOptions options = { .encode = encode, .crf = 23 };
    GError *error = NULL;
    const gint64 start = g_get_monotonic_time();
    if (!rb_cutter_write(out, spans, CLIPS, &options, NULL, NULL, NULL, &error)) {
        fprintf(stderr, "%s\n", error->message);
        exit(EXIT_FAILURE);
    }
    return (double)(g_get_monotonic_time() - start) / 1e6;
}

static double theirs(const char *list, const char *out, const char *how)
{
    g_autofree char *words =
        g_strdup_printf("-f concat -safe 0 -i %s %s -an %s", list, how, out);
    const gint64 start = g_get_monotonic_time();
    ffmpeg(words);
    return (double)(g_get_monotonic_time() - start) / 1e6;
}

static void write_list(const char *film, const char *list)
{
    g_autoptr(GString) text = g_string_new(NULL);
    for (int i = 0; i < CLIPS; i++) {
        g_string_append_printf(text, "file '%s'\ninpoint %d\noutpoint %d\n", film, i * 2,
                               i * 2 + 2);
    }
    if (!g_file_set_contents(list, text->str, -1, NULL)) {
        exit(EXIT_FAILURE);
    }
}

int main(void)
{
    g_autofree char *folder = g_dir_make_tmp("rb-bench-XXXXXX", NULL);
    g_autofree char *film = g_build_filename(folder, "film.mp4", NULL);
    g_autofree char *list = g_build_filename(folder, "list.txt", NULL);
    g_autofree char *out = g_build_filename(folder, "out.mp4", NULL);
    g_autofree char *make = g_strconcat(
        "-f lavfi -i testsrc2=s=640x360:r=30:d=125 -c:v libx264 -preset ultrafast "
        "-pix_fmt yuv420p -g 30 -bf 2 -an ",
        film, NULL);
    ffmpeg(make);
    write_list(film, list);
    ours(film, out, false); /* the index is made */
    for (int encode = 0; encode < 2; encode++) {
        double best_ours = G_MAXDOUBLE;
        double best_theirs = G_MAXDOUBLE;
        for (int i = 0; i < (encode != 0 ? ENCODE_RUNS : COPY_RUNS); i++) {
            const double us = ours(film, out, encode != 0);
            must_be_whole(out, false);
            const double them =
                theirs(list, out,
                       encode != 0 ? "-c:v libx264 -preset veryfast -crf 23 -g 60 -bf 2"
                                   : "-c copy");
            must_be_whole(out, true);
            best_ours = MIN(best_ours, us);
            best_theirs = MIN(best_theirs, them);
        }
        printf("%s: %.2f s, ffmpeg %.2f s: %.2f of its speed\n",
               encode != 0 ? "encode" : "copy", best_ours, best_theirs,
               best_theirs / best_ours);
    }
    g_unlink(film);
    g_unlink(list);
    g_unlink(out);
    g_rmdir(folder);
    return EXIT_SUCCESS;
}
