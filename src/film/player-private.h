/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/player.h"

#include "pace.h"
#include "picture-private.h"
#include "prefetch.h"

/* The player in four: commands and the table of states (player.c), what a run shows when
 * (player-run.c), what is asked of the film (player-ask.c), and what it says of itself
 * (player-shown.c). Used by player*.c only. */

#define DUE_MAX RB_REEL_WANTED_MAX

/* A film that frames can be asked of: the film itself, or its small copy. */
typedef struct {
    const RbFilmPlayerSource *film; /* borrowed, NULL: none */
    void *data;                     /* borrowed */
    bool ready;
    int64_t asked[DUE_MAX]; /* the list told last */
    int n_asked;
    bool ask_again; /* the list must be told even if it is the same */
    RbReelKeep keep;
    int64_t frame_bytes;
} Source;

/* A frame of a run, and when. */
typedef struct {
    RbPaceFrame at;
    RbPicture *picture; /* owned, nullable: it has not come */
    bool small;
} Due;

typedef struct {
    RbPace pace;
    bool clock_runs; /* else the first picture sets it going */
    Due due[DUE_MAX];
    int n_due;
    RbPaceFrame tail; /* planned last */
    bool ended;       /* nothing comes after it */
    int speed;        /* asked for */
    bool from_small;
    /* lately: does decoding keep up? */
    int tried;
    int missed;
    int bad_trials; /* in a row */
} Run;

/* Inside, the player counts positions: frames, or, where `per` is 2, fields. Frame n has
 * positions n * per and, of interlaced film, the one after it. */
struct RbFilmPlayer {
    int per; /* positions a frame; 1 until the film is ready */
    Source full;
    Source small;
    RbFilmPlayerState state;
    RbFrameOptions options;
    int64_t first; /* these four are frames */
    int64_t last;
    int64_t a;
    int64_t b;
    bool loop;
    int64_t budget;

    int64_t wanted;     /* position; while waiting, a frame; -1: none yet */
    int wish;           /* speed asked for while waiting */
    RbPicture *picture; /* owned, nullable */
    bool exact;
    bool small_shown;
    bool unavailable; /* the wanted frame cannot be had */
    int64_t early;    /* frame asked for before the film was ready; -1: none */
    int64_t moved_us; /* when `wanted` changed last */
    bool moved;       /* since the last tick */
    int held;         /* direction of the held key */
    int64_t held_us;  /* of its last step */
    Run run;
    RbFilmPlayerCounts counts;

    const RbFilmPlayer *leader; /* borrowed, nullable */
    int64_t offset_us;

    GError *fault; /* owned, nullable */
    double progress;
    unsigned news;
};

/* player.c */
int64_t rb_film_player_clamp(const RbFilmPlayer *player, int64_t position);
/* The last position of a frame. */
int64_t rb_film_player_end_of(const RbFilmPlayer *player, int64_t frame);
/* When a position appears on the film's clock; -1: there is none such. */
int64_t rb_film_player_us(const RbFilmPlayer *player, int64_t position);
int64_t rb_film_player_find_at(const RbFilmPlayer *player, int64_t us);
int64_t rb_film_player_position(const RbFilmPlayer *player, const RbPicture *picture);
/* Where a run begins and ends: the span inside the limits inside the film. */
int64_t rb_film_player_span_first(const RbFilmPlayer *player);
int64_t rb_film_player_span_last(const RbFilmPlayer *player);
void rb_film_player_take_picture(RbFilmPlayer *player, RbPicture *picture, bool exact,
                                 bool small);
/* Where to stand. */
void rb_film_player_aim(RbFilmPlayer *player, int64_t position);
void rb_film_player_run_ended(RbFilmPlayer *player);

/* player-run.c */
void rb_film_player_run_start(RbFilmPlayer *player, int eighths, int64_t from);
void rb_film_player_run_clear(RbFilmPlayer *player);
/* A picture for a frame that is due: takes it, or drops what nobody waits for. */
void rb_film_player_run_take(RbFilmPlayer *player, RbPicture *picture, bool small);
void rb_film_player_run_lost(RbFilmPlayer *player, int64_t position);
/* Shows what is due. Returns when something is due next. */
int64_t rb_film_player_run_tick(RbFilmPlayer *player, int64_t now_us);
/* Follows the leader's run instead of starting one; false where the own clip has no frame of
 * the leader's moment. */
bool rb_film_player_run_follow(RbFilmPlayer *player, int64_t now_us);

/* player-ask.c */
void rb_film_player_poll(RbFilmPlayer *player);
void rb_film_player_ask(RbFilmPlayer *player, int64_t now_us);
/* When a standing player asks for the full picture behind the small one; INT64_MAX: never. */
int64_t rb_film_player_rest_us(const RbFilmPlayer *player);
/* player.c, for player-ask.c */
void rb_film_player_film_ready(RbFilmPlayer *player);
void rb_film_player_film_failed(RbFilmPlayer *player);
