/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "channel.h"
#include "reel-private.h"

/* The reel's helper process: started, talked to, and replaced when it dies. On the reel's
 * thread. */

void rb_reel_fail(RbReel *reel, GError *error)
{
    rb_helper_end(&reel->helper);
    reel->phase = PHASE_OVER;
    reel->final_error = g_error_copy(error);
    rb_reel_add_error(reel, 0, error, true);
}

bool rb_reel_say(RbReel *reel, const void *message, size_t bytes, int fd)
{
    return rb_channel_send(reel->helper.socket, message, bytes, &fd, fd >= 0 ? 1 : 0,
                           false) == RB_CHANNEL_OK;
}

bool rb_reel_say_plain(RbReel *reel, RbAskKind kind, uint64_t serial)
{
    const RbAskPlain ask = { .head = { kind, sizeof ask, serial } };
    return rb_reel_say(reel, &ask, sizeof ask, -1);
}

bool rb_reel_say_ring(RbReel *reel)
{
    const RbAskRing ask = {
        .head = { RB_ASK_RING, sizeof ask, 0 },
        .slot_bytes = rb_ring_get_slot_bytes(reel->ring),
        .slots = (uint32_t)rb_ring_get_slots(reel->ring),
    };
    return rb_reel_say(reel, &ask, sizeof ask, rb_ring_get_fd(reel->ring));
}

bool rb_reel_say_keep(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    const RbReelKeep keep = reel->keep;
    reel->keep_is_new = false;
    rb_mutex_unlock(&reel->lock);
    const RbAskKeep ask = { .head = { RB_ASK_KEEP, sizeof ask, 0 },
                            .near = keep.near,
                            .first = keep.first,
                            .last = keep.last,
                            .budget = keep.budget,
                            .direction = keep.direction,
                            .rough = keep.rough };
    return rb_reel_say(reel, &ask, sizeof ask, -1);
}

bool rb_reel_make_ring(RbReel *reel, size_t slot_bytes)
{
    GError *error = NULL;
    RbRing *ring = rb_ring_new(slot_bytes, RB_REEL_SLOTS, false, reel->wake_fd, &error);
    if (ring == NULL) {
        rb_reel_fail(reel, error);
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

void rb_reel_start_helper(RbReel *reel)
{
    GError *error = NULL;
    if (!rb_helper_start(&reel->helper, &error)) {
        rb_reel_fail(reel, error);
        return;
    }
    note_pid(reel);
    reel->phase = PHASE_OPENING;
    reel->serving = false;
    reel->growing = false;
    rb_reel_note_life(reel);
    const RbAskRead ask = { .head = { RB_ASK_READ, sizeof ask, 0 },
                            .version = RB_PROTOCOL_VERSION,
                            .bytes = reel->file.bytes };
    if (!rb_reel_say(reel, &ask, sizeof ask, reel->file.fd)) {
        rb_reel_helper_died(reel);
    }
}

void rb_reel_forget_asking(RbReel *reel, int i)
{
    rb_ring_unref(reel->asking[i].ring);
    reel->n_asking--;
    memmove(&reel->asking[i], &reel->asking[i + 1],
            (size_t)(reel->n_asking - i) * sizeof reel->asking[0]);
}

bool rb_reel_is_serving(const RbReel *reel)
{
    return reel->serving && (reel->phase == PHASE_READY || reel->phase == PHASE_INDEXING);
}

bool rb_reel_ask(RbReel *reel, uint64_t serial, int64_t number,
                 const RbFrameOptions *options)
{
    if (!rb_reel_is_serving(reel) || reel->n_asking == ASKING_MAX) {
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
        .ordinal = rb_want_frame(number, options),
        .field = options->by_field ? 1 + (uint32_t)(number & 1) : 0,
        .slot = (uint32_t)slot,
        .pixels = (uint32_t)options->pixels,
        .max_width = options->max_width,
        .max_height = options->max_height,
        .as_coded = options->as_coded,
        .alone = options->alone,
        .stretch = options->stretch && options->max_width > 0 && options->max_height > 0,
    };
    if (reel->n_asking++ == 0) {
        rb_reel_note_life(reel);
    }
    if (!rb_reel_say(reel, &asking->ask, sizeof asking->ask, -1)) {
        rb_reel_helper_died(reel);
    }
    return true;
}

void rb_reel_drop_asking(RbReel *reel)
{
    for (int i = 0; i < reel->n_asking; i++) {
        if (!reel->asking[i].dropped) {
            reel->asking[i].dropped = true;
            rb_reel_say_plain(reel, RB_ASK_DROP, reel->asking[i].ask.head.serial);
        }
    }
}

bool rb_reel_is_listed_ask(const Asking *asking, const Want *want, int64_t number)
{
    return asking->listed && !asking->dropped && rb_asking_number(asking) == number &&
           (asking->ask.field > 0) == want->options.by_field &&
           asking->ask.pixels == (uint32_t)want->options.pixels &&
           asking->ask.max_width == want->options.max_width &&
           asking->ask.max_height == want->options.max_height &&
           (asking->ask.as_coded != 0) == want->options.as_coded &&
           (asking->ask.stretch != 0) == want->options.stretch;
}

void rb_reel_drop_unlisted(RbReel *reel, const Want *want)
{
    for (int i = 1; i < reel->n_asking; i++) {
        bool listed = false;
        for (int k = 0; k < want->n_list && !listed; k++) {
            listed = rb_reel_is_listed_ask(&reel->asking[i], want, want->list[k]);
        }
        if (!listed && !reel->asking[i].dropped) {
            reel->asking[i].dropped = true;
            rb_reel_say_plain(reel, RB_ASK_DROP, reel->asking[i].ask.head.serial);
        }
    }
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
void rb_reel_helper_died(RbReel *reel)
{
    const int64_t blamed = reel->n_asking > 0 ? reel->asking[0].ask.ordinal : -1;
    rb_helper_end(&reel->helper);
    while (reel->n_asking > 0) {
        rb_ring_give_back(reel->asking[0].ring, (int)reel->asking[0].ask.slot);
        rb_reel_forget_asking(reel, 0);
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
    reel->serving = false;
    GError *error = NULL;
    if ((reel->deaths_in_row >= DEATHS_MAX && blamed < 0) ||
        reel->deaths_in_row >= DEATHS_MAX * DEATHS_MAX) {
        rb_error_set(
            &error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
            "\"%s\" cannot be used: the program that reads films failed on it %d "
            "times; use another copy of the film.",
            reel->name, DEATHS_MAX);
        rb_reel_fail(reel, error);
        return;
    }
    rb_error_set(
        &error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
        "The program that reads films stopped while it read \"%s\" and was started "
        "again; nothing is lost.",
        reel->name);
    rb_reel_add_error(reel, 0, error, false);
}
