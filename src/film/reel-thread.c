/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <errno.h>
#include <poll.h>
#include <string.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "channel.h"
#include "fingerprint-private.h"
#include "reel-private.h"
#include "words.h"

/* The reel's thread: it opens the film, keeps a helper running, and turns wishes into messages
 * and messages into events. It sleeps in one poll() on the helper's socket and the eventfd. */

/* A helper that says nothing for this long while it has work is hung. */
#define HANG_MS 10000

static void fail_for_good(RbReel *reel, GError *error)
{
    rb_helper_end(&reel->helper);
    reel->phase = PHASE_OVER;
    reel->final_error = g_error_copy(error);
    rb_reel_add_error(reel, 0, error, true);
}

/* ---- saying things to the helper */

static void helper_died(RbReel *reel);

static bool say(RbReel *reel, const void *message, size_t bytes, int fd)
{
    return rb_channel_send(reel->helper.socket, message, bytes, &fd, fd >= 0 ? 1 : 0,
                           false) == RB_CHANNEL_OK;
}

static bool say_plain(RbReel *reel, RbAskKind kind, uint64_t serial)
{
    const RbAskPlain ask = { .head = { kind, sizeof ask, serial } };
    return say(reel, &ask, sizeof ask, -1);
}

static bool say_ring(RbReel *reel)
{
    const RbAskRing ask = {
        .head = { RB_ASK_RING, sizeof ask, 0 },
        .slot_bytes = rb_ring_get_slot_bytes(reel->ring),
        .slots = (uint32_t)rb_ring_get_slots(reel->ring),
    };
    return say(reel, &ask, sizeof ask, rb_ring_get_fd(reel->ring));
}

static bool make_ring(RbReel *reel, size_t slot_bytes)
{
    GError *error = NULL;
    RbRing *ring = rb_ring_new(slot_bytes, RB_REEL_SLOTS, false, reel->wake_fd, &error);
    if (ring == NULL) {
        fail_for_good(reel, error);
        return false;
    }
    rb_ring_unref(reel->ring);
    reel->ring = ring;
    return true;
}

static void note_pid(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    reel->status.helper_pid = reel->helper.pid;
    rb_mutex_unlock(&reel->lock);
}

static void start_helper(RbReel *reel)
{
    GError *error = NULL;
    if (!rb_helper_start(&reel->helper, &error)) {
        fail_for_good(reel, error);
        return;
    }
    note_pid(reel);
    reel->phase = PHASE_OPENING;
    reel->heard_us = g_get_monotonic_time();
    const RbAskRead ask = { .head = { RB_ASK_READ, sizeof ask, 0 },
                            .version = RB_PROTOCOL_VERSION,
                            .bytes = reel->file.bytes };
    if (!say(reel, &ask, sizeof ask, reel->file.fd)) {
        helper_died(reel);
    }
}

/* ---- requests */

static void forget_asking(RbReel *reel, int i)
{
    rb_ring_unref(reel->asking[i].ring);
    reel->n_asking--;
    memmove(&reel->asking[i], &reel->asking[i + 1],
            (size_t)(reel->n_asking - i) * sizeof reel->asking[0]);
}

bool rb_reel_ask(RbReel *reel, uint64_t serial, int64_t ordinal,
                 const RbFrameOptions *options)
{
    if (reel->phase != PHASE_READY || reel->n_asking == ASKING_MAX) {
        return false;
    }
    const int slot = rb_ring_take(reel->ring);
    if (slot < 0) {
        return false; /* a picture given back wakes the thread */
    }
    Asking *asking = &reel->asking[reel->n_asking];
    *asking = (Asking){ .serial = serial, .ring = rb_ring_ref(reel->ring) };
    asking->ask = (RbAskFrame){
        .head = { RB_ASK_FRAME, sizeof asking->ask, ++reel->last_ask },
        .ordinal = ordinal,
        .slot = (uint32_t)slot,
        .pixels = (uint32_t)options->pixels,
        .max_width = options->max_width,
        .max_height = options->max_height,
        .as_coded = options->as_coded,
    };
    if (reel->n_asking++ == 0) {
        reel->heard_us = g_get_monotonic_time();
    }
    if (!say(reel, &asking->ask, sizeof asking->ask, -1)) {
        helper_died(reel);
    }
    return true;
}

void rb_reel_drop_asking(RbReel *reel)
{
    for (int i = 0; i < reel->n_asking; i++) {
        if (!reel->asking[i].dropped) {
            reel->asking[i].dropped = true;
            say_plain(reel, RB_ASK_DROP, reel->asking[i].ask.head.serial);
        }
    }
}

/* ---- the helper's death */

static bool is_busy(const RbReel *reel)
{
    switch (reel->phase) {
    case PHASE_OPENING:
    case PHASE_INDEXING:
    case PHASE_LOADING:
        return true;
    case PHASE_READY:
        return reel->n_asking > 0;
    case PHASE_DOWN:
    case PHASE_OVER:
        return false;
    }
    return false;
}

static void blame_frame(RbReel *reel, int64_t ordinal)
{
    if (reel->death_frame != ordinal) {
        reel->death_frame = ordinal;
        reel->deaths_on_frame = 0;
    }
    if (++reel->deaths_on_frame >= DEATHS_MAX) {
        int64_t *key = g_new(int64_t, 1);
        *key = ordinal;
        g_hash_table_add(reel->bad_frames, key);
    }
}

/* Ends what is left of the helper, says so once, and clears the way for another. Playback goes
 * on behind the frame it stopped at. */
static void helper_died(RbReel *reel)
{
    const int64_t blamed = reel->n_asking > 0 ? reel->asking[0].ask.ordinal : -1;
    rb_helper_end(&reel->helper);
    while (reel->n_asking > 0) {
        rb_ring_give_back(reel->asking[0].ring, (int)reel->asking[0].ask.slot);
        forget_asking(reel, 0);
    }
    if (blamed >= 0) {
        blame_frame(reel, blamed);
        reel->play.next =
            reel->play.active ? MIN(reel->play.next, blamed) : reel->play.next;
    }
    reel->deaths_in_row++;
    rb_mutex_lock(&reel->lock);
    reel->status.helper_deaths++;
    reel->status.helper_pid = 0;
    rb_mutex_unlock(&reel->lock);
    reel->phase = PHASE_DOWN;
    GError *error = NULL;
    if ((reel->deaths_in_row >= DEATHS_MAX && blamed < 0) ||
        reel->deaths_in_row >= DEATHS_MAX * DEATHS_MAX) {
        rb_error_set(
            &error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
            "\"%s\" cannot be used: the program that reads films failed on it %d "
            "times; use another copy of the film.",
            reel->name, DEATHS_MAX);
        fail_for_good(reel, error);
        return;
    }
    rb_error_set(
        &error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
        "The program that reads films stopped while it read \"%s\" and was started "
        "again; nothing is lost.",
        reel->name);
    rb_reel_add_error(reel, 0, error, false);
}

/* ---- opening */

static void open_file(RbReel *reel)
{
    GError *error = NULL;
    if (!rb_film_file_open(reel->path, &reel->file, &error)) {
        fail_for_good(reel, error);
        return;
    }
    g_autofree char *fingerprint =
        rb_film_fingerprint_of(reel->file.fd, reel->file.bytes, reel->name, NULL, &error);
    if (fingerprint == NULL) {
        fail_for_good(reel, error);
        return;
    }
    reel->key.bytes = reel->file.bytes;
    reel->key.changed_ns = reel->file.changed_ns;
    g_strlcpy(reel->key.fingerprint, fingerprint, sizeof reel->key.fingerprint);
}

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

static void index_is_there(RbReel *reel, RbIndex *index)
{
    reel->own_index = index;
    const int64_t true_us = index->end_us;
    for (int i = 0; i < reel->doubts.n; i++) {
        add_doubt(reel, &reel->doubts.doubts[i]);
    }
    doubt_duration(reel, reel->tell_facts.duration_us, true_us);
    rb_mutex_lock(&reel->lock);
    reel->index = index;
    reel->facts->frames = index->n_frames;
    reel->facts->duration_us = true_us;
    rb_mutex_unlock(&reel->lock);
}

static void become_ready(RbReel *reel)
{
    RbLayout layout;
    const RbTellFacts *facts = &reel->tell_facts;
    const bool lies = facts->rotation == 90 || facts->rotation == 270;
    if (reel->ring == NULL &&
        (!rb_layout_make(RB_PIXELS_BGRA, lies ? facts->height : facts->width,
                         lies ? facts->width : facts->height, &layout) ||
         layout.bytes > RB_SLOT_BYTES_MAX || !make_ring(reel, layout.bytes))) {
        return;
    }
    reel->phase = PHASE_READY;
    if (!say_ring(reel)) {
        helper_died(reel);
    }
}

static void use_own_index(RbReel *reel)
{
    GError *error = NULL;
    const int fd =
        rb_sealed_copy(reel->index_bytes->data, reel->index_bytes->len, &error);
    if (fd < 0) {
        fail_for_good(reel, error);
        return;
    }
    const RbAskUseIndex ask = { .head = { RB_ASK_USE_INDEX, sizeof ask, 0 },
                                .bytes = reel->index_bytes->len };
    reel->phase = PHASE_LOADING;
    const bool said = say(reel, &ask, sizeof ask, fd);
    close(fd);
    if (!said) {
        helper_died(reel);
    }
}

static void tell_ready(RbReel *reel, bool from_cache)
{
    rb_mutex_lock(&reel->lock);
    reel->status.index_from_cache = from_cache;
    rb_mutex_unlock(&reel->lock);
    RbReelEvent event = { .kind = RB_REEL_READY };
    rb_reel_add_event(reel, &event);
}

static void hear_facts(RbReel *reel, const RbTellFacts *tell)
{
    reel->tell_facts = *tell;
    if (reel->own_index != NULL) { /* a helper after the first */
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
        reel->index_bytes = rb_index_to_bytes(kept);
        index_is_there(reel, kept);
        tell_ready(reel, true);
        use_own_index(reel);
        return;
    }
    reel->doubts.n = 0;
    reel->index_bytes = g_byte_array_new();
    reel->phase = PHASE_INDEXING;
    if (!say_plain(reel, RB_ASK_INDEX, 0)) {
        helper_died(reel);
    }
}

static void hear_index_part(RbReel *reel, const uint8_t *part, size_t n)
{
    if ((int64_t)(reel->index_bytes->len + n) > RB_INDEX_BYTES_MAX) {
        helper_died(reel);
        return;
    }
    g_byte_array_append(reel->index_bytes, part, (guint)n);
}

static void hear_index_end(RbReel *reel, int64_t total)
{
    RbIndex *index = NULL;
    if (reel->index_bytes->len == total) {
        index = rb_index_from_bytes(reel->index_bytes->data, reel->index_bytes->len);
    }
    if (index == NULL) {
        helper_died(reel); /* it breaks the rules */
        return;
    }
    index_is_there(reel, index);
    rb_index_cache_save(&reel->key, &reel->doubts, reel->index_bytes->data,
                        reel->index_bytes->len);
    become_ready(reel);
    if (reel->phase == PHASE_READY) {
        tell_ready(reel, false);
    }
}

/* ---- frames */

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
    rb_mutex_lock(&reel->lock);
    reel->status.landings = tell->landings;
    reel->status.retries = tell->retries;
    rb_mutex_unlock(&reel->lock);
}

static void hear_frame(RbReel *reel, const RbTellFrame *tell)
{
    const int i = find_asking(reel, tell->head.serial);
    if (i < 0 || !rb_tell_frame_answers(tell, &reel->asking[i].ask,
                                        rb_ring_get_slot_bytes(reel->asking[i].ring))) {
        helper_died(reel);
        return;
    }
    note_frame(reel, tell);
    const RbTime time = { reel->own_index->frames[tell->ordinal].pts,
                          reel->own_index->base };
    RbPicture *picture = rb_picture_new(reel->asking[i].ring, tell, time);
    const uint64_t serial = reel->asking[i].serial;
    const bool dropped = reel->asking[i].dropped;
    forget_asking(reel, i);
    if (dropped) {
        rb_picture_unref(picture);
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
        helper_died(reel);
        return;
    }
    Asking asking = reel->asking[i];
    const bool in_old_ring = asking.ring != reel->ring;
    rb_ring_give_back(asking.ring, (int)asking.ask.slot);
    forget_asking(reel, i);
    if (!in_old_ring) {
        if (!make_ring(reel, tell->bytes)) {
            return;
        }
        if (!say_ring(reel)) {
            helper_died(reel);
            return;
        }
    }
    if (!asking.dropped) {
        const RbFrameOptions options = { .pixels = (RbPixels)asking.ask.pixels,
                                         .max_width = asking.ask.max_width,
                                         .max_height = asking.ask.max_height,
                                         .as_coded = asking.ask.as_coded != 0 };
        rb_reel_ask(reel, asking.serial, asking.ask.ordinal, &options);
    }
}

static void hear_frame_fault(RbReel *reel, const RbTellFault *tell)
{
    const int i = find_asking(reel, tell->head.serial);
    if (i < 0) {
        helper_died(reel);
        return;
    }
    const Asking asking = reel->asking[i];
    rb_ring_give_back(asking.ring, (int)asking.ask.slot);
    forget_asking(reel, i);
    reel->deaths_in_row = 0;
    if (asking.dropped) {
        return;
    }
    if (reel->play.active && reel->play.serial == asking.serial) {
        rb_play_pass_over(reel);
        return;
    }
    reel->current.kind = WANT_NOTHING;
    GError *error = NULL;
    rb_film_fault(&error, reel->name, tell);
    rb_reel_add_error(reel, asking.serial, error, false);
}

static void hear_fault(RbReel *reel, const RbTellFault *tell)
{
    if (tell->head.serial != 0) {
        hear_frame_fault(reel, tell);
        return;
    }
    GError *error = NULL;
    rb_film_fault(&error, reel->name, tell);
    fail_for_good(reel, error);
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
    { PHASE_OPENING, RB_TELL_PROGRESS },   { PHASE_OPENING, RB_TELL_FACTS },
    { PHASE_OPENING, RB_TELL_FAULT },      { PHASE_INDEXING, RB_TELL_PROGRESS },
    { PHASE_INDEXING, RB_TELL_DOUBT },     { PHASE_INDEXING, RB_TELL_INDEX_PART },
    { PHASE_INDEXING, RB_TELL_INDEX_END }, { PHASE_INDEXING, RB_TELL_FAULT },
    { PHASE_LOADING, RB_TELL_PROGRESS },   { PHASE_LOADING, RB_TELL_DOUBT },
    { PHASE_LOADING, RB_TELL_INDEX_USED }, { PHASE_LOADING, RB_TELL_FAULT },
    { PHASE_READY, RB_TELL_PROGRESS },     { PHASE_READY, RB_TELL_FRAME },
    { PHASE_READY, RB_TELL_ROOM },         { PHASE_READY, RB_TELL_FAULT },
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
    if (!is_allowed(reel->phase, tell->head.kind)) {
        helper_died(reel);
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

static void hear_all(RbReel *reel)
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
            helper_died(reel);
            return;
        }
        reel->heard_us = g_get_monotonic_time();
        hear(reel, &tell, part, part_bytes);
    }
}

/* ---- wishes */

static bool take_want(RbReel *reel, Want *want, bool *pause)
{
    rb_mutex_lock(&reel->lock);
    const bool fresh = reel->want_is_new;
    *want = reel->want;
    *pause = reel->pause;
    reel->want_is_new = false;
    reel->pause = false;
    rb_mutex_unlock(&reel->lock);
    return fresh;
}

static void refuse_frame(RbReel *reel, GError *error)
{
    const uint64_t serial = reel->current.serial;
    reel->current.kind = WANT_NOTHING;
    rb_reel_add_error(reel, serial, error, false);
}

static bool is_asked(const RbReel *reel, uint64_t serial)
{
    for (int i = 0; i < reel->n_asking; i++) {
        if (reel->asking[i].serial == serial && !reel->asking[i].dropped) {
            return true;
        }
    }
    return false;
}

static void serve_frame(RbReel *reel)
{
    const Want *want = &reel->current;
    if (is_asked(reel, want->serial)) {
        return;
    }
    GError *error = NULL;
    const long long ordinal = want->ordinal;
    if (ordinal < 0 || ordinal >= reel->own_index->n_frames) {
        rb_error_set(&error, RB_FILM_ERROR, RB_FILM_ERROR_RANGE,
                     "There is no frame %lld in \"%s\", which has frames 0 to %lld.",
                     ordinal, reel->name, (long long)reel->own_index->n_frames - 1);
        refuse_frame(reel, error);
    } else if (g_hash_table_contains(reel->bad_frames, &want->ordinal)) {
        rb_error_set(
            &error, RB_FILM_ERROR, RB_FILM_ERROR_DAMAGED,
            "Frame %lld of \"%s\" cannot be shown: it stops the program that reads "
            "films; the frames around it can be used.",
            ordinal, reel->name);
        refuse_frame(reel, error);
    } else {
        rb_reel_ask(reel, want->serial, want->ordinal, &want->options);
    }
}

static void serve(RbReel *reel)
{
    Want want;
    bool pause = false;
    if (take_want(reel, &want, &pause)) {
        rb_play_stop(reel, false);
        rb_reel_drop_asking(reel);
        reel->current = want;
    }
    if (pause && reel->current.kind == WANT_PLAY) {
        rb_reel_drop_asking(reel);
        rb_play_stop(reel, true);
        reel->current.kind = WANT_NOTHING;
    }
    if (reel->phase == PHASE_OVER && reel->current.kind != WANT_NOTHING) {
        reel->current.kind = WANT_NOTHING;
        rb_reel_add_error(reel, reel->current.serial, g_error_copy(reel->final_error),
                          true);
    }
    if (reel->phase != PHASE_READY) {
        return;
    }
    switch (reel->current.kind) {
    case WANT_NOTHING:
        return;
    case WANT_FRAME:
        serve_frame(reel);
        return;
    case WANT_PLAY:
        if (!reel->play.active) {
            rb_play_start(reel, &reel->current);
        }
        while (reel->play.active &&
               g_hash_table_contains(reel->bad_frames, &reel->play.next)) {
            reel->play.next++;
            rb_play_pass_over(reel);
        }
        return;
    }
}

/* ---- the loop */

static int ms_until_hung(RbReel *reel)
{
    if (!is_busy(reel)) {
        return -1;
    }
    const int64_t silent = (g_get_monotonic_time() - reel->heard_us) / 1000;
    return silent >= reel->hang_ms ? 0 : (int)(reel->hang_ms - silent) + 1;
}

static int sooner(int a, int b)
{
    if (a < 0 || b < 0) {
        return MAX(a, b);
    }
    return MIN(a, b);
}

static void call_wake(RbReel *reel)
{
    if (!reel->news_made) {
        return;
    }
    reel->news_made = false;
    rb_mutex_lock(&reel->wake_lock);
    if (reel->wake != NULL) {
        reel->wake(reel->wake_data);
    }
    rb_mutex_unlock(&reel->wake_lock);
}

static bool is_closing(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    const bool closing = reel->closing;
    rb_mutex_unlock(&reel->lock);
    return closing;
}

static void sleep_until_something(RbReel *reel, int timeout_ms)
{
    struct pollfd fds[2] = { { .fd = reel->wake_fd, .events = POLLIN },
                             { .fd = reel->helper.socket, .events = POLLIN } };
    const int ready = poll(fds, 2, timeout_ms);
    if (ready > 0 && fds[0].revents != 0) {
        uint64_t count = 0;
        const ssize_t got = read(reel->wake_fd, &count, sizeof count);
        (void)got; /* it only had to be emptied */
    }
    if (ready > 0 && fds[1].revents != 0) {
        hear_all(reel);
    }
}

static void finish(RbReel *reel)
{
    rb_helper_end(&reel->helper);
    rb_play_stop(reel, false);
    while (reel->n_asking > 0) {
        rb_ring_give_back(reel->asking[0].ring, (int)reel->asking[0].ask.slot);
        forget_asking(reel, 0);
    }
    rb_ring_unref(reel->ring);
    g_clear_error(&reel->final_error);
    g_clear_pointer(&reel->index_bytes, g_byte_array_unref);
    rb_film_file_close(&reel->file);
}

void *rb_reel_run(void *data)
{
    RbReel *reel = data;
    const char *hang = g_getenv("READBREAK_HANG_MS");
    reel->hang_ms = hang != NULL ? MAX(1, (int)g_ascii_strtoll(hang, NULL, 10)) : HANG_MS;
    open_file(reel);
    while (!is_closing(reel)) {
        if (reel->phase == PHASE_DOWN) {
            start_helper(reel);
        }
        serve(reel);
        const int play_ms = reel->phase == PHASE_READY ? rb_play_step(reel) : -1;
        if (ms_until_hung(reel) == 0) {
            helper_died(reel);
        }
        call_wake(reel);
        if (reel->phase != PHASE_DOWN) {
            sleep_until_something(reel, sooner(play_ms, ms_until_hung(reel)));
        }
    }
    finish(reel);
    return NULL;
}
