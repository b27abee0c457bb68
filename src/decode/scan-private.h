/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "film/protocol.h"
#include "packet-rules.h"
#include "predict.h"
#include "scan.h"
#include "trial.h"

/* Making an index, in three: reading the packets (scan.c), whether the rules hold for them
 * (scan-judge.c), and the index of what comes out of them (scan-build.c). Used by scan*.c only. */

/* Packets decoded to check the rules. */
#define CHECKED_PACKETS 64

struct Scan {
    int fd;
    Source source;
    bool opened; /* `source` is */
    PacketRules rules;
    ScanPause pause; /* nullable */
    void *pause_data;
    ScanNotes notes;
    GArray *packets; /* of RbIndexPacket */
    GArray *orders;  /* of PacketOrder */
    Trial *start;    /* the first packets, decoded */
    int threads;     /* for decoding everything */
    int64_t bytes;
    int64_t usual_step; /* of dts in a transport stream; 0: none or another container */
};

static inline RbIndexPacket *scan_packet(const Scan *scan, int64_t i)
{
    return &g_array_index(scan->packets, RbIndexPacket, i);
}

static inline bool scan_is_key(const Scan *scan, int64_t i)
{
    return (scan_packet(scan, i)->flags & RB_PACKET_KEY) != 0;
}

/* scan.c */
/* part: what share of the whole this phase is, in permille. */
void scan_tell_progress(int64_t done, int64_t all, int from, int part);

/* scan-judge.c */
/* Marks packets as damaged, and as whole, by what a trial saw of them. */
void scan_mark_broken(Scan *scan, const Trial *trial);
void scan_mark_holes(Scan *scan);
bool scan_start_holds(Scan *scan, const GArray *predicted);
bool scan_end_holds(Scan *scan, RbIndex *index);
bool scan_middle_holds(Scan *scan, const RbIndex *index, const Prediction *prediction);

/* scan-build.c */
/* By rules where they hold, else by decoding. Returns: (transfer full) (nullable). */
RbIndex *scan_make(Scan *scan);
