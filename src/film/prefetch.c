/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "prefetch.h"

#include <unistd.h>

/* Decoded ahead of a film that runs forward or stands: enough for a hiccup. The rest of the
 * memory keeps what was shown, for the way back. */
#define AHEAD 60
/* Below this many frames there is nothing to plan with. */
#define LEAST 12
/* Frames that the helper itself needs room for. */
#define SPARE 4
/* What a helper's cache can list. */
#define MOST 1000

int64_t rb_prefetch_default_budget(void)
{
    const long pages = sysconf(_SC_PHYS_PAGES);
    const long page = sysconf(_SC_PAGESIZE);
    const int64_t most = INT64_C(1) << 30;
    return pages > 0 && page > 0 ? MIN((int64_t)pages * page / 4, most) : most / 4;
}

static int64_t capacity(const RbPrefetchAsk *ask)
{
    const int64_t fit = ask->budget / MAX(ask->frame_bytes, 1) - SPARE;
    return CLAMP(fit, LEAST, MOST);
}

/* The earliest key frame from `from` on and before `to`; `from` if there is none. */
static int64_t key_from(const RbPrefetchAsk *ask, int64_t from, int64_t to)
{
    for (int64_t i = from; i < to; i++) {
        if (ask->is_key(ask->data, i)) {
            return i;
        }
    }
    return from;
}

static void plan_span(const RbPrefetchAsk *ask, RbReelKeep *next)
{
    const int64_t room = capacity(ask);
    const int64_t ahead = ask->direction < 0 ? 2 : MIN(AHEAD, room / 3);
    next->last = MIN(ask->frame + ahead, ask->last);
    next->first = MAX(next->last - room + 1, ask->first);
    if (ask->direction < 0 && next->first > ask->first) {
        /* Frames before a key cost their whole group: only half the room is given to that. */
        next->first = key_from(ask, next->first, next->first + room / 2);
    }
}

static bool is_well(const RbPrefetchAsk *ask, const RbReelKeep *now)
{
    if (now->budget != ask->budget || now->direction != ask->direction ||
        ask->frame < now->first || ask->frame > now->last) {
        return false;
    }
    const int64_t room = capacity(ask);
    if (ask->direction <
        0) { /* the chunk is worth moving only when half of it was shown */
        return now->first <= ask->first || ask->frame - now->first >= room / 2;
    }
    const int64_t ahead = MIN(AHEAD, room / 3);
    return now->last >= ask->last || now->last - ask->frame >= ahead / 2;
}

bool rb_prefetch_plan(const RbPrefetchAsk *ask, const RbReelKeep *now, RbReelKeep *next)
{
    if (is_well(ask, now)) {
        return false;
    }
    *next = (RbReelKeep){ .near = ask->frame,
                          .direction = ask->direction,
                          .budget = ask->budget };
    plan_span(ask, next);
    /* Where groups are short the span moves by a group at a time, not by a frame. */
    return next->budget != now->budget || next->direction != now->direction ||
           next->first != now->first || ABS(next->last - now->last) >= AHEAD / 4;
}
