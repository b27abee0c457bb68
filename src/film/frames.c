/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/film/frames.h"

#include <glib/gi18n-lib.h>

#include "rb/base/error.h"
#include "rb/film/error.h"

#include "reel-private.h"

/* Cancelling has no condition of its own, so it is looked at this often. */
#define LOOK_MS 20

static bool out_of_time(const RbReel *reel, GError **error)
{
    return rb_error_set(
        error, RB_FILM_ERROR, RB_FILM_ERROR_TIMEOUT,
        "\"%s\" did not answer in time; check the drive that it is on and "
        "try again.",
        reel->name);
}

static int64_t deadline_of(int timeout_ms)
{
    return timeout_ms > 0 ? g_get_monotonic_time() + (int64_t)timeout_ms * 1000
                          : INT64_MAX;
}

static bool wait_until(RbReel *reel, RbReelEvent *event, RbCancel *cancel,
                       int64_t deadline, GError **error)
{
    while (rb_reel_poll(reel, event) == RB_REEL_NOTHING) {
        if (!rb_cancel_check(cancel, error)) {
            return false;
        }
        const int64_t now = g_get_monotonic_time();
        if (now >= deadline) {
            return out_of_time(reel, error);
        }
        int64_t until = deadline;
        if (cancel != NULL) {
            until = MIN(until, now + LOOK_MS * 1000);
        }
        rb_mutex_lock(&reel->lock);
        if (g_queue_is_empty(&reel->events)) {
            if (until == INT64_MAX) {
                rb_cond_wait(&reel->news, &reel->lock);
            } else {
                rb_cond_wait_until(&reel->news, &reel->lock, until);
            }
        }
        rb_mutex_unlock(&reel->lock);
    }
    return true;
}

bool rb_reel_wait(RbReel *reel, RbReelEvent *event, RbCancel *cancel, int timeout_ms,
                  GError **error)
{
    return wait_until(reel, event, cancel, deadline_of(timeout_ms), error);
}

/* An error of the film or of the request; a helper that died and was replaced is neither. */
static bool is_final_answer(const RbReelEvent *event, uint64_t serial)
{
    return event->kind == RB_REEL_ERROR && (event->final || event->serial == serial) &&
           (event->final || event->serial != 0);
}

/* The news of opening is no news to one who waited for it. */
static void forget_opening(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    for (GList *link = reel->events.head; link != NULL;) {
        GList *next = link->next;
        const RbReelEventKind kind = ((RbReelEvent *)link->data)->kind;
        if (kind == RB_REEL_OPENED || kind == RB_REEL_PROGRESS || kind == RB_REEL_READY ||
            kind == RB_REEL_GREW) {
            g_free(link->data);
            g_queue_delete_link(&reel->events, link);
        }
        link = next;
    }
    rb_mutex_unlock(&reel->lock);
}

bool rb_reel_wait_ready(RbReel *reel, RbCancel *cancel, int timeout_ms,
                        RbProgress *progress, GError **error)
{
    const int64_t deadline = deadline_of(timeout_ms);
    for (;;) {
        RbReelEvent event;
        if (rb_reel_get_frame_count(reel) >= 0) {
            forget_opening(reel);
            return true;
        }
        if (!wait_until(reel, &event, cancel, deadline, error)) {
            return false;
        }
        if (event.kind == RB_REEL_PROGRESS) {
            rb_progress_set(progress, event.fraction, _("reading the film"));
        }
        if (is_final_answer(&event, 0)) {
            g_propagate_error(error, g_steal_pointer(&event.error));
            return false;
        }
        rb_reel_event_clear(&event);
    }
}

RbReel *rb_reel_open_wait(const char *path, RbCancel *cancel, int timeout_ms,
                          RbProgress *progress, GError **error)
{
    g_autoptr(RbReel) reel = rb_reel_open(path, NULL, NULL);
    if (!rb_reel_wait_ready(reel, cancel, timeout_ms, progress, error)) {
        return NULL;
    }
    return g_steal_pointer(&reel);
}

RbPicture *rb_reel_wait_frame(RbReel *reel, int64_t ordinal,
                              const RbFrameOptions *options, RbCancel *cancel,
                              int timeout_ms, GError **error)
{
    const int64_t deadline = deadline_of(timeout_ms);
    const uint64_t serial = rb_reel_request_frame(reel, ordinal, options);
    for (;;) {
        RbReelEvent event;
        if (!wait_until(reel, &event, cancel, deadline, error)) {
            return NULL;
        }
        if (event.kind == RB_REEL_FRAME && event.serial == serial) {
            return g_steal_pointer(&event.picture);
        }
        if (is_final_answer(&event, serial)) {
            g_propagate_error(error, g_steal_pointer(&event.error));
            return NULL;
        }
        rb_reel_event_clear(&event);
    }
}
