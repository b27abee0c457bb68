/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/cutter.h"
#include "rb/film/error.h"

#include "films.h"
#include "frame-code.h"
#include "made.h"
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
    { "rotated.mp4", X264_B "-g 15" SOUND, "|-c copy -metadata:s:v rotate=90", true, 0,
      0 },
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

static void write_film(const char *path, const void *data)
{
    const Kind *kind = data;
    g_autofree char *raw = film_write_raw("raw.yuv", WIDTH, HEIGHT, FRAMES);
    g_autofree char *first =
        kind->again != NULL ? rb_test_path("first.mp4") : g_strdup(path);
    g_autofree char *words =
        g_strconcat("ffmpeg -v error -nostdin -y -f rawvideo -pix_fmt yuv420p -s 160x96 "
                    "-r 30 -threads 1 -i @ " BEEPS,
                    kind->encode, " @", NULL);
    g_free(ffmpeg(words, (const char *const[]){ raw, first }));
    if (kind->again != NULL) {
        g_auto(GStrv) sides = g_strsplit(kind->again, "|", 2);
        g_autofree char *second = g_strdup_printf(
            "ffmpeg -v error -nostdin -y %s -i @ %s @", sides[0], sides[1]);
        g_free(ffmpeg(second, (const char *const[]){ first, path }));
    }
}

static char *make_film(const Kind *kind)
{
    g_autofree char *recipe =
        g_strdup_printf("cutter's %s %s | %s | %d frames, sound " BEEPS, kind->name,
                        kind->encode, kind->again != NULL ? kind->again : "", FRAMES);
    return made_once(kind->name, recipe, write_film, kind);
}

static void write_decoded(const char *path, const void *film)
{
    g_free(ffmpeg("ffmpeg -v error -nostdin -y -noautorotate -i @ -map 0:v:0 -vsync "
                  "passthrough -pix_fmt yuv420p -f rawvideo @",
                  (const char *const[]){ film, path }));
}

/* All frames as coded, one behind the other. */
static uint8_t *decode(const char *path, gsize *frames)
{
    g_autofree char *raw = made_of_film("decoded.yuv", "decoded", path, write_decoded);
    char *bytes = NULL;
    gsize n = 0;
    ck_assert(g_file_get_contents(raw, &bytes, &n, NULL));
    ck_assert_uint_eq(n % FRAME_BYTES, 0);
    *frames = n / FRAME_BYTES;
    return (uint8_t *)bytes;
}

/* path: (transfer full). Returns: (transfer full): what is in the file. */
static char *read_made(char *path)
{
    char *text = NULL;
    ck_assert(g_file_get_contents(path, &text, NULL, NULL));
    g_free(path);
    return text;
}

static double psnr(const uint8_t *a, const uint8_t *b)
{
    double sum = 0.0;
    for (int i = 0; i < WIDTH * HEIGHT; i++) {
        sum += (a[i] - b[i]) * (a[i] - b[i]);
    }
    return sum > 0.0 ? 10.0 * log10(255.0 * 255.0 * WIDTH * HEIGHT / sum) : INFINITY;
}

static void write_complaints(const char *path, const void *film)
{
    g_autofree char *played = ffmpeg(
        "ffmpeg -v warning -nostdin -i @ -fps_mode passthrough -enc_time_base -1 -f null -",
        (const char *const[]){ film });
    g_autofree char *probed = ffmpeg("ffprobe -v warning -show_packets -of csv @",
                                     (const char *const[]){ film });
    g_autofree char *both = g_strconcat(played, probed, NULL);
    ck_assert(g_file_set_contents(path, both, -1, NULL));
}

/* Nothing but the picture and the sound, and nothing to complain of for either reader. */
static void assert_plays(const char *path)
{
    g_autofree char *said =
        read_made(made_of_film("said", "complaints", path, write_complaints));
    ck_assert_msg(said[0] == '\0', "ffmpeg or ffprobe said: %s", said);
}

static double probe_number(const char *path, const char *entries)
{
    g_autofree char *text =
        read_program("ffprobe", "-v", "error", "-select_streams", "v", "-show_entries",
                     entries, "-of", "csv=p=0", path, NULL);
    ck_assert_ptr_nonnull(text);
    return g_ascii_strtod(text, NULL);
}

static void write_sound(const char *path, const void *film)
{
    g_free(ffmpeg("ffmpeg -v error -nostdin -y -i @ -map 0:a:0 -af aresample=async=1:"
                  "first_pts=0 -ac 1 -ar 48000 -f f32le @",
                  (const char *const[]){ film, path }));
}

/* Seconds of the beeps' starts. */
static GArray *find_beeps(const char *path)
{
    g_autofree char *raw = made_of_film("sound.f32", "sound", path, write_sound);
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

static void write_times(const char *path, const void *film)
{
    g_autofree char *text =
        read_program("ffprobe", "-v", "error", "-select_streams", "v", "-show_entries",
                     "frame=best_effort_timestamp_time", "-of", "csv=p=0", film, NULL);
    ck_assert_ptr_nonnull(text);
    ck_assert(g_file_set_contents(path, text, -1, NULL));
}

/* Times of the film's frames by ffprobe, from the first. */
static double *frame_times(const char *path, int *n)
{
    g_autofree char *text = read_made(made_of_film("times", "times", path, write_times));
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

/* What ffprobe says a player is told to turn by. */
static void assert_turned_alike(const Kind *kind, const char *film, const char *out)
{
    static const char entries[] = "stream_side_data=rotation";
    if (strstr(kind->name, "rotated") != NULL) {
        const double turned = probe_number(film, entries);
        ck_assert(fabs(turned) == 90.0);
        ck_assert_double_eq(probe_number(out, entries), turned);
    }
}

START_TEST(test_cutter__clips_are_exact)
{
    if (!rb_test_is_sampled(_i)) {
        return;
    }
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
    assert_turned_alike(kind, film, out);
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

/* ---- several clips */

/* The numbers drawn into all frames of a film of the usual size; -1: none. */
static GArray *codes_of(const char *path)
{
    gsize n = 0;
    g_autofree uint8_t *frames = decode(path, &n);
    GArray *codes = g_array_new(FALSE, FALSE, sizeof(int));
    for (gsize i = 0; i < n; i++) {
        const int code = frame_code_read(frames + i * FRAME_BYTES, WIDTH, WIDTH, HEIGHT);
        g_array_append_val(codes, code);
    }
    return codes;
}

static char *plain_film(const char *name, const char *encode)
{
    const Kind kind = { .name = name, .encode = encode };
    return make_film(&kind);
}

static void must_write(const char *out, const RbCutSpan *spans, int n,
                       const RbCutterOptions *options, RbCutResult *results)
{
    GError *error = NULL;
    rb_cutter_write(out, spans, n, options, NULL, NULL, results, &error);
    rb_assert_no_error(error);
    assert_plays(out);
}

START_TEST(test_cutter__clips_of_several_films_are_joined)
{
    g_autofree char *a = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *b =
        plain_film("b.mp4", "-c:v libx264 -preset fast -refs 5 -bf 3 -g 12" SOUND);
    g_autofree char *c = plain_film("c.ts", "-c:v mpeg2video -g 12 -q:v 2 -c:a mp2");
    g_autofree char *out = rb_test_path("out.mp4");
    const RbCutSpan spans[] = { RB_CUT_SPAN(a, 3, 61),   RB_CUT_SPAN(b, 20, 50),
                                RB_CUT_SPAN(a, 90, 119), RB_CUT_SPAN(c, 7, 30),
                                RB_CUT_SPAN(a, 0, 29),   RB_CUT_SPAN(a, 4, 4) };
    RbCutResult results[6];
    must_write(out, spans, 6, &(RbCutterOptions){ .sound = true }, results);
    g_autoptr(GArray) codes = codes_of(out);
    guint at = 0;
    for (int i = 0; i < 6; i++) {
        for (int64_t frame = spans[i].first; frame <= spans[i].last; frame++, at++) {
            ck_assert_uint_lt(at, codes->len);
            ck_assert_int_eq(g_array_index(codes, int, at), frame);
        }
    }
    ck_assert_uint_eq(at, codes->len);
    ck_assert_int_gt(results[0].copied, 40);
    ck_assert_int_eq(results[1].copied, 0);
    ck_assert_ptr_nonnull(strstr(results[1].why, "parameters"));
    ck_assert_int_eq(results[2].copied, 30); /* from key to end of film */
    ck_assert_int_eq(results[2].encoded, 0);
    ck_assert_ptr_null(results[2].why);
    ck_assert_int_eq(results[3].copied, 0);
    ck_assert_int_eq(results[4].copied, 30);
    ck_assert_int_eq(results[5].encoded, 1);
    for (int i = 0; i < 6; i++) {
        rb_cut_result_clear(&results[i]);
    }
}
END_TEST

START_TEST(test_cutter__encoding_everything_copies_nothing)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    const RbCutSpan span = RB_CUT_SPAN(film, 15, 44);
    RbCutResult result;
    must_write(out, &span, 1, &(RbCutterOptions){ .encode = true }, &result);
    ck_assert_int_eq(result.copied, 0);
    ck_assert_int_eq(result.encoded, 30);
    assert_frames(film, out, 15, 44, &result);
    g_autofree char *streams =
        read_program("ffprobe", "-v", "error", "-show_entries", "stream=codec_name",
                     "-of", "csv=p=0", out, NULL);
    ck_assert_str_eq(g_strstrip(streams), "h264"); /* and no sound */
    rb_cut_result_clear(&result);
}
END_TEST

START_TEST(test_cutter__speed_loops_and_a_stop_are_in_the_times)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    RbCutSpan span = RB_CUT_SPAN(film, 30, 59);
    span.speed = 50;
    span.loops = 2;
    span.freeze = 40;
    span.freeze_ms = 1500;
    RbCutResult result;
    must_write(out, &span, 1, &(RbCutterOptions){ .sound = true }, &result);
    g_autoptr(GArray) codes = codes_of(out);
    int n = 0;
    g_autofree double *times = frame_times(out, &n);
    ck_assert_int_eq(n, 60);
    ck_assert_uint_eq(codes->len, 60);
    for (int i = 0; i < n; i++) {
        ck_assert_int_eq(g_array_index(codes, int, i), 30 + i % 30);
        const int loop = i / 30;
        const double wanted =
            loop * (2.0 + 1.5) + (i % 30) / 15.0 + (i % 30 > 10 ? 1.5 : 0.0);
        ck_assert_msg(fabs(times[i] - times[0] - wanted) < 0.001, "frame %d at %.4f", i,
                      times[i]);
    }
    const double whole = probe_number(out, "stream=duration");
    ck_assert_msg(fabs(whole - 7.0) < 0.034, "%.3f s", whole);
    rb_cut_result_clear(&result);
}
END_TEST

/* Two angles of one moment: the second camera started 11 frames earlier. */
START_TEST(test_cutter__two_angles_show_one_moment)
{
    g_autofree char *wide = plain_film("wide.mp4", X264_B "-g 15" SOUND);
    g_autofree char *tight = plain_film("tight.mkv", "-c:v mpeg4 -q:v 2 -g 12" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    RbCutSpan span = RB_CUT_SPAN(wide, 30, 69);
    span.beside = tight;
    span.anchor = 35;
    span.beside_anchor = 46;
    RbCutResult result;
    must_write(out, &span, 1, NULL, &result);
    ck_assert_int_eq(result.encoded, 40);
    ck_assert_ptr_nonnull(strstr(result.why, "angle"));
    g_autofree char *raw = rb_test_path("both.gray");
    g_free(ffmpeg("ffmpeg -v error -nostdin -y -i @ -pix_fmt gray -f rawvideo @",
                  (const char *const[]){ out, raw }));
    g_autofree char *bytes = NULL;
    gsize n = 0;
    ck_assert(g_file_get_contents(raw, &bytes, &n, NULL));
    ck_assert_uint_eq(n, (gsize)40 * 2 * WIDTH * HEIGHT);
    for (int i = 0; i < 40; i++) {
        const uint8_t *picture = (uint8_t *)bytes + (gsize)i * 2 * WIDTH * HEIGHT;
        ck_assert_int_eq(frame_code_read(picture, 2 * WIDTH, WIDTH, HEIGHT), 30 + i);
        ck_assert_int_eq(frame_code_read(picture + WIDTH, 2 * WIDTH, WIDTH, HEIGHT),
                         41 + i);
    }
    rb_cut_result_clear(&result);
}
END_TEST

START_TEST(test_cutter__a_card_stands_before_its_clip)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    g_autofree uint8_t *gray = g_malloc(320 * 192);
    memset(gray, 200, 320 * 192);
    RbCutSpan spans[] = { RB_CUT_SPAN(film, 15, 44), RB_CUT_SPAN(film, 60, 89) };
    spans[1].card = (RbCutCardPicture){ gray, 320, 192, 2000 };
    RbCutResult results[2];
    must_write(out, spans, 2, &(RbCutterOptions){ .sound = true }, results);
    ck_assert_int_eq(results[0].copied, 30);
    ck_assert_int_eq(results[1].copied, 30);
    g_autoptr(GArray) codes = codes_of(out);
    int n = 0;
    g_autofree double *times = frame_times(out, &n);
    ck_assert_int_eq(n, 62);
    ck_assert_int_eq(g_array_index(codes, int, 29), 44);
    ck_assert_int_eq(g_array_index(codes, int, 30), -1); /* the card */
    ck_assert_int_eq(g_array_index(codes, int, 32), 60);
    ck_assert(fabs(times[32] - times[30] - 2.0) < 0.001);
    gsize frames = 0;
    g_autofree uint8_t *bytes = decode(out, &frames);
    /* Full range 200 in limited range: ITU-R BT.601, 16 + 219 * 200 / 255. */
    ck_assert_int_le(abs(bytes[30 * FRAME_BYTES + WIDTH * 40 + 70] - 188), 2);
    for (int i = 0; i < 2; i++) {
        rb_cut_result_clear(&results[i]);
    }
}
END_TEST

/* Over the right half of some frames, wholly; over the rest of them, not at all. */
START_TEST(test_cutter__drawings_lie_over_their_frames)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    g_autofree uint8_t *rgba = g_malloc0(64 * 32 * 4);
    for (int i = 0; i < 64 * 32; i++) {
        memset(rgba + i * 4, i % 64 >= 32 ? 255 : 0, 4);
    }
    const RbCutDrawingPicture drawing = { rgba, 64, 32, 20, 24, false };
    RbCutSpan spans[] = { RB_CUT_SPAN(film, 15, 44) };
    spans[0].drawings = &drawing;
    spans[0].n_drawings = 1;
    RbCutResult result;
    must_write(out, spans, 1, &(RbCutterOptions){ .sound = true }, &result);
    ck_assert_int_eq(result.copied, 0);
    ck_assert_ptr_nonnull(strstr(result.why, "drawing"));
    gsize frames = 0;
    g_autofree uint8_t *bytes = decode(out, &frames);
    ck_assert_uint_eq(frames, 30);
    gsize plain = 0;
    g_autofree uint8_t *film_bytes = decode(film, &plain);
    for (int i = 0; i < 30; i++) {
        const uint8_t *drawn = bytes + i * FRAME_BYTES + WIDTH * 80;
        const uint8_t *before = film_bytes + (i + 15) * FRAME_BYTES + WIDTH * 80;
        /* White of limited range: 235 (ITU-R BT.601). */
        const bool white = abs(drawn[WIDTH * 3 / 4] - 235) <= 3;
        ck_assert_msg(white == (i >= 5 && i <= 9), "frame %d: %d", i,
                      drawn[WIDTH * 3 / 4]);
        ck_assert_int_le(abs(drawn[WIDTH / 4] - before[WIDTH / 4]), 12);
    }
    rb_cut_result_clear(&result);
}
END_TEST

/* ---- what goes wrong */

static guint files_here(void)
{
    g_autoptr(GDir) dir = g_dir_open(rb_test_folder(), 0, NULL);
    guint n = 0;
    while (g_dir_read_name(dir) != NULL) {
        n++;
    }
    return n;
}

START_TEST(test_cutter__a_cancelled_export_leaves_nothing)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    const RbCutSpan span = RB_CUT_SPAN(film, 0, 99);
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    const guint before = files_here();
    rb_cancel_cancel(cancel);
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_cutter_write(out, &span, 1, NULL, cancel, NULL, NULL, &error));
    ck_assert(rb_error_is_cancelled(error));
    ck_assert_uint_eq(files_here(), before);
}
END_TEST

typedef struct {
    RbCancel *cancel;
    double seen;
} Impatience;

static void on_progress(double fraction, const char *what, void *data)
{
    Impatience *impatience = data;
    ck_assert_ptr_nonnull(what);
    ck_assert(fraction >= impatience->seen - 1e-9);
    impatience->seen = fraction;
    if (fraction > 0.2) {
        rb_cancel_cancel(impatience->cancel);
    }
}

START_TEST(test_cutter__cancelled_while_writing_keeps_the_old_file)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    ck_assert(g_file_set_contents(out, "old", -1, NULL));
    RbCutSpan span = RB_CUT_SPAN(film, 0, 119);
    span.loops = 20;
    g_autoptr(RbCancel) cancel = rb_cancel_new(NULL);
    Impatience impatience = { cancel, 0.0 };
    g_autoptr(RbProgress) progress = rb_progress_new(on_progress, &impatience);
    const guint before = files_here();
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_cutter_write(out, &span, 1, &(RbCutterOptions){ .encode = true },
                               cancel, progress, NULL, &error));
    ck_assert(rb_error_is_cancelled(error));
    ck_assert_uint_eq(files_here(), before);
    g_autofree char *text = NULL;
    ck_assert(g_file_get_contents(out, &text, NULL, NULL));
    ck_assert_str_eq(text, "old");
}
END_TEST

START_TEST(test_cutter__films_are_never_written_over)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *link = rb_test_path("link.mp4");
    ck_assert_int_eq(symlink(film, link), 0);
    const RbCutSpan span = RB_CUT_SPAN(film, 0, 9);
    const char *const names[] = { film, link };
    for (int i = 0; i < 2; i++) {
        g_autoptr(GError) error = NULL;
        ck_assert(!rb_cutter_write(names[i], &span, 1, NULL, NULL, NULL, NULL, &error));
        ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE));
    }
}
END_TEST

START_TEST(test_cutter__clips_that_cannot_be_made_are_left_out_if_asked)
{
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *gone = rb_test_path("gone.mp4");
    g_autofree char *out = rb_test_path("out.mp4");
    const RbCutSpan spans[] = { RB_CUT_SPAN(gone, 0, 9), RB_CUT_SPAN(film, 15, 29),
                                RB_CUT_SPAN(film, 100, 120) };
    GError *error = NULL;
    ck_assert(!rb_cutter_write(out, spans, 3, NULL, NULL, NULL, NULL, &error));
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING));
    g_clear_error(&error);
    ck_assert(!g_file_test(out, G_FILE_TEST_EXISTS));
    RbCutResult results[3];
    must_write(out, spans, 3, &(RbCutterOptions){ .skip = true }, results);
    ck_assert(g_error_matches(results[0].error, RB_FILM_ERROR, RB_FILM_ERROR_MISSING));
    ck_assert_ptr_null(results[1].error);
    ck_assert(g_error_matches(results[2].error, RB_FILM_ERROR, RB_FILM_ERROR_RANGE));
    g_autoptr(GArray) codes = codes_of(out);
    ck_assert_uint_eq(codes->len, 15);
    for (int i = 0; i < 3; i++) {
        rb_cut_result_clear(&results[i]);
    }
    const RbCutSpan none[] = { RB_CUT_SPAN(gone, 0, 9) };
    ck_assert(!rb_cutter_write(out, none, 1, &(RbCutterOptions){ .skip = true }, NULL,
                               NULL, NULL, &error));
    ck_assert(g_str_has_suffix(error->message, "."));
    g_clear_error(&error);
}
END_TEST

START_TEST(test_cutter__a_full_disk_leaves_nothing)
{
    const char *shim = g_getenv("RB_TEST_FAILING_DISK");
    if (shim == NULL) {
        return; /* the sanitizers want to be loaded first themselves */
    }
    g_autofree char *film = plain_film("a.mp4", X264_B "-g 15" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    const RbCutSpan span = RB_CUT_SPAN(film, 15, 104);
    g_setenv("LD_PRELOAD", shim, TRUE);
    g_setenv("RB_TEST_DISK_BYTES", "4000", TRUE);
    const guint before = files_here();
    g_autoptr(GError) error = NULL;
    ck_assert(!rb_cutter_write(out, &span, 1, &(RbCutterOptions){ .skip = true }, NULL,
                               NULL, NULL, &error));
    g_unsetenv("LD_PRELOAD");
    ck_assert(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_WRITE));
    ck_assert_ptr_nonnull(strstr(error->message, "full"));
    ck_assert_uint_eq(files_here(), before);
}
END_TEST

START_TEST(test_cutter__a_drive_pulled_out_costs_only_its_clips)
{
    const char *shim = g_getenv("RB_TEST_FAILING_DISK");
    if (shim == NULL) {
        return;
    }
    g_autofree char *film =
        plain_film("a.mp4", X264_B "-g 15 -crf 5 -movflags +faststart" SOUND);
    g_autofree char *out = rb_test_path("out.mp4");
    const RbCutSpan spans[] = { RB_CUT_SPAN(film, 5, 20), RB_CUT_SPAN(film, 101, 115) };
    struct stat now;
    ck_assert_int_eq(g_stat(film, &now), 0);
    RbReel *reel = reel_must_open(film); /* the index is known from now on */
    reel_must_close(reel);
    g_autofree char *limit = g_strdup_printf("%d", (int)(now.st_size * 3 / 4));
    g_setenv("LD_PRELOAD", shim, TRUE);
    g_setenv("RB_TEST_DRIVE_BYTES", limit, TRUE);
    GError *error = NULL;
    ck_assert(!rb_cutter_write(out, spans, 2, NULL, NULL, NULL, NULL, &error));
    ck_assert_msg(g_error_matches(error, RB_FILM_ERROR, RB_FILM_ERROR_READ), "%s",
                  error->message);
    g_clear_error(&error);
    ck_assert(!g_file_test(out, G_FILE_TEST_EXISTS));
    RbCutResult results[2];
    rb_cutter_write(out, spans, 2, &(RbCutterOptions){ .skip = true }, NULL, NULL,
                    results, &error);
    g_unsetenv("LD_PRELOAD");
    rb_assert_no_error(error);
    ck_assert_ptr_null(results[0].error);
    ck_assert(g_error_matches(results[1].error, RB_FILM_ERROR, RB_FILM_ERROR_READ));
    g_autoptr(GArray) codes = codes_of(out);
    ck_assert_uint_eq(codes->len, 16);
    for (int i = 0; i < 2; i++) {
        rb_cut_result_clear(&results[i]);
    }
}
END_TEST

TCase *rb_case_cutter(void)
{
    TCase *tcase = rb_case_new("cutter");
    tcase_set_tags(tcase, "cutter");
    tcase_set_timeout(tcase, 60);
    tcase_add_loop_test(tcase, test_cutter__clips_are_exact, 0, G_N_ELEMENTS(kinds));
    tcase_add_test(tcase, test_cutter__clips_of_several_films_are_joined);
    tcase_add_test(tcase, test_cutter__encoding_everything_copies_nothing);
    tcase_add_test(tcase, test_cutter__speed_loops_and_a_stop_are_in_the_times);
    tcase_add_test(tcase, test_cutter__two_angles_show_one_moment);
    tcase_add_test(tcase, test_cutter__a_card_stands_before_its_clip);
    tcase_add_test(tcase, test_cutter__drawings_lie_over_their_frames);
    tcase_add_test(tcase, test_cutter__a_cancelled_export_leaves_nothing);
    tcase_add_test(tcase, test_cutter__cancelled_while_writing_keeps_the_old_file);
    tcase_add_test(tcase, test_cutter__films_are_never_written_over);
    tcase_add_test(tcase, test_cutter__clips_that_cannot_be_made_are_left_out_if_asked);
    tcase_add_test(tcase, test_cutter__a_full_disk_leaves_nothing);
    tcase_add_test(tcase, test_cutter__a_drive_pulled_out_costs_only_its_clips);
    return tcase;
}
