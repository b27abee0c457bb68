/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdbool.h>
#include <stdint.h>

#include "film/index.h"
#include "frame-cache.h"
#include "source.h"

/* Gives the frame of a number, exactly, in any order. It starts decoding at a verified key
 * packet, tells every packet's number to the decoder, takes the frame that carries the right
 * number back, and begins again farther back when it does not come or comes damaged. */
typedef struct {
    Source source;
    const RbIndex *index; /* borrowed */
    int32_t *frame_of;    /* owned: frame of each packet, -1: none */
    FrameCache cache;
    /* where decoding stands */
    bool running;
    bool from_top;       /* it began with a fresh opening of the film */
    int64_t start;       /* packet where it began */
    int64_t next_packet; /* number of the next packet of the container */
    bool held;           /* source.packet is that packet and not fed yet */
    bool drained;
    int64_t newest; /* highest frame that came out; -1: none */
    bool doubtful;  /* damage since the last clean key frame */
    /* Of an open group: packets before this were fed when its key came out; INT64_MAX: it has not
     * yet. 0: another group. */
    int64_t open_end;
    bool right_at_once; /* what is shown after that key leans on nothing before it */
    int64_t asked;      /* the frame last asked for; -1: none */
    bool in_haste;      /* only the wanted frame counts, not those around it */
    bool alone;         /* set by the caller: the next frame asked for is made in haste */
    /* counters */
    int64_t landings;
    int64_t retries;
    int64_t decoded; /* packets given to the decoder */
} Reader;

typedef enum {
    READER_FRAME,
    READER_STOPPED, /* `stop` said so; decoding can go on from here */
    READER_NOTHING, /* no picture can be had for this frame */
} ReaderResult;

/* Polled between packets; true to leave off. Also the place for signs of life. */
typedef bool (*ReaderStop)(void *data);

/* Both steps at once. Returns 0 or as source_open(). reader: stays where it is until
 * reader_close(). */
int reader_open(Reader *reader, int fd, int threads, const RbIndex *index);
/* The first step: opens the source, which may be used until the second. */
int reader_open_source(Reader *reader, int fd, int threads);
/* The second, and again when the film has grown. False without memory. */
bool reader_use_index(Reader *reader, const RbIndex *index);
void reader_close(Reader *reader);

/* As source_set_rough(), for every frame that is given from now on. False: it was so already. */
bool reader_set_rough(Reader *reader, bool rough);

/* frame: (out): borrowed until the next call. *doubtful: true if it may not be what was
 * recorded; a frame that cannot be decoded at all is stood in for by the one before it, then
 * always doubtful. */
/*
 * A frame far from the one asked for before is made in haste: what nothing else is decoded from
 * is left out on the way, and the decoder is emptied as soon as it has the frame. The next
 * request nearby then decodes the group in full and fills the cache. */
ReaderResult reader_get(Reader *reader, int64_t ordinal, ReaderStop stop, void *data,
                        const AVFrame **frame, bool *doubtful);
