/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "rb/base/rational.h"

/* One frame's pixels: immutable, reference counted, safe from any thread. The bytes lie in
 * memory shared with the decoding helper; the helper is told of a free slot only when the
 * last reference is gone. Hold few pictures and not for long: a reel has a limited number of
 * slots (RB_REEL_SLOTS) and waits for one to come back. */
typedef struct RbPicture RbPicture;

typedef enum {
    /* Four bytes a pixel, blue first, alpha always 255: the memory format
     * B8G8R8A8_PREMULTIPLIED of GDK, and CAIRO_FORMAT_RGB24 on little-endian machines. */
    RB_PIXELS_BGRA,
    /* One byte a pixel, full range 0 to 255. */
    RB_PIXELS_GRAY,
    /* The three planes of 4:2:0 in one block, each with its own stride: see
     * rb_picture_get_plane(). 8 bits; BT.709 in limited range, to be encoded, or, asked as
     * coded, with the film's own values. */
    RB_PIXELS_I420,
} RbPixels;

RbPicture *rb_picture_ref(RbPicture *picture);
void rb_picture_unref(RbPicture *picture); /* NULL is allowed */

/* The frame's number in display order, from 0. */
int64_t rb_picture_get_ordinal(const RbPicture *picture);
/* 1 or 2: the field it shows, in the order of time, if it was asked for by field; else 0. */
int rb_picture_get_field(const RbPicture *picture);
/* False if it is one of two moments of its frame. */
bool rb_picture_is_whole(const RbPicture *picture);
/* Its pts and time base. A frame of a film without times has a time made up from the rate. */
RbTime rb_picture_get_time(const RbPicture *picture);
int rb_picture_get_width(const RbPicture *picture);
int rb_picture_get_height(const RbPicture *picture);
/* Size of the frame as it is coded in the film; it may change in mid film. */
int rb_picture_get_coded_width(const RbPicture *picture);
int rb_picture_get_coded_height(const RbPicture *picture);
RbPixels rb_picture_get_pixels(const RbPicture *picture);
/* Shape of one pixel, width : height; 1:1 unless the film is anamorphic. */
RbRational rb_picture_get_pixel_shape(const RbPicture *picture);
/* True when the picture may not be what the camera saw: damage in the film before it and no
 * clean key frame since. Show it, and say so. */
bool rb_picture_is_doubtful(const RbPicture *picture);
/* True if it was asked for by a number that was not certain yet: see
 * rb_reel_get_frames_so_far(). */
bool rb_picture_is_approximate(const RbPicture *picture);

/* Bytes of the first plane, top row first. Returns: (transfer none): valid while the caller
 * holds its reference. */
const uint8_t *rb_picture_get_bytes(const RbPicture *picture);
size_t rb_picture_get_size(const RbPicture *picture); /* of all planes together */
size_t rb_picture_get_stride(const RbPicture *picture);

/* plane: 0 to 2 for I420, else 0. stride: (out). Returns: (transfer none). */
const uint8_t *rb_picture_get_plane(const RbPicture *picture, int plane, size_t *stride);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbPicture, rb_picture_unref)
