/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <stdbool.h>
#include <stdint.h>

#include "rb/film/picture.h"
#include "rb/film/reel.h"

/* Runs a film: any speed in both directions, steps, a held key, a moving pointer, loops. It
 * decides which frame is due, asks for it in time, and says what is to be seen now. It has no
 * thread, no clock and no window: the caller says what time it is, and calls rb_film_player_tick()
 * when it was told to or when the film's wake was called. All calls on one thread; none waits.
 *
 * An interlaced film is run and stepped by its fields: two moments a frame, each a picture of its
 * own. Frames keep their numbers; where a frame is named, its first moment is meant.
 *
 * The picture shown is either exact (the frame that is wanted, or due) or the nearest one that
 * was ready, and then rb_film_player_is_exact() is false until the wanted one stands. While the
 * film is still being read, the wanted frame is shown as soon as its place has been read, and
 * never as exact: its number is not certain before the end. */
typedef struct RbFilmPlayer RbFilmPlayer;

/* What a player needs of a film; rb_film_player_new() takes a reel. Tests bring their own. */
typedef struct {
    RbReelEventKind (*poll)(void *film, RbReelEvent *event);
    int64_t (*count)(void *film);
    int64_t (*frame_us)(void *film, int64_t ordinal);
    int64_t (*find_at)(void *film, int64_t us);
    bool (*is_key)(void *film, int64_t ordinal);
    void (*want)(void *film, const int64_t *ordinals, int n,
                 const RbFrameOptions *options);
    void (*keep)(void *film, const RbReelKeep *keep);
    /* NULL: no. Then `want` names fields: see RbFrameOptions. */
    bool (*is_interlaced)(void *film);
    /* How many frames can be asked for before `count` is known. NULL: none. */
    int64_t (*so_far)(void *film);
} RbFilmPlayerSource;

/* reel: borrowed for the player's life, and polled by nobody else. */
RbFilmPlayer *rb_film_player_new(RbReel *reel);
/* film, data: borrowed. */
RbFilmPlayer *rb_film_player_new_for(const RbFilmPlayerSource *film, void *data);
void rb_film_player_free(RbFilmPlayer *player); /* NULL is allowed */

/* A small copy of the same film, frame for frame, made in advance: what moves is shown from it,
 * what stands from the film. film, data: borrowed, NULL: none. */
void rb_film_player_set_small_for(RbFilmPlayer *player, const RbFilmPlayerSource *film,
                                  void *data);

typedef enum {
    RB_FILM_PLAYER_WAITING, /* frames cannot be asked for yet; the newest wish is kept */
    RB_FILM_PLAYER_STANDING,
    RB_FILM_PLAYER_STEPPING,  /* a step key is held */
    RB_FILM_PLAYER_SCRUBBING, /* a pointer moves */
    RB_FILM_PLAYER_RUNNING,
    RB_FILM_PLAYER_FAILED, /* nothing will come any more */
} RbFilmPlayerState;

RbFilmPlayerState rb_film_player_get_state(const RbFilmPlayer *player);

/* How frames are to be made. options: copied. */
void rb_film_player_set_options(RbFilmPlayer *player, const RbFrameOptions *options);
/* Memory for decoded frames, bytes; frame_bytes: of one of them. */
void rb_film_player_set_budget(RbFilmPlayer *player, int64_t budget, int64_t frame_bytes);
/* A quarter of the machine's memory, at most 1 GiB. */
int64_t rb_film_player_default_budget(void);
/* Frames outside are never shown: the clip. last: INT64_MAX for no limit. */
void rb_film_player_set_limits(RbFilmPlayer *player, int64_t first, int64_t last);
/* The span that is run through and looped, inside the limits; a > b: the limits. */
void rb_film_player_set_span(RbFilmPlayer *player, int64_t a, int64_t b);
void rb_film_player_set_loop(RbFilmPlayer *player, bool loop);

/* Commands. The newest wins. now_us: the caller's monotonic clock. */
void rb_film_player_show(RbFilmPlayer *player, int64_t ordinal);
/* steps: a frame each; of interlaced film a field, which is the other moment of its frame. */
void rb_film_player_step(RbFilmPlayer *player, int64_t steps);
/* A step key is held down: steps one way, each once the one before was seen. */
void rb_film_player_hold(RbFilmPlayer *player, int direction, int64_t now_us);
void rb_film_player_let_go(RbFilmPlayer *player);
/* A pointer passes over this frame; rb_film_player_scrub_end() when it rests. */
void rb_film_player_scrub(RbFilmPlayer *player, int64_t ordinal);
void rb_film_player_scrub_end(RbFilmPlayer *player);

/* Speeds in eighths of the film's own: 8 is 1x, -4 half speed backward; 0 stops. */
#define RB_FILM_PLAYER_NORMAL 8
#define RB_FILM_PLAYER_FASTEST 64
void rb_film_player_run(RbFilmPlayer *player, int eighths);
/* One press of the shuttle: through the speeds from 8x backward to 8x forward; from a stand
 * the film's own speed. direction: -1, 1. */
void rb_film_player_shuttle(RbFilmPlayer *player, int direction);
/* The speed asked for; 0 when it does not run. */
int rb_film_player_get_speed(const RbFilmPlayer *player);
/* The speed it really runs at: less than asked for when decoding cannot keep up. */
int rb_film_player_get_real_speed(const RbFilmPlayer *player);

/* Film time that is due at `now_us`, loops taken off; false unless the film runs and its clock
 * has begun. For the sound. */
bool rb_film_player_get_clock(const RbFilmPlayer *player, int64_t now_us,
                              int64_t *film_us);

/* Shows what `leader` shows, `offset_us` later on the own film's clock: two angles in lockstep.
 * leader: borrowed, NULL ends it. Commands other than this are the leader's. */
void rb_film_player_follow(RbFilmPlayer *player, const RbFilmPlayer *leader,
                           int64_t offset_us);

typedef enum {
    RB_FILM_PLAYER_NEWS_PICTURE = 1 << 0,
    RB_FILM_PLAYER_NEWS_STATE = 1 << 1, /* state, speed, limits reached */
    RB_FILM_PLAYER_NEWS_FAULT = 1 << 2, /* rb_film_player_get_fault() */
    RB_FILM_PLAYER_NEWS_PROGRESS = 1 << 3,
} RbFilmPlayerNews;

/* Takes in what came, shows what is due, asks for what comes next.
 * Returns: RbFilmPlayerNews since the last tick. next_us: (out): when to call again at the latest,
 * INT64_MAX: not by time. */
unsigned rb_film_player_tick(RbFilmPlayer *player, int64_t now_us, int64_t *next_us);

/* The picture to be seen. Returns: (transfer none) (nullable). */
RbPicture *rb_film_player_get_picture(const RbFilmPlayer *player);
/* Its frame; -1 before the first. */
int64_t rb_film_player_get_shown(const RbFilmPlayer *player);
/* Which of two moments of that frame: 1, 2, or 0 where it has but one. */
int rb_film_player_get_field(const RbFilmPlayer *player);
/* The frame asked for or due; -1 before the first. */
int64_t rb_film_player_get_wanted(const RbFilmPlayer *player);
/* Of the frame wanted: 0 its first field, or the whole of it; 1 its second field. */
int rb_film_player_get_wanted_half(const RbFilmPlayer *player);
bool rb_film_player_is_exact(const RbFilmPlayer *player);
/* True once the small copy can be used. */
bool rb_film_player_has_small(const RbFilmPlayer *player);
/* True while the picture is from the small copy. */
bool rb_film_player_is_small(const RbFilmPlayer *player);
/* What went wrong last, of the film or of a frame. Returns: (transfer none) (nullable). */
const GError *rb_film_player_get_fault(const RbFilmPlayer *player);
double rb_film_player_get_progress(
    const RbFilmPlayer *player); /* of the index; negative: not known */

/* Of the run under way or the last one. */
typedef struct {
    int64_t planned; /* frames that were due */
    int64_t shown;
    int64_t dropped;  /* due and never shown */
    int64_t late;     /* shown, but after their time was over */
    int64_t worst_us; /* longest time that a picture was overdue */
} RbFilmPlayerCounts;
void rb_film_player_get_counts(const RbFilmPlayer *player, RbFilmPlayerCounts *counts);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbFilmPlayer, rb_film_player_free)
