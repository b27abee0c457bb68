/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

#include "rb/model/ids.h"
#include "rb/model/words.h"

typedef struct {
    RbPersonId id;
    char *name; /* owned */
} RbPerson;

typedef struct {
    RbTeamId id;
    char *name; /* owned */
    bool ours;
} RbTeam;

typedef struct {
    RbPlayerId id;
    RbTeamId team;
    char *jersey; /* owned: digits */
    char *name;   /* owned, nullable: many staffs keep numbers only */
} RbPlayer;

typedef struct {
    RbGameId id;
    RbGameKind kind;
    RbRules rules;
    char *played_on; /* owned: ISO 8601 date, "2026-09-12" */
    RbTeamId us;
    RbTeamId them;
    bool ours_only;  /* the log holds only our offense's snaps */
    RbPersonId lead; /* whose chart counts; 0: the newest */
    char *title;     /* owned: "Week 3 at Harbor City" */
} RbGame;

/* From the name, so that one person on two laptops is one. */
RbPersonId rb_person_id_of(const char *name);
RbPerson *rb_person_new(RbPersonId id, const char *name);
void rb_person_free(RbPerson *person);
RbTeam *rb_team_new(RbTeamId id, const char *name, bool ours);
void rb_team_free(RbTeam *team);
RbPlayer *rb_player_new(RbPlayerId id, RbTeamId team, const char *jersey,
                        const char *name);
void rb_player_free(RbPlayer *player);
/* A game of kind game, college rules, nothing else known. */
RbGame *rb_game_new(RbGameId id, const char *title);
void rb_game_free(RbGame *game);

G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbPerson, rb_person_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbTeam, rb_team_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbPlayer, rb_player_free)
G_DEFINE_AUTOPTR_CLEANUP_FUNC(RbGame, rb_game_free)
