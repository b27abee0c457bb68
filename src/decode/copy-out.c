/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "copy-out.h"

#include <string.h>

#ifdef __SSE2__
#include <emmintrin.h>

#define LINE 64 /* bytes of a cache line, written whole */

static size_t copy_lines(uint8_t *to, const uint8_t *from, size_t bytes)
{
    size_t done = 0;
    if ((uintptr_t)to % sizeof(__m128i) != 0) {
        return 0;
    }
    for (; done + LINE <= bytes; done += LINE) {
        const __m128i *source = (const __m128i *)(const void *)(from + done);
        __m128i *target = (__m128i *)(void *)(to + done);
        const __m128i a = _mm_loadu_si128(source);
        const __m128i b = _mm_loadu_si128(source + 1);
        const __m128i c = _mm_loadu_si128(source + 2);
        const __m128i d = _mm_loadu_si128(source + 3);
        _mm_stream_si128(target, a);
        _mm_stream_si128(target + 1, b);
        _mm_stream_si128(target + 2, c);
        _mm_stream_si128(target + 3, d);
    }
    return done;
}

static void settle(void)
{
    _mm_sfence(); /* before the message that tells of the picture */
}
#else
static size_t copy_lines(uint8_t *to, const uint8_t *from, size_t bytes)
{
    (void)to;
    (void)from;
    (void)bytes;
    return 0;
}

static void settle(void)
{
}
#endif

void copy_out_rows(uint8_t *to, ptrdiff_t to_stride, const uint8_t *from,
                   ptrdiff_t from_stride, size_t row_bytes, int rows)
{
    for (int y = 0; y < rows; y++, to += to_stride, from += from_stride) {
        const size_t done = copy_lines(to, from, row_bytes);
        memcpy(to + done, from + done, row_bytes - done);
    }
    settle();
}
