/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scan.h"

#include <glib.h>
#include <stdlib.h>
#include <unistd.h>

#include "rb/film/error.h"

#include "film/protocol.h"
#include "frame-times.h"
#include "landing.h"
#include "packet-rules.h"
#include "parent.h"

/* Packets decoded to check the rules. */
#define CHECKED_PACKETS 64

/* The last group is checked too unless it is longer. */
#define LAST_GROUP_MAX 300

#define ONE_THREAD_PACKETS 3000

/* Packets without data or progress after which a container counts as stuck. */
#define STUCK_PACKETS 100000

/* Steps of the clock that are no hole but another clock. */
#define JUMP_STEPS 1000

typedef struct {
    Source source;
    ScanNotes *notes;
    GArray *packets; /* of RbIndexPacket */
    int64_t bytes;
    int64_t usual_step; /* of dts in a transport stream; 0: none or another container */
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
    for (guint i = 0; rules.layered && i < scan->packets->len; i++) {
        g_array_index(scan->packets, RbIndexPacket, i).flags &=
            ~(uint32_t)RB_PACKET_NO_REFERENCE;
    }
    scan->notes->read_errnum = scan->source.io.errnum;
    packet_rules_close(&rules);
    return scan->packets->len > 0;
}

/* A run of the decoder over part of the film. */
typedef struct {
    Source *source;
    GArray *frames; /* of RbIndexFrame: what came out, in order */
    uint8_t *state; /* by packet: SEEN, BROKEN */
    int64_t n_packets;
    int64_t next; /* number of the next packet */
    bool held;    /* source->packet is that packet already */
    int64_t end;  /* packets to feed; at n_packets the decoder is drained */
} Run;

enum { SEEN = 1, BROKEN = 2 };

static void note_frame(Run *run, const AVFrame *frame)
{
    const int64_t packet = frame->reordered_opaque;
    if (packet < 0 || packet >= run->n_packets || (run->state[packet] & SEEN) != 0) {
        return;
    }
    const bool broken =
        (frame->flags & AV_FRAME_FLAG_CORRUPT) != 0 || frame->decode_error_flags != 0;
    run->state[packet] |= broken ? SEEN | BROKEN : SEEN;
    const RbIndexFrame entry = { .packet = (uint32_t)packet };
    g_array_append_val(run->frames, entry);
}

static void run_decoder(Run *run)
{
    Source *source = run->source;
    bool drained = false;
    for (;;) {
        const int result = avcodec_receive_frame(source->codec, source->frame);
        if (result == 0) {
            note_frame(run, source->frame);
            continue;
        }
        if (result == AVERROR_EOF || drained ||
            (run->next >= run->end && run->end < run->n_packets)) {
            return;
        }
        if (run->next < run->end && (run->held || source_next_packet(source))) {
            run->held = false;
            source->codec->reordered_opaque = run->next++;
            (void)avcodec_send_packet(source->codec,
                                      source->packet); /* damage shows itself */
        } else {
            avcodec_send_packet(source->codec, NULL);
            drained = true;
        }
        if (run->end == run->n_packets) {
            tell_progress(run->next, run->n_packets, 300, 700);
        }
    }
}

static Run *run_new(Scan *scan, int64_t end)
{
    Run *run = g_new0(Run, 1);
    run->n_packets = scan->packets->len;
    run->end = MIN(end, run->n_packets);
    run->state = g_malloc0((gsize)run->n_packets);
    run->frames = g_array_new(FALSE, FALSE, sizeof(RbIndexFrame));
    /* With one thread the decoder says of every frame whether it is whole; with several it may
     * hand it over before it knows. Long films cannot wait for that. */
    const int threads = run->n_packets <= ONE_THREAD_PACKETS ? 1 : scan->source.threads;
    run->source = g_new0(Source, 1);
    source_open(run->source, scan->source.fd, threads, true);
    return run;
}

static void run_free(Run *run)
{
    source_close(run->source);
    g_free(run->source);
    g_free(run->state);
    g_array_unref(run->frames);
    g_free(run);
}

G_DEFINE_AUTOPTR_CLEANUP_FUNC(Run, run_free)

static uint32_t frame_packet(const GArray *frames, guint i)
{
    return g_array_index(frames, RbIndexFrame, i).packet;
}

static bool is_key(const Scan *scan, int64_t i)
{
    return (g_array_index(scan->packets, RbIndexPacket, i).flags & RB_PACKET_KEY) != 0;
}

/* From the packet before; 0 where a time is missing or the clock is another. */
static int64_t dts_step(const Scan *scan, guint i)
{
    const int64_t before = g_array_index(scan->packets, RbIndexPacket, i - 1).dts;
    const int64_t now = g_array_index(scan->packets, RbIndexPacket, i).dts;
    int64_t step = 0;
    return before == RB_NO_TIME || now == RB_NO_TIME ||
                   __builtin_sub_overflow(now, before, &step) || step < 0
               ? 0
               : step;
}

/* A key frame with nothing missing before it: the next step of the clock, or another clock. */
static bool is_joint(const Scan *scan, int64_t key)
{
    if (key >= scan->packets->len || !is_key(scan, key) || scan->usual_step == 0) {
        return false;
    }
    const int64_t step = dts_step(scan, (guint)key);
    return step <= scan->usual_step + scan->usual_step / 2 ||
           step > scan->usual_step * JUMP_STEPS;
}

/* What the decoder found broken is damage; a key frame that it found whole is none, whatever
 * was lost before it, and neither is what it found whole right before a key frame: there two
 * recordings were joined, and nothing but the counter of the transport stream is broken. (The
 * library may put that mark on the packet before.) */
static void mark_broken(Scan *scan, const Run *run)
{
    for (int64_t i = 0; i < run->n_packets; i++) {
        RbIndexPacket *packet = &g_array_index(scan->packets, RbIndexPacket, i);
        const bool joint = is_joint(scan, i + 1) || is_joint(scan, i + 2);
        if ((run->state[i] & BROKEN) != 0) {
            packet->flags |= RB_PACKET_DAMAGED;
        } else if ((run->state[i] & SEEN) != 0 && (joint || is_key(scan, i))) {
            packet->flags &= ~(uint32_t)RB_PACKET_DAMAGED;
        }
    }
}

/* Transport streams lose packets without a trace. Where nearly all decoding times are one step
 * apart, a longer one in the middle of a group is a hole. */
static void mark_holes(Scan *scan)
{
    const guint n = scan->packets->len;
    int64_t usual = 0;
    for (guint i = 1; i < n; i++) {
        const int64_t step = dts_step(scan, i);
        usual = step > 0 && (usual == 0 || step < usual) ? step : usual;
    }
    scan->usual_step = usual;
    guint steps = 0;
    for (guint i = 1; i < n; i++) {
        steps += dts_step(scan, i) == usual;
    }
    if (n < 3 || usual == 0 || steps + n / 10 + 2 < n) {
        return;
    }
    for (guint i = 1; i < n; i++) {
        if (dts_step(scan, i) > usual + usual / 2 && !is_key(scan, i)) {
            g_array_index(scan->packets, RbIndexPacket, i).flags |= RB_PACKET_DAMAGED;
        }
    }
}

/* True if the start of the film decodes as the rules say. */
static bool start_holds(Scan *scan, const GArray *predicted)
{
    g_autoptr(Run) run = run_new(scan, CHECKED_PACKETS);
    if (run->source->codec == NULL) {
        return false;
    }
    run_decoder(run);
    const GArray *seen = run->frames;
    if (run->end == run->n_packets && seen->len != predicted->len) {
        return false;
    }
    for (guint i = 0; i < seen->len; i++) {
        if (i >= predicted->len || frame_packet(seen, i) != frame_packet(predicted, i)) {
            return false;
        }
    }
    mark_broken(scan, run);
    return true;
}

/* Takes out the last frames when they did not come: the recording stopped in mid picture. */
static void drop_lost_end(RbIndex *index, const Run *run)
{
    int64_t n = index->n_frames;
    while (n > 0 && (run->state[index->frames[n - 1].packet] & SEEN) == 0) {
        n--;
    }
    if (n > 0 && index->n_frames - n < CHECKED_PACKETS) {
        index->n_frames = n;
        rb_index_set_times(index);
    }
}

/* True if the end does too, after what is missing there was taken out. */
static bool end_holds(Scan *scan, RbIndex *index)
{
    const int64_t n = index->n_packets;
    const int64_t key = landing_key_before(index, n);
    if (n <= CHECKED_PACKETS || key < 0 || n - key > LAST_GROUP_MAX) {
        return true;
    }
    g_autoptr(Run) run = run_new(scan, n);
    const int64_t at = run->source->codec != NULL ? land(run->source, index, key) : -1;
    if (at < 0) {
        return false;
    }
    run->next = at;
    run->held = true;
    run_decoder(run);
    drop_lost_end(index, run);
    int64_t last = index->n_frames;
    for (guint i = run->frames->len; i > 0 && last > 0; i--) {
        const uint32_t packet = frame_packet(run->frames, i - 1);
        if (packet < key) {
            break;
        }
        if (index->frames[--last].packet != packet) {
            return false;
        }
    }
    mark_broken(scan, run);
    return last < index->n_frames;
}

static bool reorders(const AVCodecParameters *parameters)
{
    const AVCodecDescriptor *codec = avcodec_descriptor_get(parameters->codec_id);
    return codec == NULL || ((codec->props & AV_CODEC_PROP_REORDER) != 0 &&
                             (codec->props & AV_CODEC_PROP_INTRA_ONLY) == 0);
}

static GArray *predict_frames(Scan *scan, bool *sure)
{
    const int64_t n = scan->packets->len;
    const RbIndexPacket *packets = (const RbIndexPacket *)(void *)scan->packets->data;
    GArray *frames = g_array_sized_new(FALSE, TRUE, sizeof(RbIndexFrame), (guint)n);
    g_array_set_size(frames, (guint)n);
    const int64_t count = packet_rules_predict(
        packets, n, reorders(scan->source.stream->codecpar),
        (RbIndexFrame *)(void *)frames->data, sure, &scan->notes->clock_jumps);
    g_array_set_size(frames, (guint)count);
    return frames;
}

/* Decodes the whole film to see what comes out. */
static GArray *learn_frames(Scan *scan)
{
    scan->notes->learnt = true;
    g_autoptr(Run) run = run_new(scan, scan->packets->len);
    if (run->source->codec != NULL) {
        run_decoder(run);
    }
    mark_broken(scan, run);
    return g_array_ref(run->frames);
}

static RbRational sane_rate(AVRational rate)
{
    return rate.num > 0 && rate.den > 0 ? (RbRational){ rate.num, rate.den }
                                        : (RbRational){ 0, 1 };
}

/* Doubt lasts from a damaged packet to the next whole key frame; pictures shown before that key
 * but stored after it may still lean on the damage. */
static void spread_doubt(RbIndex *index)
{
    bool doubtful = false;
    int64_t key = -1; /* that ended the last doubt */
    for (int64_t i = 0; i < index->n_packets; i++) {
        RbIndexPacket *packet = &index->packets[i];
        const bool damaged = (packet->flags & RB_PACKET_DAMAGED) != 0;
        if (damaged) {
            doubtful = true;
        } else if ((packet->flags & RB_PACKET_KEY) != 0) {
            key = doubtful ? i : -1;
            doubtful = false;
        }
        const bool leading = key >= 0 && packet->pts != RB_NO_TIME &&
                             packet->pts < index->packets[key].pts;
        if (doubtful || leading) {
            packet->flags |= RB_PACKET_DOUBTFUL;
        }
    }
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
    scan->notes->no_times = frame_times_set(index);
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

static bool is_damaged(const Scan *scan)
{
    for (guint i = 0; i < scan->packets->len; i++) {
        if ((g_array_index(scan->packets, RbIndexPacket, i).flags & RB_PACKET_DAMAGED) !=
            0) {
            return true;
        }
    }
    return false;
}

/* By rules where they hold, else by decoding. */
static RbIndex *make(Scan *scan)
{
    bool sure = false;
    g_autoptr(GArray) predicted = predict_frames(scan, &sure);
    RbIndex *index = NULL;
    /* In a short film with damage it is soon known what comes out; in a long one a lost packet
     * is no reason to decode for half an hour: its frames are stood in for and marked. */
    const bool worth_learning = scan->packets->len <= ONE_THREAD_PACKETS &&
                                (scan->notes->cut_off || is_damaged(scan));
    if (sure && !worth_learning && predicted->len > 0 && start_holds(scan, predicted)) {
        index = build(scan, predicted);
        if (index != NULL && !end_holds(scan, index)) {
            g_clear_pointer(&index, rb_index_free);
        }
    }
    if (index == NULL) {
        g_autoptr(GArray) learnt = learn_frames(scan);
        index = learnt->len > 0 ? build(scan, learnt) : NULL;
    }
    if (index != NULL) {
        for (int64_t i = 0; i < index->n_packets; i++) {
            index->packets[i].flags =
                g_array_index(scan->packets, RbIndexPacket, i).flags;
        }
        mark_packets(index, scan->notes);
        spread_doubt(index);
    }
    return index;
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
            if ((scan.source.format->iformat->flags & AVFMT_TS_DISCONT) != 0) {
                mark_holes(&scan);
            }
            index = make(&scan);
            *result = index != NULL ? 0 : *result;
        }
        g_array_free(scan.packets, TRUE);
    }
    source_close(&scan.source);
    return index;
}
