/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/player.h"

#include <stdlib.h>

#include "player-private.h"

/* A held key steps no faster than this: about what an eye can follow. */
#define HOLD_US 33000

typedef enum {
    ON_READY, /* frames can be asked for */
    ON_FAILED,
    ON_SHOW,
    ON_STEP,
    ON_HOLD,
    ON_LET_GO,
    ON_SCRUB,
    ON_SCRUB_END,
    ON_RUN,
    ON_STOP,
    ON_RUN_END, /* a run came to its end */
} Event;

typedef enum {
    DO_NOTHING,
    DO_NOTE,     /* keep the frame as a wish */
    DO_NOTE_RUN, /* keep the speed as a wish */
    DO_BEGIN,    /* serve the wishes */
    DO_AIM,      /* want this frame */
    DO_STAY,     /* want the frame that is due */
    DO_STEP,     /* want the frame beside the wanted one */
    DO_RUN,
} Action;

/* Every state and event that means something; others change nothing. */
static const struct {
    RbFilmPlayerState state;
    Event event;
    RbFilmPlayerState next;
    Action action;
} rows[] = {
    { RB_FILM_PLAYER_WAITING, ON_READY, RB_FILM_PLAYER_STANDING, DO_BEGIN },
    { RB_FILM_PLAYER_WAITING, ON_FAILED, RB_FILM_PLAYER_FAILED, DO_NOTHING },
    { RB_FILM_PLAYER_WAITING, ON_SHOW, RB_FILM_PLAYER_WAITING, DO_NOTE },
    { RB_FILM_PLAYER_WAITING, ON_SCRUB, RB_FILM_PLAYER_WAITING, DO_NOTE },
    { RB_FILM_PLAYER_WAITING, ON_RUN, RB_FILM_PLAYER_WAITING, DO_NOTE_RUN },
    { RB_FILM_PLAYER_WAITING, ON_STOP, RB_FILM_PLAYER_WAITING, DO_NOTE_RUN },

    { RB_FILM_PLAYER_STANDING, ON_FAILED, RB_FILM_PLAYER_FAILED, DO_NOTHING },
    { RB_FILM_PLAYER_STANDING, ON_SHOW, RB_FILM_PLAYER_STANDING, DO_AIM },
    { RB_FILM_PLAYER_STANDING, ON_STEP, RB_FILM_PLAYER_STANDING, DO_STEP },
    { RB_FILM_PLAYER_STANDING, ON_HOLD, RB_FILM_PLAYER_STEPPING, DO_NOTHING },
    { RB_FILM_PLAYER_STANDING, ON_SCRUB, RB_FILM_PLAYER_SCRUBBING, DO_AIM },
    { RB_FILM_PLAYER_STANDING, ON_RUN, RB_FILM_PLAYER_RUNNING, DO_RUN },

    { RB_FILM_PLAYER_STEPPING, ON_FAILED, RB_FILM_PLAYER_FAILED, DO_NOTHING },
    { RB_FILM_PLAYER_STEPPING, ON_SHOW, RB_FILM_PLAYER_STANDING, DO_AIM },
    { RB_FILM_PLAYER_STEPPING, ON_STEP, RB_FILM_PLAYER_STANDING, DO_STEP },
    { RB_FILM_PLAYER_STEPPING, ON_LET_GO, RB_FILM_PLAYER_STANDING, DO_NOTHING },
    { RB_FILM_PLAYER_STEPPING, ON_SCRUB, RB_FILM_PLAYER_SCRUBBING, DO_AIM },
    { RB_FILM_PLAYER_STEPPING, ON_RUN, RB_FILM_PLAYER_RUNNING, DO_RUN },
    { RB_FILM_PLAYER_STEPPING, ON_STOP, RB_FILM_PLAYER_STANDING, DO_NOTHING },

    { RB_FILM_PLAYER_SCRUBBING, ON_FAILED, RB_FILM_PLAYER_FAILED, DO_NOTHING },
    { RB_FILM_PLAYER_SCRUBBING, ON_SHOW, RB_FILM_PLAYER_STANDING, DO_AIM },
    { RB_FILM_PLAYER_SCRUBBING, ON_STEP, RB_FILM_PLAYER_STANDING, DO_STEP },
    { RB_FILM_PLAYER_SCRUBBING, ON_HOLD, RB_FILM_PLAYER_STEPPING, DO_NOTHING },
    { RB_FILM_PLAYER_SCRUBBING, ON_SCRUB, RB_FILM_PLAYER_SCRUBBING, DO_AIM },
    { RB_FILM_PLAYER_SCRUBBING, ON_SCRUB_END, RB_FILM_PLAYER_STANDING, DO_NOTHING },
    { RB_FILM_PLAYER_SCRUBBING, ON_RUN, RB_FILM_PLAYER_RUNNING, DO_RUN },

    { RB_FILM_PLAYER_RUNNING, ON_FAILED, RB_FILM_PLAYER_FAILED, DO_NOTHING },
    { RB_FILM_PLAYER_RUNNING, ON_SHOW, RB_FILM_PLAYER_STANDING, DO_AIM },
    { RB_FILM_PLAYER_RUNNING, ON_STEP, RB_FILM_PLAYER_STANDING, DO_STEP },
    { RB_FILM_PLAYER_RUNNING, ON_HOLD, RB_FILM_PLAYER_STEPPING, DO_STAY },
    { RB_FILM_PLAYER_RUNNING, ON_SCRUB, RB_FILM_PLAYER_SCRUBBING, DO_AIM },
    { RB_FILM_PLAYER_RUNNING, ON_RUN, RB_FILM_PLAYER_RUNNING, DO_RUN },
    { RB_FILM_PLAYER_RUNNING, ON_STOP, RB_FILM_PLAYER_STANDING, DO_STAY },
    { RB_FILM_PLAYER_RUNNING, ON_RUN_END, RB_FILM_PLAYER_STANDING, DO_STAY },
};

static void set_state(RbFilmPlayer *player, RbFilmPlayerState state)
{
    if (player->state == RB_FILM_PLAYER_RUNNING && state != RB_FILM_PLAYER_RUNNING) {
        rb_film_player_run_clear(player);
    }
    if (player->state != state) {
        player->state = state;
        player->news |= RB_FILM_PLAYER_NEWS_STATE;
    }
}

static void go(RbFilmPlayer *player, Event event, int64_t value);

/* A run that begins at its end begins again from the other one. */
static int64_t run_start_frame(const RbFilmPlayer *player, int eighths)
{
    const int64_t from = player->wanted;
    if (eighths > 0 && from >= rb_film_player_span_last(player)) {
        return rb_film_player_span_first(player);
    }
    if (eighths < 0 && from <= rb_film_player_span_first(player) && player->loop) {
        return rb_film_player_span_last(player);
    }
    return from;
}

/* A frame of one moment is left in one step, whichever of its positions is shown. */
static int64_t step_from(const RbFilmPlayer *player, int64_t steps)
{
    const int64_t frame = player->wanted / player->per;
    if (player->per == 1 || !player->exact || !rb_picture_is_whole(player->picture)) {
        return player->wanted;
    }
    return steps > 0 ? rb_film_player_end_of(player, frame) : frame * player->per;
}

static void act(RbFilmPlayer *player, Action action, int64_t value)
{
    switch (action) {
    case DO_NOTHING:
        return;
    case DO_NOTE:
        player->wanted = value;
        return;
    case DO_NOTE_RUN:
        player->wish = (int)value;
        return;
    case DO_BEGIN:
        rb_film_player_aim(player, MAX(player->wanted, player->first) * player->per);
        if (player->wish != 0) {
            const int wish = player->wish;
            player->wish = 0;
            go(player, ON_RUN, wish);
        }
        return;
    case DO_AIM:
        rb_film_player_aim(player, value);
        return;
    case DO_STAY:
        rb_film_player_aim(player, player->wanted);
        return;
    case DO_STEP:
        rb_film_player_aim(player, step_from(player, value) + value);
        return;
    case DO_RUN:
        rb_film_player_run_start(player, (int)value, run_start_frame(player, (int)value));
        player->news |= RB_FILM_PLAYER_NEWS_STATE;
        return;
    }
}

static void go(RbFilmPlayer *player, Event event, int64_t value)
{
    for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
        if (rows[i].state == player->state && rows[i].event == event) {
            set_state(player, rows[i].next);
            act(player, rows[i].action, value);
            return;
        }
    }
}

int64_t rb_film_player_end_of(const RbFilmPlayer *player, int64_t frame)
{
    return frame < INT64_MAX / 4 ? (frame + 1) * player->per - 1 : INT64_MAX;
}

int64_t rb_film_player_us(const RbFilmPlayer *player, int64_t position)
{
    const Source *full = &player->full;
    const int64_t frame = position / player->per;
    const int64_t us = full->film->frame_us(full->data, frame);
    if (us < 0 || position % player->per == 0) {
        return us;
    }
    /* The second field stands half way to the next frame. */
    const int64_t next = full->film->frame_us(full->data, frame + 1);
    const int64_t before = frame > 0 ? full->film->frame_us(full->data, frame - 1) : us;
    return us + (next >= 0 ? next - us : us - before) / 2;
}

int64_t rb_film_player_find_at(const RbFilmPlayer *player, int64_t us)
{
    const int64_t first = player->full.film->find_at(player->full.data, us) * player->per;
    const bool second =
        player->per == 2 && first >= 0 && rb_film_player_us(player, first + 1) <= us;
    return first + second;
}

int64_t rb_film_player_position(const RbFilmPlayer *player, const RbPicture *picture)
{
    return rb_picture_position(picture, player->per);
}

int64_t rb_film_player_clamp(const RbFilmPlayer *player, int64_t position)
{
    const int64_t count =
        player->full.ready ? player->full.film->count(player->full.data) : -1;
    const int64_t last_frame = count > 0 ? MIN(player->last, count - 1) : player->last;
    const int64_t last = rb_film_player_end_of(player, last_frame);
    return MAX(MIN(position, last), MIN(player->first * player->per, last));
}

int64_t rb_film_player_span_first(const RbFilmPlayer *player)
{
    const int64_t frame = player->a <= player->b ? player->a : player->first;
    return rb_film_player_clamp(player, frame * player->per);
}

int64_t rb_film_player_span_last(const RbFilmPlayer *player)
{
    const int64_t frame = player->a <= player->b ? player->b : player->last;
    return rb_film_player_clamp(player, rb_film_player_end_of(player, frame));
}

void rb_film_player_take_picture(RbFilmPlayer *player, RbPicture *picture, bool exact,
                                 bool small)
{
    rb_picture_unref(player->picture);
    player->picture = picture;
    player->exact = exact;
    player->small_shown = small;
    player->news |= RB_FILM_PLAYER_NEWS_PICTURE;
}

void rb_film_player_aim(RbFilmPlayer *player, int64_t position)
{
    player->wanted = rb_film_player_clamp(player, position);
    player->moved = true;
    player->unavailable = false;
    const bool exact = player->picture != NULL &&
                       !rb_picture_is_approximate(player->picture) &&
                       rb_film_player_position(player, player->picture) == player->wanted;
    if (exact != player->exact) {
        player->exact = exact;
        player->news |=
            RB_FILM_PLAYER_NEWS_PICTURE; /* another mark on the same picture */
    }
}

void rb_film_player_run_ended(RbFilmPlayer *player)
{
    go(player, ON_RUN_END, 0);
}

void rb_film_player_film_ready(RbFilmPlayer *player)
{
    const Source *full = &player->full;
    const bool fields =
        full->film->is_interlaced != NULL && full->film->is_interlaced(full->data);
    player->per = fields ? 2 : 1;
    player->full.ready = true;
    go(player, ON_READY, 0);
}

void rb_film_player_film_failed(RbFilmPlayer *player)
{
    go(player, ON_FAILED, 0);
}

/* ---- what a key held down does */

static int64_t hold_tick(RbFilmPlayer *player, int64_t now_us)
{
    const bool seen = player->exact || player->unavailable;
    const int64_t next = player->held_us + HOLD_US;
    if (!seen) {
        return INT64_MAX; /* the picture wakes us: steps never queue up */
    }
    if (now_us < next) {
        return next;
    }
    player->held_us = now_us;
    rb_film_player_aim(player, step_from(player, player->held) + player->held);
    return now_us + HOLD_US;
}

/* A follower that does not run stands where the leader stands. */
static void follow(RbFilmPlayer *player, int64_t now_us)
{
    const RbFilmPlayer *leader = player->leader;
    if (player->state == RB_FILM_PLAYER_WAITING ||
        player->state == RB_FILM_PLAYER_FAILED || !leader->full.ready ||
        leader->wanted < 0) {
        return;
    }
    if (leader->state == RB_FILM_PLAYER_RUNNING && leader->run.clock_runs &&
        rb_film_player_run_follow(player, now_us)) {
        set_state(player, RB_FILM_PLAYER_RUNNING);
        return;
    }
    /* Half a millisecond over, so that rounding never lands on the frame before. */
    const int64_t us =
        rb_film_player_us(leader, leader->wanted) + player->offset_us + 500;
    const int64_t position =
        rb_film_player_clamp(player, rb_film_player_find_at(player, us));
    set_state(player, leader->state == RB_FILM_PLAYER_SCRUBBING
                          ? RB_FILM_PLAYER_SCRUBBING
                          : RB_FILM_PLAYER_STANDING);
    if (position != player->wanted) {
        rb_film_player_aim(player, position);
    }
}

unsigned rb_film_player_tick(RbFilmPlayer *player, int64_t now_us, int64_t *next_us)
{
    int64_t next = INT64_MAX;
    rb_film_player_poll(player);
    if (player->leader != NULL) {
        follow(player, now_us);
    }
    if (player->state == RB_FILM_PLAYER_RUNNING) {
        next = rb_film_player_run_tick(player, now_us);
    }
    if (player->state == RB_FILM_PLAYER_STEPPING) {
        next = hold_tick(player, now_us);
    }
    if (player->moved) {
        player->moved = false;
        player->moved_us = now_us;
    }
    rb_film_player_ask(player, now_us);
    if (player->state == RB_FILM_PLAYER_STANDING) {
        const int64_t rest = rb_film_player_rest_us(player);
        next = rest > now_us ? rest : next;
    }
    if (next_us != NULL) {
        *next_us = next;
    }
    const unsigned news = player->news;
    player->news = 0;
    return news;
}

void rb_film_player_show(RbFilmPlayer *player, int64_t ordinal)
{
    go(player, ON_SHOW, ordinal * player->per);
}

void rb_film_player_step(RbFilmPlayer *player, int64_t steps)
{
    go(player, ON_STEP, steps);
}

void rb_film_player_hold(RbFilmPlayer *player, int direction, int64_t now_us)
{
    if (player->state == RB_FILM_PLAYER_STEPPING && player->held == direction) {
        return; /* it is held already: a key that repeats asks for nothing more */
    }
    go(player, ON_HOLD, 0);
    if (player->state == RB_FILM_PLAYER_STEPPING) {
        player->held = direction;
        player->held_us = now_us - HOLD_US;
    }
}

void rb_film_player_let_go(RbFilmPlayer *player)
{
    go(player, ON_LET_GO, 0);
}

void rb_film_player_scrub(RbFilmPlayer *player, int64_t ordinal)
{
    go(player, ON_SCRUB, ordinal * player->per);
}

void rb_film_player_scrub_end(RbFilmPlayer *player)
{
    go(player, ON_SCRUB_END, 0);
}

void rb_film_player_run(RbFilmPlayer *player, int eighths)
{
    eighths = CLAMP(eighths, -RB_FILM_PLAYER_FASTEST, RB_FILM_PLAYER_FASTEST);
    go(player, eighths != 0 ? ON_RUN : ON_STOP, eighths);
}

void rb_film_player_shuttle(RbFilmPlayer *player, int direction)
{
    static const int speeds[] = { -64, -32, -16, -8, -4, -2, -1, 1, 2, 4, 8, 16, 32, 64 };
    const int n = G_N_ELEMENTS(speeds);
    const int now = rb_film_player_get_speed(player);
    if (now == 0) {
        rb_film_player_run(player, direction * RB_FILM_PLAYER_NORMAL);
        return;
    }
    int i = 0;
    while (i < n - 1 && speeds[i] < now) {
        i++;
    }
    const int next = speeds[CLAMP(i + direction, 0, n - 1)];
    if (next != now) {
        rb_film_player_run(player, next);
    }
}

void rb_film_player_follow(RbFilmPlayer *player, const RbFilmPlayer *leader,
                           int64_t offset_us)
{
    player->leader = leader;
    player->offset_us = offset_us;
    if (leader == NULL && player->state == RB_FILM_PLAYER_RUNNING) {
        go(player, ON_STOP, 0);
    }
}

int64_t rb_film_player_default_budget(void)
{
    return rb_prefetch_default_budget();
}

/* ---- making and setting */

RbFilmPlayer *rb_film_player_new_for(const RbFilmPlayerSource *film, void *data)
{
    RbFilmPlayer *player = g_new0(RbFilmPlayer, 1);
    player->per = 1;
    player->full.film = film;
    player->full.data = data;
    player->last = INT64_MAX;
    player->b = -1;
    player->wanted = -1;
    player->early = -1;
    player->progress = -1;
    player->budget = rb_prefetch_default_budget();
    player->full.frame_bytes = 1920 * 1080 * 3 / 2;
    player->full.keep.last = -1;
    player->small.keep.last = -1;
    if (film->count(data) >= 0) {
        rb_film_player_film_ready(player);
    }
    return player;
}

void rb_film_player_free(RbFilmPlayer *player)
{
    if (player == NULL) {
        return;
    }
    rb_film_player_run_clear(player);
    rb_picture_unref(player->picture);
    g_clear_error(&player->fault);
    g_free(player);
}

void rb_film_player_set_small_for(RbFilmPlayer *player, const RbFilmPlayerSource *film,
                                  void *data)
{
    player->small = (Source){ .film = film, .data = data, .keep = { .last = -1 } };
    player->small.frame_bytes = 960 * 540 * 3 / 2;
    player->small.ready = film != NULL && film->count(data) >= 0;
}

void rb_film_player_set_options(RbFilmPlayer *player, const RbFrameOptions *options)
{
    player->options = *options;
    player->full.ask_again = true;
    player->small.ask_again = true;
}

void rb_film_player_set_budget(RbFilmPlayer *player, int64_t budget, int64_t frame_bytes)
{
    player->budget = budget > 0 ? budget : rb_prefetch_default_budget();
    player->full.frame_bytes = frame_bytes;
}

void rb_film_player_set_limits(RbFilmPlayer *player, int64_t first, int64_t last)
{
    player->first = MAX(first, 0);
    player->last = MAX(last, player->first);
    if (player->state == RB_FILM_PLAYER_RUNNING) {
        go(player, ON_RUN, player->run.speed);
    }
}

void rb_film_player_set_span(RbFilmPlayer *player, int64_t a, int64_t b)
{
    player->a = a;
    player->b = b;
    if (player->state == RB_FILM_PLAYER_RUNNING) {
        go(player, ON_RUN, player->run.speed);
    }
}

void rb_film_player_set_loop(RbFilmPlayer *player, bool loop)
{
    player->loop = loop;
    if (player->state == RB_FILM_PLAYER_RUNNING) {
        go(player, ON_RUN, player->run.speed);
    }
}
