/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "trial.h"

#include <string.h>

#include "damage.h"
#include "landing.h"
#include "parent.h"

/* How far behind the packet looked at decoding goes, and how much of that may still be kept
 * back by the decoder. */
#define BEHIND 48
#define KEPT_BACK 24
#define GROUP_MAX 600

Trial *trial_new(Source *source, int64_t n_packets)
{
    Trial *trial = g_new0(Trial, 1);
    trial->source = source;
    trial->n_packets = n_packets;
    trial->state = g_malloc0((gsize)n_packets);
    trial->frames = g_array_new(FALSE, FALSE, sizeof(uint32_t));
    return trial;
}

void trial_free(Trial *trial)
{
    g_free(trial->state);
    g_array_unref(trial->frames);
    g_free(trial);
}

uint32_t trial_frame(const Trial *trial, guint i)
{
    return g_array_index(trial->frames, uint32_t, i);
}

static void note_frame(Trial *trial, const AVFrame *frame)
{
    const int64_t number = frame->reordered_opaque;
    if (number < 0 || number >= trial->n_packets ||
        (trial->state[number] & TRIAL_SEEN) != 0) {
        return;
    }
    const bool broken = damage_is_in(frame, number);
    trial->state[number] |= broken ? TRIAL_SEEN | TRIAL_BROKEN : TRIAL_SEEN;
    const uint32_t packet = (uint32_t)number;
    g_array_append_val(trial->frames, packet);
}

static void take_frames(Trial *trial)
{
    Source *source = trial->source;
    while (avcodec_receive_frame(source->codec, source->frame) == 0) {
        note_frame(trial, source->frame);
    }
}

void trial_feed(Trial *trial, int64_t packet)
{
    trial->source->codec->reordered_opaque = packet;
    (void)avcodec_send_packet(trial->source->codec,
                              trial->source->packet); /* damage shows itself */
    take_frames(trial);
}

void trial_drain(Trial *trial)
{
    avcodec_send_packet(trial->source->codec, NULL);
    take_frames(trial);
}

void trial_run(Trial *trial, int64_t from, int64_t end, const uint8_t *leave_out)
{
    for (int64_t i = from; i < end; i++) {
        if (i > from && !source_next_packet(trial->source)) {
            break;
        }
        if (leave_out == NULL || !leave_out[i]) {
            trial_feed(trial, i);
        }
        parent_send_alive();
    }
    if (end >= trial->n_packets) {
        trial_drain(trial);
    }
}

/* From the key on the frames must be consecutive ones of the index. */
static bool is_consecutive(const Trial *trial, const int32_t *frame_of, int64_t key,
                           int32_t least)
{
    guint i = 0;
    while (i < trial->frames->len && trial_frame(trial, i) != key) {
        i++;
    }
    if (i == trial->frames->len) {
        return false;
    }
    int32_t at = frame_of[key];
    for (; i < trial->frames->len; i++, at++) {
        if (frame_of[trial_frame(trial, i)] != at) {
            return false;
        }
    }
    return at > least;
}

bool trial_around(Source *source, const RbIndex *index, int64_t packet)
{
    const int64_t key = landing_key_before(index, packet);
    const int64_t end = MIN(packet + BEHIND, index->n_packets);
    if (key < 0 || packet - key > GROUP_MAX) {
        return false;
    }
    g_autofree int32_t *frame_of = g_new(int32_t, (gsize)index->n_packets);
    memset(frame_of, 0xff, (size_t)index->n_packets * sizeof *frame_of);
    for (int64_t i = 0; i < index->n_frames; i++) {
        frame_of[index->frames[i].packet] = (int32_t)i;
    }
    const int64_t at = land(source, index, key);
    if (at < 0) {
        return false;
    }
    g_autoptr(Trial) trial = trial_new(source, index->n_packets);
    trial_run(trial, at, end, NULL);
    int64_t last = MIN(packet + BEHIND - KEPT_BACK, index->n_packets) - 1;
    while (last > packet && frame_of[last] < 0) {
        last--;
    }
    return is_consecutive(trial, frame_of, key, frame_of[last]);
}
