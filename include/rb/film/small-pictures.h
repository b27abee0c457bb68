/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/player.h"

/* Small pictures made in advance: a copy of a span of a film, at most RB_SMALL_WIDTH wide and
 * every frame a key frame, so that any of its frames is there at once. It has exactly the
 * frames of the span, in order: frame n of the film is picture n - first; of interlaced film
 * it has each field, in the order of time. It lies in the cache
 * folder under the film's fingerprint and the span, and is never taken for the film. */

#define RB_SMALL_WIDTH 960
#define RB_SMALL_HEIGHT 960

/* Makes the copy unless it is there: blocking, a worker's job. Decoding and encoding run in
 * helpers, as ever. Older copies are removed until all together are within `budget` bytes; a
 * copy that alone would not be is refused. cancel, progress: (nullable).
 * Returns: (transfer full): its path. */
char *rb_small_make(const char *film, int64_t first, int64_t last, int64_t budget,
                    RbCancel *cancel, RbProgress *progress, GError **error);

/* Whether a span is shown noticeably better from a copy: the film is wider than 1280, or more
 * than 120 frames lie between two keys. Others decode as fast as a screen shows them. */
bool rb_small_is_needed(RbReel *reel, int64_t first, int64_t last);
/* As rb_small_make(), for a span that nobody looks at yet: only where it is needed, and of the
 * part that the film has. Returns "" where there is nothing to make. */
char *rb_small_make_ahead(const char *film, int64_t first, int64_t last, int64_t budget,
                          RbCancel *cancel, GError **error);

/* Removes the copies used longest ago until all are within `budget`, but never `keep`.
 * keep: (nullable): a path. Returns the bytes left. */
int64_t rb_small_prune(int64_t budget, const char *keep);

/* A copy as a player's second source. Opened like a reel; `wake` as there. by_field: the film is
 * interlaced. */
typedef struct RbSmallFilm RbSmallFilm;
RbSmallFilm *rb_small_film_open(const char *path, int64_t first, int64_t last,
                                int64_t film_frames, bool by_field, RbReelWake wake,
                                void *data);
void rb_small_film_close(RbSmallFilm *small); /* NULL is allowed */
/* small: borrowed, NULL: none. Only for limits inside its span. */
void rb_film_player_use_small(RbFilmPlayer *player, RbSmallFilm *small);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbSmallFilm, rb_small_film_close)
