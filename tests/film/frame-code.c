/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "frame-code.h"

#include <glib.h>
#include <stdlib.h>
#include <string.h>

void frame_code_draw(const RbWriterFrame *frame, int width, int height, int number)
{
    for (int y = 0; y < height; y++) {
        uint8_t *row = frame->planes[0] + (ptrdiff_t)y * frame->strides[0];
        const int band = y * 100 / height;
        for (int x = 0; x < width; x++) {
            if (band < 32) {
                const bool one = (number >> (15 - x * 16 / width) & 1) != 0;
                row[x] = one == (band < 16) ? 225 : 25;
            } else {
                row[x] = (uint8_t)(60 + (x + number * 3) % 64 + (y * 2 + number) % 48);
            }
        }
    }
    for (int plane = 1; plane < 3; plane++) {
        for (int y = 0; y < height / 2; y++) {
            memset(frame->planes[plane] + (ptrdiff_t)y * frame->strides[plane],
                   plane == 1 ? 110 : 100 + number % 40, (size_t)width / 2);
        }
    }
}

/* Mean of a block; `step` bytes a pixel. */
static int mean(const uint8_t *bytes, size_t stride, int step, int x0, int x1, int y0,
                int y1)
{
    int64_t sum = 0;
    int64_t n = 0;
    for (int y = y0; y < y1; y++) {
        for (int x = x0; x < x1; x++) {
            sum += bytes[(size_t)y * stride + (size_t)(x * step)];
            n++;
        }
    }
    return n > 0 ? (int)(sum / n) : 0;
}

static int read_code(const uint8_t *bytes, size_t stride, int step, int width, int height)
{
    int code = 0;
    for (int i = 0; i < 16; i++) {
        const int x0 = (4 * i + 1) * width / 64;
        const int x1 = MAX((4 * i + 3) * width / 64, x0 + 1);
        const int upper = mean(bytes, stride, step, x0, x1, height * 4 / 100,
                               MAX(height * 12 / 100, height * 4 / 100 + 1));
        const int lower = mean(bytes, stride, step, x0, x1, height * 20 / 100,
                               MAX(height * 28 / 100, height * 20 / 100 + 1));
        if (abs(upper - lower) < 64) {
            return -1;
        }
        code = code << 1 | (upper > lower);
    }
    return code;
}

int frame_code_read(const uint8_t *gray, size_t stride, int width, int height)
{
    return read_code(gray, stride, 1, width, height);
}

int frame_code_of(const RbPicture *picture)
{
    const bool bgra = rb_picture_get_pixels(picture) == RB_PIXELS_BGRA;
    /* Green stands for brightness. */
    return read_code(rb_picture_get_bytes(picture) + (bgra ? 1 : 0),
                     rb_picture_get_stride(picture), bgra ? 4 : 1,
                     rb_picture_get_width(picture), rb_picture_get_height(picture));
}
