/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "halve.h"

#ifdef __SSE2__
#include <emmintrin.h>

/* The sums of each two bytes. */
static __m128i add_pairs(const uint8_t *from)
{
    const __m128i bytes = _mm_loadu_si128((const __m128i *)(const void *)from);
    return _mm_add_epi16(_mm_and_si128(bytes, _mm_set1_epi16(0xff)),
                         _mm_srli_epi16(bytes, 8));
}

static __m128i mean(const uint8_t *a, const uint8_t *b, int parts)
{
    const __m128i one = add_pairs(a);
    const __m128i other = add_pairs(b);
    const __m128i sum = _mm_add_epi16(one, other);
    if (parts == 1) {
        return _mm_srli_epi16(_mm_add_epi16(sum, _mm_set1_epi16(2)), 2);
    }
    return _mm_srli_epi16(
        _mm_add_epi16(_mm_add_epi16(sum, _mm_slli_epi16(one, 1)), _mm_set1_epi16(4)), 3);
}

/* Returns how many bytes were made. */
static int halve_many(uint8_t *to, const uint8_t *a, const uint8_t *b, int parts,
                      int width)
{
    int x = 0;
    for (; x + 16 <= width; x += 16) {
        const __m128i left = mean(a + (ptrdiff_t)2 * x, b + (ptrdiff_t)2 * x, parts);
        const __m128i right =
            mean(a + (ptrdiff_t)2 * x + 16, b + (ptrdiff_t)2 * x + 16, parts);
        _mm_storeu_si128((__m128i *)(void *)(to + x), _mm_packus_epi16(left, right));
    }
    return x;
}
#else
static int halve_many(uint8_t *to, const uint8_t *a, const uint8_t *b, int parts,
                      int width)
{
    (void)to;
    (void)a;
    (void)b;
    (void)parts;
    (void)width;
    return 0;
}
#endif

/* parts: of row `a` to one of row `b`: 1 or 3. */
static void halve_row(uint8_t *to, const uint8_t *a, const uint8_t *b, int parts,
                      int width)
{
    const int all = 2 * (parts + 1);
    for (int x = halve_many(to, a, b, parts, width); x < width; x++) {
        const ptrdiff_t at = (ptrdiff_t)2 * x;
        const int sum = parts * (a[at] + a[at + 1]) + b[at] + b[at + 1];
        to[x] = (uint8_t)((sum + all / 2) / all);
    }
}

void halve_plane(uint8_t *to, ptrdiff_t to_stride, const uint8_t *from,
                 ptrdiff_t from_stride, int width, int height, HalveRows rows)
{
    for (int y = 0; y < height; y++) {
        const uint8_t *pair = from + (ptrdiff_t)2 * y * from_stride;
        uint8_t *row = to + (ptrdiff_t)y * to_stride;
        if (rows == HALVE_ALL) {
            halve_row(row, pair, pair + from_stride, 1, width);
        } else if (rows == HALVE_TOP) {
            halve_row(row, pair, y + 1 < height ? pair + 2 * from_stride : pair, 3,
                      width);
        } else {
            const uint8_t *own = pair + from_stride;
            halve_row(row, own, y > 0 ? own - 2 * from_stride : own, 3, width);
        }
    }
}
