/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "channel.h"
#include "reel-private.h"
#include "words.h"

/* What the helper tells, turned into events. Nothing here is believed before it is checked. On
 * the reel's thread. */

static void add_doubt(RbReel *reel, const RbTellDoubt *doubt)
{
    char *text = rb_film_doubt_text(doubt);
    rb_mutex_lock(&reel->lock);
    g_ptr_array_add(reel->facts->doubts, text);
    rb_mutex_unlock(&reel->lock);
}

/* The header's duration is a claim; the frames are the truth. */
static void doubt_duration(RbReel *reel, int64_t claimed_us, int64_t true_us)
{
    const bool long_claim =
        claimed_us > true_us + 1500000 && claimed_us - true_us > true_us / 10;
    if (long_claim && reel->doubts.n == 0) {
        const RbTellDoubt doubt = { .doubt = RB_DOUBT_DURATION,
                                    .a = claimed_us / 1000000,
                                    .b = true_us / 1000000 };
        add_doubt(reel, &doubt);
    }
}

/* The index becomes known and the news of it is queued in one step: whoever sees the one finds
 * the other. */
static void index_is_there(RbReel *reel, RbIndex *index, bool from_cache)
{
    g_ptr_array_add(reel->indexes, index);
    reel->own_index = index;
    reel->whole = true;
    const int64_t true_us = index->end_us;
    for (int i = 0; i < reel->doubts.n; i++) {
        add_doubt(reel, &reel->doubts.doubts[i]);
    }
    doubt_duration(reel, reel->tell_facts.duration_us, true_us);
    RbReelEvent *event = g_new0(RbReelEvent, 1);
    event->kind = RB_REEL_READY;
    rb_mutex_lock(&reel->lock);
    reel->index = reel->so_far = index;
    reel->facts->frames = index->n_frames;
    reel->facts->duration_us = true_us;
    reel->status.index_from_cache = from_cache;
    g_queue_push_tail(&reel->events, event);
    rb_cond_broadcast(&reel->news);
    rb_mutex_unlock(&reel->lock);
    reel->news_made = true;
}

/* The first part of the film, or more of a recording. */
static void index_grew(RbReel *reel, RbIndex *index)
{
    g_ptr_array_add(reel->indexes, index);
    reel->own_index = index;
    RbReelEvent *event = g_new0(RbReelEvent, 1);
    event->kind = RB_REEL_GREW;
    rb_mutex_lock(&reel->lock);
    reel->so_far = index;
    if (reel->whole) {
        reel->index = index;
        reel->facts->frames = index->n_frames;
        reel->facts->duration_us = index->end_us;
    }
    g_queue_push_tail(&reel->events, event);
    rb_cond_broadcast(&reel->news);
    rb_mutex_unlock(&reel->lock);
    reel->news_made = true;
}

/* Sends the ring, after which frames can be asked for. */
static bool begin_serving(RbReel *reel)
{
    RbLayout layout;
    const RbTellFacts *facts = &reel->tell_facts;
    const bool lies = facts->rotation == 90 || facts->rotation == 270;
    if (reel->ring == NULL &&
        (!rb_layout_make(RB_PIXELS_BGRA, lies ? facts->height : facts->width,
                         lies ? facts->width : facts->height, &layout) ||
         layout.bytes > RB_SLOT_BYTES_MAX || !rb_reel_make_ring(reel, layout.bytes))) {
        return false;
    }
    reel->serving = true;
    rb_mutex_lock(&reel->lock);
    reel->keep_is_new = reel->keep.budget > 0; /* another helper has to be told again */
    rb_mutex_unlock(&reel->lock);
    if (!rb_reel_say_ring(reel)) {
        rb_reel_helper_died(reel);
        return false;
    }
    return true;
}

static void become_ready(RbReel *reel)
{
    if (reel->serving || begin_serving(reel)) {
        reel->phase = PHASE_READY;
    }
}

static void use_own_index(RbReel *reel)
{
    GError *error = NULL;
    g_clear_pointer(&reel->index_bytes, g_byte_array_unref);
    reel->index_bytes = rb_index_to_bytes(reel->own_index);
    const int fd =
        rb_sealed_copy(reel->index_bytes->data, reel->index_bytes->len, &error);
    if (fd < 0) {
        rb_reel_fail(reel, error);
        return;
    }
    const RbAskUseIndex ask = { .head = { RB_ASK_USE_INDEX, sizeof ask, 0 },
                                .bytes = reel->index_bytes->len };
    reel->phase = PHASE_LOADING;
    const bool said = rb_reel_say(reel, &ask, sizeof ask, fd);
    close(fd);
    if (!said) {
        rb_reel_helper_died(reel);
    }
}

static void hear_facts(RbReel *reel, const RbTellFacts *tell)
{
    reel->tell_facts = *tell;
    if (reel->whole) { /* a helper after the first */
        use_own_index(reel);
        return;
    }
    rb_mutex_lock(&reel->lock);
    const bool first = reel->facts == NULL;
    if (first) {
        reel->facts = rb_film_facts_from_message(tell, reel->file.bytes);
    }
    rb_mutex_unlock(&reel->lock);
    if (first) {
        RbReelEvent event = { .kind = RB_REEL_OPENED };
        rb_reel_add_event(reel, &event);
    }
    reel->key.library_version = tell->library_version;
    RbIndex *kept = rb_index_cache_load(&reel->key, &reel->doubts);
    g_clear_pointer(&reel->index_bytes, g_byte_array_unref);
    if (kept != NULL) {
        index_is_there(reel, kept, true);
        use_own_index(reel);
        return;
    }
    reel->doubts.n = 0;
    reel->index_bytes = g_byte_array_new();
    reel->phase = PHASE_INDEXING;
    reel->unsettled = rb_reel_is_written(reel);
    if (!rb_reel_say_plain(reel, RB_ASK_INDEX, reel->unsettled)) {
        rb_reel_helper_died(reel);
    }
}

static void hear_index_part(RbReel *reel, const uint8_t *part, size_t n)
{
    if ((int64_t)(reel->index_bytes->len + n) > RB_INDEX_BYTES_MAX) {
        rb_reel_helper_died(reel);
        return;
    }
    g_byte_array_append(reel->index_bytes, part, (guint)n);
}

/* Returns: (transfer full) (nullable): NULL if it breaks the rules. */
static RbIndex *take_index(RbReel *reel, int64_t total)
{
    RbIndex *index = NULL;
    if (reel->index_bytes->len == total) {
        index = rb_index_from_bytes(reel->index_bytes->data, reel->index_bytes->len);
    }
    if (index == NULL) {
        rb_reel_helper_died(reel);
    }
    return index;
}

static void hear_index_so_far(RbReel *reel, int64_t total)
{
    RbIndex *index = take_index(reel, total);
    if (index != NULL) {
        g_byte_array_set_size(reel->index_bytes, 0);
        index_grew(reel, index);
        if (!reel->serving) {
            begin_serving(reel);
        }
    }
}

static void hear_index_end(RbReel *reel, int64_t total)
{
    RbIndex *index = take_index(reel, total);
    if (index == NULL) {
        return;
    }
    if (reel->phase == PHASE_READY) {
        rb_reel_has_grown(reel);
        if (index->n_frames < reel->own_index->n_frames) {
            rb_index_free(index); /* no film loses frames by growing */
            rb_reel_helper_died(reel);
        } else {
            index_grew(reel, index);
        }
        return;
    }
    index_is_there(reel, index, false);
    if (!reel->unsettled) {
        rb_index_cache_save(&reel->key, &reel->doubts, reel->index_bytes->data,
                            reel->index_bytes->len);
    }
    become_ready(reel);
}

static int find_asking(const RbReel *reel, uint64_t serial)
{
    for (int i = 0; i < reel->n_asking; i++) {
        if (reel->asking[i].ask.head.serial == serial) {
            return i;
        }
    }
    return -1;
}

static void note_frame(RbReel *reel, const RbTellFrame *tell)
{
    reel->deaths_in_row = 0;
    reel->unread = 0;
    rb_mutex_lock(&reel->lock);
    reel->status.landings = tell->landings;
    reel->status.retries = tell->retries;
    reel->status.decoded = tell->decoded;
    reel->status.buffers = tell->buffers;
    rb_mutex_unlock(&reel->lock);
}

static void hear_frame(RbReel *reel, const RbTellFrame *tell)
{
    const int i = find_asking(reel, tell->head.serial);
    if (i < 0 || !rb_tell_frame_answers(tell, &reel->asking[i].ask,
                                        rb_ring_get_slot_bytes(reel->asking[i].ring))) {
        rb_reel_helper_died(reel);
        return;
    }
    note_frame(reel, tell);
    if (tell->ordinal >= reel->own_index->n_frames) { /* the whole film has fewer */
        rb_ring_give_back(reel->asking[i].ring, (int)reel->asking[i].ask.slot);
        rb_reel_forget_asking(reel, i);
        return;
    }
    const RbTime time = { reel->own_index->frames[tell->ordinal].pts,
                          reel->own_index->base };
    RbPicture *picture = rb_picture_new(reel->asking[i].ring, tell, time);
    rb_picture_doubt(picture, rb_reel_is_half_written(reel, tell->ordinal), !reel->whole);
    const uint64_t serial = reel->asking[i].serial;
    const bool dropped = reel->asking[i].dropped;
    const Asking asked = reel->asking[i]; /* its ring is not used below */
    rb_reel_forget_asking(reel, i);
    if (dropped) {
        rb_picture_unref(picture);
    } else if (asked.listed) {
        rb_want_take(reel, &asked, picture, NULL);
    } else if (reel->play.active && reel->play.serial == serial) {
        rb_play_take(reel, picture);
    } else {
        reel->current.kind = WANT_NOTHING;
        rb_reel_add_picture(reel, serial, picture, 0);
    }
}

/* The frame is larger than a slot: its size changed in mid film. */
static void hear_room(RbReel *reel, const RbTellRoom *tell)
{
    const int i = find_asking(reel, tell->head.serial);
    if (i < 0) {
        rb_reel_helper_died(reel);
        return;
    }
    Asking asking = reel->asking[i];
    const bool in_old_ring = asking.ring != reel->ring;
    rb_ring_give_back(asking.ring, (int)asking.ask.slot);
    rb_reel_forget_asking(reel, i);
    if (!in_old_ring) {
        if (!rb_reel_make_ring(reel, tell->bytes)) {
            return;
        }
        if (!rb_reel_say_ring(reel)) {
            rb_reel_helper_died(reel);
            return;
        }
    }
    if (!asking.dropped) {
        const RbFrameOptions options = { .pixels = (RbPixels)asking.ask.pixels,
                                         .max_width = asking.ask.max_width,
                                         .max_height = asking.ask.max_height,
                                         .as_coded = asking.ask.as_coded != 0,
                                         .alone = asking.ask.alone != 0,
                                         .stretch = asking.ask.stretch != 0,
                                         .by_field = asking.ask.field > 0 };
        if (rb_reel_ask(reel, asking.serial, rb_asking_number(&asking), &options)) {
            reel->asking[reel->n_asking - 1].listed = asking.listed;
        }
    }
}

/* What became of the file says more than what the helper then found in it. */
static GError *error_of(const RbReel *reel, const RbTellFault *tell)
{
    GError *error = NULL;
    if (rb_film_file_is_whole(&reel->file, reel->name, &error)) {
        rb_film_fault(&error, reel->name, tell);
    }
    return error;
}

/* So many frames in a row that cannot be read: the drive is gone, not one of its sectors. */
#define UNREAD_MAX 12

/* Many frames are asked for in a row, as while the film plays: on past one that cannot be made, but
 * not to the end of a film that is gone. */
static bool is_gone(RbReel *reel, const RbTellFault *tell, GError **error)
{
    reel->unread = tell->code == RB_FILM_ERROR_READ ? reel->unread + 1 : 0;
    return !rb_film_file_is_whole(&reel->file, reel->name, error) ||
           (reel->unread > UNREAD_MAX && !rb_film_fault(error, reel->name, tell));
}

static void hear_frame_fault(RbReel *reel, const RbTellFault *tell)
{
    const int i = find_asking(reel, tell->head.serial);
    if (i < 0) {
        rb_reel_helper_died(reel);
        return;
    }
    const Asking asking = reel->asking[i];
    rb_ring_give_back(asking.ring, (int)asking.ask.slot);
    rb_reel_forget_asking(reel, i);
    reel->deaths_in_row = 0;
    if (asking.dropped) {
        return;
    }
    const bool plays = reel->play.active && reel->play.serial == asking.serial;
    GError *gone = NULL;
    if ((plays || asking.listed) && is_gone(reel, tell, &gone)) {
        rb_reel_fail(reel, gone);
        return;
    }
    if (plays) {
        rb_play_pass_over(reel);
        return;
    }
    GError *error = error_of(reel, tell);
    if (asking.listed) {
        rb_want_take(reel, &asking, NULL, error);
        return;
    }
    reel->current.kind = WANT_NOTHING;
    rb_reel_add_error(reel, asking.serial, error, false);
}

static void hear_fault(RbReel *reel, const RbTellFault *tell)
{
    if (tell->head.serial != 0) {
        hear_frame_fault(reel, tell);
        return;
    }
    rb_reel_fail(reel, error_of(reel, tell));
}

static void hear_progress(RbReel *reel, const RbTellProgress *tell)
{
    if (reel->phase == PHASE_INDEXING) {
        RbReelEvent event = { .kind = RB_REEL_PROGRESS,
                              .fraction =
                                  tell->permille < 0 ? -1.0 : tell->permille / 1000.0 };
        rb_reel_add_event(reel, &event);
    }
}

/* Which message may come in which phase; anything else breaks the rules. */
static const struct {
    Phase phase;
    RbTellKind kind;
} phase_rows[] = {
    { PHASE_OPENING, RB_TELL_PROGRESS },      { PHASE_OPENING, RB_TELL_FACTS },
    { PHASE_OPENING, RB_TELL_FAULT },         { PHASE_INDEXING, RB_TELL_PROGRESS },
    { PHASE_INDEXING, RB_TELL_DOUBT },        { PHASE_INDEXING, RB_TELL_INDEX_PART },
    { PHASE_INDEXING, RB_TELL_INDEX_END },    { PHASE_INDEXING, RB_TELL_FAULT },
    { PHASE_INDEXING, RB_TELL_INDEX_SO_FAR }, { PHASE_INDEXING, RB_TELL_FRAME },
    { PHASE_INDEXING, RB_TELL_ROOM },         { PHASE_READY, RB_TELL_INDEX_PART },
    { PHASE_READY, RB_TELL_INDEX_END },       { PHASE_LOADING, RB_TELL_PROGRESS },
    { PHASE_LOADING, RB_TELL_DOUBT },         { PHASE_LOADING, RB_TELL_INDEX_USED },
    { PHASE_LOADING, RB_TELL_FAULT },         { PHASE_READY, RB_TELL_PROGRESS },
    { PHASE_READY, RB_TELL_FRAME },           { PHASE_READY, RB_TELL_ROOM },
    { PHASE_READY, RB_TELL_FAULT },
};

static bool is_allowed(Phase phase, uint32_t kind)
{
    for (size_t i = 0; i < G_N_ELEMENTS(phase_rows); i++) {
        if (phase_rows[i].phase == phase && phase_rows[i].kind == kind) {
            return true;
        }
    }
    return false;
}

static void hear_doubt(RbReel *reel, const RbTellDoubt *tell)
{
    if (reel->phase == PHASE_INDEXING && reel->doubts.n < RB_INDEX_DOUBTS_MAX) {
        reel->doubts.doubts[reel->doubts.n++] = *tell;
    }
}

static void hear(RbReel *reel, const RbTell *tell, const uint8_t *part, size_t n)
{
    const bool is_index =
        tell->head.kind == RB_TELL_INDEX_PART || tell->head.kind == RB_TELL_INDEX_END;
    if (!is_allowed(reel->phase, tell->head.kind) ||
        (is_index && reel->phase == PHASE_READY && !reel->growing)) {
        rb_reel_helper_died(reel);
        return;
    }
    switch (tell->head.kind) {
    case RB_TELL_FACTS:
        hear_facts(reel, &tell->facts);
        return;
    case RB_TELL_DOUBT:
        hear_doubt(reel, &tell->doubt);
        return;
    case RB_TELL_PROGRESS:
        hear_progress(reel, &tell->progress);
        return;
    case RB_TELL_INDEX_PART:
        hear_index_part(reel, part, n);
        return;
    case RB_TELL_INDEX_END:
        hear_index_end(reel, tell->index_end.total);
        return;
    case RB_TELL_INDEX_SO_FAR:
        hear_index_so_far(reel, tell->index_end.total);
        return;
    case RB_TELL_INDEX_USED:
        become_ready(reel);
        return;
    case RB_TELL_FRAME:
        hear_frame(reel, &tell->frame);
        return;
    case RB_TELL_ROOM:
        hear_room(reel, &tell->room);
        return;
    default:
        hear_fault(reel, &tell->fault);
        return;
    }
}

void rb_reel_hear_all(RbReel *reel)
{
    uint8_t buffer[RB_MESSAGE_MAX + 1];
    while (reel->helper.socket >= 0) {
        size_t n = 0;
        const RbChannelResult result = rb_channel_receive(
            reel->helper.socket, buffer, sizeof buffer, &n, NULL, 0, NULL, false);
        if (result == RB_CHANNEL_AGAIN) {
            return;
        }
        RbTell tell;
        const uint8_t *part = NULL;
        size_t part_bytes = 0;
        if (result != RB_CHANNEL_OK ||
            !rb_tell_check(buffer, n, &tell, &part, &part_bytes)) {
            rb_reel_helper_died(reel);
            return;
        }
        rb_reel_note_life(reel);
        hear(reel, &tell, part, part_bytes);
    }
}
