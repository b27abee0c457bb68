/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <stdatomic.h>

#include "rb/base/thread.h"
#include "rb/film/reel.h"

#include "film-file.h"
#include "helper-process.h"
#include "index-cache.h"
#include "index.h"
#include "picture-private.h"
#include "protocol.h"
#include "ring.h"

/* The reel in two halves: what every thread may touch under the lock, and what belongs to the
 * reel's own thread. Used by reel*.c only. */

typedef enum { WANT_NOTHING, WANT_FRAME, WANT_PLAY, WANT_LIST } WantKind;

/* The newest wish of the caller. */
typedef struct {
    WantKind kind;
    uint64_t serial;
    int64_t ordinal;
    RbFrameOptions options;
    /* WANT_LIST */
    int64_t list[RB_REEL_WANTED_MAX];
    int n_list;
    unsigned answered; /* bit i: list[i] came */
} Want;

/* A frame asked of the helper and not answered yet. */
typedef struct {
    RbAskFrame ask;
    RbRing *ring;    /* owned reference: where its slot is */
    uint64_t serial; /* of the wish it serves */
    bool dropped;    /* the answer will not be used */
    bool listed;     /* of a list: its answer is used whatever is wanted by then */
} Asking;

#define ASKING_MAX 4

/* What the helper is doing for us. The thread's only state; see phase_rows in reel-hear.c. */
typedef enum {
    PHASE_DOWN,     /* no helper runs */
    PHASE_OPENING,  /* waiting for the facts */
    PHASE_INDEXING, /* waiting for the index */
    PHASE_LOADING,  /* a helper is reading an index that we have */
    PHASE_READY,
    PHASE_OVER, /* a final error was told */
} Phase;

typedef struct {
    bool active;
    uint64_t serial;
    int64_t next; /* to be asked */
    RbFrameOptions options;
    bool clock_runs;
    int64_t clock_us; /* monotonic, when film time base_us was shown */
    int64_t base_us;
    int64_t shown; /* last frame handed over; -1: none yet */
    int64_t dropped;
    RbPicture *ready[ASKING_MAX]; /* owned, in order */
    int n_ready;
} Play;

struct RbReel {
    atomic_int refs; /* the caller's and the thread's */
    char *path;      /* immutable */
    char *name;      /* immutable: for sentences */
    int wake_fd;     /* immutable: eventfd that ends the thread's sleep */

    RbMutex
        wake_lock; /* held while `wake` is called, so that it cannot be called after close */
    RbReelWake wake;
    void *wake_data;

    RbMutex lock;
    RbCond news; /* for the waiting conveniences */
    /* protected by lock: */
    GQueue events; /* of owned RbReelEvent * */
    bool closing;
    uint64_t last_serial;
    Want want;
    bool want_is_new;
    bool pause;
    RbReelKeep keep;
    bool keep_is_new;   /* to be told to the helper that runs, or to the next */
    RbFilmFacts *facts; /* owned */
    const RbIndex
        *index; /* whole; immutable and kept as long as the reel: the thread's */
    const RbIndex *so_far; /* the same or, before, of the first part */
    RbReelStatus status;

    /* the reel's thread only: */
    RbFilmFile file;
    RbIndexKey key;
    RbHelper helper;
    Phase phase;
    GError *final_error;  /* owned: what PHASE_OVER is about */
    int64_t heard_us;     /* monotonic: last sign of life */
    int64_t heard_cpu_us; /* what the helper had used of the processor by then */
    int graces;           /* how often since it was given more time */
    int hang_ms;
    RbTellFacts tell_facts;
    RbIndex *own_index;  /* borrowed from `indexes`: the newest */
    GPtrArray *indexes;  /* owned, of owned RbIndex *: any thread may be reading one */
    bool whole;          /* own_index is */
    bool serving;        /* the helper has own_index and the ring */
    int64_t look_us;     /* monotonic: when to see whether the file has grown */
    bool growing;        /* the helper was told that it has */
    bool unsettled;      /* the index leaves out an end that may not be the end */
    int64_t grown_bytes; /* and how large it was then */
    int64_t grown_ns;    /* and its time of change */
    GByteArray *index_bytes; /* owned: arriving, then kept for helpers to come */
    RbIndexDoubts doubts;
    RbRing *ring; /* owned */
    Asking asking[ASKING_MAX];
    int n_asking;
    uint64_t last_ask;
    Want current; /* being served; WANT_NOTHING when done */
    Play play;
    int deaths_in_row;   /* without one answer between them */
    int unread;          /* frames in a row that could not be read */
    int64_t death_frame; /* frame that was being made when the helper last died; -1 */
    int deaths_on_frame;
    GHashTable *bad_frames; /* of ordinals as int64_t *, owned: killed three helpers */
    bool news_made;         /* an event was queued since the last wake */
};

#define DEATHS_MAX 3

/* The frame of a number wanted: with `by_field` two numbers have the same. */
static inline int64_t rb_want_frame(int64_t number, const RbFrameOptions *options)
{
    return options->by_field ? number / 2 : number;
}

/* The number that was wanted. */
static inline int64_t rb_asking_number(const Asking *asking)
{
    const RbAskFrame *ask = &asking->ask;
    return ask->field > 0 ? ask->ordinal * 2 + ask->field - 1 : ask->ordinal;
}

/* reel.c, under no lock: */
void rb_reel_add_event(RbReel *reel, RbReelEvent *event); /* takes what it owns */
void rb_reel_add_error(RbReel *reel, uint64_t serial, GError *error,
                       bool final); /* takes it */
/* Hands over a picture; replaces one of the same playback that nobody fetched. Returns true if
 * it did. */
bool rb_reel_add_picture(RbReel *reel, uint64_t serial, RbPicture *picture,
                         int64_t dropped);
void rb_reel_unref(RbReel *reel);

/* reel-thread.c: */
void *rb_reel_run(void *data);

/* reel-helper.c, on the thread: */
void rb_reel_fail(RbReel *reel, GError *error); /* the end; takes the error */
void rb_reel_start_helper(RbReel *reel);
/* Ends what is left of the helper, says so once, and clears the way for another. */
void rb_reel_helper_died(RbReel *reel);
/* fd: sent along, -1 for none. False: the helper is gone or hung. */
bool rb_reel_say(RbReel *reel, const void *message, size_t bytes, int fd);
bool rb_reel_say_plain(RbReel *reel, RbAskKind kind, uint64_t serial);
bool rb_reel_say_ring(RbReel *reel);
bool rb_reel_make_ring(RbReel *reel, size_t slot_bytes);
bool rb_reel_say_keep(RbReel *reel);
/* Asks for a frame; false if there is no slot or no room now. number: see rb_want_frame(). */
bool rb_reel_ask(RbReel *reel, uint64_t serial, int64_t number,
                 const RbFrameOptions *options);
void rb_reel_forget_asking(RbReel *reel, int i);
void rb_reel_drop_asking(RbReel *reel);
/* Drops what is asked and not in the list, but for the frame being made. */
void rb_reel_drop_unlisted(RbReel *reel, const Want *want);
bool rb_reel_is_listed_ask(const Asking *asking, const Want *want, int64_t number);

/* True if frames can be asked for. */
bool rb_reel_is_serving(const RbReel *reel);

/* reel-grow.c, on the thread: */
/* Tells the helper when the file has grown. Returns ms until it must run again, -1: not by
 * time. */
int rb_reel_watch_growth(RbReel *reel);
/* True if the file may be being written now. */
bool rb_reel_is_written(const RbReel *reel);
/* True if the frame may be half written: the last of a recording that may still go on. */
bool rb_reel_is_half_written(const RbReel *reel, int64_t ordinal);
/* The index that answers RB_ASK_GROWN is there. */
void rb_reel_has_grown(RbReel *reel);

/* reel-want.c, on the thread: */
void rb_want_serve(RbReel *reel);
/* What was asked of a list came (or, picture NULL, cannot be had: takes the error). */
void rb_want_take(RbReel *reel, const Asking *asking, RbPicture *picture, GError *error);
/* The sentence of a frame that has stopped too many helpers, and of one outside the film; NULL
 * if the frame may be asked for. Returns: (transfer full) (nullable). */
/* True if the part of the film that is indexed so far ends before it. */
bool rb_want_must_wait(const RbReel *reel, int64_t ordinal);
GError *rb_want_refusal(RbReel *reel, int64_t ordinal);

/* reel-hear.c, on the thread: */
void rb_reel_hear_all(RbReel *reel);
/* The helper said something, or begins to have work. */
void rb_reel_note_life(RbReel *reel);

/* reel-play.c, on the thread: */
void rb_play_start(RbReel *reel, const Want *want);
void rb_play_stop(RbReel *reel, bool tell);
/* Takes a picture that was asked for playback. */
void rb_play_take(RbReel *reel, RbPicture *picture);
/* A frame that cannot be had is passed over. */
void rb_play_pass_over(RbReel *reel);
/* Asks ahead and hands over what is due. Returns ms until it must run again, -1: not by time. */
int rb_play_step(RbReel *reel);
