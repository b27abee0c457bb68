/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scan.h"

#include <glib.h>
#include <stdlib.h>
#include <unistd.h>

#include "rb/film/error.h"

#include "film/protocol.h"
#include "packet-rules.h"
#include "parent.h"

/* Packets decoded to check the rules. */
#define CHECKED_PACKETS 64

/* Packets without data or progress after which a container counts as stuck. */
#define STUCK_PACKETS 100000

typedef struct {
    Source source;
    ScanNotes *notes;
    GArray *packets; /* of RbIndexPacket */
    int64_t bytes;
} Scan;

static int64_t time_or_none(int64_t time)
{
    return time == AV_NOPTS_VALUE ? RB_NO_TIME : time;
}

/* part: what share of the whole this phase is, in permille. */
static void tell_progress(int64_t done, int64_t all, int from, int part)
{
    const int64_t share = all > 0 ? CLAMP(done * part / all, 0, part) : 0;
    parent_send_progress(0, from + (int)share);
}

static bool read_packets(Scan *scan)
{
    PacketRules rules;
    if (!packet_rules_open(&rules, scan->source.stream->codecpar)) {
        packet_rules_close(&rules);
        return false;
    }
    int64_t idle = 0;
    int64_t seen = 0;
    const int64_t most = RB_INDEX_BYTES_MAX / 64;
    while (source_next_packet(&scan->source) && scan->packets->len < most) {
        const AVPacket *packet = scan->source.packet;
        RbIndexPacket entry = {
            .pts = time_or_none(packet->pts),
            .dts = time_or_none(packet->dts),
            .pos = packet->pos >= 0 ? packet->pos : -1,
            .size = packet->size,
            .flags = packet_rules_flags(&rules, packet),
        };
        if (packet->pos >= 0 && packet->pos + packet->size > scan->bytes) {
            scan->notes->cut_off = true;
            entry.flags |= RB_PACKET_DAMAGED;
        }
        g_array_append_val(scan->packets, entry);
        idle = scan->source.io.progress > seen || packet->size > 0 ? 0 : idle + 1;
        seen = scan->source.io.progress;
        if (idle > STUCK_PACKETS) {
            scan->notes->stuck = true;
            break;
        }
        tell_progress(scan->source.io.progress, scan->bytes, 0, 300);
    }
    scan->notes->read_errnum = scan->source.io.errnum;
    packet_rules_close(&rules);
    return scan->packets->len > 0;
}

static void note_frame(GArray *frames, const AVFrame *frame, int64_t n_packets,
                       GArray *seen)
{
    const int64_t packet = frame->reordered_opaque;
    if (packet < 0 || packet >= n_packets || g_array_index(seen, uint8_t, packet)) {
        return;
    }
    g_array_index(seen, uint8_t, packet) = 1;
    const RbIndexFrame entry = { .pts = time_or_none(frame->best_effort_timestamp),
                                 .packet = (uint32_t)packet };
    g_array_append_val(frames, entry);
}

/* Decodes from the start and lists which packets give frames, in the order they come. `limit`:
 * packets to feed; beyond it the decoder is not drained. Returns: (transfer full) (nullable). */
static GArray *decode_frames(int fd, int threads, int64_t n_packets, int64_t limit)
{
    Source source;
    if (source_open(&source, fd, threads, true) != 0) {
        source_close(&source);
        return NULL;
    }
    GArray *frames = g_array_new(FALSE, FALSE, sizeof(RbIndexFrame));
    g_autoptr(GArray) seen = g_array_sized_new(FALSE, TRUE, 1, (guint)n_packets);
    g_array_set_size(seen, (guint)n_packets);
    int64_t fed = 0;
    bool drained = false;
    for (;;) {
        const int result = avcodec_receive_frame(source.codec, source.frame);
        if (result == 0) {
            note_frame(frames, source.frame, n_packets, seen);
            continue;
        }
        if (result == AVERROR_EOF || drained || (fed == limit && limit < n_packets)) {
            break;
        }
        if (fed < limit && source_next_packet(&source)) {
            source.codec->reordered_opaque = fed++;
            (void)avcodec_send_packet(source.codec,
                                      source.packet); /* damage shows itself */
        } else {
            avcodec_send_packet(source.codec, NULL);
            drained = true;
        }
        if (limit == n_packets) {
            tell_progress(fed, n_packets, 300, 700);
        }
    }
    source_close(&source);
    return frames;
}

/* True if the start of the film decodes as the rules say. */
static bool rules_hold(const Scan *scan, const GArray *predicted)
{
    const int64_t n = scan->packets->len;
    const int64_t limit = MIN(n, CHECKED_PACKETS);
    g_autoptr(GArray) seen =
        decode_frames(scan->source.fd, scan->source.threads, n, limit);
    if (seen == NULL || (seen->len == 0 && limit == n)) {
        return false;
    }
    if (limit == n && seen->len != predicted->len) {
        return false;
    }
    for (guint i = 0; i < seen->len; i++) {
        if (i >= predicted->len || g_array_index(seen, RbIndexFrame, i).packet !=
                                       g_array_index(predicted, RbIndexFrame, i).packet) {
            return false;
        }
    }
    return true;
}

static bool reorders(const AVCodecParameters *parameters)
{
    const AVCodecDescriptor *codec = avcodec_descriptor_get(parameters->codec_id);
    return codec == NULL || ((codec->props & AV_CODEC_PROP_REORDER) != 0 &&
                             (codec->props & AV_CODEC_PROP_INTRA_ONLY) == 0);
}

static GArray *find_frames(Scan *scan)
{
    const int64_t n = scan->packets->len;
    const RbIndexPacket *packets = (const RbIndexPacket *)(void *)scan->packets->data;
    GArray *frames = g_array_sized_new(FALSE, TRUE, sizeof(RbIndexFrame), (guint)n);
    g_array_set_size(frames, (guint)n);
    bool sure = false;
    const int64_t count = packet_rules_predict(
        packets, n, reorders(scan->source.stream->codecpar),
        (RbIndexFrame *)(void *)frames->data, &sure, &scan->notes->clock_jumps);
    g_array_set_size(frames, (guint)count);
    if (sure && !scan->notes->cut_off && rules_hold(scan, frames)) {
        return frames;
    }
    scan->notes->learnt = true;
    g_array_free(frames, TRUE);
    return decode_frames(scan->source.fd, scan->source.threads, n, n);
}

static int compare_int64(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a;
    const int64_t y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* Where the container gives decoding times only, those of the shown packets, in order, are the
 * times of the frames in order. */
static bool times_from_dts(RbIndex *index)
{
    g_autofree int64_t *times = g_new(int64_t, (gsize)index->n_frames);
    for (int64_t i = 0; i < index->n_frames; i++) {
        times[i] = index->packets[index->frames[i].packet].dts;
        if (times[i] == RB_NO_TIME) {
            return false;
        }
    }
    qsort(times, (size_t)index->n_frames, sizeof *times, compare_int64);
    for (int64_t i = 0; i < index->n_frames; i++) {
        index->frames[i].pts = times[i];
    }
    return true;
}

static int64_t ticks_a_frame(const RbIndex *index)
{
    const RbRational rate = index->rate.num > 0 ? index->rate : (RbRational){ 30, 1 };
    int64_t ticks = 0;
    const RbTime frame = { 1, { rate.den, rate.num } };
    return rb_time_rescale(frame, index->base, &ticks, NULL) && ticks > 0 ? ticks : 1;
}

/* Fills the gaps: from the frame before by the usual step, or evenly up to the next time that
 * the film gives. */
static void times_between(RbIndex *index)
{
    const int64_t step = ticks_a_frame(index);
    RbIndexFrame *frames = index->frames;
    for (int64_t i = 0; i < index->n_frames; i++) {
        if (frames[i].pts != RB_NO_TIME) {
            continue;
        }
        int64_t next = i;
        while (next < index->n_frames && frames[next].pts == RB_NO_TIME) {
            next++;
        }
        const bool closed = i > 0 && next < index->n_frames &&
                            frames[next].pts > frames[i - 1].pts &&
                            frames[next].pts - frames[i - 1].pts < step * 1000;
        const int64_t gap = next - i + 1;
        const int64_t from = i > 0                    ? frames[i - 1].pts
                             : next < index->n_frames ? frames[next].pts - gap * step
                                                      : -step;
        const int64_t span = closed ? frames[next].pts - from : gap * step;
        for (int64_t j = i; j < next; j++) {
            frames[j].pts = from + span * (j - i + 1) / gap;
            frames[j].flags |= RB_FRAME_TIME_MADE_UP;
        }
        i = next;
    }
}

/* A frame's time is its packet's; the decoder's guess is not used, since it depends on where
 * decoding started. */
static void set_times(Scan *scan, RbIndex *index)
{
    int64_t missing = 0;
    for (int64_t i = 0; i < index->n_frames; i++) {
        index->frames[i].pts = index->packets[index->frames[i].packet].pts;
        missing += index->frames[i].pts == RB_NO_TIME;
    }
    if (missing == index->n_frames && times_from_dts(index)) {
        return;
    }
    if (missing > 0) {
        scan->notes->no_times = true;
        times_between(index);
    }
}

static RbRational sane_rate(AVRational rate)
{
    return rate.num > 0 && rate.den > 0 ? (RbRational){ rate.num, rate.den }
                                        : (RbRational){ 0, 1 };
}

static void mark_packets(RbIndex *index, ScanNotes *notes)
{
    g_autofree uint8_t *shown = g_malloc0((gsize)index->n_packets);
    for (int64_t i = 0; i < index->n_frames; i++) {
        shown[index->frames[i].packet] = 1;
    }
    bool key_seen = false;
    for (int64_t i = 0; i < index->n_packets; i++) {
        const uint32_t flags = index->packets[i].flags;
        key_seen = key_seen || (flags & RB_PACKET_KEY) != 0;
        notes->damaged += (flags & RB_PACKET_DAMAGED) != 0;
        if (!shown[i] && (flags & (RB_PACKET_DISCARD | RB_PACKET_SECOND_FIELD |
                                   RB_PACKET_NO_FRAME)) == 0) {
            index->packets[i].flags |= RB_PACKET_NO_FRAME;
            if (i < 128 && index->n_frames > 0 &&
                (!key_seen || i < index->frames[0].packet + 16)) {
                notes->cut_start++;
            } else {
                notes->lost++;
            }
        }
    }
}

static RbIndex *build(Scan *scan, const GArray *frames)
{
    const int64_t n = scan->packets->len;
    RbIndex *index = rb_index_new(n, frames->len);
    if (index == NULL) {
        return NULL;
    }
    const AVStream *stream = scan->source.stream;
    index->base = (RbRational){ stream->time_base.num, stream->time_base.den };
    index->rate = sane_rate(stream->avg_frame_rate);
    for (int64_t i = 0; i < n; i++) {
        index->packets[i] = g_array_index(scan->packets, RbIndexPacket, i);
    }
    for (int64_t i = 0; i < index->n_frames; i++) {
        index->frames[i] = g_array_index(frames, RbIndexFrame, i);
        index->frames[i].flags = 0;
    }
    set_times(scan, index);
    mark_packets(index, scan->notes);
    rb_index_set_times(index);
    return index;
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

RbIndex *scan(int fd, int threads, ScanNotes *notes, int *result)
{
    Scan scan = { .notes = notes };
    *notes = (ScanNotes){ 0 };
    *result = source_open(&scan.source, fd, threads, false);
    RbIndex *index = NULL;
    if (*result == 0) {
        scan.packets = g_array_new(FALSE, FALSE, sizeof(RbIndexPacket));
        scan.bytes = avio_size(scan.source.avio);
        *result = RB_FILM_ERROR_NO_PICTURE + 1;
        if (read_packets(&scan)) {
            notes->promised = scan.source.stream->nb_frames;
            if (g_str_has_prefix(scan.source.format->iformat->name, "mov") &&
                !boxes_are_whole(fd, scan.bytes)) {
                notes->cut_off = true;
            }
            g_autoptr(GArray) frames = find_frames(&scan);
            if (frames != NULL && frames->len > 0) {
                index = build(&scan, frames);
                *result = index != NULL ? 0 : RB_FILM_ERROR_FAILED + 1;
            }
        }
        g_array_free(scan.packets, TRUE);
    }
    source_close(&scan.source);
    return index;
}
