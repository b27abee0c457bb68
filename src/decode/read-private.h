/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "convert.h"
#include "fields.h"
#include "parent.h"
#include "reader.h"
#include "scan.h"
#include "telling.h"

/* What a helper that reads one film has. Used by read*.c only. */

#define WAITING_MAX 64

typedef struct {
    int fd;
    int threads;
    Stance stance;
    RbIndex *index;
    bool reading; /* `reader` is open */
    Reader reader;
    Fields fields;
    Converter converter;
    uint8_t *ring;
    RbAskRing ring_size;
    /* messages taken in while decoding, oldest first */
    Asked waiting[WAITING_MAX];
    int n_waiting;
    uint64_t serial; /* of the frame being made */
    bool dropped;    /* it is not wanted any more */
    RbAskKeep keep;  /* what to decode ahead */
    bool ahead;      /* there may be something left of it */
    bool preparing;  /* there may be memory to be made ready */
    AVFrame *held;   /* owned: for pictures sent while decoding ahead */
    /* the reader's, when it last made a frame that was asked for */
    int64_t landings;
    int64_t retries;
    int64_t decoded;
    uint32_t slots_ready; /* of the ring */
    Scan *scan;           /* owned; NULL: the index came from the parent */
    bool scanning;
    bool growing; /* and the parent has an index of what was there before */
    int64_t scan_start_us;
    int64_t next_so_far_us;
    int64_t next_look_us;
} ReadRole;

/* read-ahead.c: what is decoded, and the memory made ready, while nobody asks. */

/* One piece, on the thread of ahead.h. False: nothing is left. */
bool read_work_ahead(void *data);
void read_use_keep(ReadRole *role, const RbAskKeep *keep);
