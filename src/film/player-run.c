/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "player-private.h"

/* A run: the frames to be shown next, each with the time at which it is due. Forward, a frame
 * whose time has passed is left out and counted, and the clock goes on. Backward, where frames
 * come a group at a time, the clock waits for the group. A run that has to wait too often, or
 * forward misses half of its frames for long, goes on at half the speed: slow and whole shows
 * more than a picture now and then. */

/* How often the run looks whether decoding keeps up, in frames, and how many of them may be
 * missing at their time. */
#define TRIAL_FRAMES 30
#define TRIAL_MISSED 4
/* Forward something else may keep the machine busy for a moment: so many in a row. */
#define TRIALS_FORWARD 2

/* A follower this far from its leader begins anew. */
#define APART_US 30000

static int64_t start_us(void *data, int64_t position)
{
    return rb_film_player_us(data, position);
}

static int64_t end_us(void *data, int64_t position)
{
    const int64_t next = start_us(data, position + 1);
    if (next >= 0) {
        return next;
    }
    /* The film's last frame stays as long as the one before it. */
    const int64_t start = start_us(data, position);
    return position > 0 ? 2 * start - start_us(data, position - 1) : start + 1;
}

static RbPaceClock clock_of(const RbFilmPlayer *player)
{
    return (RbPaceClock){ start_us, end_us, (void *)(uintptr_t)player };
}

static void drop_due(RbFilmPlayer *player, int n)
{
    Run *run = &player->run;
    for (int i = 0; i < n; i++) {
        rb_picture_unref(run->due[i].picture);
    }
    run->n_due -= n;
    for (int i = 0; i < run->n_due; i++) {
        run->due[i] = run->due[i + n];
    }
}

void rb_film_player_run_clear(RbFilmPlayer *player)
{
    drop_due(player, player->run.n_due);
    player->run.clock_runs = false;
}

static void begin_at(RbFilmPlayer *player, RbPaceFrame at)
{
    Run *run = &player->run;
    rb_film_player_run_clear(player);
    run->ended = false;
    run->tail = at;
    run->n_due = 1;
    run->due[0] = (Due){ .at = at };
    if (player->picture != NULL &&
        rb_film_player_position(player, player->picture) == at.frame) {
        run->due[0].picture = rb_picture_ref(player->picture);
        run->due[0].small = player->small_shown;
    }
    player->full.ask_again = true; /* what came for another wish is not kept */
    player->small.ask_again = true;
}

static bool small_is_better(const RbFilmPlayer *player, int eighths)
{
    return player->small.ready && (eighths < 0 || eighths > RB_FILM_PLAYER_NORMAL);
}

static void set_pace(RbFilmPlayer *player, int eighths)
{
    player->run.pace = (RbPace){ .eighths = eighths,
                                 .first = rb_film_player_span_first(player),
                                 .last = rb_film_player_span_last(player),
                                 .loop = player->loop };
    player->run.from_small = small_is_better(player, eighths);
    player->run.tried = 0;
    player->run.missed = 0;
    player->run.bad_trials = 0;
}

void rb_film_player_run_start(RbFilmPlayer *player, int eighths, int64_t from)
{
    player->run.speed = eighths;
    set_pace(player, eighths);
    player->counts = (RbFilmPlayerCounts){ 0 };
    rb_film_player_aim(player, from);
    const RbPaceClock clock = clock_of(player);
    begin_at(player, rb_pace_begin(&player->run.pace, &clock, player->wanted));
}

void rb_film_player_run_take(RbFilmPlayer *player, RbPicture *picture, bool small)
{
    Run *run = &player->run;
    const int64_t position = rb_film_player_position(player, picture);
    for (int i = 0; i < run->n_due; i++) {
        if (run->due[i].at.frame == position && run->due[i].picture == NULL) {
            run->due[i].picture = picture;
            run->due[i].small = small;
            return;
        }
    }
    rb_picture_unref(picture);
}

void rb_film_player_run_lost(RbFilmPlayer *player, int64_t position)
{
    Run *run = &player->run;
    for (int i = 0; i < run->n_due; i++) {
        if (run->due[i].at.frame == position && run->due[i].picture == NULL) {
            player->counts.planned++;
            player->counts.dropped++;
            for (int k = i; k < run->n_due - 1; k++) {
                run->due[k] = run->due[k + 1];
            }
            run->n_due--;
            return;
        }
    }
}

static void plan_ahead(RbFilmPlayer *player)
{
    Run *run = &player->run;
    const RbPaceClock clock = clock_of(player);
    while (run->n_due < DUE_MAX && !run->ended) {
        if (rb_pace_next(&run->pace, &clock, &run->tail)) {
            run->due[run->n_due++] = (Due){ .at = run->tail };
        } else {
            run->ended = true;
        }
    }
}

static int64_t due_us(const RbFilmPlayer *player, int i)
{
    return rb_pace_due(&player->run.pace, player->run.due[i].at.at_us);
}

static bool is_due(const RbFilmPlayer *player, int i, int64_t now_us)
{
    return i < player->run.n_due && due_us(player, i) <= now_us;
}

static void start_clock(RbFilmPlayer *player, int64_t now_us)
{
    Run *run = &player->run;
    run->clock_runs = true;
    run->pace.start_us = now_us;
    run->pace.base_us = run->due[0].at.at_us;
}

/* Shows entry i; those before it are left out. */
static void show_due(RbFilmPlayer *player, int i, int64_t now_us)
{
    Run *run = &player->run;
    RbFilmPlayerCounts *counts = &player->counts;
    Due *due = &run->due[i];
    const int64_t overdue = now_us - due_us(player, i);
    counts->planned += i + 1;
    counts->dropped += i;
    counts->shown++;
    counts->late += is_due(player, i + 1, now_us);
    counts->worst_us = MAX(counts->worst_us, overdue);
    run->tried += i + 1;
    player->wanted = due->at.frame;
    rb_film_player_take_picture(player, g_steal_pointer(&due->picture), true, due->small);
    drop_due(player, i + 1);
}

/* Backward: nothing that is due has come. The clock waits. */
static void wait_for_group(RbFilmPlayer *player, int64_t now_us)
{
    Run *run = &player->run;
    int overdue = 0;
    while (is_due(player, overdue, now_us)) {
        overdue++;
    }
    player->counts.late += overdue;
    player->counts.worst_us = MAX(player->counts.worst_us, now_us - due_us(player, 0));
    run->missed += overdue;
    run->tried += overdue;
    run->clock_runs = false;
}

/* Forward: all that was planned is overdue. The run goes on from what is due now. */
static void catch_up(RbFilmPlayer *player, int64_t now_us)
{
    Run *run = &player->run;
    const RbPaceClock clock = clock_of(player);
    RbPaceFrame at = run->due[run->n_due - 1].at;
    int skipped = run->n_due;
    while (rb_pace_due(&run->pace, at.at_us) <= now_us &&
           rb_pace_next(&run->pace, &clock, &at)) {
        skipped++;
    }
    player->counts.planned += skipped - 1;
    player->counts.dropped += skipped - 1;
    run->missed += skipped;
    run->tried += skipped;
    drop_due(player, run->n_due);
    run->due[run->n_due++] = (Due){ .at = at };
    run->tail = at;
}

/* True if the trial that ends now says that decoding will not keep up. */
static bool is_too_fast(Run *run)
{
    if (run->pace.eighths < 0) {
        return run->missed >= TRIAL_MISSED;
    }
    run->bad_trials = run->missed * 2 >= run->tried ? run->bad_trials + 1 : 0;
    return run->bad_trials >= TRIALS_FORWARD;
}

/* Too many frames were not there in time: the small copy if there is one, else slower. */
static void look_at_trial(RbFilmPlayer *player)
{
    Run *run = &player->run;
    if (run->tried < TRIAL_FRAMES) {
        return;
    }
    const bool can_use_small = player->small.ready && !run->from_small;
    const bool to_small = can_use_small && run->missed >= TRIAL_MISSED;
    const bool too_fast = is_too_fast(run);
    run->tried = 0;
    run->missed = 0;
    if (player->leader != NULL) {
        return;
    }
    if (to_small) {
        run->from_small = true;
    } else if (too_fast && abs(run->pace.eighths) > 1) {
        const RbPaceClock clock = clock_of(player);
        set_pace(player, run->pace.eighths / 2);
        begin_at(player, rb_pace_begin(&run->pace, &clock, player->wanted));
        player->news |= RB_FILM_PLAYER_NEWS_STATE;
    }
}

static void show_what_is_due(RbFilmPlayer *player, int64_t now_us)
{
    Run *run = &player->run;
    int ready = -1;
    for (int i = 0; is_due(player, i, now_us); i++) {
        if (run->due[i].picture != NULL) {
            ready = i;
        } else {
            run->missed += is_due(player, i + 1, now_us);
        }
    }
    /* Backward no frame is left out for one that came before it. */
    while (ready > 0 && run->pace.eighths < 0 && run->due[0].picture == NULL) {
        ready = -1;
    }
    if (ready >= 0) {
        show_due(player, ready, now_us);
    } else if (is_due(player, run->n_due - 1, now_us)) {
        if (run->pace.eighths < 0) {
            wait_for_group(player, now_us);
        } else {
            catch_up(player, now_us);
        }
    }
    look_at_trial(player);
}

int64_t rb_film_player_run_tick(RbFilmPlayer *player, int64_t now_us)
{
    Run *run = &player->run;
    if (run->n_due == 0 && run->ended) {
        rb_film_player_run_ended(player);
        return INT64_MAX;
    }
    if (!run->clock_runs && run->n_due > 0 && run->due[0].picture != NULL) {
        start_clock(player, now_us);
    }
    if (run->clock_runs && run->n_due > 0) {
        show_what_is_due(player, now_us);
    }
    plan_ahead(player);
    if (run->n_due == 0 && run->ended) {
        rb_film_player_run_ended(player);
        return INT64_MAX;
    }
    if (!run->clock_runs) {
        return INT64_MAX; /* the first picture wakes us */
    }
    /* What is overdue is looked at again when the next one is due, or when it comes. */
    for (int i = 0; i < run->n_due; i++) {
        if (due_us(player, i) > now_us) {
            return due_us(player, i);
        }
    }
    return now_us + RB_PACE_SHOW_US;
}

static int64_t wrapped_film_time(const RbFilmPlayer *player, int64_t now_us)
{
    const Run *run = &player->run;
    const RbPaceClock clock = clock_of(player);
    const int64_t first = clock.start_us(clock.data, run->pace.first);
    const int64_t length = clock.end_us(clock.data, run->pace.last) - first;
    int64_t us = rb_pace_film_time(&run->pace, now_us);
    if (run->pace.loop && length > 0) {
        us = first + ((us - first) % length + length) % length;
    }
    return us;
}

bool rb_film_player_get_clock(const RbFilmPlayer *player, int64_t now_us,
                              int64_t *film_us)
{
    if (player->state != RB_FILM_PLAYER_RUNNING || !player->run.clock_runs) {
        return false;
    }
    *film_us = wrapped_film_time(player, now_us);
    return true;
}

bool rb_film_player_run_follow(RbFilmPlayer *player, int64_t now_us)
{
    Run *run = &player->run;
    const RbFilmPlayer *leader = player->leader;
    const int64_t us = wrapped_film_time(leader, now_us) + player->offset_us;
    const int64_t first = rb_film_player_clamp(player, player->first * player->per);
    const int64_t last =
        rb_film_player_clamp(player, rb_film_player_end_of(player, player->last));
    if (us < start_us(player, first) || us >= end_us(player, last)) {
        return false;
    }
    const bool apart = !run->clock_runs ||
                       run->pace.eighths != leader->run.pace.eighths ||
                       ABS(rb_pace_film_time(&run->pace, now_us) - us) > APART_US;
    run->speed = leader->run.speed;
    if (!apart) {
        return true;
    }
    set_pace(player, leader->run.pace.eighths);
    run->pace.first = first;
    run->pace.last = last;
    run->pace.loop = false;
    run->pace.start_us = now_us;
    run->pace.base_us = us;
    const RbPaceClock clock = clock_of(player);
    const int64_t position = rb_film_player_find_at(player, us);
    begin_at(player, rb_pace_begin(&run->pace, &clock, position));
    run->clock_runs = true; /* the leader's, whether the picture is there or not */
    return true;
}
