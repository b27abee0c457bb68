/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/film/player.h"
#include "rb/film/reel.h"

/* The sound of one open film, kept in step with its player where the user wants it: forward at
 * the film's own speed, and nowhere else. */
typedef struct RbFilmSound RbFilmSound;

/* path, reel: borrowed until rb_film_sound_free(). */
RbFilmSound *rb_film_sound_new(const char *path, RbReel *reel);
void rb_film_sound_free(RbFilmSound *sound); /* NULL is allowed */

/* After every look at the player. mute: another film is the one to be heard. */
void rb_film_sound_keep(RbFilmSound *sound, const RbFilmPlayer *player, bool mute);
