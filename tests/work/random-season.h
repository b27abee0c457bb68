/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/base/random.h"
#include "rb/work/names.h"

/* A library's worth of values without a library: random snaps, most of them pass plays, with
 * random tags, some of them unknown; a practice and a scouted game among the games. Nothing in
 * it makes sense as football. */
typedef struct {
    RbNames *names;    /* owned */
    GPtrArray *snaps;  /* owned, of RbSnap, by game and number */
    GPtrArray *charts; /* owned, of RbChart: at most one a snap */
    GPtrArray *clips;  /* owned, of RbClip: some with marks of snap and release */
} RandomSeason;

RandomSeason random_season_new(RbRandom *random);
void random_season_clear(RandomSeason *season);

/* The chart of a snap; NULL when there is none. */
const RbChart *random_season_chart(const RandomSeason *season, RbSnapId snap);

enum { RANDOM_GAMES = 4 };
extern const RbGameId random_games[RANDOM_GAMES];
/* Of them: two games of ours, a practice, a game of others. */
extern const RbGameId random_practice, random_scouted;
