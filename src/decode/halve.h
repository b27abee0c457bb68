/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stddef.h>
#include <stdint.h>

/* Which rows a picture of half the size is made of. */
typedef enum {
    HALVE_ALL,    /* each two rows */
    HALVE_TOP,    /* the first field's of a frame: rows 0, 2, 4... */
    HALVE_BOTTOM, /* rows 1, 3, 5... */
} HalveRows;

/* Half the width and half the height of a plane, by means. A field has as many rows as are wanted;
 * they are moved by a quarter of their distance (three parts of one, one part of its neighbour), so
 * that both fields of a frame lie at the same place and a picture at rest does not shake.
 * width, height: of what is made; the plane has twice as much of both. */
void halve_plane(uint8_t *to, ptrdiff_t to_stride, const uint8_t *from,
                 ptrdiff_t from_stride, int width, int height, HalveRows rows);
