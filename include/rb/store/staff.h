/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "rb/model/game.h"
#include "rb/store/store.h"

/* People of the staff, teams, players, games.
 *
 * All repositories keep to one pattern. load: (transfer full), NULL with UNKNOWN set when the
 * library has no such thing or it was removed. list: (transfer full) GPtrArray that frees its
 * elements, empty when there are none, NULL only with `error` set. save: inserts, or writes
 * exactly the columns that differ from what is stored (and brings a removed row back); an id
 * of 0 is an assertion; needs an open action. remove: hides the row, needs an open action; what
 * belongs to it is hidden with it by the lists, and comes back with it. */

RbPerson *rb_store_load_person(RbStore *store, RbPersonId id, GError **error);
GPtrArray *rb_store_list_people(RbStore *store, GError **error); /* by name */
bool rb_store_save_person(RbStore *store, const RbPerson *person, GError **error);

RbTeam *rb_store_load_team(RbStore *store, RbTeamId id, GError **error);
GPtrArray *rb_store_list_teams(RbStore *store, GError **error); /* ours first, by name */
bool rb_store_save_team(RbStore *store, const RbTeam *team, GError **error);

RbPlayer *rb_store_load_player(RbStore *store, RbPlayerId id, GError **error);
/* team: 0 for every team. By team, then jersey as a number. */
GPtrArray *rb_store_list_players(RbStore *store, RbTeamId team, GError **error);
bool rb_store_save_player(RbStore *store, const RbPlayer *player, GError **error);

RbGame *rb_store_load_game(RbStore *store, RbGameId id, GError **error);
GPtrArray *rb_store_list_games(RbStore *store, GError **error); /* by date, then title */
bool rb_store_save_game(RbStore *store, const RbGame *game, GError **error);
bool rb_store_remove_game(RbStore *store, RbGameId id, GError **error);
