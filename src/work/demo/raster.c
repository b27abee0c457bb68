/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "raster.h"

#include <glib.h>
#include <math.h>
#include <string.h>

/* The cells of a row hold, from left to right, by how much the covered share changes from one
 * pixel to the next; their running sum is the share itself. The method is that of font
 * rasterisers with signed areas. */
struct RbDemoMask {
    int width;
    int height;
    int stride;
    float *cells; /* owned */
    int *first;   /* owned: first and last touched cell of each row */
    int *last;    /* owned */
    int *chroma;  /* owned: covered share of one row of chroma, times four */
    int top;      /* touched rows */
    int bottom;
};

static uint8_t to_byte(double value)
{
    return (uint8_t)CLAMP(lround(value), 0, 255);
}

RbDemoColour rb_demo_colour(int red, int green, int blue)
{
    const double luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
    return (RbDemoColour){
        to_byte(16.0 + luma * 219.0 / 255.0),
        to_byte(128.0 + (blue - luma) / 1.8556 * 224.0 / 255.0),
        to_byte(128.0 + (red - luma) / 1.5748 * 224.0 / 255.0),
    };
}

RbDemoColour rb_demo_colour_mix(RbDemoColour a, RbDemoColour b, double share)
{
    return (RbDemoColour){
        to_byte(a.y + share * (b.y - a.y)),
        to_byte(a.u + share * (b.u - a.u)),
        to_byte(a.v + share * (b.v - a.v)),
    };
}

static void forget(RbDemoMask *mask)
{
    mask->top = mask->height;
    mask->bottom = -1;
}

RbDemoMask *rb_demo_mask_new(int width, int height)
{
    RbDemoMask *mask = g_new0(RbDemoMask, 1);
    mask->width = width;
    mask->height = height;
    mask->stride = width + 2;
    mask->cells = g_new0(float, (size_t)mask->stride *(size_t)height);
    mask->first = g_new(int, height);
    mask->last = g_new(int, height);
    mask->chroma = g_new0(int, width / 2 + 1);
    for (int row = 0; row < height; row++) {
        mask->first[row] = mask->stride;
        mask->last[row] = -1;
    }
    forget(mask);
    return mask;
}

void rb_demo_mask_free(RbDemoMask *mask)
{
    if (mask == NULL) {
        return;
    }
    g_free(mask->cells);
    g_free(mask->first);
    g_free(mask->last);
    g_free(mask->chroma);
    g_free(mask);
}

/* One edge within one row: covers `height` of it (signed), from column x0 to x1. */
static void add_step(RbDemoMask *mask, int row, float x0, float x1, float height)
{
    const float right = (float)mask->width;
    x0 = CLAMP(x0, 0.0f, right);
    x1 = CLAMP(x1, 0.0f, right);
    const float low = MIN(x0, x1);
    const float high = MAX(x0, x1);
    const int i0 = (int)low;
    const int i1 = (int)ceilf(high);
    float *cells = mask->cells + (size_t)row * (size_t)mask->stride;
    if (i1 <= i0 + 1) {
        const float middle = 0.5f * (low + high) - (float)i0;
        cells[i0] += height - height * middle;
        cells[i0 + 1] += height * middle;
    } else {
        const float slope = 1.0f / (high - low);
        const float in = 1.0f - (low - (float)i0);
        const float out = high - (float)i1 + 1.0f;
        const float a0 = 0.5f * slope * in * in;
        const float am = 0.5f * slope * out * out;
        cells[i0] += height * a0;
        if (i1 == i0 + 2) {
            cells[i0 + 1] += height * (1.0f - a0 - am);
        } else {
            const float a1 = slope * (0.5f + in);
            cells[i0 + 1] += height * (a1 - a0);
            for (int i = i0 + 2; i < i1 - 1; i++) {
                cells[i] += height * slope;
            }
            const float a2 = a1 + (float)(i1 - i0 - 3) * slope;
            cells[i1 - 1] += height * (1.0f - a2 - am);
        }
        cells[i1] += height * am;
    }
    mask->first[row] = MIN(mask->first[row], i0);
    mask->last[row] = MAX(mask->last[row], MAX(i1, i0 + 1));
}

static void add_edge(RbDemoMask *mask, RbPoint2 a, RbPoint2 b, float sign)
{
    if (a.y == b.y) {
        return;
    }
    if (a.y > b.y) {
        const RbPoint2 kept = a;
        a = b;
        b = kept;
        sign = -sign;
    }
    const int from = a.y <= 0.0 ? 0 : (int)a.y;
    const int to = b.y >= mask->height ? mask->height : (int)ceil(b.y);
    if (from >= to) {
        return;
    }
    mask->top = MIN(mask->top, from);
    mask->bottom = MAX(mask->bottom, to - 1);
    const double slope = (b.x - a.x) / (b.y - a.y);
    for (int row = from; row < to; row++) {
        const double y0 = MAX(a.y, (double)row);
        const double y1 = MIN(b.y, (double)row + 1.0);
        add_step(mask, row, (float)(a.x + slope * (y0 - a.y)),
                 (float)(a.x + slope * (y1 - a.y)), sign * (float)(y1 - y0));
    }
}

void rb_demo_mask_polygon(RbDemoMask *mask, const RbPoint2 *points, int n)
{
    double area = 0.0;
    for (int i = 0; i < n; i++) {
        const RbPoint2 a = points[i];
        const RbPoint2 b = points[(i + 1) % n];
        area += a.x * b.y - b.x * a.y;
    }
    for (int i = 0; i < n; i++) {
        add_edge(mask, points[i], points[(i + 1) % n], area < 0.0 ? 1.0f : -1.0f);
    }
}

void rb_demo_mask_capsule(RbDemoMask *mask, RbPoint2 a, double radius_a, RbPoint2 b,
                          double radius_b)
{
    enum { CORNERS = 5 }; /* of each half circle, every 45 degrees */
    static const double along[CORNERS] = { 0.0, -G_SQRT2 / 2.0, -1.0, -G_SQRT2 / 2.0,
                                           0.0 };
    static const double across[CORNERS] = { 1.0, G_SQRT2 / 2.0, 0.0, -G_SQRT2 / 2.0,
                                            -1.0 };
    const double length = hypot(b.x - a.x, b.y - a.y);
    const double c = length > 1e-6 ? (b.x - a.x) / length : 1.0;
    const double s = length > 1e-6 ? (b.y - a.y) / length : 0.0;
    RbPoint2 points[2 * CORNERS];
    for (int i = 0; i < CORNERS; i++) {
        const double x = along[i] * c - across[i] * s;
        const double y = along[i] * s + across[i] * c;
        points[i] = (RbPoint2){ a.x + radius_a * x, a.y + radius_a * y };
        points[CORNERS + i] = (RbPoint2){ b.x - radius_b * x, b.y - radius_b * y };
    }
    rb_demo_mask_polygon(mask, points, 2 * CORNERS);
}

void rb_demo_mask_disc(RbDemoMask *mask, RbPoint2 centre, double radius)
{
    rb_demo_mask_capsule(mask, centre, radius, centre, radius);
}

/* Shares are in 1/256 from here on. */
static uint8_t blended(uint8_t from, uint8_t to, int share)
{
    return (uint8_t)(from + (((to - from) * share + 128) >> 8));
}

static void blend_chroma(RbDemoMask *mask, RbDemoFrame *frame, int row,
                         RbDemoColour colour, int from, int to)
{
    uint8_t *u = frame->planes[1] + (ptrdiff_t)row * frame->strides[1];
    uint8_t *v = frame->planes[2] + (ptrdiff_t)row * frame->strides[2];
    for (int i = from; i <= to; i++) {
        const int share = mask->chroma[i] >> 2;
        mask->chroma[i] = 0;
        if (share != 0) {
            u[i] = blended(u[i], colour.u, share);
            v[i] = blended(v[i], colour.v, share);
        }
    }
}

/* The first cell from `x` on that is not 0, or end + 1. */
static int run_end(const float *cells, int x, int end)
{
    for (; x + 7 <= end; x += 8) {
        uint64_t bits[4];
        memcpy(bits, cells + x, sizeof bits);
        if ((bits[0] | bits[1] | bits[2] | bits[3]) != 0) {
            break;
        }
    }
    while (x <= end && cells[x] == 0.0f) {
        x++;
    }
    return x;
}

/* One row, by runs of pixels that are covered alike: most of a shape, and most of what is not
 * in it, is such runs. */
static void blend_row(RbDemoMask *mask, const float *cells, uint8_t *luma, int first,
                      int end, uint8_t y, float opacity)
{
    float sum = 0.0f;
    int x = first;
    while (x <= end) {
        sum += cells[x];
        const int stop = run_end(cells, x + 1, end);
        const int share = (int)(opacity * CLAMP(sum, 0.0f, 1.0f) + 0.5f);
        if (share != 0) {
            for (int i = x; i < stop; i++) {
                luma[i] = blended(luma[i], y, share);
            }
            for (int i = x; i < stop; i++) {
                mask->chroma[i >> 1] += share;
            }
        }
        x = stop;
    }
}

void rb_demo_mask_blend(RbDemoMask *mask, RbDemoFrame *frame, RbDemoColour colour,
                        double opacity)
{
    int from = mask->width;
    int to = -1;
    for (int row = mask->top; row <= mask->bottom; row++) {
        float *cells = mask->cells + (size_t)row * (size_t)mask->stride;
        const int first = mask->first[row];
        const int last = mask->last[row];
        if (first <= last) {
            const int end = MIN(last, mask->width - 1);
            blend_row(mask, cells, frame->planes[0] + (ptrdiff_t)row * frame->strides[0],
                      first, end, colour.y, (float)(256.0 * opacity));
            memset(cells + first, 0, (size_t)(last - first + 1) * sizeof *cells);
            from = MIN(from, first / 2);
            to = MAX(to, end / 2);
        }
        mask->first[row] = mask->stride;
        mask->last[row] = -1;
        if ((row & 1) == 1 || row == mask->bottom) {
            blend_chroma(mask, frame, row / 2, colour, from, to);
            from = mask->width;
            to = -1;
        }
    }
    forget(mask);
}
