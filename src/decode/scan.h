/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "film/index.h"
#include "source.h"

/* What was noticed while the index was made, for the doubts told to the user. */
typedef struct {
    int64_t damaged;     /* packets marked or found damaged */
    int64_t clock_jumps; /* times that step back, or ahead out of all proportion */
    int64_t cut_start;   /* frames before the first key frame */
    int64_t promised;    /* frames that the header promises; 0 if it does not */
    bool no_times;       /* some or all times had to be made up */
    bool stuck;          /* the container stopped making progress */
    bool cut_off;        /* data that the header speaks of is missing */
    bool changes;        /* packets of another codec, or frames that never came */
    int64_t lost;        /* how many */
    int read_errnum;
    bool learnt; /* the frames were found by decoding everything, not by rules */
} ScanNotes;

/* Called between packets: the place for signs of life, for messages, and for the index so far. */
typedef struct Scan Scan;
typedef void (*ScanPause)(Scan *scan, void *data);

/* Makes the index of the film on `fd`: one pass over all packets; what comes out of them by
 * rules, checked by decoding the start; and where the rules do not hold, by decoding the whole
 * film. Tells progress. pause: (nullable). Returns: (transfer full) (nullable): NULL with
 * *result set as by source_open(). */
RbIndex *scan_all(Scan *scan, ScanPause pause, void *data, int *result);
Scan *scan_new(int fd, int threads);
void scan_free(Scan *scan);
const ScanNotes *scan_get_notes(const Scan *scan);

/* The index of what has been read, up to the last key frame but not with it: its frames are
 * the first of the whole film's. Returns: (transfer full) (nullable): NULL if too little is
 * there or the rules do not hold, so that only the whole film can tell. */
RbIndex *scan_so_far(Scan *scan);

/* After the file has grown: reads on from the last key frame and makes the index anew. */
RbIndex *scan_on(Scan *scan, ScanPause pause, void *data, int *result);
