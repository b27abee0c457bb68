/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/base/rational.h"
#include "rb/film/facts.h"
#include "rb/film/picture.h"

/* An open film. All work happens on the reel's own thread and in its helper process; no call
 * here waits for either. What happened is fetched with rb_reel_poll() on a thread of the
 * caller's choice; `wake` says that there is something to fetch. Every function may be called
 * from any thread.
 *
 *     reel = rb_reel_open(path, wake_main_loop, window);
 *     rb_reel_request_frame(reel, 0, NULL);      // may be asked at once: served when ready
 *     …in the idle that wake_main_loop() queued:
 *     RbReelEvent event;
 *     while (rb_reel_poll(reel, &event) != RB_REEL_NOTHING) {
 *         …
 *         rb_reel_event_clear(&event);
 *     }
 */
typedef struct RbReel RbReel;

/* At most this many pictures of one reel exist at a time. */
#define RB_REEL_SLOTS 12

/* Called on the reel's thread when there is news. It may only wake somebody; it must not call
 * into the reel and must not block. Not called any more once rb_reel_close() has returned. */
typedef void (*RbReelWake)(void *data);

/* path: a file name in the system's encoding. wake: (nullable). data: borrowed until
 * rb_reel_close(). A film that cannot be opened becomes a final RB_REEL_ERROR event.
 * Returns: (transfer full): never NULL. */
RbReel *rb_reel_open(const char *path, RbReelWake wake, void *data);

/* Ends the reel without waiting; its thread and helper finish by themselves. Pictures that
 * callers hold stay valid. NULL is allowed. */
void rb_reel_close(RbReel *reel);

/* Waits until the threads of all closed reels have ended; false if that took longer. For the
 * end of a program and of a test. */
bool rb_reel_wait_all_closed(int timeout_ms);

typedef enum {
    RB_REEL_NOTHING,  /* no more news */
    RB_REEL_OPENED,   /* the facts are there: rb_reel_dup_facts() */
    RB_REEL_PROGRESS, /* of the index: `fraction` 0 to 1, negative when not known */
    RB_REEL_READY,    /* the index is there: every frame can be asked for by number */
    RB_REEL_GREW, /* more frames: rb_reel_get_frames_so_far() before READY; after it, of a
                     recording that goes on, rb_reel_get_frame_count() */
    RB_REEL_FRAME,   /* `picture`; of a request or of playback, see `serial` */
    RB_REEL_STOPPED, /* playback ended: the last frame was shown, or rb_reel_pause() */
    RB_REEL_ERROR,   /* `error`; `final`: nothing more will come from this reel */
} RbReelEventKind;

typedef struct {
    RbReelEventKind kind;
    uint64_t serial;    /* of the request or playback it answers; 0 if none */
    int64_t ordinal;    /* ERROR: the number it is about, of rb_reel_want(); else -1 */
    double fraction;    /* PROGRESS */
    RbPicture *picture; /* FRAME: owned by the event */
    GError *error;      /* ERROR: owned by the event */
    bool final;         /* ERROR */
    int64_t dropped;    /* FRAME and STOPPED of playback: frames left out so far */
} RbReelEvent;

/* The oldest news, or RB_REEL_NOTHING. event: (out): to be cleared. Answers to requests that
 * were replaced by a newer one are never handed out. */
RbReelEventKind rb_reel_poll(RbReel *reel, RbReelEvent *event);
/* Drops what the event owns; to keep the picture or the error, steal it first. */
void rb_reel_event_clear(RbReelEvent *event);

/* Returns: (transfer full) (nullable): NULL until RB_REEL_OPENED. */
RbFilmFacts *rb_reel_dup_facts(RbReel *reel);
/* Number of frames; -1 until RB_REEL_READY. */
int64_t rb_reel_get_frame_count(RbReel *reel);
/* Number of frames that can be asked for already; 0 until something can. Before RB_REEL_READY
 * these are the first frames of the film, and their numbers are approximate: the rest of the film
 * may show that there is something odd about it. A request for a later frame waits. Afterwards
 * the same as the count. */
int64_t rb_reel_get_frames_so_far(RbReel *reel);
/* Version of the index that numbers the frames; a mark stores it (RbMark.index_version). */
int rb_reel_get_index_version(void);
/* pts and time base of a frame; false while it is not indexed or when there is no such frame. */
bool rb_reel_get_frame_time(RbReel *reel, int64_t ordinal, RbTime *time);
/* The same of a field: frame n has 2n and 2n + 1, the second half a frame later; in ticks of half
 * the film's own, by which a moment of a field is known (rb_mark_is_of_field()). Of a film whose
 * frames hold one moment both are the frame's. */
bool rb_reel_get_field_time(RbReel *reel, int64_t field, RbTime *time);
/* Time from the first frame to this one on the film's own clock, jumps of the recorder's clock
 * taken out: for showing and for pacing. -1 when there is no such frame. */
int64_t rb_reel_get_frame_us(RbReel *reel, int64_t ordinal);
/* The frame shown at `us` after the first frame: the last one that starts at or before it.
 * Clamped to the film; -1 until RB_REEL_READY. */
int64_t rb_reel_find_frame_at(RbReel *reel, int64_t us);
/* The frame whose pts is exactly `time`; -1 if none. For marks of an older index. */
int64_t rb_reel_find_frame_with_time(RbReel *reel, RbTime time);
/* True if its frames hold two moments each, one a field, as far as the first one tells; false
 * until RB_REEL_OPENED. */
bool rb_reel_is_interlaced(RbReel *reel);
/* True if decoding can start at this frame. */
bool rb_reel_is_key_frame(RbReel *reel, int64_t ordinal);

typedef struct {
    RbPixels pixels; /* RB_PIXELS_BGRA when zero */
    int max_width;   /* above 0: made smaller, shape kept, to fit */
    int max_height;
    bool as_coded; /* not turned upright */
    bool stretch;  /* exactly max_width by max_height, whatever the shape */
    /* Numbers are of fields, in the order of time: frame n has 2n and 2n + 1. A frame of two
     * moments is shown as the one asked for, its missing lines made from the frames around it
     * (rb_picture_is_whole() tells); any other frame is whole under both numbers. As planes of
     * half the size it needs none made: each field has half of the lines. */
    bool by_field;
    bool alone; /* frames around it will not be asked for: decode as little as it takes */
} RbFrameOptions;

/* Asks for one frame; replaces any request not answered yet and stops playback. The answer is
 * a FRAME or an ERROR event with the returned serial. options: (nullable), copied. */
uint64_t rb_reel_request_frame(RbReel *reel, int64_t ordinal,
                               const RbFrameOptions *options);

/* At most this many frames are wanted at a time. */
#define RB_REEL_WANTED_MAX 6

/* Says which frames are wanted now, the most urgent first; replaces the list before, any request
 * and playback. A frame that is in both lists is not asked twice. Each comes as a FRAME or an
 * ERROR event with serial 0, in any order; the frame that was being made when the list changed
 * comes too, so that a picture is seen while a pointer moves. n: 0 wants nothing more.
 * options: (nullable), copied. */
void rb_reel_want(RbReel *reel, const int64_t *ordinals, int n,
                  const RbFrameOptions *options);

/* What the helper should hold decoded, so that a step costs no decoding. It decodes what is
 * missing whenever nothing is asked of it. */
typedef struct {
    int64_t near;   /* the frame shown */
    int64_t first;  /* of the span to hold */
    int64_t last;   /* first > last: nothing is decoded ahead */
    int direction;  /* the way the film runs: -1, 0 standing, 1 */
    int64_t budget; /* bytes of decoded frames; 0: as before */
    /* For pictures of half the size or less, in less time: frames that nothing else is decoded
     * from are not smoothed at the borders of their blocks. No other frame differs by it. */
    bool rough;
} RbReelKeep;
void rb_reel_keep(RbReel *reel, const RbReelKeep *keep);

/* Plays forward from a frame at the film's own speed, each frame delivered when it is due; a
 * frame that would come too late is left out and counted. Replaces requests as above. */
uint64_t rb_reel_play(RbReel *reel, int64_t from, const RbFrameOptions *options);
/* Stops playback on the frame last delivered. */
void rb_reel_pause(RbReel *reel);

/* What happened inside, for `film check` and for tests. */
typedef struct {
    int64_t helper_deaths; /* crashes and hangs survived */
    int64_t helper_pid;    /* 0 when none runs */
    int64_t landings;      /* seeks */
    int64_t decoded;       /* packets that the running helper decoded for frames */
    int64_t retries;       /* seeks that had to be made again from an earlier key frame */
    int64_t buffers;       /* frame-sized ones made by the helper that runs */
    bool index_from_cache;
} RbReelStatus;
void rb_reel_get_status(RbReel *reel, RbReelStatus *status);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbReel, rb_reel_close)
