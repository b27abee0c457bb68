/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "rb/model/game.h"

RbPersonId rb_person_id_of(const char *name)
{
    return (RbPersonId){ rb_id_from_text("person", name, NULL) };
}

RbPerson *rb_person_new(RbPersonId id, const char *name)
{
    RbPerson *person = g_new0(RbPerson, 1);
    person->id = id;
    person->name = g_strdup(name);
    return person;
}

void rb_person_free(RbPerson *person)
{
    if (person == NULL) {
        return;
    }
    g_free(person->name);
    g_free(person);
}

RbTeam *rb_team_new(RbTeamId id, const char *name, bool ours)
{
    RbTeam *team = g_new0(RbTeam, 1);
    team->id = id;
    team->name = g_strdup(name);
    team->ours = ours;
    return team;
}

void rb_team_free(RbTeam *team)
{
    if (team == NULL) {
        return;
    }
    g_free(team->name);
    g_free(team);
}

RbPlayer *rb_player_new(RbPlayerId id, RbTeamId team, const char *jersey,
                        const char *name)
{
    RbPlayer *player = g_new0(RbPlayer, 1);
    player->id = id;
    player->team = team;
    player->jersey = g_strdup(jersey);
    player->name = g_strdup(name);
    return player;
}

void rb_player_free(RbPlayer *player)
{
    if (player == NULL) {
        return;
    }
    g_free(player->jersey);
    g_free(player->name);
    g_free(player);
}

RbGame *rb_game_new(RbGameId id, const char *title)
{
    RbGame *game = g_new0(RbGame, 1);
    game->id = id;
    game->kind = RB_GAME_GAME;
    game->rules = RB_RULES_COLLEGE;
    game->title = g_strdup(title);
    return game;
}

void rb_game_free(RbGame *game)
{
    if (game == NULL) {
        return;
    }
    g_free(game->played_on);
    g_free(game->title);
    g_free(game);
}
