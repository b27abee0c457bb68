/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "player-private.h"

/* What the player asks of its film, and what it does with the answers. */

/* How long a frame stands before the full picture is fetched behind the small one. */
#define REST_US 120000

/* ---- a reel as a player's film */

static RbReelEventKind reel_poll(void *film, RbReelEvent *event)
{
    return rb_reel_poll(film, event);
}

static int64_t reel_count(void *film)
{
    return rb_reel_get_frame_count(film);
}

static int64_t reel_frame_us(void *film, int64_t ordinal)
{
    return rb_reel_get_frame_us(film, ordinal);
}

static int64_t reel_find_at(void *film, int64_t us)
{
    return rb_reel_find_frame_at(film, us);
}

static bool reel_is_key(void *film, int64_t ordinal)
{
    return rb_reel_is_key_frame(film, ordinal);
}

static void reel_want(void *film, const int64_t *ordinals, int n,
                      const RbFrameOptions *options)
{
    rb_reel_want(film, ordinals, n, options);
}

static bool reel_is_interlaced(void *film)
{
    return rb_reel_is_interlaced(film);
}

static int64_t reel_so_far(void *film)
{
    return rb_reel_get_frames_so_far(film);
}

static void reel_keep(void *film, const RbReelKeep *keep)
{
    rb_reel_keep(film, keep);
}

static const RbFilmPlayerSource reel_film = {
    .poll = reel_poll,
    .count = reel_count,
    .frame_us = reel_frame_us,
    .find_at = reel_find_at,
    .is_key = reel_is_key,
    .want = reel_want,
    .keep = reel_keep,
    .is_interlaced = reel_is_interlaced,
    .so_far = reel_so_far,
};

RbFilmPlayer *rb_film_player_new(RbReel *reel)
{
    return rb_film_player_new_for(&reel_film, reel);
}

/* ---- answers */

static bool is_nearer(const RbFilmPlayer *player, int64_t position)
{
    if (player->picture == NULL) {
        return true;
    }
    const int64_t shown = rb_film_player_position(player, player->picture);
    return !player->exact &&
           llabs(position - player->wanted) < llabs(shown - player->wanted);
}

static void take_picture(RbFilmPlayer *player, RbPicture *picture, bool small)
{
    const int64_t position = rb_film_player_position(player, picture);
    if (player->state == RB_FILM_PLAYER_RUNNING) {
        rb_film_player_run_take(player, picture, small);
        return;
    }
    if (player->state == RB_FILM_PLAYER_WAITING) {
        rb_film_player_take_picture(player, picture, false, false);
        return;
    }
    if (position == player->wanted && !rb_picture_is_approximate(picture)) {
        const bool better = !player->exact || player->small_shown || !small;
        if (better) {
            g_clear_error(&player->fault);
            rb_film_player_take_picture(player, picture, true, small);
            return;
        }
    } else if (is_nearer(player, position)) {
        rb_film_player_take_picture(player, picture, false, small);
        return;
    }
    rb_picture_unref(picture);
}

static void take_error(RbFilmPlayer *player, RbReelEvent *event)
{
    g_clear_error(&player->fault);
    player->fault = g_steal_pointer(&event->error);
    player->news |= RB_FILM_PLAYER_NEWS_FAULT;
    if (event->final) {
        rb_film_player_film_failed(player);
    } else if (player->state == RB_FILM_PLAYER_RUNNING) {
        rb_film_player_run_lost(player, event->ordinal);
    } else if (event->ordinal == player->wanted) {
        player->unavailable = true;
    }
}

static void take_event(RbFilmPlayer *player, RbReelEvent *event)
{
    switch (event->kind) {
    case RB_REEL_NOTHING:
    case RB_REEL_OPENED:
    case RB_REEL_STOPPED:
        return;
    case RB_REEL_PROGRESS:
        player->progress = event->fraction;
        player->news |= RB_FILM_PLAYER_NEWS_PROGRESS;
        return;
    case RB_REEL_GREW:
        player->news |= RB_FILM_PLAYER_NEWS_PROGRESS;
        return;
    case RB_REEL_READY:
        rb_film_player_film_ready(player);
        return;
    case RB_REEL_FRAME:
        take_picture(player, g_steal_pointer(&event->picture), false);
        return;
    case RB_REEL_ERROR:
        take_error(player, event);
        return;
    }
}

/* The small copy is never taken for the film: one that does not have the same frames, or that
 * fails, is left alone. */
static void take_small_event(RbFilmPlayer *player, RbReelEvent *event)
{
    Source *small = &player->small;
    if (event->kind == RB_REEL_READY) {
        small->ready =
            player->full.ready && small->film->count(small->data) ==
                                      player->full.film->count(player->full.data);
    } else if (event->kind == RB_REEL_FRAME && small->ready) {
        take_picture(player, g_steal_pointer(&event->picture), true);
    } else if (event->kind == RB_REEL_ERROR && event->final) {
        small->ready = false;
    }
}

static void clear_event(RbReelEvent *event)
{
    g_clear_pointer(&event->picture, rb_picture_unref);
    g_clear_error(&event->error);
}

void rb_film_player_poll(RbFilmPlayer *player)
{
    RbReelEvent event;
    while (player->full.film->poll(player->full.data, &event) != RB_REEL_NOTHING) {
        take_event(player, &event);
        clear_event(&event);
    }
    while (player->small.film != NULL &&
           player->small.film->poll(player->small.data, &event) != RB_REEL_NOTHING) {
        take_small_event(player, &event);
        clear_event(&event);
    }
}

/* ---- requests */

static void tell(RbFilmPlayer *player, Source *source, const int64_t *list, int n)
{
    bool same = n == source->n_asked && !source->ask_again;
    for (int i = 0; i < n && same; i++) {
        same = list[i] == source->asked[i];
    }
    if (source->film == NULL || !source->ready || same) {
        return;
    }
    for (int i = 0; i < n; i++) {
        source->asked[i] = list[i];
    }
    source->n_asked = n;
    source->ask_again = false;
    RbFrameOptions options = player->options;
    options.by_field = player->per == 2;
    source->film->want(source->data, list, n, &options);
}

static void ask_for_run(RbFilmPlayer *player)
{
    Run *run = &player->run;
    int64_t list[DUE_MAX];
    int n = 0;
    for (int i = 0; i < run->n_due; i++) {
        if (run->due[i].picture == NULL) {
            list[n++] = run->due[i].at.frame;
        }
    }
    if (run->from_small && player->small.ready) {
        tell(player, &player->small, list, n);
        tell(player, &player->full, list, 0);
    } else {
        tell(player, &player->full, list, n);
        tell(player, &player->small, list, 0);
    }
}

int64_t rb_film_player_rest_us(const RbFilmPlayer *player)
{
    const bool waits = player->small.ready && player->exact && player->small_shown;
    return waits ? player->moved_us + REST_US : INT64_MAX;
}

static void ask_for_wanted(RbFilmPlayer *player, int64_t now_us)
{
    const bool has = player->exact || player->wanted < 0;
    const bool stands = player->state == RB_FILM_PLAYER_STANDING;
    const bool has_full = has && !player->small_shown;
    if (!player->small.ready) {
        /* A list that was answered stays: telling it again would ask again. */
        tell(player, &player->full, &player->wanted, player->wanted >= 0 ? 1 : 0);
        return;
    }
    tell(player, &player->small, &player->wanted, has ? 0 : 1);
    const bool rests = stands && now_us >= player->moved_us + REST_US;
    tell(player, &player->full, &player->wanted, rests && !has_full ? 1 : 0);
}

/* Before the film is ready: the wanted frame, once its place has been read. */
static void ask_early(RbFilmPlayer *player)
{
    const Source *full = &player->full;
    const int64_t frame = MAX(player->wanted, player->first);
    if (player->state != RB_FILM_PLAYER_WAITING || full->film->so_far == NULL ||
        frame == player->early || frame >= full->film->so_far(full->data)) {
        return;
    }
    player->early = frame;
    full->film->want(full->data, &frame, 1, &player->options);
}

static int direction_of(const RbFilmPlayer *player)
{
    switch (player->state) {
    case RB_FILM_PLAYER_RUNNING:
        return player->run.pace.eighths > 0 ? 1 : -1;
    case RB_FILM_PLAYER_STEPPING:
        return player->held;
    case RB_FILM_PLAYER_WAITING:
    case RB_FILM_PLAYER_STANDING:
    case RB_FILM_PLAYER_SCRUBBING:
    case RB_FILM_PLAYER_FAILED:
        return 0;
    }
    return 0;
}

static void keep_near(RbFilmPlayer *player, Source *source, int64_t budget)
{
    if (!source->ready || source->film->keep == NULL) {
        return;
    }
    const int64_t first = player->first * player->per;
    const int64_t last = rb_film_player_end_of(player, player->last);
    const RbPrefetchAsk ask = { .frame = player->wanted / player->per,
                                .direction = direction_of(player),
                                .first =
                                    rb_film_player_clamp(player, first) / player->per,
                                .last = rb_film_player_clamp(player, last) / player->per,
                                .frame_bytes = source->frame_bytes,
                                .budget = budget,
                                .is_key = source->film->is_key,
                                .data = source->data };
    RbReelKeep next;
    if (rb_prefetch_plan(&ask, &source->keep, &next)) {
        source->keep = next;
        source->film->keep(source->data, &next);
    }
}

/* What is not looked at is not decoded ahead: it would only slow down what is. What there is of it
 * stays. */
static void leave_off(Source *source)
{
    if (source->film->keep != NULL && source->keep.budget > 0 &&
        source->keep.first <= source->keep.last) {
        source->keep.first = 0;
        source->keep.last = -1;
        source->film->keep(source->data, &source->keep);
    }
}

/* With a small copy: only a film that rests, or runs from the film itself. */
static bool needs_full(const RbFilmPlayer *player, int64_t now_us)
{
    return player->state == RB_FILM_PLAYER_RUNNING ? !player->run.from_small
                                                   : now_us >= player->moved_us + REST_US;
}

void rb_film_player_ask(RbFilmPlayer *player, int64_t now_us)
{
    if (player->wanted < 0) {
        return;
    }
    if (!player->full.ready) {
        ask_early(player);
        return;
    }
    if (player->state == RB_FILM_PLAYER_RUNNING) {
        ask_for_run(player);
    } else {
        ask_for_wanted(player, now_us);
    }
    if (player->state == RB_FILM_PLAYER_SCRUBBING) {
        return; /* where it rests is not known yet */
    }
    if (player->small.ready) {
        if (needs_full(player, now_us)) {
            keep_near(player, &player->full, player->budget * 3 / 4);
        } else {
            leave_off(&player->full);
        }
        keep_near(player, &player->small, player->budget / 4);
    } else {
        keep_near(player, &player->full, player->budget);
    }
}
