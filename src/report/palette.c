/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/report/palette.h"

#define HEX(value)                                                                       \
    {                                                                                    \
        ((value) >> 16 & 255) / 255.0, ((value) >> 8 & 255) / 255.0,                     \
            ((value)&255) / 255.0                                                        \
    }

/* The pairs above and below hold for red-green and blue-yellow weakness; text keeps at least
 * 5.8 : 1 on paper. */
RbPalette rb_palette_light(void)
{
    static const RbPalette palette = {
        .paper = HEX(0xFAF8F4),
        .panel = HEX(0xF0ECE4),
        .ink = HEX(0x1E2430),
        .muted = HEX(0x5A6272),
        .line = HEX(0xD5CFC3),
        .accent = HEX(0x2B4C9B),
        .above = HEX(0x0F6B6B),
        .even = HEX(0xE9E4D8),
        .below = HEX(0xA8480F),
    };
    return palette;
}
