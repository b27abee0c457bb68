/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "landing.h"

#include <stdlib.h>

#include "film/protocol.h"

/* How far from the wanted key a packet is looked for, and how many may pass unknown. */
#define SEARCH_PACKETS 4096
#define UNKNOWN_PACKETS 64

typedef enum { BY_PTS, BY_DTS, BY_BYTE, WAYS } Way;

static int64_t time_or_none(int64_t time)
{
    return time == AV_NOPTS_VALUE ? RB_NO_TIME : time;
}

static bool times_agree(int64_t a, int64_t b)
{
    return a == b || a == RB_NO_TIME || b == RB_NO_TIME;
}

/* After a seek a packet may have a start code more or less. */
static bool is_same(const RbIndexPacket *known, const AVPacket *packet)
{
    if (abs(known->size - packet->size) > 3) {
        return false;
    }
    const int64_t pts = time_or_none(packet->pts);
    if (packet->pos >= 0 && known->pos >= 0) {
        return known->pos == packet->pos && times_agree(known->pts, pts);
    }
    return known->pts != RB_NO_TIME && known->pts == pts &&
           known->dts == time_or_none(packet->dts);
}

/* In program streams the first packet after a seek can lack time and position. Its size alone
 * says little, so those after it must fit too. */
static bool is_likely_same(const RbIndex *index, int64_t at, Source *source)
{
    const RbIndexPacket *known = &index->packets[at];
    const AVPacket *packet = source->packet;
    bool same = known->size == packet->size && landing_fits(index, at, packet);
    for (int i = 0; same && i < SOURCE_AHEAD_MAX; i++) {
        const AVPacket *next = source_peek(source, i);
        same = next == NULL ? at + 1 + i >= index->n_packets
                            : landing_fits(index, at + 1 + i, next);
        if (next == NULL) {
            break;
        }
    }
    return same;
}

bool landing_fits(const RbIndex *index, int64_t at, const AVPacket *packet)
{
    if (at >= index->n_packets) {
        return true; /* the film has grown */
    }
    const RbIndexPacket *known = &index->packets[at];
    return abs(known->size - packet->size) <= 3 &&
           ((known->flags & RB_PACKET_KEY) != 0) ==
               ((packet->flags & AV_PKT_FLAG_KEY) != 0);
}

static int64_t recognise(const RbIndex *index, Source *source, int64_t near)
{
    for (int64_t d = 0; d < SEARCH_PACKETS; d++) {
        const int64_t both[] = { near + d, near - d };
        for (int i = 0; i < 2; i++) {
            if (both[i] >= 0 && both[i] < index->n_packets &&
                is_same(&index->packets[both[i]], source->packet)) {
                return both[i];
            }
        }
    }
    for (int64_t d = 0; d < 4; d++) {
        const int64_t both[] = { near + d, near - d };
        for (int i = 0; i < 2; i++) {
            if (both[i] >= 0 && both[i] < index->n_packets &&
                is_likely_same(index, both[i], source)) {
                return both[i];
            }
        }
    }
    return -1;
}

static bool seek(Source *source, const RbIndexPacket *key, Way way)
{
    int64_t to = way == BY_PTS ? key->pts : way == BY_DTS ? key->dts : key->pos;
    if (way == BY_BYTE) {
        if (to < 0 || (source->format->iformat->flags & AVFMT_NO_BYTE_SEEK) != 0) {
            return false;
        }
        return av_seek_frame(source->format, -1, to, AVSEEK_FLAG_BYTE) >= 0;
    }
    if (to == RB_NO_TIME) {
        to = way == BY_PTS ? key->dts : key->pts;
    }
    return to != RB_NO_TIME && av_seek_frame(source->format, source->stream->index, to,
                                             AVSEEK_FLAG_BACKWARD) >= 0;
}

static int64_t first_known_packet(Source *source, const RbIndex *index, int64_t near)
{
    for (int i = 0; i < UNKNOWN_PACKETS && source_next_packet(source); i++) {
        const int64_t found = recognise(index, source, near);
        if (found >= 0) {
            return found;
        }
    }
    return -1;
}

/* Formats whose clock may jump are searched by time in vain; they are found by byte. */
static void order_ways(const Source *source, const RbIndexPacket *key, Way ways[WAYS])
{
    const bool by_byte = (source->format->iformat->flags & AVFMT_TS_DISCONT) != 0 ||
                         (key->pts == RB_NO_TIME && key->dts == RB_NO_TIME);
    ways[0] = by_byte ? BY_BYTE : BY_PTS;
    ways[1] = BY_DTS;
    ways[2] = by_byte ? BY_PTS : BY_BYTE;
}

int64_t land(Source *source, const RbIndex *index, int64_t key)
{
    Way ways[WAYS];
    if (source->format == NULL) {
        return -1; /* its drive was gone when it was to be opened anew */
    }
    order_ways(source, &index->packets[key], ways);
    for (int i = 0; i < WAYS; i++) {
        if (!seek(source, &index->packets[key], ways[i])) {
            continue;
        }
        if (source->codec != NULL) {
            avcodec_flush_buffers(source->codec);
        }
        source_moved(source);
        const int64_t at = first_known_packet(source, index, key);
        if (at >= 0 && at <= key) {
            return at;
        }
    }
    return -1;
}

int64_t landing_key_before(const RbIndex *index, int64_t key)
{
    do {
        key--;
    } while (key >= 0 && (index->packets[key].flags & RB_PACKET_KEY) == 0);
    return key;
}

int64_t landing_key(const RbIndex *index, int64_t frame)
{
    const RbIndexFrame *wanted = &index->frames[frame];
    const int64_t key = landing_key_before(index, (int64_t)wanted->packet + 1);
    if (key < 0 || key == wanted->packet) {
        return key;
    }
    /* Shown before its key: it may refer to what came before that. Where times are not given,
     * starting a group early costs time, never a wrong picture, and the retry does it. */
    const int64_t key_pts = index->packets[key].pts;
    const bool leading = key_pts != RB_NO_TIME && key_pts > wanted->pts;
    const int64_t before = leading ? landing_key_before(index, key) : -1;
    return before >= 0 ? before : key;
}
