/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reader.h"

#include <stdlib.h>

#include "rb/film/error.h"

#include "damage.h"
#include "landing.h"
#include "packet-rules.h"

#define CACHE_BYTES (INT64_C(256) << 20)

/* How far decoding may run past the packet of a frame before the frame counts as missing: the
 * deepest reordering of any codec and as many packets as threads keep back. */
#define LATE_PACKETS 64

/* How often to begin again from an earlier key, and the farthest the very start may be. */
#define RETRIES_MAX 4
#define FROM_START_PACKETS 3000

/* A key this near ahead is reached by decoding on; a farther one by landing. */
#define DECODE_ON_PACKETS 8

/* A request this near to the one before is a step: its neighbours will be wanted too. */
#define NEAR_FRAMES 16

int reader_open_source(Reader *reader, int fd, int threads)
{
    *reader = (Reader){ .asked = -1, .cache.lock = PTHREAD_MUTEX_INITIALIZER };
    reader->cache.budget = CACHE_BYTES;
    reader->cache.keep_last = -1;
    return source_open(&reader->source, fd, threads, true);
}

bool reader_use_index(Reader *reader, const RbIndex *index)
{
    int32_t *frame_of = malloc((size_t)index->n_packets * sizeof *frame_of);
    if (frame_of == NULL) {
        return false;
    }
    for (int64_t i = 0; i < index->n_packets; i++) {
        frame_of[i] = -1;
    }
    for (int64_t i = 0; i < index->n_frames; i++) {
        frame_of[index->frames[i].packet] = (int32_t)i;
    }
    free(reader->frame_of);
    reader->frame_of = frame_of;
    reader->index = index;
    reader->running = false;
    frame_cache_clear(&reader->cache); /* the numbers may be others */
    return true;
}

int reader_open(Reader *reader, int fd, int threads, const RbIndex *index)
{
    const int result = reader_open_source(reader, fd, threads);
    if (result != 0) {
        return result;
    }
    return reader_use_index(reader, index) ? 0 : RB_FILM_ERROR_FAILED + 1;
}

void reader_close(Reader *reader)
{
    frame_cache_clear(&reader->cache);
    source_close(&reader->source);
    free(reader->frame_of);
    reader->frame_of = NULL;
}

bool reader_set_rough(Reader *reader, bool rough)
{
    if (reader->source.rough == rough) {
        return false;
    }
    source_set_rough(&reader->source, rough);
    reader->running = false; /* what is in hand began the other way */
    frame_cache_clear(&reader->cache);
    return true;
}

static void begin(Reader *reader, int64_t packet, bool held)
{
    reader->running = true;
    reader->from_top = false;
    reader->start = packet;
    reader->next_packet = packet;
    reader->held = held;
    reader->drained = false;
    reader->newest = -1;
    reader->doubtful = false;
    reader->open_end = 0;
    reader->right_at_once = false;
    reader->source.codec->flags &= ~AV_CODEC_FLAG_OUTPUT_CORRUPT;
    damage_forget();
    reader->cache.run++;
}

static bool begin_at_start(Reader *reader)
{
    reader->running = false;
    reader->landings++;
    if (source_reopen(&reader->source) != 0) {
        return false;
    }
    begin(reader, 0, false);
    reader->from_top = true;
    return true;
}

/* Starts decoding at key packet `key` or before it. */
static bool begin_at(Reader *reader, int64_t key)
{
    reader->running = false;
    while (key >= 0) {
        reader->landings++;
        const int64_t at = land(&reader->source, reader->index, key);
        if (at >= 0) {
            begin(reader, at, true);
            return true;
        }
        key = landing_key_before(reader->index, key);
    }
    return begin_at_start(reader);
}

/* True if the decoder was fed all of the frame of this packet. */
static bool has_all(const Reader *reader, int64_t packet)
{
    const int64_t next = reader->next_packet;
    const bool more = next < reader->index->n_packets &&
                      (reader->index->packets[next].flags & RB_PACKET_SECOND_FIELD) != 0;
    return next > packet + (more ? 1 : 0);
}

/* True if going on from here reaches the frame sooner than landing would. */
static bool can_go_on(const Reader *reader, int64_t ordinal, int64_t key)
{
    if (!reader->running || ordinal <= reader->newest || reader->start > MAX(key, 0)) {
        return false;
    }
    const int64_t packet = reader->index->frames[ordinal].packet;
    /* Drained, as at the end of the film, it gives what it still has, and takes nothing more. */
    if (packet + LATE_PACKETS < reader->next_packet ||
        (reader->drained && !has_all(reader, packet))) {
        return false;
    }
    return key <= reader->next_packet + DECODE_ON_PACKETS;
}

/* Emptied, libav keeps back what it decoded before the key of an open group had come out, and
 * with the first of these all that are shown later, unless told to give everything: then also
 * what is shown before that key, which cannot be right. */
static void drain(Reader *reader)
{
    if (reader->in_haste && reader->right_at_once) {
        reader->source.codec->flags |= AV_CODEC_FLAG_OUTPUT_CORRUPT;
    }
    avcodec_send_packet(reader->source.codec, NULL);
    reader->drained = true;
}

/* wanted: the packet of the wanted frame. */
static bool can_leave_out(const Reader *reader, int64_t packet, int64_t wanted)
{
    if (!reader->in_haste || packet >= wanted || packet >= reader->index->n_packets) {
        return false;
    }
    const uint32_t flags = reader->index->packets[packet].flags;
    const bool belongs = (flags & RB_PACKET_SECOND_FIELD) != 0 && packet == wanted + 1;
    return (flags & RB_PACKET_NO_REFERENCE) != 0 && !belongs;
}

/* The packet at hand is the first to be decoded. */
static void note_group(Reader *reader)
{
    const PacketGroup group =
        packet_opens_group(reader->source.stream->codecpar, reader->source.packet);
    reader->open_end = group != PACKET_GROUP_OTHER ? INT64_MAX : 0;
    reader->right_at_once =
        group == PACKET_GROUP_OPEN_AT_ONCE && reader->frame_of[reader->start] >= 0;
}

static void feed(Reader *reader, int64_t wanted)
{
    Source *source = &reader->source;
    if (!reader->held && !source_next_packet(source)) {
        drain(reader);
        return;
    }
    reader->held = false;
    const int64_t packet = reader->next_packet++;
    if (!landing_fits(reader->index, packet, source->packet)) {
        /* It is not where it was taken to be: nothing that came out since can be believed. */
        frame_cache_drop_run(&reader->cache);
        reader->running = false;
        return;
    }
    if (can_leave_out(reader, packet, wanted)) {
        return;
    }
    if (packet == reader->start) {
        note_group(reader);
    }
    source->codec->reordered_opaque = packet;
    reader->decoded++;
    /* The decoder's queue is empty whenever this is called, so it cannot be full; an error is
     * damage, and shows by the frame that does not come. */
    if (avcodec_send_packet(source->codec, source->packet) < 0) {
        reader->doubtful = true;
    }
    av_packet_unref(source->packet);
}

/* The second field of a picture has a packet of its own. */
static bool is_damaged(const Reader *reader, const AVFrame *frame)
{
    const int64_t packet = frame->reordered_opaque;
    const int64_t next = packet + 1;
    const bool two = next > 0 && next < reader->index->n_packets &&
                     (reader->index->packets[next].flags & RB_PACKET_SECOND_FIELD) != 0;
    return damage_is_in(frame, packet) || (two && damage_is_in(frame, next));
}

/* A frame may lean on any packet decoded before it, from the key packet on, and so on one that is
 * shown after it. */
static bool leans_on_damage(const Reader *reader, int64_t ordinal)
{
    return damage_is_any() && damage_is_between(landing_key(reader->index, ordinal),
                                                reader->index->frames[ordinal].packet);
}

/* A frame came out of the decoder: which one is it, and can it be trusted? */
static int64_t take_in(Reader *reader, int64_t wanted)
{
    const AVFrame *frame = reader->source.frame;
    const int64_t packet = frame->reordered_opaque;
    if (packet < 0 || packet >= reader->index->n_packets) {
        return -1;
    }
    const int64_t ordinal = reader->frame_of[packet];
    if (ordinal < 0 ||
        (reader->right_at_once && ordinal < reader->frame_of[reader->start])) {
        return -1;
    }
    if (packet == reader->start && reader->open_end != 0) {
        reader->open_end = reader->next_packet;
    }
    if (is_damaged(reader, frame)) {
        reader->doubtful = true;
    } else if (frame->key_frame) {
        reader->doubtful = false;
    }
    if (!reader->in_haste && reader->newest >= 0 && ordinal > reader->newest + 1) {
        reader->doubtful = true; /* a frame between did not come */
    }
    if (ordinal > reader->newest) {
        reader->newest = ordinal;
    }
    const bool known = (reader->index->packets[packet].flags & RB_PACKET_DOUBTFUL) != 0;
    const bool doubtful = reader->doubtful || known || leans_on_damage(reader, ordinal);
    frame_cache_add(&reader->cache, ordinal, frame, doubtful, wanted);
    return ordinal;
}

static bool is_known_doubtful(const Reader *reader, int64_t ordinal)
{
    const uint32_t packet = reader->index->frames[ordinal].packet;
    return (reader->index->packets[packet].flags & RB_PACKET_DOUBTFUL) != 0;
}

/* What libav keeps back when it is emptied comes when more is fed. */
static bool would_keep_back(const Reader *reader, int64_t ordinal)
{
    const int64_t packet = reader->index->frames[ordinal].packet;
    bool kept = false;
    if (reader->right_at_once) {
        return false; /* drain() */
    }
    for (int64_t i = reader->start + 1; i <= packet && i < reader->open_end && !kept;
         i++) {
        kept = reader->frame_of[i] > reader->newest && reader->frame_of[i] <= ordinal &&
               !can_leave_out(reader, i, packet);
    }
    return kept;
}

/* True if nothing is to be fed any more for this frame. */
static bool is_late(const Reader *reader, int64_t ordinal)
{
    const int64_t packet = reader->index->frames[ordinal].packet;
    if (!reader->in_haste) {
        return reader->next_packet > packet + LATE_PACKETS;
    }
    const AVCodecContext *codec = reader->source.codec;
    const int64_t more = 2 * (codec->has_b_frames + codec->thread_count); /* two fields */
    return has_all(reader, packet) &&
           (reader->next_packet > packet + more || !would_keep_back(reader, ordinal));
}

typedef enum { RUN_FOUND, RUN_MISSING, RUN_STOPPED } Run;

/* Decodes until the frame is in the cache. */
static Run run_to(Reader *reader, int64_t ordinal, ReaderStop stop, void *data)
{
    Source *source = &reader->source;
    const int64_t packet = reader->index->frames[ordinal].packet;
    for (;;) {
        const int result = avcodec_receive_frame(source->codec, source->frame);
        if (result == 0) {
            const int64_t came = take_in(reader, ordinal);
            av_frame_unref(source->frame);
            if (came == ordinal) {
                return RUN_FOUND;
            }
            continue;
        }
        if (result == AVERROR_EOF || reader->drained) {
            return RUN_MISSING;
        }
        if (is_late(reader, ordinal)) {
            drain(reader); /* what it still keeps back, nothing to come will push out */
            continue;
        }
        if (stop != NULL && stop(data)) {
            return RUN_STOPPED;
        }
        feed(reader, packet);
        if (!reader->running) {
            return RUN_MISSING;
        }
    }
}

/* Tries from `key`, then from earlier keys, until the frame comes undamaged. */
static Run search(Reader *reader, int64_t ordinal, int64_t key, ReaderStop stop,
                  void *data)
{
    const uint32_t packet = reader->index->frames[ordinal].packet;
    const bool known_bad = is_known_doubtful(reader, ordinal);
    bool landed = false;
    for (int tries = 0; tries <= RETRIES_MAX; tries++) {
        if (landed || !can_go_on(reader, ordinal, key)) {
            if (!begin_at(reader, key)) {
                return RUN_MISSING;
            }
        }
        landed = true;
        const Run run = run_to(reader, ordinal, stop, data);
        if (run == RUN_STOPPED) {
            return run;
        }
        const CachedFrame *found = frame_cache_find(&reader->cache, ordinal);
        if (run == RUN_FOUND &&
            (known_bad || found == NULL || !is_damaged(reader, found->frame))) {
            return run;
        }
        if (reader->from_top && !reader->in_haste) {
            return run;
        }
        reader->retries++;
        /* Once more in haste, from the group before. */
        reader->in_haste = reader->in_haste && tries == 0;
        key = landing_key_before(reader->index, key); /* -1: from the top */
        if (tries == RETRIES_MAX - 1 && packet < FROM_START_PACKETS) {
            key = -1;
        }
    }
    return frame_cache_find(&reader->cache, ordinal) != NULL ? RUN_FOUND : RUN_MISSING;
}

/* Decoded on the way, but shown later than what was wanted: lost with the run if it is not taken
 * now. */
static void take_rest(Reader *reader, int64_t wanted)
{
    Source *source = &reader->source;
    if (!reader->drained) {
        drain(reader);
    }
    while (avcodec_receive_frame(source->codec, source->frame) == 0) {
        take_in(reader, wanted);
        av_frame_unref(source->frame);
    }
}

ReaderResult reader_get(Reader *reader, int64_t ordinal, ReaderStop stop, void *data,
                        const AVFrame **frame, bool *doubtful)
{
    const CachedFrame *found = frame_cache_find(&reader->cache, ordinal);
    const int64_t asked = reader->asked;
    reader->asked = ordinal;
    if (found == NULL) {
        const int64_t key = landing_key(reader->index, ordinal);
        const bool far =
            reader->alone || asked < 0 || llabs(ordinal - asked) > NEAR_FRAMES;
        /* What is held is not whole after haste: there the group is begun anew. */
        reader->running = reader->running && !reader->in_haste;
        reader->in_haste = far && !is_known_doubtful(reader, ordinal) &&
                           !can_go_on(reader, ordinal, key);
        if (search(reader, ordinal, key, stop, data) == RUN_STOPPED) {
            return READER_STOPPED;
        }
        if (reader->alone && reader->in_haste && reader->running) {
            take_rest(reader, ordinal);
        }
        found = frame_cache_find(&reader->cache, ordinal);
    }
    if (found != NULL) {
        *frame = found->frame;
        *doubtful = found->doubtful;
        return READER_FRAME;
    }
    const CachedFrame *before = frame_cache_find_before(&reader->cache, ordinal);
    if (before == NULL || reader->source.format == NULL) { /* none, or the film is gone */
        return READER_NOTHING;
    }
    *frame = before->frame;
    *doubtful = true;
    return READER_FRAME;
}
