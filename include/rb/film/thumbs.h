/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"

/* Thumbnails: one small picture for a span of a film, to be shown in lists. Made by a helper as
 * all pictures are, and kept in the cache folder under the film's fingerprint and the frame, so
 * that a list is there at once the next time, even when the film is not. */

#define RB_THUMB_WIDTH 160
#define RB_THUMB_HEIGHT 120

/* Immutable; safe from any thread. */
typedef struct {
    int width; /* at most RB_THUMB_WIDTH by RB_THUMB_HEIGHT, the film's shape */
    int height;
    GBytes *bgra; /* owned: 4 bytes a pixel as RB_PIXELS_BGRA, rows without padding */
} RbThumb;

void rb_thumb_free(RbThumb *thumb); /* NULL is allowed */

typedef struct {
    const char *film; /* borrowed: a path */
    int64_t frame;    /* that stands for the span: its snap */
} RbThumbAsk;

/* One is there, on the calling thread. thumb: taken over; NULL: it cannot be had. */
typedef void (*RbThumbTake)(void *data, int i, RbThumb *thumb);

/* 64 MiB. */
int64_t rb_thumbs_default_budget(void);

/* Makes or fetches n of them: blocking, a worker's job. Those of a film that stand together in
 * `asks` open it once, and only if one of them is not kept yet. Kept ones used longest ago are
 * removed until all are within `budget` bytes. A film or frame that gives none is passed over;
 * the first such error is returned when all the others are done. cancel, progress: (nullable). */
bool rb_thumbs_make(const RbThumbAsk *asks, int n, int64_t budget, RbThumbTake take,
                    void *data, RbCancel *cancel, RbProgress *progress, GError **error);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbThumb, rb_thumb_free)
