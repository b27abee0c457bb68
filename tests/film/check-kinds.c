/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>

#include "films.h"
#include "frame-code.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_kinds(void);

/* Every frame of every kind of film, forward, backward and shuffled, byte for byte what a
 * straight decode by the command line of ffmpeg gives. The numbers drawn into the pictures
 * prove that the straight decode itself is what it should be. */

#define FRAMES 75

typedef struct {
    const char *name;
    const char *encode; /* arguments of ffmpeg between the raw frames and the film */
    const char *again;  /* nullable: a second ffmpeg: "BEFORE|AFTER" the input */
    int first;          /* number drawn into the first frame shown */
    int frames;         /* 0: all */
} Kind;

#define X264 "-c:v libx264 -preset ultrafast "
#define X264_B "-c:v libx264 -preset veryfast -bf 2 "

static const Kind kinds[] = {
    { "closed.mp4", X264_B "-g 15" },
    { "open.mp4", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" },
    { "open.ts", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" },
    { "open.mkv", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" },
    { "pyramid.mp4",
      "-c:v libx264 -preset fast -bf 8 -x264-params b-pyramid=normal -g 40" },
    { "intra.mp4", X264 "-g 1" },
    { "onekey.mp4", X264_B "-g 1000 -x264-params scenecut=0" },
    { "nob.mp4", X264 "-bf 0 -g 20" },
    { "refresh.mp4", X264 "-x264-params intra-refresh=1:keyint=20:scenecut=0" },
    { "refresh.ts", X264 "-x264-params intra-refresh=1:keyint=20:scenecut=0" },
    { "vfr.mp4", "-vf settb=1/90000,setpts=N*3000+mod(N*7\\,5)*100+floor(N/20)*27000 "
                 "-vsync passthrough " X264_B "-g 15" },
    { "vfr.mkv",
      "-vf settb=1/1000,setpts=N*33+floor(N/20)*300 -vsync passthrough " X264_B "-g 15" },
    { "preroll.mp4", X264_B "-g 30 -x264-params scenecut=0", "-ss 1.5|-c copy", 45, 30 },
    { "fragments.mp4", X264_B "-g 15 -movflags frag_keyframe+empty_moov" },
    { "nolist.mp4", X264_B "-g 15 -use_editlist 0" },
    { "negative.mp4", X264_B "-g 15 -movflags negative_cts_offsets" },
    { "late.mkv", X264_B "-g 15 -output_ts_offset 10" },
    { "plain.flv", X264_B "-g 15" },
    { "h264.avi", X264_B "-g 15" },
    { "bare.h264", X264_B "-g 15" },
    { "asp.avi", "-c:v mpeg4 -bf 2 -g 15 -q:v 3" },
    { "asp.mp4", "-c:v mpeg4 -bf 2 -g 15 -q:v 3" },
    { "interlaced.mpg", "-c:v mpeg2video -flags +ilme+ildct -bf 2 -g 12 -q:v 3" },
    { "interlaced.ts", "-c:v mpeg2video -flags +ilme+ildct -bf 2 -g 12 -q:v 3" },
    { "mbaff.ts", X264_B "-flags +ilme+ildct -x264-params tff=1 -g 15" },
    { "mpeg1.mpg", "-c:v mpeg1video -bf 2 -g 12 -q:v 3" },
    { "hevc.mp4", "-c:v libx265 -preset ultrafast -x265-params "
                  "bframes=3:keyint=20:open-gop=1:log-level=none" },
    { "hevc.ts", "-c:v libx265 -preset ultrafast -x265-params "
                 "bframes=3:keyint=20:open-gop=1:log-level=none" },
    { "hevc.mkv", "-c:v libx265 -preset ultrafast -x265-params "
                  "bframes=0:keyint=20:log-level=none" },
    { "vp8.webm",
      "-c:v libvpx -auto-alt-ref 1 -lag-in-frames 10 -deadline good -cpu-used 5 "
      "-g 30 -b:v 1M" },
    { "vp9.webm", "-c:v libvpx-vp9 -auto-alt-ref 1 -lag-in-frames 16 -deadline good "
                  "-cpu-used 5 -g 30 -b:v 1M" },
    { "mjpeg.mov", "-c:v mjpeg -q:v 3" },
    { "mjpeg.avi", "-c:v mjpeg -q:v 3" },
    { "ffv1.mkv", "-c:v ffv1" },
    { "wmv2.wmv", "-c:v wmv2 -g 15 -b:v 2M" },
    { "h263.3gp", "-vf scale=176:144 -c:v h263 -g 15 -q:v 3" },
    { "rate240.mkv", "-vf settb=1/240,setpts=N -vsync passthrough " X264_B "-g 30" },
    { "rate1500.mkv", "-vf settb=1/1500,setpts=N -vsync passthrough " X264_B "-g 30" },
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

static void run_ffmpeg(GPtrArray *argv)
{
    g_ptr_array_add(argv, NULL);
    int status = 1;
    g_autofree char *errors = NULL;
    ck_assert(g_spawn_sync(NULL, (char **)argv->pdata, NULL, G_SPAWN_SEARCH_PATH, NULL,
                           NULL, NULL, &errors, &status, NULL));
    ck_assert_msg(status == 0, "%s", errors);
}

static GPtrArray *ffmpeg(const char *words)
{
    GPtrArray *argv = g_ptr_array_new_with_free_func(g_free);
    add_words(argv, "ffmpeg -v error -nostdin -y");
    add_words(argv, words);
    return argv;
}

static char *make_film(const Kind *kind)
{
    g_autofree char *raw = film_write_raw("raw.yuv", 160, 96, FRAMES);
    g_autofree char *first =
        kind->again != NULL ? rb_test_path("first.mp4") : rb_test_path(kind->name);
    g_autoptr(GPtrArray) argv =
        ffmpeg("-f rawvideo -pix_fmt yuv420p -s 160x96 -r 30 -threads 1");
    add_words(argv, "-i");
    g_ptr_array_add(argv, g_strdup(raw));
    add_words(argv, kind->encode);
    g_ptr_array_add(argv, g_strdup(first));
    run_ffmpeg(argv);
    char *path = rb_test_path(kind->name);
    if (kind->again != NULL) {
        g_auto(GStrv) sides = g_strsplit(kind->again, "|", 2);
        g_autoptr(GPtrArray) again = ffmpeg(sides[0]);
        add_words(again, "-i");
        g_ptr_array_add(again, g_strdup(first));
        add_words(again, sides[1]);
        g_ptr_array_add(again, g_strdup(path));
        run_ffmpeg(again);
    }
    return path;
}

static char *straight_decode(const char *path, size_t *n)
{
    g_autofree char *raw = rb_test_path("straight.yuv");
    g_autoptr(GPtrArray) argv = ffmpeg("-noautorotate -i");
    g_ptr_array_add(argv, g_strdup(path));
    add_words(argv, "-map 0:v:0 -vsync passthrough -f rawvideo");
    g_ptr_array_add(argv, g_strdup(raw));
    run_ffmpeg(argv);
    char *bytes = NULL;
    ck_assert(g_file_get_contents(raw, &bytes, n, NULL));
    return bytes;
}

static bool same_picture(const RbPicture *picture, const char *raw)
{
    const int width = rb_picture_get_width(picture);
    const int height = rb_picture_get_height(picture);
    for (int plane = 0; plane < 3; plane++) {
        size_t stride = 0;
        const uint8_t *at = rb_picture_get_plane(picture, plane, &stride);
        const size_t columns = (size_t)(plane == 0 ? width : (width + 1) / 2);
        const int rows = plane == 0 ? height : (height + 1) / 2;
        for (int y = 0; y < rows; y++, at += stride, raw += columns) {
            if (memcmp(at, raw, columns) != 0) {
                return false;
            }
        }
    }
    return true;
}

static void check_frame(RbReel *reel, const Kind *kind, const char *straight, size_t size,
                        int i)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420 };
    g_autoptr(RbPicture) picture = reel_must_get(reel, i, &options);
    ck_assert_msg(frame_code_of(picture) == kind->first + i,
                  "%s: frame %d shows number %d", kind->name, i, frame_code_of(picture));
    ck_assert_msg(same_picture(picture, straight + size * (size_t)i),
                  "%s: frame %d differs from a straight decode", kind->name, i);
    ck_assert_msg(!rb_picture_is_doubtful(picture), "%s: frame %d", kind->name, i);
}

START_TEST(test_kinds__every_frame_in_every_order)
{
    const Kind *kind = &kinds[_i];
    g_autofree char *path = make_film(kind);
    size_t n_bytes = 0;
    g_autofree char *straight = straight_decode(path, &n_bytes);
    RbReel *reel = reel_must_open(path);
    const int n = (int)rb_reel_get_frame_count(reel);
    ck_assert_msg(n == (kind->frames > 0 ? kind->frames : FRAMES), "%s: %d frames",
                  kind->name, n);
    const size_t size = n_bytes / (size_t)n;
    ck_assert_uint_eq(n_bytes, size * (size_t)n);
    for (int i = 0; i < n; i++) {
        check_frame(reel, kind, straight, size, i);
    }
    for (int i = n - 1; i >= 0; i--) {
        check_frame(reel, kind, straight, size, i);
    }
    g_autofree int *order = shuffled(n, rb_test_seed(7));
    for (int i = 0; i < n; i++) {
        check_frame(reel, kind, straight, size, order[i]);
    }
    for (int i = 1; i < n; i++) {
        ck_assert_int_ge(rb_reel_get_frame_us(reel, i),
                         rb_reel_get_frame_us(reel, i - 1));
    }
    reel_must_close(reel);
}
END_TEST

/* The judge beside our own numbers: ffmpeg's framemd5 of each frame. */
static GStrv md5_list(const char *path)
{
    g_autofree char *text =
        read_program("ffmpeg", "-v", "error", "-i", path, "-map", "0:v:0", "-vsync",
                     "passthrough", "-pix_fmt", "yuv420p", "-f", "framemd5", "-", NULL);
    ck_assert_ptr_nonnull(text);
    g_auto(GStrv) lines = g_strsplit(text, "\n", -1);
    g_autoptr(GStrvBuilder) sums = g_strv_builder_new();
    for (char **line = lines; *line != NULL; line++) {
        const char *sum = strrchr(*line, ' ');
        if (**line != '#' && sum != NULL) {
            g_strv_builder_add(sums, sum + 1);
        }
    }
    return g_strv_builder_end(sums);
}

static char *md5_of(RbReel *reel, int64_t ordinal)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420 };
    g_autoptr(RbPicture) picture = reel_must_get(reel, ordinal, &options);
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_MD5);
    for (int plane = 0; plane < 3; plane++) {
        size_t stride = 0;
        const uint8_t *at = rb_picture_get_plane(picture, plane, &stride);
        const int width = rb_picture_get_width(picture) / (plane == 0 ? 1 : 2);
        const int height = rb_picture_get_height(picture) / (plane == 0 ? 1 : 2);
        for (int y = 0; y < height; y++) {
            g_checksum_update(sum, at + (size_t)y * stride, width);
        }
    }
    return g_strdup(g_checksum_get_string(sum));
}

START_TEST(test_kinds__framemd5_of_200_random_frames_and_all_backward)
{
    const RbWriterOptions options = {
        .width = 320, .height = 180, .rate = { 60000, 1001 }, .gop = 60, .b_frames = -1
    };
    g_autofree char *path = film_write("demo.mp4", &options, 400);
    g_auto(GStrv) sums = md5_list(path);
    RbReel *reel = reel_must_open(path);
    const int n = (int)rb_reel_get_frame_count(reel);
    ck_assert_int_eq(n, 400);
    ck_assert_uint_eq(g_strv_length(sums), 400);
    for (int i = n - 1; i >= 0; i--) {
        g_autofree char *sum = md5_of(reel, i);
        ck_assert_str_eq(sum, sums[i]);
    }
    g_autofree int *order = shuffled(n, rb_test_seed(11));
    for (int i = 0; i < 200; i++) {
        g_autofree char *sum = md5_of(reel, order[i]);
        ck_assert_str_eq(sum, sums[order[i]]);
    }
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_kinds(void)
{
    TCase *tcase = rb_case_new("kinds");
    tcase_add_loop_test(tcase, test_kinds__every_frame_in_every_order, 0,
                        (int)G_N_ELEMENTS(kinds));
    tcase_add_test(tcase, test_kinds__framemd5_of_200_random_frames_and_all_backward);
    return tcase;
}
