/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <unistd.h>

#include "rb/film/error.h"

#include "landing.h"
#include "parent.h"
#include "scan-private.h"

/* Packets without data or progress after which a container counts as stuck. */
#define STUCK_PACKETS 100000

/* part: what share of the whole this phase is, in permille. */
void scan_tell_progress(int64_t done, int64_t all, int from, int part)
{
    const int64_t share = all > 0 ? CLAMP(done * part / all, 0, part) : 0;
    parent_send_progress(0, from + (int)share);
}

static int64_t time_or_none(int64_t time)
{
    return time == AV_NOPTS_VALUE ? RB_NO_TIME : time;
}

static void take_packet(Scan *scan)
{
    const AVPacket *packet = scan->source.packet;
    RbIndexPacket entry = {
        .pts = time_or_none(packet->pts),
        .dts = time_or_none(packet->dts),
        .pos = packet->pos >= 0 ? packet->pos : -1,
        .size = packet->size,
        .flags = packet_rules_flags(&scan->rules, packet),
    };
    if (packet->pos >= 0 && packet->pos + packet->size > scan->bytes) {
        scan->notes.cut_off = true;
        entry.flags |= RB_PACKET_DAMAGED;
    }
    g_array_append_val(scan->packets, entry);
    const PacketOrder order = packet_rules_order(&scan->rules);
    g_array_append_val(scan->orders, order);
}

/* held: source.packet is the next one already. */
static void read_packets(Scan *scan, bool held)
{
    Source *source = &scan->source;
    int64_t idle = 0;
    int64_t seen = 0;
    const int64_t most = RB_INDEX_BYTES_MAX / 64;
    while (scan->packets->len < most && (held || source_next_packet(source))) {
        held = false;
        take_packet(scan);
        if (scan->packets->len <= CHECKED_PACKETS) {
            trial_feed(scan->start, scan->packets->len - 1);
        }
        idle = source->io.progress > seen || source->packet->size > 0 ? 0 : idle + 1;
        seen = source->io.progress;
        if (idle > STUCK_PACKETS) {
            scan->notes.stuck = true;
            break;
        }
        scan_tell_progress(source->io.progress, scan->bytes, 0, 300);
        if (scan->pause != NULL) {
            scan->pause(scan, scan->pause_data);
        }
    }
    if (scan->packets->len <= CHECKED_PACKETS) {
        trial_drain(scan->start);
    }
    for (guint i = 0; scan->rules.layered && i < scan->packets->len; i++) {
        scan_packet(scan, i)->flags &= ~(uint32_t)RB_PACKET_NO_REFERENCE;
    }
    scan->notes.read_errnum = source->io.errnum;
}

/* An MP4 is a row of boxes, each with its length; a last box that reaches beyond the file has
 * lost its end (ISO/IEC 14496-12, 4.2). */
static bool boxes_are_whole(int fd, int64_t bytes)
{
    int64_t at = 0;
    for (int i = 0; i < 100000 && at < bytes; i++) {
        uint8_t head[16];
        if (pread(fd, head, sizeof head, (off_t)at) < 8) {
            return false;
        }
        uint64_t size = (uint64_t)head[0] << 24 | head[1] << 16 | head[2] << 8 | head[3];
        if (size == 1) {
            size = 0;
            for (int j = 8; j < 16; j++) {
                size = size << 8 | head[j];
            }
        }
        if (size == 0) {
            return true; /* reaches to the end, whatever that is */
        }
        if (size < 8 || size > (uint64_t)(bytes - at)) {
            return false;
        }
        at += (int64_t)size;
    }
    return true;
}

Scan *scan_new(int fd, int threads)
{
    Scan *scan = g_new0(Scan, 1);
    scan->fd = fd;
    scan->threads = threads;
    scan->packets = g_array_new(FALSE, FALSE, sizeof(RbIndexPacket));
    scan->orders = g_array_new(FALSE, FALSE, sizeof(PacketOrder));
    return scan;
}

static void forget(Scan *scan)
{
    if (scan->opened) {
        source_close(&scan->source);
        packet_rules_close(&scan->rules);
        g_clear_pointer(&scan->start, trial_free);
    }
    scan->opened = false;
    g_array_set_size(scan->packets, 0);
    g_array_set_size(scan->orders, 0);
}

void scan_free(Scan *scan)
{
    forget(scan);
    g_array_unref(scan->packets);
    g_array_unref(scan->orders);
    g_free(scan);
}

const ScanNotes *scan_get_notes(const Scan *scan)
{
    return &scan->notes;
}

/* With everything read. */
static RbIndex *finish(Scan *scan)
{
    const Source *source = &scan->source;
    scan->notes.promised = source->stream->nb_frames;
    if (g_str_has_prefix(source->format->iformat->name, "mov") &&
        !boxes_are_whole(scan->fd, scan->bytes)) {
        scan->notes.cut_off = true;
    }
    if ((source->format->iformat->flags & AVFMT_TS_DISCONT) != 0) {
        scan_mark_holes(scan);
    }
    RbIndex *index = scan_make(scan);
    if (source->io.errnum != 0) { /* it failed while frames were tried */
        scan->notes.read_errnum = source->io.errnum;
    }
    return index;
}

RbIndex *scan_all(Scan *scan, ScanPause pause, void *data, int *result)
{
    forget(scan);
    scan->notes = (ScanNotes){ 0 };
    scan->pause = pause;
    scan->pause_data = data;
    *result = source_open(&scan->source, scan->fd, 1, true);
    if (*result != 0) {
        source_close(&scan->source);
        return NULL;
    }
    scan->opened = true;
    scan->bytes = avio_size(scan->source.avio);
    scan->start = trial_new(&scan->source, CHECKED_PACKETS);
    RbIndex *index = NULL;
    if (packet_rules_open(&scan->rules, scan->source.stream->codecpar)) {
        read_packets(scan, false);
        index = scan->packets->len > 0 ? finish(scan) : NULL;
    }
    *result = index != NULL ? 0 : RB_FILM_ERROR_NO_PICTURE + 1;
    return index;
}

RbIndex *scan_on(Scan *scan, ScanPause pause, void *data, int *result)
{
    const guint before = scan->packets->len;
    const RbIndex known = { .n_packets = before,
                            .packets = (RbIndexPacket *)(void *)scan->packets->data };
    const int64_t key = scan->opened ? landing_key_before(&known, before) : -1;
    /* What was decoded at the start must not be taken for what comes now. */
    const int64_t at = key > CHECKED_PACKETS ? land(&scan->source, &known, key) : -1;
    if (at <= CHECKED_PACKETS) {
        return scan_all(scan, pause, data, result);
    }
    g_array_set_size(scan->packets, (guint)at);
    g_array_set_size(scan->orders, (guint)at);
    scan->notes = (ScanNotes){ 0 };
    scan->pause = pause;
    scan->pause_data = data;
    scan->bytes = avio_size(scan->source.avio);
    read_packets(scan, true);
    if (scan->packets->len <= before) { /* a container that ends where it once ended */
        return scan_all(scan, pause, data, result);
    }
    RbIndex *index = finish(scan);
    *result = index != NULL ? 0 : RB_FILM_ERROR_NO_PICTURE + 1;
    return index;
}
