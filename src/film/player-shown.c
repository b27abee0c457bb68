/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the player shows, and what it says of itself. */
#include "player-private.h"

RbFilmPlayerState rb_film_player_get_state(const RbFilmPlayer *player)
{
    return player->state;
}

int rb_film_player_get_speed(const RbFilmPlayer *player)
{
    if (player->state == RB_FILM_PLAYER_WAITING) {
        return player->wish;
    }
    return player->state == RB_FILM_PLAYER_RUNNING ? player->run.speed : 0;
}

int rb_film_player_get_real_speed(const RbFilmPlayer *player)
{
    return player->state == RB_FILM_PLAYER_RUNNING ? player->run.pace.eighths : 0;
}

RbPicture *rb_film_player_get_picture(const RbFilmPlayer *player)
{
    return player->picture;
}

int64_t rb_film_player_get_shown(const RbFilmPlayer *player)
{
    return player->picture != NULL ? rb_picture_get_ordinal(player->picture) : -1;
}

int rb_film_player_get_field(const RbFilmPlayer *player)
{
    const RbPicture *picture = player->picture;
    return picture != NULL && !rb_picture_is_whole(picture)
               ? rb_picture_get_field(picture)
               : 0;
}

int rb_film_player_get_wanted_half(const RbFilmPlayer *player)
{
    return player->wanted < 0 ? 0 : (int)(player->wanted % player->per);
}

int64_t rb_film_player_get_wanted(const RbFilmPlayer *player)
{
    return player->wanted < 0 ? -1 : player->wanted / player->per;
}

bool rb_film_player_is_exact(const RbFilmPlayer *player)
{
    return player->exact;
}

bool rb_film_player_has_small(const RbFilmPlayer *player)
{
    return player->small.ready;
}

bool rb_film_player_is_small(const RbFilmPlayer *player)
{
    return player->picture != NULL && player->small_shown;
}

const GError *rb_film_player_get_fault(const RbFilmPlayer *player)
{
    return player->fault;
}

double rb_film_player_get_progress(const RbFilmPlayer *player)
{
    return player->progress;
}

void rb_film_player_get_counts(const RbFilmPlayer *player, RbFilmPlayerCounts *counts)
{
    *counts = player->counts;
}
