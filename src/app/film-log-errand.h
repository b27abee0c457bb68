/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/work/logging.h"

#include "errands.h"

/* One clip logged on a film by hand, on the store thread: see errands.h. */
typedef struct {
    RbGameId game;
    RbSnapId snap; /* of a proposal; 0: whichever the film lacks when it is written */
    RbLogSpan span;
    RbMark marks[RB_MARK_END + 1];
} RbLogClipAsk;

/* film: borrowed. Freed with g_free(). */
RbLogClipAsk *rb_log_clip_ask_new(RbGameId game, const RbFilm *film, RbMoment first,
                                  RbMoment last);
void rb_log_clip_ask_mark(RbLogClipAsk *ask, RbMarkKind kind, RbMoment moment);
/* RbLogClipAsk → RbWordsAnswer. */
void *rb_errand_log_clip(RbStoreSide *side, void *ask, RbCancel *cancel,
                         RbProgress *progress, GError **error);
