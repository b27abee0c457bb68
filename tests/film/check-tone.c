/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From high range to an ordinary screen: against numbers that the recommendations print. */
#include <math.h>

#include "rb/base/random.h"

#include "decode/tone.h"
#include "films.h"
#include "reels.h"
#include "suite.h"

TCase *rb_case_tone(void);

/* ITU-R BT.2408-4, table 1: levels in cd/m2, per cent PQ and per cent HLG, as printed. */
static const struct {
    double light;
    double pq;
    double hlg;
} levels[] = {
    { 26, 38, 38 },  /* grey card, 18 % */
    { 162, 56, 71 }, /* greyscale chart, 83 % */
    { 203, 58, 75 }, /* HDR reference white */
};

START_TEST(test_tone__reference_levels_of_bt2408)
{
    for (size_t i = 0; i < G_N_ELEMENTS(levels); i++) {
        const double signal = tone_pq_from_light(levels[i].light);
        ck_assert_double_le(fabs(signal * 100 - levels[i].pq), 0.5);
        /* On the reference display of 1,000 cd/m2, BT.2100 table 5: gamma 1.2. */
        const double light = 1000 * pow(tone_hlg_to_scene(levels[i].hlg / 100), 1.2);
        ck_assert_double_le(fabs(light / levels[i].light - 1), 0.04);
    }
}
END_TEST

START_TEST(test_tone__ends_and_inverse_of_bt2100)
{
    ck_assert_double_eq_tol(tone_pq_to_light(1), 10000, 1e-6);
    ck_assert_double_eq_tol(tone_pq_to_light(0), 0, 1e-9);
    /* BT.2100 table 5: the two branches meet at one half, where the scene is 1/12. */
    ck_assert_double_eq_tol(tone_hlg_to_scene(0.5), 1.0 / 12, 1e-12);
    ck_assert_double_eq_tol(tone_hlg_to_scene(0.5 + 1e-9), 1.0 / 12, 1e-8);
    ck_assert_double_eq_tol(tone_hlg_to_scene(1), 1, 1e-6);
    for (int i = 0; i <= 1000; i++) {
        const double signal = i / 1000.0;
        ck_assert_double_eq_tol(tone_pq_from_light(tone_pq_to_light(signal)), signal,
                                1e-6);
    }
}
END_TEST

/* BT.2390 section 5.4.1: nothing changes below the knee, the peak becomes the screen's white,
 * and the curve is smooth and rises between. */
START_TEST(test_tone__the_curve_of_bt2390)
{
    static const double peaks[] = { 600, 1000, 4000, 10000 };
    for (size_t p = 0; p < G_N_ELEMENTS(peaks); p++) {
        const double top = tone_pq_from_light(peaks[p]);
        const double white = tone_pq_from_light(TONE_WHITE);
        const double knee = (1.5 * white / top - 0.5) * top;
        ck_assert_double_eq_tol(tone_curve(top, peaks[p], TONE_WHITE), white, 1e-9);
        double before = -1;
        double slope = 1;
        for (int i = 1; i <= 4000; i++) {
            const double signal = top * i / 4000;
            const double out = tone_curve(signal, peaks[p], TONE_WHITE);
            if (signal < knee) {
                ck_assert_double_eq_tol(out, signal, 1e-12);
            }
            ck_assert_double_gt(out, before);
            if (before >= 0) {
                const double now = (out - before) / (top / 4000);
                ck_assert_double_le(fabs(now - slope), 0.01);
                slope = now;
            }
            before = out;
        }
    }
    /* A film no brighter than the screen is left alone. */
    ck_assert_double_eq_tol(tone_curve(0.5, 203, 203), 0.5, 1e-12);
}
END_TEST

/* Grey stays grey: the rows of BT.2087's matrix add up to 1. */
START_TEST(test_tone__grey_stays_grey_and_red_is_cut_off)
{
    for (int kind = TONE_PQ; kind <= TONE_WIDE; kind++) {
        for (int i = 0; i <= 20; i++) {
            const double in[3] = { i / 20.0, i / 20.0, i / 20.0 };
            double out[3];
            tone_pixel((ToneKind)kind, TONE_PEAK, in, out);
            ck_assert_double_eq_tol(out[0], out[1], 0.001);
            ck_assert_double_eq_tol(out[1], out[2], 0.001);
        }
        const double red[3] = { 0.7, 0, 0 }; /* no screen of BT.709 shows it */
        double out[3];
        tone_pixel((ToneKind)kind, TONE_PEAK, red, out);
        ck_assert_double_gt(out[0], 0.5);
        ck_assert_double_eq(out[1], 0);
        ck_assert_double_eq(out[2], 0);
    }
}
END_TEST

START_TEST(test_tone__the_table_is_near_the_formula)
{
    static ToneTable table;
    RbRandom random;
    rb_random_seed(&random, rb_test_seed(5));
    for (int kind = TONE_PQ; kind <= TONE_WIDE; kind++) {
        tone_table_fill(&table, (ToneKind)kind, TONE_PEAK);
        double sum = 0;
        for (int i = 0; i < 3000; i++) {
            uint16_t rgb[3];
            double in[3];
            double out[3];
            uint8_t bgra[4];
            const int base = rb_random_int(&random, 9000, 60000);
            for (int k = 0; k < 3; k++) {
                /* As in film: colours not far from grey. */
                rgb[k] =
                    (uint16_t)CLAMP(base + rb_random_int(&random, -5000, 5000), 0, 65535);
                in[k] = rgb[k] / 65535.0;
            }
            tone_pixel((ToneKind)kind, TONE_PEAK, in, out);
            tone_row(&table, rgb, bgra, 1);
            for (int k = 0; k < 3; k++) {
                const double off = fabs(bgra[2 - k] - out[k] * 255);
                ck_assert_double_le(off, 24); /* the darkest, steepest colours */
                sum += off / 9000;
            }
            ck_assert_int_eq(bgra[3], 255);
        }
        ck_assert_double_le(sum, 0.5);
    }
}
END_TEST

/* A film of one grey, 10 bits: what comes out of the helper. */
static int shown_grey(const char *name, int luma, const char *transfer)
{
    g_autofree char *path = rb_test_path(name);
    g_autofree char *paint =
        g_strdup_printf("geq=lum=%d:cb=512:cr=512,format=yuv420p10le", luma);
    g_autofree char *graph =
        g_strdup_printf("color=gray:s=64x64:r=25:d=0.2,format=yuv420p10le,%s", paint);
    ck_assert(run_program("ffmpeg", "-v", "error", "-y", "-f", "lavfi", "-i", graph,
                          "-c:v", "libx264", "-qp", "0", "-pix_fmt", "yuv420p10le",
                          "-color_primaries", "bt2020", "-color_trc", transfer,
                          "-colorspace", "bt2020nc", "-color_range", "tv", path, NULL));
    RbReel *reel = reel_must_open(path);
    const RbFrameOptions options = { .pixels = RB_PIXELS_BGRA };
    RbPicture *picture = reel_must_get(reel, 2, &options);
    const uint8_t *pixel = rb_picture_get_bytes(picture) +
                           20 * rb_picture_get_stride(picture) + (ptrdiff_t)4 * 20;
    const int grey = pixel[1];
    ck_assert_int_le(abs(pixel[0] - grey), 1);
    ck_assert_int_le(abs(pixel[2] - grey), 1);
    ck_assert_int_eq(pixel[3], 255);
    rb_picture_unref(picture);
    reel_must_close(reel);
    return grey;
}

/* Levels in 10-bit limited range: 64 + 876 * signal (BT.2100 table 9). The grey expected is
 * worked out by hand from the formulas: light / 203 to the power of 1 / 2.4, times 255. */
START_TEST(test_tone__films_of_pq_and_hlg)
{
    static const struct {
        const char *transfer;
        int luma;
        int grey;
    } films[] = {
        { "smpte2084", 64 + 333, 108 },    /* 38 % PQ: 26 cd/m2, below the knee */
        { "smpte2084", 64 + 659, 255 },    /* 75.2 % PQ: 1,000 cd/m2, the peak */
        { "smpte2084", 64, 0 },            /* black */
        { "arib-std-b67", 64 + 333, 108 }, /* 38 % HLG: 26 cd/m2 too */
        { "arib-std-b67", 64 + 876, 255 }, /* HLG's white: 1,000 cd/m2 */
        { "bt2020-10", 64 + 438, 128 },    /* ordinary range: half stays half */
    };
    for (size_t i = 0; i < G_N_ELEMENTS(films); i++) {
        g_autofree char *name = g_strdup_printf("%zu.mp4", i);
        const int grey = shown_grey(name, films[i].luma, films[i].transfer);
        ck_assert_msg(abs(grey - films[i].grey) <= 3, "%s %d: %d, not %d",
                      films[i].transfer, films[i].luma, grey, films[i].grey);
    }
}
END_TEST

TCase *rb_case_tone(void)
{
    TCase *tcase = rb_case_new("tone");
    tcase_set_tags(tcase, "shown");
    tcase_add_test(tcase, test_tone__reference_levels_of_bt2408);
    tcase_add_test(tcase, test_tone__ends_and_inverse_of_bt2100);
    tcase_add_test(tcase, test_tone__the_curve_of_bt2390);
    tcase_add_test(tcase, test_tone__grey_stays_grey_and_red_is_cut_off);
    tcase_add_test(tcase, test_tone__the_table_is_near_the_formula);
    tcase_add_test(tcase, test_tone__films_of_pq_and_hlg);
    return tcase;
}
