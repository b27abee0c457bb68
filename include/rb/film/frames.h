/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/cancel.h"
#include "rb/base/jobs.h"
#include "rb/film/reel.h"

/* Waiting conveniences over a reel for the command line, worker threads and tests. Never for
 * the window's main thread. A reel used with these must not be polled elsewhere at the same
 * time. timeout_ms: 0 or less waits without limit. */

/* Opens and waits until every frame can be asked for. cancel, progress: (nullable). */
RbReel *rb_reel_open_wait(const char *path, RbCancel *cancel, int timeout_ms,
                          RbProgress *progress, GError **error);

/* Waits for RB_REEL_READY of a reel that is already open. */
bool rb_reel_wait_ready(RbReel *reel, RbCancel *cancel, int timeout_ms,
                        RbProgress *progress, GError **error);

/* Asks for a frame and waits for it. options: (nullable). Returns: (transfer full). */
RbPicture *rb_reel_wait_frame(RbReel *reel, int64_t ordinal,
                              const RbFrameOptions *options, RbCancel *cancel,
                              int timeout_ms, GError **error);

/* Waits for the next event of any kind; false on cancel and time-out with `error` set. */
bool rb_reel_wait(RbReel *reel, RbReelEvent *event, RbCancel *cancel, int timeout_ms,
                  GError **error);
