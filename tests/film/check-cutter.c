/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "rb/base/error.h"
#include "rb/film/cutter.h"
#include "rb/film/error.h"

#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_cutter(void);

/* What is exported, judged by the command line of ffmpeg: its straight decode of the film is
 * what the frames must be, its straight decode of the export is what they are. */

#define FRAMES 120
#define WIDTH 160
#define HEIGHT 96
#define FRAME_BYTES (WIDTH * HEIGHT * 3 / 2)

/* Least likeness of a frame that was encoded again, in dB of luma. */
#define PSNR_LEAST 38.0

#define SECOND_US 1000000

typedef struct {
    const char *name;
    const char *encode; /* arguments of ffmpeg between the inputs and the film */
    const char *again;  /* nullable: "BEFORE|AFTER" the input of a second ffmpeg */
    bool copies;        /* some of the clip must be copied */
    int width;          /* 0: 160 by 96 */
    int height;
} Kind;

#define X264_B "-c:v libx264 -preset veryfast -bf 2 "
#define SOUND " -c:a aac -b:a 96k"

static const Kind kinds[] = {
    { "closed.mp4", X264_B "-g 15" SOUND, NULL, true, 0, 0 },
    { "nob.mp4", X264_B "-bf 0 -g 20" SOUND, NULL, true, 0, 0 },
    { "pyramid.mp4",
      "-c:v libx264 -preset fast -bf 8 -x264-params b-pyramid=normal -g 20" SOUND, NULL,
      true, 0, 0 },
    { "closed.ts", X264_B "-g 15" SOUND, NULL, true, 0, 0 },
    { "open.mp4", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" SOUND, NULL, false, 0,
      0 },
    { "open.ts", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" SOUND, NULL, false, 0,
      0 },
    { "mpeg2.ts", "-c:v mpeg2video -flags +ilme+ildct -bf 2 -g 12 -q:v 3 -c:a mp2", NULL,
      false, 0, 0 },
    { "mbaff.ts", X264_B "-flags +ilme+ildct -x264-params tff=1 -g 15" SOUND, NULL, true,
      0, 0 },
    { "vfr.mp4",
      "-vf settb=1/90000,setpts=N*3000+mod(N*7\\,5)*100+floor(N/20)*27000 "
      "-vsync passthrough " X264_B "-g 15" SOUND,
      NULL, true, 0, 0 },
    { "vfr.mkv",
      "-vf settb=1/1000,setpts=N*33+floor(N/20)*300 -vsync passthrough " X264_B
      "-g 15" SOUND,
      NULL, true, 0, 0 },
    { "rotated.mp4", X264_B "-g 15 -metadata:s:v rotate=90" SOUND, NULL, true, 0, 0 },
    { "list.mp4", X264_B "-g 15 -x264-params scenecut=0" SOUND, "-ss 0.77|-c copy", true,
      0, 0 },
    { "shape.mp4", X264_B "-g 15 -aspect 16:9" SOUND, NULL, true, 0, 0 },
    { "hevc.mp4",
      "-c:v libx265 -preset ultrafast -x265-params "
      "bframes=3:keyint=20:open-gop=1:log-level=none" SOUND,
      NULL, false, 0, 0 },
    { "ten.mp4", "-c:v libx264 -pix_fmt yuv420p10le -preset veryfast -g 15" SOUND, NULL,
      false, 0, 0 },
    { "late.mkv", X264_B "-g 15 -output_ts_offset 10" SOUND, NULL, true, 0, 0 },
    { "asp.avi", "-c:v mpeg4 -bf 2 -g 15 -q:v 3 -c:a pcm_s16le", NULL, false, 0, 0 },
};

static void add_words(GPtrArray *argv, const char *words)
{
    g_auto(GStrv) parts = g_strsplit(words, " ", -1);
    for (char **part = parts; *part != NULL; part++) {
        if (**part != '\0') {
            g_ptr_array_add(argv, g_strdup(*part));
        }
    }
}

/* Runs "ffmpeg WORDS…"; a word "@" takes the next of `paths`. Returns what it said on stderr. */
static char *ffmpeg(const char *words, const char *const *paths)
{
    g_autoptr(GPtrArray) argv = g_ptr_array_new_with_free_func(g_free);
    add_words(argv, words);
    for (guint i = 0; i < argv->len; i++) {
        if (strcmp(argv->pdata[i], "@") == 0) {
            g_free(argv->pdata[i]);
            argv->pdata[i] = g_strdup(*paths++);
        }
    }
    g_ptr_array_add(argv, NULL);
    int status = 1;
    char *errors = NULL;
    ck_assert(g_spawn_sync(NULL, (char **)argv->pdata, NULL, G_SPAWN_SEARCH_PATH, NULL,
                           NULL, NULL, &errors, &status, NULL));
    ck_assert_msg(status == 0, "%s: %s", words, errors);
    return errors;
}

/* A beep of 50 ms at every whole second. */
#define BEEPS                                                                            \
    "-f lavfi -i aevalsrc=exprs=if(lt(mod(t\\,1)\\,0.05)\\,0.7*sin(2*PI*1000*t)\\,0)"    \
    ":s=48000:d=9 -shortest "

static char *make_film(const Kind *kind)
{
    g_autofree char *raw = film_write_raw("raw.yuv", WIDTH, HEIGHT, FRAMES);
    g_autofree char *first =
        kind->again != NULL ? rb_test_path("first.mp4") : rb_test_path(kind->name);
    g_autofree char *words =
        g_strconcat("ffmpeg -v error -nostdin -y -f rawvideo -pix_fmt yuv420p -s 160x96 "
                    "-r 30 -threads 1 -i @ " BEEPS,
                    kind->encode, " @", NULL);
    g_free(ffmpeg(words, (const char *const[]){ raw, first }));
    char *path = rb_test_path(kind->name);
    if (kind->again != NULL) {
        g_auto(GStrv) sides = g_strsplit(kind->again, "|", 2);
        g_autofree char *second = g_strdup_printf(
            "ffmpeg -v error -nostdin -y %s -i @ %s @", sides[0], sides[1]);
        g_free(ffmpeg(second, (const char *const[]){ first, path }));
    }
    return path;
}

/* All frames as coded, one behind the other. */
static uint8_t *decode(const char *path, gsize *frames)
{
    g_autofree char *raw = rb_test_path("decoded.yuv");
    g_free(ffmpeg("ffmpeg -v error -nostdin -y -noautorotate -i @ -map 0:v:0 -vsync "
                  "passthrough -pix_fmt yuv420p -f rawvideo @",
                  (const char *const[]){ path, raw }));
    char *bytes = NULL;
    gsize n = 0;
    ck_assert(g_file_get_contents(raw, &bytes, &n, NULL));
    ck_assert_uint_eq(n % FRAME_BYTES, 0);
    *frames = n / FRAME_BYTES;
    return (uint8_t *)bytes;
}

static double psnr(const uint8_t *a, const uint8_t *b)
{
    double sum = 0.0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        sum += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return sum > 0.0 ? 10.0 * log10(255.0 * 255.0 * WIDTH * HEIGHT / sum) : INFINITY;
}

/* Nothing but the picture and the sound, and nothing to complain of for either reader. */
static void assert_plays(const char *path)
{
    g_autofree char *said = ffmpeg(
        "ffmpeg -v warning -nostdin -i @ -fps_mode passthrough -enc_time_base -1 -f null -",
        (const char *const[]){ path });
    ck_assert_msg(said[0] == '\0', "ffmpeg said: %s", said);
    g_autofree char *probed = ffmpeg("ffprobe -v warning -show_packets -of csv @",
                                     (const char *const[]){ path });
    ck_assert_msg(probed[0] == '\0', "ffprobe said: %s", probed);
}

static double probe_number(const char *path, const char *entries)
{
    g_autofree char *text =
        read_program("ffprobe", "-v", "error", "-select_streams", "v", "-show_entries",
                     entries, "-of", "csv=p=0", path, NULL);
    ck_assert_ptr_nonnull(text);
    return g_ascii_strtod(text, NULL);
}

/* Seconds of the beeps' starts. */
static GArray *find_beeps(const char *path)
{
    g_autofree char *raw = rb_test_path("sound.f32");
    g_free(ffmpeg("ffmpeg -v error -nostdin -y -i @ -map 0:a:0 -af aresample=async=1:"
                  "first_pts=0 -ac 1 -ar 48000 -f f32le @",
                  (const char *const[]){ path, raw }));
    g_autofree char *bytes = NULL;
    gsize n = 0;
    ck_assert(g_file_get_contents(raw, &bytes, &n, NULL));
    const float *samples = (const float *)(void *)bytes;
    GArray *beeps = g_array_new(FALSE, FALSE, sizeof(double));
    gsize quiet = 48000;
    for (gsize i = 0; i < n / sizeof *samples; i++) {
        if (fabsf(samples[i]) < 0.2F) {
            quiet++;
            continue;
        }
        if (quiet > 4800) {
            const double at = (double)i / 48000.0;
            g_array_append_val(beeps, at);
        }
        quiet = 0;
    }
    return beeps;
}

/* Times of the film's frames by ffprobe, from the first. */
static double *frame_times(const char *path, int *n)
{
    g_autofree char *text =
        read_program("ffprobe", "-v", "error", "-select_streams", "v", "-show_entries",
                     "frame=best_effort_timestamp_time", "-of", "csv=p=0", path, NULL);
    ck_assert_ptr_nonnull(text);
    g_auto(GStrv) lines = g_strsplit(g_strstrip(text), "\n", -1);
    double *times = g_new(double, g_strv_length(lines) + 1);
    *n = 0;
    for (char **line = lines; *line != NULL; line++) {
        if (g_ascii_isdigit(**line)) { /* side data makes lines of its own */
            times[(*n)++] = g_ascii_strtod(*line, NULL);
        }
    }
    return times;
}

static void assert_frames(const char *film, const char *out, int first, int last,
                          const RbCutResult *result)
{
    gsize n_film = 0;
    gsize n_out = 0;
    g_autofree uint8_t *wanted = decode(film, &n_film);
    g_autofree uint8_t *have = decode(out, &n_out);
    ck_assert_uint_eq(n_out, (gsize)(last - first + 1));
    int64_t same = 0;
    for (gsize i = 0; i < n_out; i++) {
        const double like =
            psnr(wanted + ((gsize)first + i) * FRAME_BYTES, have + i * FRAME_BYTES);
        ck_assert_msg(like >= PSNR_LEAST, "frame %zu: %.1f dB", i, like);
        same += memcmp(wanted + ((gsize)first + i) * FRAME_BYTES, have + i * FRAME_BYTES,
                       FRAME_BYTES) == 0;
    }
    ck_assert_int_ge(same, result->copied);
    ck_assert_int_eq(result->copied + result->encoded, last - first + 1);
}

static void assert_sound(const char *film, const char *out, double starts, double ends)
{
    g_autoptr(GArray) wanted = find_beeps(film);
    g_autoptr(GArray) have = find_beeps(out);
    guint found = 0;
    for (guint i = 0; i < wanted->len; i++) {
        const double at = g_array_index(wanted, double, i);
        if (at < starts + 0.1 || at > ends - 0.1) {
            continue;
        }
        double nearest = 9.0;
        for (guint j = 0; j < have->len; j++) {
            nearest = fmin(nearest, fabs(g_array_index(have, double, j) - (at - starts)));
        }
        ck_assert_msg(nearest < 0.020, "beep at %.3f is off by %.3f", at, nearest);
        found++;
    }
    ck_assert_uint_ge(found, 1);
}

/* The film's beeps are found on a clock that starts with the container's first stamp. */
static double container_start(const char *path)
{
    g_autofree char *text =
        read_program("ffprobe", "-v", "error", "-show_entries", "format=start_time",
                     "-of", "csv=p=0", path, NULL);
    ck_assert_ptr_nonnull(text);
    return g_ascii_strtod(text, NULL);
}

START_TEST(test_cutter__clips_are_exact)
{
    const Kind *kind = &kinds[_i];
    g_autofree char *film = make_film(kind);
    g_autofree char *out = rb_test_path("out.mp4");
    int n = 0;
    g_autofree double *times = frame_times(film, &n);
    const int first = 22;
    const int last = MIN(n - 5, 98);
    const RbCutSpan span = RB_CUT_SPAN(film, first, last);
    const RbCutterOptions options = { .sound = true };
    RbCutResult result;
    GError *error = NULL;
    rb_cutter_write(out, &span, 1, &options, NULL, NULL, &result, &error);
    rb_assert_no_error(error);
    printf("%s: %d copied, %d encoded: %s\n", kind->name, (int)result.copied,
           (int)result.encoded, result.why != NULL ? result.why : "-");
    ck_assert_int_eq(result.copied > 0, kind->copies);
    ck_assert((result.why != NULL) == (result.encoded > 0));
    assert_plays(out);
    assert_frames(film, out, first, last, &result);
    const double frame = times[last + 1] - times[last];
    const double wanted = times[last] - times[first] + frame;
    const double have = probe_number(out, "stream=duration");
    ck_assert_msg(fabs(have - wanted) < frame, "%.4f s, not %.4f", have, wanted);
    int n_out = 0;
    g_autofree double *out_times = frame_times(out, &n_out);
    for (int i = 0; i < n_out; i++) {
        const double off =
            out_times[i] - out_times[0] - (times[first + i] - times[first]);
        ck_assert_msg(fabs(off) < 0.002, "frame %d is off by %.4f s", i, off);
    }
    const double start = container_start(film);
    assert_sound(film, out, times[first] - start, times[last] - start);
    rb_cut_result_clear(&result);
}
END_TEST

TCase *rb_case_cutter(void)
{
    TCase *tcase = rb_case_new("cutter");
    tcase_set_timeout(tcase, 60);
    tcase_add_loop_test(tcase, test_cutter__clips_are_exact, 0, G_N_ELEMENTS(kinds));
    return tcase;
}
