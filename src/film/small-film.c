/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/film/small-pictures.h"

#include "picture-private.h"

/* Some twenty pictures. To hold more would cost more than it saves: a fresh buffer takes longer
 * than decoding into one that was used before. */
#define HELD_BYTES (INT64_C(16) << 20)

/* A span's small pictures under the numbers of the film. */
struct RbSmallFilm {
    RbReel *reel; /* owned */
    int64_t first;
    int64_t last;
    int64_t film_frames;
    int per; /* pictures a frame */
};

/* One that has not exactly the frames of its span is of no use, whatever it is. */
static bool fits(const RbSmallFilm *small)
{
    return rb_reel_get_frame_count(small->reel) ==
           (small->last - small->first + 1) * small->per;
}

static RbReelEventKind small_poll(void *film, RbReelEvent *event)
{
    RbSmallFilm *small = film;
    const RbReelEventKind kind = rb_reel_poll(small->reel, event);
    if (event->picture != NULL) {
        const int64_t position =
            rb_picture_get_ordinal(event->picture) + small->first * small->per;
        rb_picture_renumber(event->picture, position / small->per,
                            small->per == 2 ? 1 + (int)(position % 2) : 0);
    }
    if (kind == RB_REEL_ERROR && event->ordinal >= 0) {
        event->ordinal += small->first * small->per;
    }
    return kind;
}

static int64_t small_count(void *film)
{
    RbSmallFilm *small = film;
    return fits(small) ? small->film_frames : -1;
}

/* A player asks its film for times, never its small copy. */
static int64_t small_frame_us(void *film, int64_t ordinal)
{
    RbSmallFilm *small = film;
    return rb_reel_get_frame_us(small->reel, ordinal - small->first);
}

static int64_t small_find_at(void *film, int64_t us)
{
    RbSmallFilm *small = film;
    return rb_reel_find_frame_at(small->reel, us) + small->first;
}

static bool small_is_key(void *film, int64_t ordinal)
{
    (void)film;
    (void)ordinal;
    return true;
}

static void small_want(void *film, const int64_t *ordinals, int n,
                       const RbFrameOptions *options)
{
    RbSmallFilm *small = film;
    int64_t list[RB_REEL_WANTED_MAX];
    int k = 0;
    for (int i = 0; i < n; i++) {
        const int64_t frame = ordinals[i] / small->per;
        if (frame >= small->first && frame <= small->last) {
            list[k++] = ordinals[i] - small->first * small->per;
        }
    }
    RbFrameOptions plain = *options;
    plain.by_field = false; /* its fields are frames */
    rb_reel_want(small->reel, list, k, &plain);
}

static const RbFilmPlayerSource small_source = {
    .poll = small_poll,
    .count = small_count,
    .frame_us = small_frame_us,
    .find_at = small_find_at,
    .is_key = small_is_key,
    .want = small_want,
    .keep = NULL, /* every picture is at hand: nothing to decode ahead */
};

RbSmallFilm *rb_small_film_open(const char *path, int64_t first, int64_t last,
                                int64_t film_frames, bool by_field, RbReelWake wake,
                                void *data)
{
    RbSmallFilm *small = g_new(RbSmallFilm, 1);
    *small = (RbSmallFilm){ .reel = rb_reel_open(path, wake, data),
                            .first = first,
                            .last = last,
                            .film_frames = film_frames,
                            .per = by_field ? 2 : 1 };
    rb_reel_keep(small->reel,
                 &(RbReelKeep){ .first = 0, .last = -1, .budget = HELD_BYTES });
    return small;
}

void rb_small_film_close(RbSmallFilm *small)
{
    if (small != NULL) {
        rb_reel_close(small->reel);
        g_free(small);
    }
}

void rb_film_player_use_small(RbFilmPlayer *player, RbSmallFilm *small)
{
    rb_film_player_set_small_for(player, small != NULL ? &small_source : NULL, small);
}
