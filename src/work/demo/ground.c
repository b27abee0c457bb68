/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ground.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "rb/base/random.h"

/* The turf repeats after TURF_WIDTH by TURF_HEIGHT texels, far outside what cameras see. */
#define TURF_WIDTH 2048
#define TURF_HEIGHT 1024
#define TURF_TEXELS_PER_YD 8.0
#define TURF_LEFT_YD (-78.0)
#define TURF_NEAR_YD (-37.0)
#define TURF_LUMA 98.0
#define TURF_U 106
#define TURF_V 112

#define WIDTH_MAX 4096

#define CROWD_SIZE 512 /* both ways */
#define CROWD_TEXELS_PER_YD 12.0

/* A level has one row and column more, copies of the first, so that a sample between the last
 * texel and the first needs no test. */
static size_t level_stride(int level)
{
    return (size_t)(TURF_WIDTH >> level) + 1;
}

/* Smooth noise on a grid that repeats, by blending random values: both sizes powers of two. */
typedef struct {
    int columns;
    int rows;
    float *values; /* owned */
} Noise;

static void noise_init(Noise *noise, RbRandom *random, int columns, int rows)
{
    noise->columns = columns;
    noise->rows = rows;
    noise->values = g_new(float, (size_t)columns *(size_t)rows);
    for (int i = 0; i < columns * rows; i++) {
        noise->values[i] = (float)(2.0 * rb_random_unit(random) - 1.0);
    }
}

static float noise_at(const Noise *noise, float x, float y)
{
    const int i = (int)x;
    const int j = (int)y;
    const float fx = x - (float)i;
    const float fy = y - (float)j;
    const int i0 = i & (noise->columns - 1);
    const int i1 = (i + 1) & (noise->columns - 1);
    const float *a = noise->values + (j & (noise->rows - 1)) * noise->columns;
    const float *b = noise->values + ((j + 1) & (noise->rows - 1)) * noise->columns;
    const float top = a[i0] * (1.0f - fx) + a[i1] * fx;
    const float low = b[i0] * (1.0f - fx) + b[i1] * fx;
    return top * (1.0f - fy) + low * fy;
}

/* Light and dark bands of five yards, as mown; worn grass between the hashes. */
static double turf_shade(double x, double y)
{
    const bool inside = x > -10.0 && x < 110.0 && y > -6.0 && y < RB_FIELD_WIDTH_YD + 6.0;
    double shade = -7.0;
    if (inside) {
        const double band = x / 5.0 - floor(x / 5.0 / 2.0) * 2.0;
        const double edge = 0.02; /* blades at an edge are not cut with a ruler */
        const double wave = CLAMP((fabs(band - 1.5) - 0.5) / edge, -1.0, 1.0);
        shade = 5.5 * wave;
    }
    const double off_middle = (y - RB_FIELD_WIDTH_YD / 2.0) / 9.0;
    const double wear = exp(-off_middle * off_middle) * (x > 5.0 && x < 95.0 ? 1.0 : 0.3);
    return shade + 3.5 * wear;
}

static void turf_fill(uint8_t *level, RbRandom *random)
{
    static const struct {
        int columns;
        int rows;
        float depth;
    } octaves[] = {
        { 32, 16, 4.0f }, { 128, 64, 3.0f }, { 512, 256, 3.5f }, { 1024, 512, 4.5f }
    };
    enum { OCTAVES = sizeof octaves / sizeof octaves[0] };
    Noise noises[OCTAVES];
    for (int k = 0; k < OCTAVES; k++) {
        noise_init(&noises[k], random, octaves[k].columns, octaves[k].rows);
    }
    for (int j = 0; j < TURF_HEIGHT; j++) {
        uint8_t *row = level + (size_t)j * level_stride(0);
        for (int i = 0; i < TURF_WIDTH; i++) {
            const double x = TURF_LEFT_YD + (i + 0.5) / TURF_TEXELS_PER_YD;
            const double y = TURF_NEAR_YD + (j + 0.5) / TURF_TEXELS_PER_YD;
            float luma = (float)(TURF_LUMA + turf_shade(x, y));
            for (int k = 0; k < OCTAVES; k++) {
                const float sx = (float)octaves[k].columns / TURF_WIDTH;
                const float sy = (float)octaves[k].rows / TURF_HEIGHT;
                luma +=
                    octaves[k].depth * noise_at(&noises[k], (float)i * sx, (float)j * sy);
            }
            row[i] = (uint8_t)CLAMP(luma, 30.0f, 200.0f);
        }
    }
    for (int k = 0; k < OCTAVES; k++) {
        g_free(noises[k].values);
    }
}

static void turf_close(uint8_t *level, int number)
{
    const size_t stride = level_stride(number);
    const size_t rows = (size_t)(TURF_HEIGHT >> number);
    for (size_t j = 0; j < rows; j++) {
        level[j * stride + stride - 1] = level[j * stride];
    }
    memcpy(level + rows * stride, level, stride);
}

static void turf_halve(const uint8_t *large, uint8_t *small, int number)
{
    const size_t from = level_stride(number - 1);
    const size_t to = level_stride(number);
    for (size_t j = 0; j < (size_t)(TURF_HEIGHT >> number); j++) {
        for (size_t i = 0; i + 1 < to; i++) {
            const uint8_t *p = large + 2 * j * from + 2 * i;
            small[j * to + i] = (uint8_t)((p[0] + p[1] + p[from] + p[from + 1] + 2) / 4);
        }
    }
}

void rb_demo_turf_init(RbDemoTurf *turf, uint64_t seed)
{
    RbRandom random;
    rb_random_seed_stream(&random, seed, 1);
    for (int k = 0; k < 3; k++) {
        turf->levels[k] = g_malloc(level_stride(k) * (size_t)((TURF_HEIGHT >> k) + 1));
        if (k == 0) {
            turf_fill(turf->levels[0], &random);
        } else {
            turf_halve(turf->levels[k - 1], turf->levels[k], k);
        }
        turf_close(turf->levels[k], k);
    }
}

void rb_demo_turf_clear(RbDemoTurf *turf)
{
    for (int k = 0; k < 3; k++) {
        g_clear_pointer(&turf->levels[k], g_free);
    }
}

/* Half a row: texels at (x, y) and a fixed step on, in 1/65536 of a texel, blended of four. */
static void turf_samples(const uint8_t *level, int number, const uint32_t start[2],
                         const uint32_t step[2], uint8_t *samples, int n)
{
    const uint32_t mask_x = (uint32_t)(TURF_WIDTH >> number) - 1;
    const uint32_t mask_y = (uint32_t)(TURF_HEIGHT >> number) - 1;
    const size_t stride = level_stride(number);
    uint32_t x = start[0];
    uint32_t y = start[1];
    for (int i = 0; i < n; i++) {
        const uint8_t *p = level + ((y >> 16) & mask_y) * stride + ((x >> 16) & mask_x);
        const uint32_t fx = (x >> 8) & 255;
        const uint32_t fy = (y >> 8) & 255;
        const uint32_t top = p[0] * (256 - fx) + p[1] * fx;
        const uint32_t low = p[stride] * (256 - fx) + p[stride + 1] * fx;
        samples[i] = (uint8_t)((top * (256 - fy) + low * fy) >> 16);
        x += step[0];
        y += step[1];
    }
}

/* A texel is at least three pixels wide, so every second pixel is enough; those between are
 * means of two. samples: one more than half the width. */
static void spread_samples(const uint8_t *samples, uint8_t *row, int width)
{
    for (int i = 0; i < width / 2; i++) {
        row[2 * i] = samples[i];
        row[2 * i + 1] = (uint8_t)((samples[i] + samples[i + 1] + 1) >> 1);
    }
}

static uint32_t fixed(double texels)
{
    return (uint32_t)(int64_t)llround(texels * 65536.0);
}

void rb_demo_turf_draw(const RbDemoTurf *turf, const RbProjection *projection,
                       RbDemoFrame *frame)
{
    const RbHomography ground = rb_projection_ground(projection);
    RbHomography back;
    const bool ok = rb_homography_invert(&ground, &back, NULL);
    g_assert(ok);
    const double *m = back.m;
    g_assert(frame->width <= WIDTH_MAX);
    for (int row = 0; row < frame->height; row++) {
        uint8_t *luma = frame->planes[0] + (ptrdiff_t)row * frame->strides[0];
        /* A level camera sees each row at one distance, so steps along it are equal. */
        const double v = row + 0.5;
        const double c = m[7] * v + m[8];
        if (c <= 1e-9) {
            memset(luma, 60, (size_t)frame->width);
            continue;
        }
        const double x = (m[0] * 0.5 + m[1] * v + m[2]) / c;
        const double y = (m[3] * 0.5 + m[4] * v + m[5]) / c;
        /* Depth of a row, in yards: moves of the ground point with v. */
        const double depth = hypot(m[1] - m[7] * x, m[4] - m[7] * y) / c;
        const int number = depth * TURF_TEXELS_PER_YD < 1.4   ? 0
                           : depth * TURF_TEXELS_PER_YD < 2.8 ? 1
                                                              : 2;
        const double scale = TURF_TEXELS_PER_YD / (1 << number);
        const uint32_t start[2] = { fixed((x - TURF_LEFT_YD) * scale - 0.5),
                                    fixed((y - TURF_NEAR_YD) * scale - 0.5) };
        const uint32_t step[2] = { fixed(2.0 * m[0] / c * scale),
                                   fixed(2.0 * m[3] / c * scale) };
        uint8_t samples[WIDTH_MAX / 2 + 1];
        turf_samples(turf->levels[number], number, start, step, samples,
                     frame->width / 2 + 1);
        spread_samples(samples, luma, frame->width);
    }
    for (int row = 0; row < frame->height / 2; row++) {
        memset(frame->planes[1] + (ptrdiff_t)row * frame->strides[1], TURF_U,
               (size_t)frame->width / 2);
        memset(frame->planes[2] + (ptrdiff_t)row * frame->strides[2], TURF_V,
               (size_t)frame->width / 2);
    }
}

static void crowd_box(RbDemoCrowd *crowd, int x0, int y0, int x1, int y1,
                      RbDemoColour colour)
{
    const uint8_t parts[3] = { colour.y, colour.u, colour.v };
    for (int y = y0; y < y1; y++) {
        for (int x = x0; x < x1; x++) {
            const size_t at = (size_t)(y & (CROWD_SIZE - 1)) * CROWD_SIZE +
                              (size_t)(x & (CROWD_SIZE - 1));
            for (int k = 0; k < 3; k++) {
                crowd->planes[k][at] = parts[k];
            }
        }
    }
}

/* One person on a seat whose left front corner is (x, y); y grows up the stand. */
static void crowd_person(RbDemoCrowd *crowd, RbRandom *random, int x, int y)
{
    static const int clothes[][3] = {
        { 34, 48, 110 }, { 34, 48, 110 }, { 40, 54, 120 },   { 200, 200, 196 },
        { 60, 62, 66 },  { 36, 36, 40 },  { 150, 60, 48 },   { 120, 116, 110 },
        { 84, 92, 70 },  { 90, 70, 60 },  { 170, 160, 120 },
    };
    static const int faces[][3] = { { 196, 152, 128 }, { 150, 108, 84 }, { 96, 66, 50 } };
    const int c = rb_random_int(random, 0, (int)(sizeof clothes / sizeof clothes[0]) - 1);
    const int f = rb_random_int(random, 0, 2);
    const double dim = 0.55 + 0.25 * rb_random_unit(random);
    const int shift = rb_random_int(random, -1, 1);
    const RbDemoColour shirt =
        rb_demo_colour((int)(clothes[c][0] * dim), (int)(clothes[c][1] * dim),
                       (int)(clothes[c][2] * dim));
    const RbDemoColour face = rb_demo_colour(
        (int)(faces[f][0] * dim), (int)(faces[f][1] * dim), (int)(faces[f][2] * dim));
    crowd_box(crowd, x + shift, y + 1, x + shift + 6, y + 6, shirt);
    crowd_box(crowd, x + shift + 2, y + 6, x + shift + 4, y + 9, face);
}

void rb_demo_crowd_init(RbDemoCrowd *crowd, uint64_t seed)
{
    enum { SEAT = 7, ROW = 11, AISLE = 18 };
    RbRandom random;
    rb_random_seed_stream(&random, seed, 2);
    for (int k = 0; k < 3; k++) {
        crowd->planes[k] = g_malloc((size_t)CROWD_SIZE * CROWD_SIZE);
    }
    crowd_box(crowd, 0, 0, CROWD_SIZE, CROWD_SIZE, rb_demo_colour(52, 52, 56));
    for (int y = 0; y + ROW <= CROWD_SIZE; y += ROW) {
        crowd_box(crowd, 0, y, CROWD_SIZE, y + 1, rb_demo_colour(34, 34, 38));
        for (int x = 0; x + SEAT <= CROWD_SIZE - AISLE; x += SEAT) {
            if (rb_random_chance(&random, 0.86)) {
                crowd_person(crowd, &random, x, y);
            }
        }
    }
}

void rb_demo_crowd_clear(RbDemoCrowd *crowd)
{
    for (int k = 0; k < 3; k++) {
        g_clear_pointer(&crowd->planes[k], g_free);
    }
}

/* The texel that a pixel shows; false above, below and beside the plane. */
static bool crowd_texel(const double m[9], double x, double y, size_t *texel)
{
    const double c = m[6] * x + m[7] * y + m[8];
    const double t = (m[3] * x + m[4] * y + m[5]) / c;
    if (c <= 0.0 || t < 0.0) {
        return false;
    }
    const double s = (m[0] * x + m[1] * y + m[2]) / c;
    const int i = (int)(int64_t)floor(s * CROWD_TEXELS_PER_YD) & (CROWD_SIZE - 1);
    const int j = (int)(int64_t)floor(t * CROWD_TEXELS_PER_YD) & (CROWD_SIZE - 1);
    *texel = (size_t)j * CROWD_SIZE + (size_t)i;
    return true;
}

void rb_demo_crowd_draw(const RbDemoCrowd *crowd, const RbProjection *projection,
                        RbPoint3 origin, RbPoint3 across, RbPoint3 up, RbDemoFrame *frame)
{
    RbHomography plane;
    for (int r = 0; r < 3; r++) {
        const double *p = projection->m + 4 * r;
        plane.m[3 * r] = p[0] * across.x + p[1] * across.y + p[2] * across.z;
        plane.m[3 * r + 1] = p[0] * up.x + p[1] * up.y + p[2] * up.z;
        plane.m[3 * r + 2] = p[0] * origin.x + p[1] * origin.y + p[2] * origin.z + p[3];
    }
    RbHomography back;
    if (!rb_homography_invert(&plane, &back, NULL)) {
        return;
    }
    for (int row = 0; row < frame->height; row++) {
        uint8_t *luma = frame->planes[0] + (ptrdiff_t)row * frame->strides[0];
        uint8_t *u = frame->planes[1] + (ptrdiff_t)(row / 2) * frame->strides[1];
        uint8_t *v = frame->planes[2] + (ptrdiff_t)(row / 2) * frame->strides[2];
        bool any = false;
        size_t texel = 0;
        for (int x = 0; x < frame->width; x++) {
            if (!crowd_texel(back.m, x + 0.5, row + 0.5, &texel)) {
                continue;
            }
            any = true;
            luma[x] = crowd->planes[0][texel];
            if (((x | row) & 1) == 0) {
                u[x / 2] = crowd->planes[1][texel];
                v[x / 2] = crowd->planes[2][texel];
            }
        }
        if (!any) {
            break; /* the stand's foot is below everything else of it */
        }
    }
}
