/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <poll.h>
#include <string.h>
#include <unistd.h>

#include "fingerprint-private.h"
#include "reel-private.h"
#include "watchdog.h"

/* The reel's thread: it opens the film, keeps a helper running, and turns wishes into requests.
 * It sleeps in one poll() on the helper's socket and the eventfd. */

/* A helper that says nothing for this long while it has work is hung: it gives a sign of life
 * with every packet and every read. Sanitizers make it ten times slower. */
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define HANG_MS 20000
#else
#define HANG_MS 2000
#endif

/* A machine with too much to do may keep it from running: then it has so many times as long. */
#define GRACES_MAX 9

static atomic_int hang_ms = HANG_MS;

void rb_watchdog_set_ms(int ms)
{
    atomic_store(&hang_ms, ms > 0 ? ms : HANG_MS);
}

static void open_file(RbReel *reel)
{
    GError *error = NULL;
    if (!rb_film_file_open(reel->path, &reel->file, &error)) {
        rb_reel_fail(reel, error);
        return;
    }
    g_autofree char *fingerprint =
        rb_film_fingerprint_of(reel->file.fd, reel->file.bytes, reel->name, NULL, &error);
    if (fingerprint == NULL) {
        rb_reel_fail(reel, error);
        return;
    }
    reel->key.bytes = reel->file.bytes;
    reel->key.changed_ns = reel->file.changed_ns;
    g_strlcpy(reel->key.fingerprint, fingerprint, sizeof reel->key.fingerprint);
}

static bool is_busy(const RbReel *reel)
{
    switch (reel->phase) {
    case PHASE_OPENING:
    case PHASE_INDEXING:
    case PHASE_LOADING:
        return true;
    case PHASE_READY:
        return reel->n_asking > 0 || reel->growing;
    case PHASE_DOWN:
    case PHASE_OVER:
        return false;
    }
    return false;
}

/* The helper hears of it once it can use it; one that is started later hears of it too. */
static void tell_keep(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    const bool fresh = reel->keep_is_new;
    rb_mutex_unlock(&reel->lock);
    if (fresh && !rb_reel_say_keep(reel)) {
        rb_reel_helper_died(reel);
    }
}

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
    const int64_t frame = rb_want_frame(want->ordinal, &want->options);
    if (is_asked(reel, want->serial) || rb_want_must_wait(reel, frame)) {
        return;
    }
    GError *error = rb_want_refusal(reel, frame);
    if (error != NULL) {
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
        if (want.kind == WANT_LIST && reel->current.kind == WANT_LIST) {
            rb_reel_drop_unlisted(reel, &want);
        } else {
            rb_reel_drop_asking(reel);
        }
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
    if (!rb_reel_is_serving(reel) ||
        (reel->phase != PHASE_READY && reel->current.kind == WANT_PLAY)) {
        return;
    }
    tell_keep(reel);
    switch (reel->current.kind) {
    case WANT_NOTHING:
        return;
    case WANT_FRAME:
        serve_frame(reel);
        return;
    case WANT_LIST:
        rb_want_serve(reel);
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

void rb_reel_note_life(RbReel *reel)
{
    reel->heard_us = g_get_monotonic_time();
    reel->heard_cpu_us = rb_helper_get_cpu_us(&reel->helper);
    reel->graces = 0;
}

/* True if the helper has been silent only because it has hardly run. */
static bool give_more_time(RbReel *reel)
{
    const int64_t used_us = rb_helper_get_cpu_us(&reel->helper) - reel->heard_cpu_us;
    if (reel->graces >= GRACES_MAX || used_us >= (int64_t)reel->hang_ms * 1000 / 2 ||
        !rb_helper_is_runnable(&reel->helper)) {
        return false;
    }
    reel->graces++;
    reel->heard_us = g_get_monotonic_time();
    return true;
}

static int ms_until_hung(RbReel *reel)
{
    if (!is_busy(reel)) {
        return -1;
    }
    const int64_t silent = (g_get_monotonic_time() - reel->heard_us) / 1000;
    /* Sorting the index of a long film takes a while without a packet between. */
    const bool indexing =
        reel->phase == PHASE_INDEXING || reel->phase == PHASE_LOADING || reel->growing;
    const int limit_ms = indexing ? 3 * reel->hang_ms : reel->hang_ms;
    return silent >= limit_ms ? 0 : (int)(limit_ms - silent) + 1;
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
        rb_reel_hear_all(reel);
    }
}

static void finish(RbReel *reel)
{
    rb_helper_end(&reel->helper);
    rb_play_stop(reel, false);
    while (reel->n_asking > 0) {
        rb_ring_give_back(reel->asking[0].ring, (int)reel->asking[0].ask.slot);
        rb_reel_forget_asking(reel, 0);
    }
    rb_ring_unref(reel->ring);
    g_clear_error(&reel->final_error);
    g_clear_pointer(&reel->index_bytes, g_byte_array_unref);
    rb_film_file_close(&reel->file);
}

void *rb_reel_run(void *data)
{
    RbReel *reel = data;
    reel->hang_ms = atomic_load(&hang_ms);
    open_file(reel);
    while (!is_closing(reel)) {
        if (reel->phase == PHASE_DOWN) {
            rb_reel_start_helper(reel);
        }
        serve(reel);
        const int play_ms = reel->phase == PHASE_READY ? rb_play_step(reel) : -1;
        const int grow_ms = rb_reel_watch_growth(reel);
        if (ms_until_hung(reel) == 0 && !give_more_time(reel)) {
            rb_reel_helper_died(reel);
        }
        call_wake(reel);
        if (reel->phase != PHASE_DOWN) {
            sleep_until_something(reel,
                                  sooner(sooner(play_ms, grow_ms), ms_until_hung(reel)));
        }
    }
    finish(reel);
    return NULL;
}
