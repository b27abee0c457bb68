/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "rb/base/rational.h"

/* The list of every video packet of a film and of every frame that comes out of them. A frame
 * is named by its place in the list of frames, which is display order. It is made once by the
 * helper; the same bytes go to the parent, to the cache folder and back to another helper, and
 * every reader checks them, since each is somebody's input. */

#define RB_INDEX_VERSION 1

enum {
    RB_PACKET_KEY = 1 << 0,
    RB_PACKET_DISCARD = 1 << 1, /* to be decoded but not shown: an edit list hides it */
    RB_PACKET_SECOND_FIELD = 1 << 2, /* belongs to the frame of the packet before */
    RB_PACKET_NO_FRAME =
        1 << 3, /* nothing comes out: empty, or refers to what is not there */
    RB_PACKET_DAMAGED = 1 << 4,
    RB_PACKET_DOUBTFUL =
        1 << 5, /* damaged, or decoded from what a damaged one left behind */
    RB_PACKET_NO_REFERENCE = 1 << 6, /* no other picture is decoded from it */
    RB_PACKET_FLAGS = (1 << 7) - 1,
};

enum {
    RB_FRAME_TIME_MADE_UP = 1 << 0, /* the film gives none */
    RB_FRAME_FLAGS = (1 << 1) - 1,
};

typedef struct {
    int64_t pts; /* RB_NO_TIME if not given */
    int64_t dts;
    int64_t pos; /* byte in the file, -1 if not known */
    int32_t size;
    uint32_t flags;
} RbIndexPacket;

typedef struct {
    int64_t pts;
    uint32_t packet; /* the packet that the decoder names as its source */
    uint32_t flags;
} RbIndexFrame;

typedef struct {
    RbRational base; /* seconds a tick */
    RbRational rate; /* average frames a second, 0/1 if not known */
    int64_t n_packets;
    int64_t n_frames;
    RbIndexPacket *packets; /* owned, in file order */
    RbIndexFrame *frames;   /* owned, in display order */
    int64_t *us;            /* owned: from the first frame to each, never falling; made by
                               rb_index_set_times() */
    int64_t frame_us;       /* usual length of a frame */
    int64_t end_us;         /* from the start of the first frame to the end of the last */
} RbIndex;

RbIndex *rb_index_new(int64_t n_packets, int64_t n_frames);
void rb_index_free(RbIndex *index);

/* Fills `us`, `frame_us` and `end_us` from the pts of the frames. A step back in time, or one ahead of
 * more than 10 s and 50 usual frames, is the recorder's clock and not the film's: it counts as
 * one usual frame. */
void rb_index_set_times(RbIndex *index);

/* Returns: (transfer full). */
GByteArray *rb_index_to_bytes(const RbIndex *index);
/* Returns: (transfer full) (nullable): NULL if the bytes are not a whole, consistent index. */
RbIndex *rb_index_from_bytes(const void *bytes, size_t n);

/* The frame shown at `us` after the first; clamped. */
int64_t rb_index_find_at(const RbIndex *index, int64_t us);
/* The first frame with exactly this pts, -1 if none. */
int64_t rb_index_find_pts(const RbIndex *index, int64_t pts);
bool rb_index_is_key(const RbIndex *index, int64_t frame);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbIndex, rb_index_free)
