/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>
#include <sys/stat.h>

#include "growth.h"
#include "reel-private.h"

/* A recording that goes on while it is open: its new frames appear. On the reel's thread. */

/* How often a file is looked at, the longest pause between two writes of a recorder, and for
 * how long after its last change a file is looked at often. */
#define LOOK_MS 1000
#define PAUSE_MS 3000
#define RECENT_MS 30000

static atomic_int look_ms = LOOK_MS;
static atomic_int pause_ms = PAUSE_MS;

void rb_growth_set_ms(int look, int pause)
{
    atomic_store(&look_ms, look);
    atomic_store(&pause_ms, pause);
}

/* Containers that are written from front to back, without a list of frames at the end. An MP4
 * counts when it has been seen to grow. */
static bool grows_by_itself(const RbReel *reel)
{
    static const char *const names[] = { "mpegts", "mpeg", "matroska,webm",
                                         "flv",    "h264", "hevc" };
    for (size_t i = 0; i < G_N_ELEMENTS(names); i++) {
        if (strcmp(reel->tell_facts.container, names[i]) == 0) {
            return true;
        }
    }
    return false;
}

static bool look(const RbReel *reel, int64_t *bytes, int64_t *changed_ns)
{
    struct stat facts;
    if (fstat(reel->file.fd, &facts) != 0) {
        return false;
    }
    *bytes = facts.st_size;
    *changed_ns = (int64_t)facts.st_mtim.tv_sec * 1000000000 + facts.st_mtim.tv_nsec;
    return true;
}

static int64_t ms_since(int64_t changed_ns)
{
    return g_get_real_time() / 1000 - changed_ns / 1000000;
}

int rb_reel_watch_growth(RbReel *reel)
{
    const int every_ms = atomic_load(&look_ms);
    int64_t bytes = 0;
    int64_t changed_ns = 0;
    if (every_ms <= 0 || reel->phase != PHASE_READY || reel->growing) {
        return -1;
    }
    const int64_t now = g_get_monotonic_time();
    if (now < reel->look_us) {
        return (int)((reel->look_us - now) / 1000) + 1;
    }
    if (!look(reel, &bytes, &changed_ns)) {
        return -1;
    }
    const bool recent = ms_since(changed_ns) < RECENT_MS;
    const int wait_ms = recent ? every_ms : 10 * every_ms;
    reel->look_us = now + (int64_t)wait_ms * 1000;
    const bool ended = reel->unsettled && ms_since(changed_ns) > atomic_load(&pause_ms);
    if (bytes > reel->file.bytes || ended) {
        reel->growing = true;
        reel->unsettled = !ended;
        reel->grown_bytes = bytes;
        reel->grown_ns = changed_ns;
        g_byte_array_set_size(reel->index_bytes, 0);
        if (!rb_reel_say_plain(reel, RB_ASK_GROWN, reel->unsettled)) {
            rb_reel_helper_died(reel);
        }
    }
    return wait_ms;
}

bool rb_reel_is_written(const RbReel *reel)
{
    const int every_ms = atomic_load(&look_ms);
    int64_t bytes = 0;
    int64_t changed_ns = 0;
    return every_ms > 0 && look(reel, &bytes, &changed_ns) &&
           (bytes > reel->file.bytes ||
            (grows_by_itself(reel) && ms_since(changed_ns) <= atomic_load(&pause_ms)));
}

bool rb_reel_is_half_written(const RbReel *reel, int64_t ordinal)
{
    const RbIndex *index = reel->own_index;
    return reel->whole && index->frames[ordinal].packet + 2 >= index->n_packets &&
           rb_reel_is_written(reel);
}

void rb_reel_has_grown(RbReel *reel)
{
    reel->growing = false;
    reel->file.bytes = reel->grown_bytes;
    reel->file.changed_ns = reel->grown_ns;
    /* An index of a file in motion is not worth keeping: its fingerprint changes with it. */
}
