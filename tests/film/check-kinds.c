/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <glib/gstdio.h>
#include <string.h>

#include "films.h"
#include "kinds.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_kinds(void);

/* Every frame of every kind of film, forward, backward and shuffled, byte for byte what a
 * straight decode by the command line of ffmpeg gives. The numbers drawn into the pictures
 * prove that the straight decode itself is what it should be. */

#define X264 "-c:v libx264 -preset ultrafast "
#define X264_B "-c:v libx264 -preset veryfast -bf 2 "

static const Kind kinds[] = {
    { "closed.mp4", X264_B "-g 15" },
    { "open.mp4", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" },
    { "open.ts", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" },
    { "open.mkv", X264_B "-g 15 -x264-params open-gop=1:scenecut=0" },
    /* cut at a key frame that is not the beginning of anything */
    { "open-cut.ts",
      "-c:v libx264 -preset veryfast -x264-params "
      "keyint=15:min-keyint=15:scenecut=0:bframes=3:b-adapt=0:open-gop=1",
      "-ss 0.7|-c copy -copyts", 30, 45 },
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
    /* clocks */
    { "rate23976.mp4", "-r 24000/1001 -vf setpts=N/(24000/1001)/TB " X264_B "-g 24" },
    { "rate5994.mp4", "-vf settb=1/60000,setpts=N*1001 -r 60000/1001 " X264_B "-g 30" },
    { "hours50.mkv", "-vf settb=1/1000,setpts=N*2400000 -vsync passthrough " X264_B },
    { "frozen.mp4", "-vf settb=1/90000,setpts=N*3000+floor(N/40)*180000 "
                    "-vsync passthrough " X264_B "-g 15" },
    { "wrap.ts", X264_B "-g 15 -output_ts_offset 95441" },
    { "late.ts", X264_B "-g 15 -output_ts_offset 10" },
    { "delayed.mp4", X264_B "-g 15 -output_ts_offset 2" },
    { "one.mp4", X264_B "-frames:v 1", NULL, 0, 1 },
    { "two.mp4", X264_B "-frames:v 2", NULL, 0, 2 },
    /* edit lists and boxes */
    { "trimmed.mp4", "-c:v libx264 -preset ultrafast -bf 0 -g 30",
      "-ss 1.5 -t 0.5|-c copy", 45, 15 },
    { "fragments-indexed.mp4", X264_B "-g 15 -movflags frag_keyframe" },
    { "timecode.mov", X264_B "-g 15 -timecode 01:00:00:00" },
    { "front.mp4", X264_B "-g 15 -movflags +faststart" },
    /* shape and colour: the picture stays as coded */
    { "turned90.mp4", X264_B "-g 15", "|-c copy -metadata:s:v rotate=90" },
    { "turned180.mp4", X264_B "-g 15", "|-c copy -metadata:s:v rotate=180" },
    { "turned270.mov", X264_B "-g 15", "|-c copy -metadata:s:v rotate=270" },
    { "wide.mp4", "-vf setsar=4/3 " X264_B "-g 15" },
    { "quarrel.mkv", "-vf setsar=4/3 " X264_B "-g 15", "|-c copy -aspect 16:9" },
    { "odd.avi", "-vf scale=161:97 -c:v mjpeg -pix_fmt yuvj420p -q:v 3" },
    { "odd.webm",
      "-vf scale=163:99 -c:v libvpx-vp9 -cpu-used 8 -deadline realtime -g 20" },
    { "full601.mp4", X264_B "-g 15 -color_range pc -colorspace smpte170m" },
    { "limited709.mp4", X264_B "-g 15 -color_range tv -colorspace bt709" },
    { "hlg.mov",
      "-c:v libx265 -preset ultrafast -pix_fmt yuv420p10le -tag:v hvc1 -x265-params "
      "keyint=20:transfer=arib-std-b67:colorprim=bt2020:colormatrix=bt2020nc:log-level=none",
      .codes_only = true },
    { "pq.mkv",
      "-c:v libx265 -preset ultrafast -pix_fmt yuv420p10le -x265-params "
      "keyint=20:transfer=smpte2084:colorprim=bt2020:colormatrix=bt2020nc:log-level=none",
      .codes_only = true },
    { "prores.mov", "-c:v prores -pix_fmt yuv422p10le", .codes_only = true },
    { "rgb.mkv", "-c:v libx264rgb -preset ultrafast -g 15", .codes_only = true },
    { "holes.mov", "-c:v qtrle -pix_fmt argb", .codes_only = true },
    { "gray.mkv", "-c:v ffv1 -pix_fmt gray", .codes_only = true },
    { "tape.avi",
      "-vf scale=720:480,setsar=10/11 -c:v dvvideo -pix_fmt yuv411p "
      "-r 30000/1001 -vsync passthrough",
      .codes_only = true },
    { "studio.mov",
      "-vf scale=1280:720 -c:v dnxhd -b:v 60M -pix_fmt yuv422p -r 30000/1001 "
      "-frames:v 30 -vsync passthrough",
      NULL, 0, 30, .codes_only = true },
    { "chroma.mkv", X264_B "-g 15 -pix_fmt yuv444p", .codes_only = true },
    /* what else lies in the file */
    { "sound-first.mp4", X264_B "-g 15",
      "-f lavfi -i sine=d=2.5|-map 0 -map 1 -c:v copy -c:a aac" },
    { "sound-longer.mp4", X264_B "-g 15",
      "-f lavfi -i sine=d=6|-map 1 -map 0 -c:v copy -c:a aac" },
    { "sound-shorter.mkv", X264_B "-g 15",
      "-f lavfi -i sine=d=1|-map 1 -map 0 -c:v copy -c:a aac" },
    { "sound.m2ts", X264_B "-g 15",
      "-f lavfi -i sine=d=2.5:r=48000|-map 1 -map 0 -c:v copy -c:a pcm_bluray -ac 2 "
      "-mpegts_m2ts_mode 1" },
    { "two-videos.mkv", X264_B "-g 15",
      "-f lavfi -i testsrc=s=64x64:d=1|-map 1 -map 0 -c:v:0 copy -c:v:1 mpeg4" },
    { "two-programs.ts", X264_B "-g 15",
      "-f lavfi -i testsrc=s=64x64:d=1|-map 1 -map 0 -c:v:0 copy -c:v:1 mpeg2video "
      "-program st=0 -program st=1" },
    { "cover.mp4", X264_B "-g 15",
      "-f lavfi -i color=red:s=64x64:d=0.04|-map 0 -map 1 -c:v:1 copy -c:v:0 mjpeg "
      "-disposition:v:0 attached_pic" },
    /* other containers */
    { "mbaff.m2ts", X264_B "-flags +ilme+ildct -x264-params tff=1 -g 15 "
                           "-mpegts_m2ts_mode 1" },
    { "bare.hevc", "-c:v libx265 -preset ultrafast -x265-params "
                   "bframes=3:keyint=20:log-level=none" },
    { "av1.mp4", "-c:v libaom-av1 -cpu-used 8 -usage realtime -g 20 -row-mt 0" },
    { "av1.ivf", "-c:v libaom-av1 -cpu-used 8 -usage realtime -g 20 -row-mt 0" },
    /* libavcodec's own pictures differ from run to run in some pixels, so only numbers count. */
    { "theora.ogg", "-c:v libtheora -g 15 -q:v 8", .codes_only = true },
    { "studio.mxf", "-vf setpts=N/25/TB -r 25 -c:v mpeg2video -bf 2 -g 12 -q:v 3" },
    { "gaps.avi",
      "-vf setpts=(N+2*floor(N/15))/30/TB -vsync passthrough -c:v mpeg4 -g 15 "
      "-q:v 3" },
    { "lossless.avi", "-c:v ffvhuff" },
    { "simple.gxf", "-c:v mpeg2video -vf scale=720:480 -r 30000/1001 -g 12 -q:v 3 "
                    "-vsync passthrough" },
};

START_TEST(test_kinds__every_frame_in_every_order)
{
    if (!rb_test_is_sampled(_i)) {
        return;
    }
    g_autofree char *path = kind_make(&kinds[_i]);
    kind_check(&kinds[_i], path);
}
END_TEST

/* The judge beside our own numbers: ffmpeg's framemd5 of each frame. */
static void must_be(RbReel *reel, int64_t ordinal, const char *sum)
{
    const RbFrameOptions options = { .pixels = RB_PIXELS_I420 };
    g_autoptr(RbPicture) picture = reel_must_get(reel, ordinal, &options);
    g_autofree char *own = kind_md5_of(picture);
    ck_assert_str_eq(own, sum);
}

START_TEST(test_kinds__framemd5_of_200_random_frames_and_all_backward)
{
    const RbWriterOptions options = {
        .width = 320, .height = 180, .rate = { 60000, 1001 }, .gop = 60, .b_frames = -1
    };
    g_autofree char *path = film_write("demo.mp4", &options, 400);
    g_auto(GStrv) sums = kind_md5s(path);
    RbReel *reel = reel_must_open(path);
    const int n = (int)rb_reel_get_frame_count(reel);
    ck_assert_int_eq(n, 400);
    ck_assert_uint_eq(g_strv_length(sums), 400);
    for (int i = n - 1; i >= 0; i--) {
        must_be(reel, i, sums[i]);
    }
    g_autofree int *order = shuffled(n, rb_test_seed(11));
    for (int i = 0; i < 200; i++) {
        must_be(reel, order[i], sums[order[i]]);
    }
    reel_must_close(reel);
}
END_TEST

TCase *rb_case_kinds(void)
{
    TCase *tcase = rb_case_new("kinds");
    tcase_set_tags(tcase, "kinds");
    tcase_add_loop_test(tcase, test_kinds__every_frame_in_every_order, 0,
                        (int)G_N_ELEMENTS(kinds));
    tcase_add_test(tcase, test_kinds__framemd5_of_200_random_frames_and_all_backward);
    return tcase;
}
