/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/picture.h"

#include <stdatomic.h>

#include "picture-private.h"

struct RbPicture {
    atomic_int refs;
    /* immutable */
    RbRing *ring; /* owned reference */
    int slot;
    int64_t ordinal;
    int field;
    bool whole;
    RbTime time;
    int width;
    int height;
    int coded_width;
    int coded_height;
    RbPixels pixels;
    RbRational shape;
    bool doubtful;
    bool approximate;
    RbLayout layout;
    const uint8_t *bytes; /* borrowed from the ring */
};

RbPicture *rb_picture_new(RbRing *ring, const RbTellFrame *frame, RbTime time)
{
    RbPicture *picture = g_new0(RbPicture, 1);
    atomic_init(&picture->refs, 1);
    picture->ring = rb_ring_ref(ring);
    picture->slot = (int)frame->slot;
    picture->ordinal = frame->ordinal;
    picture->field = (int)frame->field;
    picture->whole = frame->whole != 0;
    picture->time = time;
    picture->width = frame->width;
    picture->height = frame->height;
    picture->coded_width = frame->coded_width;
    picture->coded_height = frame->coded_height;
    picture->pixels = (RbPixels)frame->pixels;
    picture->shape = (RbRational){ frame->shape_num, frame->shape_den };
    picture->doubtful = frame->doubtful != 0;
    const bool fits = rb_layout_make(picture->pixels, picture->width, picture->height,
                                     &picture->layout) &&
                      picture->layout.bytes <= rb_ring_get_slot_bytes(ring);
    g_assert(fits);
    picture->bytes = rb_ring_get_slot(ring, picture->slot);
    return picture;
}

void rb_picture_renumber(RbPicture *picture, int64_t ordinal, int field)
{
    g_assert(atomic_load_explicit(&picture->refs, memory_order_relaxed) == 1);
    picture->ordinal = ordinal;
    picture->field = field;
    picture->whole = field == 0;
}

int64_t rb_picture_position(const RbPicture *picture, int per)
{
    return picture->ordinal * per + (picture->field == 2 ? 1 : 0);
}

void rb_picture_doubt(RbPicture *picture, bool doubtful, bool approximate)
{
    picture->doubtful = picture->doubtful || doubtful;
    picture->approximate = approximate;
}

bool rb_picture_is_approximate(const RbPicture *picture)
{
    return picture->approximate;
}

RbPicture *rb_picture_ref(RbPicture *picture)
{
    atomic_fetch_add_explicit(&picture->refs, 1, memory_order_relaxed);
    return picture;
}

void rb_picture_unref(RbPicture *picture)
{
    if (picture == NULL ||
        atomic_fetch_sub_explicit(&picture->refs, 1, memory_order_acq_rel) != 1) {
        return;
    }
    rb_ring_give_back(picture->ring, picture->slot);
    rb_ring_unref(picture->ring);
    g_free(picture);
}

int64_t rb_picture_get_ordinal(const RbPicture *picture)
{
    return picture->ordinal;
}

int rb_picture_get_field(const RbPicture *picture)
{
    return picture->field;
}

bool rb_picture_is_whole(const RbPicture *picture)
{
    return picture->whole;
}

RbTime rb_picture_get_time(const RbPicture *picture)
{
    return picture->time;
}

int rb_picture_get_width(const RbPicture *picture)
{
    return picture->width;
}

int rb_picture_get_height(const RbPicture *picture)
{
    return picture->height;
}

int rb_picture_get_coded_width(const RbPicture *picture)
{
    return picture->coded_width;
}

int rb_picture_get_coded_height(const RbPicture *picture)
{
    return picture->coded_height;
}

RbPixels rb_picture_get_pixels(const RbPicture *picture)
{
    return picture->pixels;
}

RbRational rb_picture_get_pixel_shape(const RbPicture *picture)
{
    return picture->shape;
}

bool rb_picture_is_doubtful(const RbPicture *picture)
{
    return picture->doubtful;
}

const uint8_t *rb_picture_get_bytes(const RbPicture *picture)
{
    return picture->bytes;
}

size_t rb_picture_get_size(const RbPicture *picture)
{
    return picture->layout.bytes;
}

size_t rb_picture_get_stride(const RbPicture *picture)
{
    return picture->layout.stride[0];
}

const uint8_t *rb_picture_get_plane(const RbPicture *picture, int plane, size_t *stride)
{
    g_assert(plane >= 0 && plane < picture->layout.planes);
    *stride = picture->layout.stride[plane];
    return picture->bytes + picture->layout.offset[plane];
}
