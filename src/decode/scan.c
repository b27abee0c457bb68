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
#include "predict.h"
#include "trial.h"

/* Packets decoded to check the rules. */
#define CHECKED_PACKETS 64

/* The last group is checked too unless it is longer. */
#define LAST_GROUP_MAX 300

/* Of the last group, so many packets are checked with nothing left out. */
#define LAST_PACKETS 48

/* Places in mid film that are checked where times do not tell the order. */
#define SAMPLES 4

#define ONE_THREAD_PACKETS 3000

/* Packets without data or progress after which a container counts as stuck. */
#define STUCK_PACKETS 100000

/* Steps of the clock that are no hole but another clock. */
#define JUMP_STEPS 1000

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
        tell_progress(source->io.progress, scan->bytes, 0, 300);
        if (scan->pause != NULL) {
            scan->pause(scan, scan->pause_data);
        }
    }
    if (scan->packets->len <= CHECKED_PACKETS) {
        trial_drain(scan->start);
    }
    for (guint i = 0; scan->rules.layered && i < scan->packets->len; i++) {
        g_array_index(scan->packets, RbIndexPacket, i).flags &=
            ~(uint32_t)RB_PACKET_NO_REFERENCE;
    }
    scan->notes.read_errnum = source->io.errnum;
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
static void mark_broken(Scan *scan, const Trial *trial)
{
    for (int64_t i = 0; i < MIN(trial->n_packets, scan->packets->len); i++) {
        RbIndexPacket *packet = &g_array_index(scan->packets, RbIndexPacket, i);
        const bool joint = is_joint(scan, i + 1) || is_joint(scan, i + 2);
        if ((trial->state[i] & TRIAL_BROKEN) != 0) {
            packet->flags |= RB_PACKET_DAMAGED;
        } else if ((trial->state[i] & TRIAL_SEEN) != 0 && (joint || is_key(scan, i))) {
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
    const GArray *seen = scan->start->frames;
    if (scan->packets->len <= CHECKED_PACKETS && seen->len != predicted->len) {
        return false;
    }
    for (guint i = 0; i < seen->len; i++) {
        if (i >= predicted->len || trial_frame(scan->start, i) !=
                                       g_array_index(predicted, RbIndexFrame, i).packet) {
            return false;
        }
    }
    mark_broken(scan, scan->start);
    return true;
}

/* Takes out the last frames when they did not come: the recording stopped in mid picture. */
static void drop_lost_end(RbIndex *index, const Trial *trial)
{
    int64_t n = index->n_frames;
    while (n > 0 && (trial->state[index->frames[n - 1].packet] & TRIAL_SEEN) == 0) {
        n--;
    }
    if (n > 0 && index->n_frames - n < CHECKED_PACKETS) {
        index->n_frames = n;
        rb_index_set_times(index);
    }
}

/* What the end can be checked without: pictures from which no other is decoded, but for the
 * very last. */
static uint8_t *choose_left_out(const RbIndex *index)
{
    uint8_t *leave_out = g_malloc0((gsize)index->n_packets);
    for (int64_t i = 0; i + LAST_PACKETS < index->n_packets; i++) {
        leave_out[i] = (index->packets[i].flags & RB_PACKET_NO_REFERENCE) != 0;
    }
    return leave_out;
}

/* True if the end decodes as the rules say too, after what is missing there was taken out. */
static bool end_holds(Scan *scan, RbIndex *index)
{
    const int64_t n = index->n_packets;
    const int64_t key = landing_key_before(index, n);
    if (n <= CHECKED_PACKETS || key < 0 || n - key > LAST_GROUP_MAX) {
        return true;
    }
    const int64_t at = land(&scan->source, index, key);
    if (at < 0) {
        return false;
    }
    g_autofree uint8_t *leave_out = choose_left_out(index);
    g_autoptr(Trial) trial = trial_new(&scan->source, n);
    trial_run(trial, at, n, leave_out);
    drop_lost_end(index, trial);
    int64_t last = index->n_frames;
    for (guint i = trial->frames->len; i > 0 && last > 0; i--) {
        const uint32_t packet = trial_frame(trial, i - 1);
        if (packet < key) {
            break;
        }
        do {
            last--;
        } while (last > 0 && leave_out[index->frames[last].packet]);
        if (index->frames[last].packet != packet) {
            return false;
        }
    }
    mark_broken(scan, trial);
    return last < index->n_frames;
}

/* Rules that stand on less than the container's times are tried in more places: at each joint
 * of a joined recording, and here and there. */
static bool middle_holds(Scan *scan, const RbIndex *index, const Prediction *prediction)
{
    for (int i = 0; i < prediction->n_joints; i++) {
        if (!trial_around(&scan->source, index, prediction->joints[i])) {
            return false;
        }
    }
    for (int i = 1; prediction->by_order && i <= SAMPLES; i++) {
        const int64_t at = index->n_packets * i / (SAMPLES + 1);
        if (index->n_packets > 4 * CHECKED_PACKETS &&
            !trial_around(&scan->source, index, at)) {
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

static GArray *predict_frames(Scan *scan, Prediction *prediction)
{
    const int64_t n = scan->packets->len;
    GArray *frames = g_array_sized_new(FALSE, TRUE, sizeof(RbIndexFrame), (guint)n);
    g_array_set_size(frames, (guint)n);
    const int64_t count = predict((const RbIndexPacket *)(void *)scan->packets->data,
                                  (const PacketOrder *)(void *)scan->orders->data, n,
                                  reorders(scan->source.stream->codecpar),
                                  (RbIndexFrame *)(void *)frames->data, prediction);
    g_array_set_size(frames, (guint)count);
    scan->notes.clock_jumps = prediction->jumps;
    return frames;
}

/* Decodes the whole film to see what comes out. With one thread the decoder says of every
 * frame whether it is whole; with several it may hand it over before it knows. Long films
 * cannot wait for that. */
static GArray *learn_frames(Scan *scan)
{
    scan->notes.learnt = true;
    const int64_t n = scan->packets->len;
    Source *source = &scan->source;
    source->threads = n <= ONE_THREAD_PACKETS ? 1 : scan->threads;
    g_autoptr(Trial) trial = trial_new(source, n);
    GArray *frames = g_array_new(FALSE, FALSE, sizeof(RbIndexFrame));
    if (source_reopen(source) != 0) {
        return frames;
    }
    for (int64_t i = 0; i < n && source_next_packet(source); i++) {
        trial_feed(trial, i);
        tell_progress(i, n, 300, 700);
        if (scan->pause != NULL) {
            scan->pause(scan, scan->pause_data);
        }
    }
    trial_drain(trial);
    mark_broken(scan, trial);
    for (guint i = 0; i < trial->frames->len; i++) {
        const RbIndexFrame frame = { .packet = trial_frame(trial, i) };
        g_array_append_val(frames, frame);
    }
    return frames;
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
    scan->notes.no_times = frame_times_set(index);
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
    Prediction prediction;
    g_autoptr(GArray) predicted = predict_frames(scan, &prediction);
    RbIndex *index = NULL;
    /* In a short film with damage it is soon known what comes out; in a long one a lost packet
     * is no reason to decode for half an hour: its frames are stood in for and marked. */
    const bool worth_learning = scan->packets->len <= ONE_THREAD_PACKETS &&
                                (scan->notes.cut_off || is_damaged(scan));
    if (prediction.sure && !worth_learning && predicted->len > 0 &&
        start_holds(scan, predicted)) {
        index = build(scan, predicted);
        if (index != NULL &&
            !(end_holds(scan, index) && middle_holds(scan, index, &prediction))) {
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
        mark_packets(index, &scan->notes);
        spread_doubt(index);
    }
    return index;
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

RbIndex *scan_so_far(Scan *scan)
{
    int64_t n = (int64_t)scan->packets->len - 1;
    while (n > CHECKED_PACKETS && !is_key(scan, n)) {
        n--;
    }
    if (n <= CHECKED_PACKETS) {
        return NULL;
    }
    g_autoptr(GArray) packets = g_steal_pointer(&scan->packets);
    scan->packets = g_array_sized_new(FALSE, FALSE, sizeof(RbIndexPacket), (guint)n);
    g_array_append_vals(scan->packets, packets->data, (guint)n);
    const ScanNotes notes = scan->notes;
    Prediction prediction;
    g_autoptr(GArray) predicted = predict_frames(scan, &prediction);
    RbIndex *index = NULL;
    if (prediction.sure && prediction.n_joints == 0 && predicted->len > 0 &&
        start_holds(scan, predicted)) {
        index = build(scan, predicted);
    }
    if (index != NULL) {
        spread_doubt(index);
    }
    scan->notes = notes;
    g_array_unref(scan->packets);
    scan->packets = g_steal_pointer(&packets);
    return index;
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
        mark_holes(scan);
    }
    return make(scan);
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
