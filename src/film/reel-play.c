/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "reel-private.h"

/* Plain forward playback. Frames are asked for a little ahead and handed over when the film's
 * own clock says so; when decoding or the caller falls behind, frames are left out and counted,
 * never the clock stretched. */

static void drop_ready(Play *play)
{
    while (play->n_ready > 0) {
        rb_picture_unref(play->ready[--play->n_ready]);
    }
}

void rb_play_start(RbReel *reel, const Want *want)
{
    Play *play = &reel->play;
    drop_ready(play);
    *play = (Play){ .active = true,
                    .serial = want->serial,
                    .next = CLAMP(want->ordinal, 0, reel->own_index->n_frames - 1),
                    .options = want->options,
                    .shown = -1 };
    play->options.by_field = false; /* whole frames */
}

void rb_play_stop(RbReel *reel, bool tell)
{
    Play *play = &reel->play;
    if (!play->active) {
        return;
    }
    play->active = false;
    drop_ready(play);
    if (tell) {
        RbReelEvent event = { .kind = RB_REEL_STOPPED,
                              .serial = play->serial,
                              .dropped = play->dropped };
        rb_reel_add_event(reel, &event);
    }
}

void rb_play_take(RbReel *reel, RbPicture *picture)
{
    Play *play = &reel->play;
    g_assert(play->n_ready < ASKING_MAX);
    play->ready[play->n_ready++] = picture;
}

void rb_play_pass_over(RbReel *reel)
{
    reel->play.dropped++;
}

static int64_t film_now(const Play *play)
{
    return play->base_us + g_get_monotonic_time() - play->clock_us;
}

/* When it has fallen behind, playback goes on from the frame that is due. */
static void catch_up(RbReel *reel)
{
    Play *play = &reel->play;
    if (!play->clock_runs) {
        return;
    }
    const int64_t due = rb_index_find_at(reel->own_index, film_now(play));
    if (due > play->next && reel->n_asking == 0) {
        play->dropped += due - play->next;
        play->next = due;
    }
}

static void ask_ahead(RbReel *reel)
{
    Play *play = &reel->play;
    catch_up(reel);
    while (play->next < reel->own_index->n_frames &&
           play->n_ready + reel->n_asking < ASKING_MAX &&
           rb_reel_ask(reel, play->serial, play->next, &play->options)) {
        play->next++;
    }
}

static void hand_over_first(RbReel *reel)
{
    Play *play = &reel->play;
    RbPicture *picture = play->ready[0];
    play->n_ready--;
    memmove(play->ready, play->ready + 1, (size_t)play->n_ready * sizeof play->ready[0]);
    play->shown = rb_picture_get_ordinal(picture);
    if (rb_reel_add_picture(reel, play->serial, picture, play->dropped)) {
        play->dropped++; /* nobody fetched the one before in time */
    }
}

static int64_t due_us(const RbReel *reel, const RbPicture *picture)
{
    return reel->own_index->us[rb_picture_get_ordinal(picture)];
}

static void hand_over(RbReel *reel)
{
    Play *play = &reel->play;
    if (!play->clock_runs && play->n_ready > 0) {
        play->clock_runs = true; /* the first picture sets the clock */
        play->clock_us = g_get_monotonic_time();
        play->base_us = due_us(reel, play->ready[0]);
        hand_over_first(reel);
    }
    while (play->n_ready > 0 && due_us(reel, play->ready[0]) <= film_now(play)) {
        const bool next_is_due =
            play->n_ready > 1 && due_us(reel, play->ready[1]) <= film_now(play);
        if (next_is_due) {
            play->dropped++;
            rb_picture_unref(play->ready[0]);
            play->n_ready--;
            memmove(play->ready, play->ready + 1,
                    (size_t)play->n_ready * sizeof play->ready[0]);
        } else {
            hand_over_first(reel);
        }
    }
}

int rb_play_step(RbReel *reel)
{
    Play *play = &reel->play;
    if (!play->active) {
        return -1;
    }
    hand_over(reel);
    ask_ahead(reel);
    int64_t next_us = -1;
    if (play->n_ready > 0) {
        next_us = due_us(reel, play->ready[0]);
    } else if (reel->n_asking == 0 && play->next >= reel->own_index->n_frames) {
        next_us = reel->own_index->end_us;
        if (!play->clock_runs || film_now(play) >= next_us) {
            rb_play_stop(reel, true);
            return -1;
        }
    }
    if (next_us < 0) {
        return -1; /* an answer or a free slot wakes the thread */
    }
    const int64_t wait = next_us - film_now(play);
    return wait > 0 ? (int)MIN((wait + 999) / 1000, 1000) : 0;
}
