/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "frame-times.h"
#include "scan-private.h"

#define ONE_THREAD_PACKETS 3000

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
        scan_tell_progress(i, n, 300, 700);
        if (scan->pause != NULL) {
            scan->pause(scan, scan->pause_data);
        }
    }
    trial_drain(trial);
    scan_mark_broken(scan, trial);
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

static bool is_damaged(const Scan *scan)
{
    for (guint i = 0; i < scan->packets->len; i++) {
        if ((scan_packet(scan, i)->flags & RB_PACKET_DAMAGED) != 0) {
            return true;
        }
    }
    return false;
}

/* By rules where they hold, else by decoding. */
RbIndex *scan_make(Scan *scan)
{
    Prediction prediction;
    g_autoptr(GArray) predicted = predict_frames(scan, &prediction);
    RbIndex *index = NULL;
    /* In a short film with damage it is soon known what comes out; in a long one a lost packet
     * is no reason to decode for half an hour: its frames are stood in for and marked. */
    const bool worth_learning = scan->packets->len <= ONE_THREAD_PACKETS &&
                                (scan->notes.cut_off || is_damaged(scan));
    if (prediction.sure && !worth_learning && predicted->len > 0 &&
        scan_start_holds(scan, predicted)) {
        index = build(scan, predicted);
        if (index != NULL && !(scan_end_holds(scan, index) &&
                               scan_middle_holds(scan, index, &prediction))) {
            g_clear_pointer(&index, rb_index_free);
        }
    }
    if (index == NULL) {
        g_autoptr(GArray) learnt = learn_frames(scan);
        index = learnt->len > 0 ? build(scan, learnt) : NULL;
    }
    if (index != NULL) {
        for (int64_t i = 0; i < index->n_packets; i++) {
            index->packets[i].flags = scan_packet(scan, i)->flags;
        }
        mark_packets(index, &scan->notes);
        spread_doubt(index);
    }
    return index;
}

RbIndex *scan_so_far(Scan *scan)
{
    int64_t n = (int64_t)scan->packets->len - 1;
    while (n > CHECKED_PACKETS && !scan_is_key(scan, n)) {
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
        scan_start_holds(scan, predicted)) {
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
