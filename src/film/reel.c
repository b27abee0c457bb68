/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* eventfd */
#include "rb/film/reel.h"

#include <errno.h>
#include <string.h>
#include <sys/eventfd.h>
#include <unistd.h>

#include "reel-private.h"

/* Threads of closed reels that have not ended yet. */
static struct {
    RbMutex lock;
    int n;
} running = { .lock = { PTHREAD_MUTEX_INITIALIZER } };

static void count_running(int by)
{
    rb_mutex_lock(&running.lock);
    running.n += by;
    rb_mutex_unlock(&running.lock);
}

static int get_running(void)
{
    rb_mutex_lock(&running.lock);
    const int n = running.n;
    rb_mutex_unlock(&running.lock);
    return n;
}

bool rb_reel_wait_all_closed(int timeout_ms)
{
    const int64_t until = g_get_monotonic_time() + (int64_t)timeout_ms * 1000;
    while (get_running() > 0 && g_get_monotonic_time() < until) {
        g_usleep(2000); /* once in a program's life: not worth a condition */
    }
    return get_running() == 0;
}

static void *run_and_count(void *data)
{
    pthread_detach(pthread_self());
    RbReel *reel = data;
    rb_reel_run(reel);
    rb_reel_unref(reel);
    count_running(-1);
    return NULL;
}

static void rouse(const RbReel *reel)
{
    const uint64_t one = 1;
    const ssize_t written = write(reel->wake_fd, &one, sizeof one);
    (void)written; /* a full counter has woken the thread already */
}

RbReel *rb_reel_open(const char *path, RbReelWake wake, void *data)
{
    RbReel *reel = g_new0(RbReel, 1);
    atomic_init(&reel->refs, 2);
    reel->path = g_strdup(path);
    reel->name = rb_film_name(path);
    reel->wake_fd = eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK);
    if (reel->wake_fd < 0) {
        g_error("no descriptor for a film: %s", g_strerror(errno));
    }
    rb_mutex_init(&reel->wake_lock);
    rb_mutex_init(&reel->lock);
    rb_cond_init(&reel->news);
    reel->wake = wake;
    reel->wake_data = data;
    g_queue_init(&reel->events);
    reel->file.fd = -1;
    reel->helper = (RbHelper)RB_HELPER_NONE;
    reel->death_frame = -1;
    reel->indexes = g_ptr_array_new_with_free_func((GDestroyNotify)rb_index_free);
    reel->bad_frames = g_hash_table_new_full(g_int64_hash, g_int64_equal, g_free, NULL);
    count_running(1);
    rb_thread_start("reel", run_and_count, reel);
    return reel;
}

static void free_event(void *data)
{
    rb_reel_event_clear(data);
    g_free(data);
}

void rb_reel_unref(RbReel *reel)
{
    if (atomic_fetch_sub_explicit(&reel->refs, 1, memory_order_acq_rel) != 1) {
        return;
    }
    g_queue_clear_full(&reel->events, free_event);
    rb_film_facts_free(reel->facts);
    g_ptr_array_unref(reel->indexes);
    g_hash_table_unref(reel->bad_frames);
    rb_cond_clear(&reel->news);
    rb_mutex_clear(&reel->lock);
    rb_mutex_clear(&reel->wake_lock);
    close(reel->wake_fd);
    g_free(reel->path);
    g_free(reel->name);
    g_free(reel);
}

void rb_reel_close(RbReel *reel)
{
    if (reel == NULL) {
        return;
    }
    rb_mutex_lock(&reel->wake_lock);
    reel->wake = NULL;
    rb_mutex_unlock(&reel->wake_lock);
    rb_mutex_lock(&reel->lock);
    reel->closing = true;
    rb_mutex_unlock(&reel->lock);
    rouse(reel);
    rb_reel_unref(reel);
}

void rb_reel_add_event(RbReel *reel, RbReelEvent *event)
{
    RbReelEvent *kept = g_new(RbReelEvent, 1);
    *kept = *event;
    rb_mutex_lock(&reel->lock);
    g_queue_push_tail(&reel->events, kept);
    rb_cond_broadcast(&reel->news);
    rb_mutex_unlock(&reel->lock);
    reel->news_made = true;
}

void rb_reel_add_error(RbReel *reel, uint64_t serial, GError *error, bool final)
{
    RbReelEvent event = { .kind = RB_REEL_ERROR,
                          .serial = serial,
                          .ordinal = -1,
                          .error = error,
                          .final = final };
    rb_reel_add_event(reel, &event);
}

bool rb_reel_add_picture(RbReel *reel, uint64_t serial, RbPicture *picture,
                         int64_t dropped)
{
    RbPicture *replaced = NULL;
    rb_mutex_lock(&reel->lock);
    for (GList *link = reel->events.head; link != NULL; link = link->next) {
        RbReelEvent *event = link->data;
        if (event->kind == RB_REEL_FRAME && event->serial == serial) {
            replaced = event->picture;
            event->picture = picture;
            event->dropped = dropped + 1;
            break;
        }
    }
    rb_mutex_unlock(&reel->lock);
    if (replaced != NULL) {
        rb_picture_unref(replaced);
        return true;
    }
    RbReelEvent event = {
        .kind = RB_REEL_FRAME, .serial = serial, .picture = picture, .dropped = dropped
    };
    rb_reel_add_event(reel, &event);
    return false;
}

/* Answers to an older wish than the newest are nobody's. */
static bool is_stale(const RbReel *reel, const RbReelEvent *event)
{
    return event->serial != 0 && event->serial != reel->last_serial;
}

RbReelEventKind rb_reel_poll(RbReel *reel, RbReelEvent *event)
{
    memset(event, 0, sizeof *event);
    for (;;) {
        rb_mutex_lock(&reel->lock);
        RbReelEvent *next = g_queue_pop_head(&reel->events);
        const bool stale = next != NULL && is_stale(reel, next);
        rb_mutex_unlock(&reel->lock);
        if (next == NULL) {
            return RB_REEL_NOTHING;
        }
        if (stale) {
            free_event(next);
            continue;
        }
        *event = *next;
        g_free(next);
        return event->kind;
    }
}

void rb_reel_event_clear(RbReelEvent *event)
{
    g_clear_pointer(&event->picture, rb_picture_unref);
    g_clear_error(&event->error);
}

static uint64_t set_want(RbReel *reel, WantKind kind, int64_t ordinal,
                         const RbFrameOptions *options)
{
    rb_mutex_lock(&reel->lock);
    const uint64_t serial = ++reel->last_serial;
    reel->want = (Want){ .kind = kind, .serial = serial, .ordinal = ordinal };
    if (options != NULL) {
        reel->want.options = *options;
    }
    reel->want_is_new = true;
    reel->pause = false;
    rb_mutex_unlock(&reel->lock);
    rouse(reel);
    return serial;
}

uint64_t rb_reel_request_frame(RbReel *reel, int64_t ordinal,
                               const RbFrameOptions *options)
{
    return set_want(reel, WANT_FRAME, ordinal, options);
}

void rb_reel_want(RbReel *reel, const int64_t *ordinals, int n,
                  const RbFrameOptions *options)
{
    g_assert(n >= 0 && n <= RB_REEL_WANTED_MAX);
    rb_mutex_lock(&reel->lock);
    reel->want = (Want){ .kind = WANT_LIST, .serial = ++reel->last_serial, .n_list = n };
    for (int i = 0; i < n; i++) {
        reel->want.list[i] = ordinals[i];
    }
    if (options != NULL) {
        reel->want.options = *options;
    }
    reel->want_is_new = true;
    reel->pause = false;
    rb_mutex_unlock(&reel->lock);
    rouse(reel);
}

void rb_reel_keep(RbReel *reel, const RbReelKeep *keep)
{
    rb_mutex_lock(&reel->lock);
    reel->keep = *keep;
    reel->keep_is_new = true;
    rb_mutex_unlock(&reel->lock);
    rouse(reel);
}

uint64_t rb_reel_play(RbReel *reel, int64_t from, const RbFrameOptions *options)
{
    return set_want(reel, WANT_PLAY, from, options);
}

void rb_reel_pause(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    reel->pause = true;
    rb_mutex_unlock(&reel->lock);
    rouse(reel);
}

RbFilmFacts *rb_reel_dup_facts(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    RbFilmFacts *facts = reel->facts != NULL ? rb_film_facts_copy(reel->facts) : NULL;
    rb_mutex_unlock(&reel->lock);
    return facts;
}

/* An index does not change and lives as long as the reel, so it may be read without the lock. */
static const RbIndex *get_index(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    const RbIndex *index = reel->index;
    rb_mutex_unlock(&reel->lock);
    return index;
}

static const RbIndex *get_index_so_far(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    const RbIndex *index = reel->so_far;
    rb_mutex_unlock(&reel->lock);
    return index;
}

static const RbIndex *index_with(RbReel *reel, int64_t ordinal)
{
    const RbIndex *index = get_index_so_far(reel);
    return index != NULL && ordinal >= 0 && ordinal < index->n_frames ? index : NULL;
}

int64_t rb_reel_get_frame_count(RbReel *reel)
{
    const RbIndex *index = get_index(reel);
    return index != NULL ? index->n_frames : -1;
}

int64_t rb_reel_get_frames_so_far(RbReel *reel)
{
    const RbIndex *index = get_index_so_far(reel);
    return index != NULL ? index->n_frames : 0;
}

int rb_reel_get_index_version(void)
{
    return RB_INDEX_VERSION;
}

bool rb_reel_get_frame_time(RbReel *reel, int64_t ordinal, RbTime *time)
{
    const RbIndex *index = index_with(reel, ordinal);
    if (index == NULL) {
        return false;
    }
    *time = (RbTime){ index->frames[ordinal].pts, index->base };
    return true;
}

bool rb_reel_get_field_time(RbReel *reel, int64_t field, RbTime *time)
{
    const int64_t ordinal = field / 2;
    RbTime next;
    if (!rb_reel_get_frame_time(reel, ordinal, time)) {
        return false;
    }
    if (!rb_reel_is_interlaced(reel) || time->base.den > G_MAXINT32 / 2) {
        return true;
    }
    int64_t length = 0;
    if (field % 2 == 0) {
        length = 0;
    } else if (rb_reel_get_frame_time(reel, ordinal + 1, &next)) {
        length = next.ticks - time->ticks;
    } else if (ordinal > 0 && rb_reel_get_frame_time(reel, ordinal - 1, &next)) {
        length = time->ticks - next.ticks; /* the last lasts as long as the one before */
    }
    /* Half a tick may come of it: ticks of half the length, of the first field too, so that both
     * are known as moments of fields. */
    *time = (RbTime){ 2 * time->ticks + MAX(length, 0),
                      { time->base.num, 2 * time->base.den } };
    return true;
}

int64_t rb_reel_get_frame_us(RbReel *reel, int64_t ordinal)
{
    const RbIndex *index = index_with(reel, ordinal);
    return index != NULL ? index->us[ordinal] : -1;
}

int64_t rb_reel_find_frame_at(RbReel *reel, int64_t us)
{
    const RbIndex *index = get_index(reel);
    return index != NULL ? rb_index_find_at(index, us) : -1;
}

int64_t rb_reel_find_frame_with_time(RbReel *reel, RbTime time)
{
    const RbIndex *index = get_index(reel);
    int64_t pts = 0;
    if (index == NULL || !rb_rational_is_valid(time.base) ||
        !rb_time_rescale(time, index->base, &pts, NULL)) {
        return -1;
    }
    const RbTime back = { pts, index->base };
    return rb_time_compare(back, time) == 0 ? rb_index_find_pts(index, pts) : -1;
}

bool rb_reel_is_interlaced(RbReel *reel)
{
    rb_mutex_lock(&reel->lock);
    const bool interlaced = reel->facts != NULL && reel->facts->interlaced;
    rb_mutex_unlock(&reel->lock);
    return interlaced;
}

bool rb_reel_is_key_frame(RbReel *reel, int64_t ordinal)
{
    const RbIndex *index = index_with(reel, ordinal);
    return index != NULL && rb_index_is_key(index, ordinal);
}

void rb_reel_get_status(RbReel *reel, RbReelStatus *status)
{
    rb_mutex_lock(&reel->lock);
    *status = reel->status;
    rb_mutex_unlock(&reel->lock);
}
